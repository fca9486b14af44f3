"""The photograph beneath a layout: where it belongs, light, mirrored with it, never needed."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import shapely
from matplotlib.figure import Figure
from matplotlib.image import imsave
from numpy.typing import NDArray
from PIL import Image
from pypdf import PdfReader
from shapely import Point
from shapely.geometry.base import BaseGeometry

from estimator.hide.hides import FlawState, HidePhoto
from estimator.pattern.parts import Face
from estimator.report.folder import write_outputs
from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.page.picture_files import PNG_DPI, pdf_pages, png, svg
from estimator.report.pictures.layout import draw_plan, fit_on_page
from estimator.report.pictures.photo_beneath import (
    LIGHT_SHARE,
    MOST_PX,
    lighten_photo,
    lighten_photos,
)
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from tests.report.sample import make_estimate

Floats = NDArray[np.float64]

FONTS = fonts_for(())
BROWN, SPOT = (90, 60, 40), (10, 10, 200)
SPOT_MM = 12.0
"""Half the side of a square spot in the photograph."""


def photographed(estimate: Estimate, file: Path, *, spot: Point) -> Estimate:
    """The estimate, with its first hide photographed at 2 mm a pixel: brown, with a blue spot."""
    hide = estimate.order.hides[0]
    left, bottom, right, top = hide.outline.buffer(20.0).bounds
    scale = 2.0
    width, height = int((right - left) / scale), int((top - bottom) / scale)
    shown = np.full((height, width, 3), BROWN, dtype=np.uint8)
    row, column = height - round((spot.y - bottom) / scale), round((spot.x - left) / scale)
    around = int(SPOT_MM / scale)
    shown[row - around : row + around, column - around : column + around] = SPOT
    imsave(file, shown)
    photo = HidePhoto(file=file, mm_per_px=scale, left_mm=left, bottom_mm=bottom, error_mm=1.5)
    hides = (replace(hide, photo=photo), *estimate.order.hides[1:])
    return make_estimate(order=replace(estimate.order, hides=hides))


def bare_place(estimate: Estimate) -> Point:
    """A place on the first hide that nothing but the photograph covers."""
    hide = estimate.order.hides[0]
    use = next(use for use in estimate.uses if use.sheet == hide.tag)
    free: BaseGeometry = max(use.offcuts, key=lambda offcut: offcut.area)
    for flaw in hide.flaws:
        free = free.difference(flaw.outline)
    inner = free.buffer(-2.0 * SPOT_MM)
    return max(map(Point, shapely.get_coordinates(inner)), key=inner.centroid.distance)


def shown_with(made: Estimate, face: Face) -> tuple[Figure, Floats]:
    """The picture of the first hide over its photograph, and its dots."""
    hide = made.order.hides[0]
    photos, note = lighten_photos(made.order.hides)
    assert note == ""
    figure = draw_plan(
        made,
        hide,
        face=face,
        paper=Paper.A4,
        units=Units.METRIC,
        fonts=FONTS,
        photo=photos[hide.tag],
    )
    dots = np.asarray(Image.open(BytesIO(png(figure, FONTS))).convert("RGB"))
    return figure, dots.astype(np.float64)


def lightened(colour: tuple[int, ...]) -> Floats:
    """What a colour of the photograph is on paper."""
    return 255.0 - (1.0 - LIGHT_SHARE) * (255.0 - np.array(colour, dtype=np.float64))


def places_mm(dots: Floats, colour: tuple[int, ...]) -> Floats:
    """Where a colour of the photograph is seen, mm of the page."""
    rows, columns = np.nonzero((np.abs(dots - lightened(colour)) < 4).all(axis=2))
    return np.stack([columns + 0.5, dots.shape[0] - rows - 0.5], axis=1) * 25.4 / PNG_DPI


@pytest.mark.parametrize("face", list(Face))
def test_the_photo_lies_true_to_the_hide_on_both_faces(
    estimate: Estimate, tmp_path: Path, face: Face
) -> None:
    spot = bare_place(estimate)
    made = photographed(estimate, tmp_path / "above.png", spot=spot)
    _, dots = shown_with(made, face)
    width, height = paper_mm(Paper.A4, is_landscape=True)
    outline = made.order.hides[0].outline
    on_page = fit_on_page(outline, face=face, width_mm=width, height_mm=height)
    seen = places_mm(dots, SPOT)
    at = on_page.of(spot)
    assert seen.mean(axis=0) == pytest.approx((at.x, at.y), abs=2.0 * on_page.factor)
    across = np.ptp(seen, axis=0) + 25.4 / PNG_DPI
    assert across == pytest.approx([2 * SPOT_MM * on_page.factor] * 2, abs=2.0 * on_page.factor)
    brown = places_mm(dots, BROWN)
    assert len(brown) > 1000
    assert shapely.contains_xy(on_page.of(outline).buffer(25.4 / PNG_DPI), brown).all()


def test_the_picture_says_how_true_its_lines_are(estimate: Estimate, tmp_path: Path) -> None:
    made = photographed(estimate, tmp_path / "above.png", spot=bare_place(estimate))
    figure, _ = shown_with(made, Face.GRAIN)
    assert any("may be off by 1.5 mm" in text.get_text() for text in figure.axes[0].texts)
    assert b"<image" in svg(figure, FONTS)
    pdf = PdfReader(BytesIO(pdf_pages([figure], FONTS)))
    assert len(pdf.pages[0].images) == 1


def test_the_photo_is_shown_unless_it_is_not_wanted(estimate: Estimate, tmp_path: Path) -> None:
    made = photographed(estimate, tmp_path / "above.png", spot=bare_place(estimate))
    for has_photos in (True, False):
        folder = tmp_path / f"made-{has_photos}"
        written = write_outputs(
            made, folder, paper=Paper.A4, units=Units.METRIC, has_photos=has_photos
        )
        assert not written.warnings
        assert (b"<image" in (folder / "plan-side-07.svg").read_bytes()) is has_photos


@pytest.mark.parametrize("content", [None, b"", b"no picture", b"\x89PNG\r\n\x1a\n cut short"])
def test_a_photo_that_is_gone_or_broken_is_a_warning_and_no_more(
    estimate: Estimate, tmp_path: Path, content: bytes | None
) -> None:
    file = tmp_path / "above.png"
    made = photographed(estimate, file, spot=bare_place(estimate))
    if content is None:
        file.unlink()
    else:
        file.write_bytes(content)
    written = write_outputs(made, tmp_path / "made", paper=Paper.A4, units=Units.METRIC)
    (warning,) = written.warnings
    assert str(file) in warning
    assert "side-07" in warning
    assert "[photo]" in warning
    assert b"<image" not in (tmp_path / "made" / "plan-side-07.svg").read_bytes()


@pytest.mark.parametrize(
    ("mode", "value", "expected"),
    [("L", 100, (100, 100, 100)), ("RGBA", (10, 20, 30, 0), (255, 255, 255)), ("RGB", SPOT, SPOT)],
)
@pytest.mark.parametrize("ending", [".png", ".jpg"])
def test_grey_clear_and_coloured_pictures_are_read_alike(
    tmp_path: Path,
    mode: str,
    value: int | tuple[int, ...],
    expected: tuple[int, ...],
    ending: str,
) -> None:
    file = tmp_path / f"above{ending}"
    picture = Image.new(mode, (30, 20), value)
    if ending == ".jpg" and mode == "RGBA":
        picture = Image.new("RGB", (30, 20), "white")
    picture.save(file)
    read = lighten_photo(HidePhoto(file=file, mm_per_px=1.5, left_mm=-5.0, bottom_mm=2.0))
    assert read.pixels.shape == (20, 30, 3)
    assert read.pixels[7, 7] == pytest.approx(lightened(expected), abs=2)
    assert (read.left_mm, read.bottom_mm, read.right_mm, read.top_mm) == (-5.0, 2.0, 40.0, 32.0)


def test_a_large_photo_is_made_small_and_keeps_its_scale(tmp_path: Path) -> None:
    file = tmp_path / "above.png"
    Image.new("L", (2 * MOST_PX + 3, 1001), 200).save(file)
    read = lighten_photo(HidePhoto(file=file, mm_per_px=0.5, left_mm=0.0, bottom_mm=10.0))
    height, width, _ = read.pixels.shape
    assert max(height, width) <= MOST_PX
    assert (read.right_mm - read.left_mm) / width == pytest.approx(1.5)
    assert (read.top_mm - read.bottom_mm) / height == pytest.approx(1.5)
    assert read.top_mm == pytest.approx(10.0 + 1001 * 0.5)


def test_a_flaw_that_is_only_proposed_is_drawn_as_what_the_layout_keeps_off(
    estimate: Estimate,
) -> None:
    hide = estimate.order.hides[0]
    open_flaws = tuple(replace(flaw, state=FlawState.PROPOSED) for flaw in hide.flaws)
    hides = (replace(hide, flaws=open_flaws), *estimate.order.hides[1:])
    made = make_estimate(order=replace(estimate.order, hides=hides))
    figure = draw_plan(
        made, hides[0], face=Face.GRAIN, paper=Paper.A4, units=Units.METRIC, fonts=FONTS
    )
    told = " ".join(text.get_text() for text in figure.axes[0].texts)
    assert "only proposed" in told
    assert "cosmetic" not in told
    assert {patch.get_hatch() for patch in figure.axes[0].patches} <= {None, "xxxxx"}

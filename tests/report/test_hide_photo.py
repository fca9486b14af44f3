"""From what was found in a photograph to a map, a drawing and two pictures that agree."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from shapely import LineString, Polygon, contains_xy
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from estimator.hide.hides import Hide
from estimator.hide.reader import read_hide
from estimator.photo.base.marked import COLOURS
from estimator.photo.leather.seen import EdgeStretch
from estimator.report.photos.hide import (
    SMOOTH_MM,
    PhotographedHide,
    file_names,
    hide_from_photo,
    photo_values,
)
from tests.report.photo_sample import ERROR_MM, FACTS, scene, seen


def made(folder: Path, backbone_deg: float = 0.0) -> PhotographedHide:
    return hide_from_photo(seen(backbone_deg), FACTS, folder=folder, name="side-09")


def written(folder: Path, backbone_deg: float = 0.0) -> Hide:
    for name, content in made(folder, backbone_deg).files.items():
        raw = content.encode() if isinstance(content, str) else content
        (folder / name).write_bytes(raw)
    return read_hide(folder / "side-09.toml")


def pixels(content: bytes | str) -> NDArray[np.float64]:
    assert isinstance(content, bytes)
    image = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR)
    assert image is not None
    return np.asarray(image, dtype=np.float64)


def brightness_in(photo: PhotographedHide, area: BaseGeometry) -> float:
    """Mean of what the picture from above shows within an area of the hide's axes."""
    shown = pixels(photo.files["side-09-above.jpg"])
    rows, columns = np.mgrid[0 : shown.shape[0], 0 : shown.shape[1]]
    x = (columns + 0.5) * photo.mm_per_px
    y = (shown.shape[0] - rows - 0.5) * photo.mm_per_px
    return float(shown[contains_xy(area, x, y)].mean())


@pytest.mark.parametrize("backbone_deg", [0.0, 37.0])
def test_the_map_read_through_its_drawing_is_the_hide(tmp_path: Path, backbone_deg: float) -> None:
    hide, again = made(tmp_path, backbone_deg).hide, written(tmp_path, backbone_deg)
    assert again.outline.hausdorff_distance(hide.outline) < 1e-3
    assert [f.number for f in again.flaws] == [f.number for f in hide.flaws]
    for back, flaw in zip(again.flaws, hide.flaws, strict=True):
        assert back.outline.hausdorff_distance(flaw.outline) < 1e-3
        assert (back.kind, back.spoil, back.state) == (flaw.kind, flaw.spoil, flaw.state)
        assert (back.confidence, back.note) == (flaw.confidence, flaw.note)
    assert replace(again, outline=hide.outline, flaws=hide.flaws) == hide
    assert again.backbone_deg == 0.0


def test_the_outline_lies_inside_by_the_error_and_flaws_lie_outside(tmp_path: Path) -> None:
    hide = made(tmp_path).hide
    left, bottom = (
        hide.outline.bounds[0] - scene().outline.bounds[0],
        hide.outline.bounds[1] - scene().outline.bounds[1],
    )
    allowed = ERROR_MM + SMOOTH_MM
    assert hide.photo is not None
    assert hide.photo.error_mm == allowed
    shift = (round(left - allowed), round(bottom - allowed))

    def there(outline: Polygon) -> Polygon:
        return Polygon(np.asarray(outline.exterior.coords)[:, :2] + shift)

    whole = there(scene().outline)
    assert whole.buffer(-ERROR_MM + 1e-6).covers(hide.outline)
    assert hide.outline.buffer(allowed + SMOOTH_MM).area > whole.area * 0.999
    for flaw, true in zip(hide.flaws, scene().flaws, strict=False):
        assert flaw.outline.covers(there(true.outline).buffer(ERROR_MM - 1e-6))
        assert flaw.outline.area < there(true.outline).buffer(3 * allowed).area


def test_a_stretch_that_is_hard_to_see_is_drawn_further_inside(tmp_path: Path) -> None:
    ring = np.asarray(scene().outline.exterior.coords)
    whole = EdgeStretch(line=LineString(ring), expected_error_mm=ERROR_MM)
    weak = EdgeStretch(line=LineString(ring[10:40]), expected_error_mm=12.0)

    def drawn(*stretches: EdgeStretch) -> Polygon:
        told = replace(seen(), stretches=stretches)
        return hide_from_photo(told, FACTS, folder=tmp_path, name="side-09").hide.outline

    plain, found = drawn(whole), drawn(whole, weak)
    assert plain.symmetric_difference(made(tmp_path).hide.outline).area < 0.6 * plain.length
    assert found.difference(plain.buffer(1e-6)).area < SMOOTH_MM * weak.line.length
    expected = weak.line.length * (12.0 - ERROR_MM)
    assert plain.area - found.area == pytest.approx(expected, rel=0.3)


@pytest.mark.parametrize("backbone_deg", [0.0, 37.0])
def test_the_picture_from_above_shows_each_thing_where_the_map_has_it(
    tmp_path: Path, backbone_deg: float
) -> None:
    photo = made(tmp_path, backbone_deg)
    sheet = photo.hide.flaws[-1].outline
    paper = brightness_in(photo, sheet.buffer(-4))
    leather = brightness_in(photo, sheet.buffer(20).difference(sheet.buffer(2)))
    assert paper > 190
    assert leather < 150
    ring = photo.hide.outline.exterior
    inside = brightness_in(photo, ring.buffer(8).intersection(photo.hide.outline))
    outside = brightness_in(photo, ring.buffer(12).difference(photo.hide.outline.buffer(4)))
    assert abs(inside - outside) > 5


def test_the_backbone_lies_along_x(tmp_path: Path) -> None:
    straight, turned = made(tmp_path).hide, made(tmp_path, 37.0).hide
    assert turned.outline.area == pytest.approx(straight.outline.area, rel=1e-6)
    back = rotate(turned.outline, 37.0, origin=(0, 0))
    (x1, y1), (x2, y2) = back.centroid.coords[0], straight.outline.centroid.coords[0]
    moved = translate(back, x2 - x1, y2 - y1)
    assert moved.hausdorff_distance(straight.outline) < 1e-6


def test_the_check_picture_shows_outline_sheet_and_proposals(tmp_path: Path) -> None:
    shown = pixels(made(tmp_path).files["side-09-check.png"])
    height, width = scene().pixels.shape[:2]
    assert shown.shape == (height, width, 3)
    for what in ("outline", "sheet", "proposed"):
        assert (shown == COLOURS[what]).all(axis=2).sum() > 100


def test_the_same_photograph_gives_the_same_files(tmp_path: Path) -> None:
    assert made(tmp_path).files == made(tmp_path).files
    assert list(made(tmp_path).files)[-1] == "side-09.toml"
    assert set(made(tmp_path).files) == {"side-09.toml", *file_names("side-09")}


def test_plain_values_tell_area_error_and_proposals(tmp_path: Path) -> None:
    values = photo_values(made(tmp_path))
    assert values["area_mm2"] == pytest.approx(scene().outline.area)
    assert values["area_drawn_mm2"] < values["area_mm2"]
    assert values["expected_error_mm"] == 1.5
    assert [flaw["state"] for flaw in values["flaws"]] == ["proposed"] * 7 + ["confirmed"]
    assert values["flaws"][-1]["kind"] == "not-seen"
    assert values["flaws"][2]["confidence"] == 0.6

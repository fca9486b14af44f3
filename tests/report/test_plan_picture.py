"""The layout picture: what is on it, where, and that nothing covers anything."""

from dataclasses import replace
from io import BytesIO
from itertools import combinations
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from PIL import Image
from shapely import Point, Polygon, box

from estimator.hide.hides import Flaw, Hide
from estimator.pattern.parts import Face
from estimator.quality import Spoil
from estimator.report.cuts import cuts
from estimator.report.page.fonts import fonts_for
from estimator.report.page.labels import (
    beside_label,
    inside_label,
    mirrored_turn_deg,
    reading_turn_deg,
    text_box,
)
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.page.picture_files import png, svg
from estimator.report.page.styles import FLAW_STYLES
from estimator.report.pictures.layout import draw_plan, fit_on_page
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from tests.report.sample import make_estimate

FONTS = fonts_for(())


def picture(estimate: Estimate, place: int = 0, face: Face = Face.GRAIN) -> Figure:
    """The picture of one hide on A4."""
    hide = estimate.order.hides[place]
    return draw_plan(estimate, hide, face=face, paper=Paper.A4, units=Units.METRIC, fonts=FONTS)


def texts(figure: Figure) -> list[Text]:
    """Every text on a picture."""
    return [text for text in figure.axes[0].texts if text.get_text()]


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("place", [0, 1])
def test_no_text_covers_another_or_leaves_the_page(
    estimate: Estimate, place: int, face: Face
) -> None:
    figure = picture(estimate, place, face)
    figure.draw_without_rendering()
    page = box(0, 0, *(figure.dpi * side for side in figure.get_size_inches()))
    boxes = {}
    for text in texts(figure):
        extent = text.get_window_extent()
        shape = box(extent.x0, extent.y0, extent.x1, extent.y1)
        assert page.contains(shape), text.get_text()
        boxes[text] = shape
    level = [text for text in boxes if text.get_rotation() == 0]
    for one, other in combinations(level, 2):
        shared = boxes[one].intersection(boxes[other]).area
        assert shared < 1.0, (one.get_text(), other.get_text())


def test_every_piece_has_its_number_on_the_picture(estimate: Estimate) -> None:
    for place, numbers in ((1, range(1, 7)), (0, range(7, 17))):
        first = {text.get_text().split(" ")[0] for text in texts(picture(estimate, place))}
        assert {str(number) for number in numbers} <= first


def test_flaws_differ_by_hatch_as_well_as_by_colour(estimate: Estimate) -> None:
    looks = list(FLAW_STYLES.values())
    assert len({style["hatch"] for style in looks}) == len(Spoil)
    assert len({style["edgecolor"] for style in looks}) == len(Spoil)
    drawn = {patch.get_hatch() for patch in picture(estimate).axes[0].patches}
    assert {style["hatch"] for style in looks} <= drawn


def test_flaws_stay_apart_on_a_grey_print(estimate: Estimate) -> None:
    grey = np.asarray(Image.open(BytesIO(png(picture(estimate), FONTS))).convert("L"))
    hide = estimate.order.hides[0]
    width, height = paper_mm(Paper.A4, is_landscape=True)
    on_page = fit_on_page(hide.outline, face=Face.GRAIN, width_mm=width, height_mm=height)
    per_mm = grey.shape[1] / width
    darkness = []
    for spoil in Spoil:
        flaw = next(flaw for flaw in hide.flaws if flaw.spoil is spoil)
        middle = on_page.of(flaw.outline.intersection(hide.outline)).centroid
        x, y = int(middle.x * per_mm), int(grey.shape[0] - middle.y * per_mm)
        around = int(2.0 * per_mm)
        darkness.append(255 - grey[y - around : y + around, x - around : x + around].mean())
    assert len(darkness) == len(set(np.round(darkness)))
    assert min(darkness) > 5


def test_legend_names_the_flaws_that_are_there_and_no_others(estimate: Estimate) -> None:
    words = " ".join(text.get_text() for text in texts(picture(estimate)))
    for kind in ("sun-fade", "hole", "scar", "loose", "belly", "fold line", "offcut to keep"):
        assert kind in words
    words = " ".join(text.get_text() for text in texts(picture(estimate, 1)))
    assert "unusable" not in words
    assert "offcut to keep" not in words


def test_flesh_side_is_mirrored_and_its_text_is_not(estimate: Estimate) -> None:
    grain, flesh = (picture(estimate, 1, face) for face in Face)

    def places(figure: Figure) -> dict[str, tuple[float, float]]:
        return {text.get_text(): text.get_position() for text in texts(figure)}

    before, after = places(grain), places(flesh)
    hide = estimate.order.hides[1]
    width, height = paper_mm(Paper.A4, is_landscape=True)
    both = [fit_on_page(hide.outline, face=face, width_mm=width, height_mm=height) for face in Face]
    axis = (both[0].x_mm + both[1].x_mm) / 2
    assert before["2 welt"][0] + after["2 welt"][0] == pytest.approx(2 * axis)
    assert before["2 welt"][1] == pytest.approx(after["2 welt"][1])
    assert any("FLESH SIDE UP: mirrored" in text for text in after)
    assert any("GRAIN SIDE UP" in text for text in before)


def test_scale_bar_is_true(estimate: Estimate) -> None:
    figure = picture(estimate)
    hide = estimate.order.hides[0]
    width, height = paper_mm(Paper.A4, is_landscape=True)
    on_page = fit_on_page(hide.outline, face=Face.GRAIN, width_mm=width, height_mm=height)
    at = {text.get_text(): text.get_position() for text in texts(figure)}
    assert (at["200"][0] - at["50"][0]) / on_page.factor == pytest.approx(150.0)
    assert (at["8"][0] - at["4"][0]) / on_page.factor == pytest.approx(4 * 25.4)


def test_a_name_is_never_taken_for_mathematics_or_markup(estimate: Estimate) -> None:
    assert not any(text.get_parse_math() for text in texts(picture(estimate)))


def test_part_names_in_another_script_are_drawn_without_a_warning() -> None:
    odd = "body \N{WATCH}"
    plain = make_estimate()
    line = plain.order.lines[0]
    body, *others = line.pattern.parts
    pattern = replace(line.pattern, parts=(replace(body, name=odd), *others))
    layout = replace(
        plain.layout,
        placements=tuple(
            replace(place, piece=place.piece.replace("/body", f"/{odd}"))
            for place in plain.layout.placements
        ),
    )
    pieces = tuple(
        replace(piece, key=piece.key.replace("/body", f"/{odd}")) for piece in plain.problem.pieces
    )
    made = make_estimate(
        order=replace(plain.order, lines=(replace(line, pattern=pattern),)),
        layout=layout,
        problem=replace(plain.problem, pieces=pieces),
    )
    fonts = fonts_for([odd])
    figure = draw_plan(
        made,
        made.order.hides[0],
        face=Face.GRAIN,
        paper=Paper.A4,
        units=Units.METRIC,
        fonts=fonts,
    )
    assert any(text.get_text().endswith(odd) for text in texts(figure))
    assert png(figure, fonts).startswith(b"\x89PNG")
    assert odd in svg(figure, fonts).decode()


def test_same_layout_gives_the_same_files(estimate: Estimate) -> None:
    first, second = picture(estimate), picture(estimate)
    assert png(first, FONTS) == png(second, FONTS)
    drawn = svg(first, FONTS)
    assert drawn == svg(second, FONTS)
    root = ET.fromstring(drawn)  # noqa: S314  (our own drawing)
    assert root.get("viewBox")
    assert "dc:date" not in drawn.decode()


def test_a_label_is_turned_along_a_narrow_piece_and_stays_in_it() -> None:
    strap = Polygon([(0, 0), (4, 0), (4, 40), (0, 40)])
    label = inside_label(strap, ("12 strap",), sizes_pt=(9.0, 6.0))
    assert label is not None
    assert abs(label.turn_deg) == pytest.approx(90.0)
    needed = text_box(
        "12 strap", x_mm=label.x_mm, y_mm=label.y_mm, turn_deg=90, size_pt=label.size_pt
    )
    assert strap.contains(needed)


def test_a_label_too_large_goes_beside_with_a_leader_into_its_piece() -> None:
    thin = box(0, 0, 1, 30)
    other = box(1.5, 0, 20, 30)
    assert inside_label(thin, ("7",), sizes_pt=(5.0,)) is None
    label = beside_label(thin, "7", taken=[thin, other], size_pt=6.0)
    where = text_box("7", x_mm=label.x_mm, y_mm=label.y_mm, turn_deg=0, size_pt=6.0)
    assert not where.intersects(other)
    assert not where.intersects(thin)
    assert label.leader_to is not None
    assert thin.distance(box(*label.leader_to, *label.leader_to).centroid) < 1e-6


def test_text_is_never_upside_down() -> None:
    for corner in (10.0, 95.0, 170.0, -170.0):
        turned = reading_turn_deg(Polygon(_turned(box(0, 0, 40, 5), corner)))
        assert -90.0 < turned <= 90.0
        assert -90.0 < mirrored_turn_deg(turned) <= 90.0


def _turned(shape: Polygon, angle: float) -> list[tuple[float, float]]:
    """Corners of a turned shape."""
    turn = np.radians(angle)
    return [
        (float(x * np.cos(turn) - y * np.sin(turn)), float(x * np.sin(turn) + y * np.cos(turn)))
        for x, y in shape.exterior.coords[:-1]
    ]


def test_a_number_beside_its_piece_covers_no_hole(estimate: Estimate) -> None:
    small, *others = estimate.order.hides
    hide = replace(small, outline=small.outline.buffer(700.0))  # so that pieces are drawn small
    width, height = paper_mm(Paper.A4, is_landscape=True)
    on_page = fit_on_page(hide.outline, face=Face.GRAIN, width_mm=width, height_mm=height)
    pieces = [cut.outline for cut in cuts(estimate) if cut.hide == hide.tag]

    def beside(figure: Figure) -> list[Point]:
        """Where numbers stand off the pieces, in the hide's axes."""
        spots = [
            Point(
                (text.get_position()[0] - on_page.x_mm) / on_page.factor,
                (text.get_position()[1] - on_page.y_mm) / on_page.factor,
            )
            for text in texts(figure)
            if text.get_text().isdigit() and text.get_bbox_patch() is not None
        ]
        return [spot for spot in spots if all(piece.distance(spot) > 0 for piece in pieces)]

    def drawn(shown: Hide) -> Figure:
        order = replace(estimate.order, hides=(shown, *others))
        return picture(make_estimate(order=order))

    first = beside(drawn(hide))
    holes = tuple(
        Flaw(outline=spot.buffer(1.0), kind="hole", spoil=Spoil.UNUSABLE, note="") for spot in first
    )
    moved = beside(drawn(replace(hide, flaws=(*hide.flaws, *holes))))
    assert first
    assert len(moved) == len(first)
    assert all(hole.outline.distance(spot) > 0 for hole in holes for spot in moved)

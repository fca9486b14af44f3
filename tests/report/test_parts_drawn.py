"""Which closed lines are parts, which are holes, and which are neither."""

from pathlib import Path

import pytest

from estimator.drawing.paths import Path as Line
from estimator.errors import InputError
from estimator.report.screen.measures import MOST_OUTLINES, drawn_parts

FILE = Path("drawing.dxf")


def square(at: float, side: float, *, layer: str = "", name: str = "", label: str = "") -> Line:
    corners = ((at, at), (at + side, at), (at + side, at + side), (at, at + side))
    return Line(layer=layer, name=name, label=label, closed=True, points=corners)


def holes(*lines: Line) -> dict[str, int]:
    return {name: len(part.interiors) for name, part in drawn_parts(lines, file=FILE)}


def test_lines_of_one_label_are_an_outline_and_its_holes() -> None:
    body = square(0, 50, layer="cut", name="cut-1", label="body")
    assert holes(body, square(9, 5, layer="cut", name="cut-2", label="body")) == {"body": 1}
    seated = square(9, 5, layer="cut", name="cut-2", label="loop")
    assert holes(body, seated) == {"body": 0, "loop": 0}


def test_numbered_lines_of_a_layer_are_holes_by_whatever_they_are_named() -> None:
    numbered = [square(0, 50, layer="CUT", name="CUT-1"), square(9, 5, layer="CUT", name="CUT-2")]
    assert holes(*numbered) == {"CUT-1": 1}
    labelled = [
        square(0, 50, layer="CUT", name="CUT-1", label="CUT-1"),
        square(9, 5, layer="CUT", name="CUT-2", label="CUT-2"),
    ]
    assert holes(*labelled) == {"CUT-1": 1}


def test_a_layer_for_cutting_stands_above_what_a_part_is_called() -> None:
    assert holes(square(0, 5, layer="Cut", name="fold-over body")) == {"fold-over body": 0}
    with pytest.raises(InputError, match="no closed cut line"):
        holes(square(0, 5, layer="back", name="fold-over body"))
    with pytest.raises(InputError, match="no closed cut line"):
        holes(square(0, 5, layer="stitch", name="body"))


def test_an_island_in_a_hole_is_a_part() -> None:
    rings = [square(k, 100 - 2 * k, name="p") for k in range(0, 40, 10)]
    assert holes(*rings) == {"p 1": 1, "p 2": 1}


def test_more_outlines_than_a_pattern_has_are_refused() -> None:
    with pytest.raises(InputError, match="more than"):
        holes(*(square(9 * k, 5) for k in range(MOST_OUTLINES + 1)))

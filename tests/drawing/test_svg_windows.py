"""What a drawing within a drawing cuts off on screen is refused, never measured whole."""

from math import pi
from pathlib import Path

import pytest

from estimator.drawing.svg.reader import read_svg
from estimator.errors import InputError
from tests.drawing.test_svg_rules import SQUARE, areas, write

NESTED = '<svg x="10" y="10" width="40" height="30" {}>{}</svg>'
SYMBOL = '<symbol id="s" {}>{}</symbol><use href="#s" x="5" y="5" width="40" height="30"/>'
TURNED = f'<g transform="translate(90 0) rotate(30) scale(-1 1)">{NESTED}</g>'
WITHIN = f'<svg width="100" height="90" overflow="visible">{NESTED}</svg>'
INNER = NESTED.format("", '<svg width="400" height="300" {}>{}</svg>')
OVER = [
    '<rect id="q" width="41" height="10"/>',
    '<rect id="q" width="10" height="30.2"/>',
    '<rect id="q" x="-1" width="10" height="10"/>',
    '<rect id="q" x="200" y="200" width="10" height="10"/>',
    '<circle id="q" cx="15" cy="15" r="16"/>',
    '<path id="q" d="M 5 5 L 45 5"/>',
    '<g><g transform="translate(20 20)"><rect id="q" width="15" height="15"/></g></g>',
]


@pytest.mark.parametrize("around", [NESTED, SYMBOL, TURNED, WITHIN, INNER])
@pytest.mark.parametrize("over", OVER)
def test_an_outline_that_a_window_cuts_is_refused_with_its_place(
    tmp_path: Path, around: str, over: str
) -> None:
    with pytest.raises(InputError) as error:
        read_svg(write(tmp_path, "\n" + around.format("", over)))
    (fault,) = error.value.faults
    assert "cuts it off" in fault.problem
    assert fault.place == 'line 2, "q"'


@pytest.mark.parametrize("around", [NESTED, SYMBOL, TURNED, WITHIN])
@pytest.mark.parametrize("over", OVER)
@pytest.mark.parametrize(
    "shown", ['overflow="visible"', 'style="overflow: visible"', 'class="o"', 'overflow="auto"']
)
def test_what_a_window_shows_beyond_its_edge_is_measured(
    tmp_path: Path, around: str, over: str, shown: str
) -> None:
    sheet = "<style>svg:not(:root){overflow:hidden} .o{overflow:visible}</style>"
    assert len(read_svg(write(tmp_path, sheet + around.format(shown, over))).paths) == 1


@pytest.mark.parametrize("around", [NESTED, SYMBOL, TURNED, WITHIN, INNER])
@pytest.mark.parametrize(
    ("inside", "area"),
    [
        ('<rect width="40" height="30"/>', 1200.0),
        ('<circle cx="15" cy="15" r="15"/>', 225 * pi),
        ('<ellipse cx="20" cy="15" rx="20" ry="15"/>', 300 * pi),
    ],
)
def test_what_fills_a_window_to_its_edge_is_not_cut(
    tmp_path: Path, around: str, inside: str, area: float
) -> None:
    path = write(tmp_path, around.format("", inside))
    assert areas(path) == [pytest.approx(area / 4, rel=1e-4)]


def test_a_window_is_that_of_its_size_not_of_its_view_box(tmp_path: Path) -> None:
    # 40 by 30 shows the middle of 40 by 40: five units above and below are cut off
    slice_of = 'viewBox="0 0 40 40" preserveAspectRatio="xMidYMid slice"'
    tall = '<rect y="{}" width="40" height="{}"/>'
    assert areas(write(tmp_path, NESTED.format(slice_of, tall.format(5, 30)))) == [300.0]
    with pytest.raises(InputError, match="cuts it off"):
        read_svg(write(tmp_path, NESTED.format(slice_of, tall.format(4, 30))))
    meet = 'viewBox="0 0 30 30"'
    assert areas(write(tmp_path, NESTED.format(meet, tall.format(5, 25).replace("40", "35")))) == [
        pytest.approx(35 * 25 / 4)
    ]


def test_the_page_itself_cuts_nothing(tmp_path: Path) -> None:
    path = write(tmp_path, '<rect x="-20" y="-20" width="10" height="10"/>')
    assert areas(path) == [25.0]


def test_a_window_on_a_page_of_no_size_cuts_nothing(tmp_path: Path) -> None:
    content = f'<symbol id="s">{SQUARE}</symbol><use href="#s"/>'
    assert areas(write(tmp_path, content, ">"), "mm") == [400.0]

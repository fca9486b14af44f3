"""What an SVG shows and how large: sizes, styles, conditions, and things used elsewhere."""

from pathlib import Path

import pytest
from shapely import Polygon, unary_union

from estimator.drawing.scales import DrawingUnit
from estimator.drawing.svg.reader import read_svg
from estimator.errors import InputError

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
)
PAGE = 'width="100mm" height="50mm" viewBox="0 0 200 100">'


def write(folder: Path, content: str, page: str = PAGE) -> Path:
    path = folder / "drawing.svg"
    path.write_text(f"{HEAD}{page}{content}</svg>", "utf-8")
    return path


def areas(path: Path, unit: DrawingUnit | None = None) -> list[float]:
    return [round(float(Polygon(each.points).area), 6) for each in read_svg(path, unit).paths]


SQUARE = '<rect width="20" height="20"/>'


@pytest.mark.parametrize(
    ("page", "side_mm"),
    [
        ('width="100mm" viewBox="0 0 200 100">', 10),
        ('height="50mm" viewBox="0 0 200 100">', 10),
        ('width="100mm" height="auto" viewBox="0 0 200 100">', 10),
        ('width="100%" height="5cm" viewBox="0 0 200 100">', 10),
        ('width="4in" height="50%" viewBox="0 0 96 100">', 20 * 101.6 / 96),
        ('style="width:100mm;height:50mm" viewBox="0 0 200 100">', 10),
        ('width="10in" style="width:100mm" viewBox="0 0 200 100">', 10),
        ('width="+1.0E2MM" height="50mm" viewBox="0,0,200,100">', 10),
        ('width="100mm" height="1000mm" viewBox="0 0 200 100">', 10),
        ('width="96px" height="1in">', 20 * 25.4 / 96),
        ('width="100mm" height="50mm" preserveAspectRatio="xMaxYMin slice" viewBox="0 0 200 50">',
         20),
        ('width="100mm" height="50mm" preserveAspectRatio="defer xMidYMid" viewBox="0 0 200 50">',
         10),
    ],
)  # fmt: skip
def test_a_stated_size_is_kept(tmp_path: Path, page: str, side_mm: float) -> None:
    units: tuple[DrawingUnit | None, ...] = (None, "in")
    for unit in units:
        assert areas(write(tmp_path, SQUARE, page), unit) == [pytest.approx(side_mm**2)]


@pytest.mark.parametrize(
    ("page", "per_user"),
    [
        ('viewBox="0 0 200 100">', 1.0),
        (">", 1.0),
        ('width="100%" height="100%" viewBox="0 0 200 100">', 1.0),
        ('width="200" height="100">', 1.0),
        ('width="100" height="50" viewBox="0 0 200 100">', 0.5),
        ('width="100" viewBox="0 0 200 100">', 0.5),
        ('width="100" height="100%" viewBox="0 0 200 100">', 0.5),
        ('width="20em" height="20em" viewBox="0 0 200 100">', 1.0),
    ],
)
def test_a_size_that_is_not_stated_is_asked_for(tmp_path: Path, page: str, per_user: float) -> None:
    path = write(tmp_path, SQUARE, page)
    with pytest.raises(InputError) as error:
        read_svg(path)
    (fault,) = error.value.faults
    assert "how large" in fault.problem
    assert f"{20 * per_user:.4g} by {20 * per_user:.4g} mm in mm" in fault.problem
    assert "--unit" in fault.remedy
    units: tuple[tuple[DrawingUnit, float], ...] = (("mm", 1), ("cm", 10), ("in", 25.4))
    for unit, mm in units:
        assert areas(path, unit) == [pytest.approx((20 * per_user * mm) ** 2)]


def test_a_share_of_a_page_of_no_size_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="share of a page"):
        read_svg(write(tmp_path, '<rect width="50%" height="3"/>', ">"), "mm")


def test_groups_on_a_page_of_no_size_are_drawn(tmp_path: Path) -> None:
    path = write(tmp_path, f'<g><g id="a">{SQUARE}</g></g><use href="#a"/>', ">")
    assert areas(path, "mm") == [400.0, 400.0]


def test_a_symbol_of_no_size_is_not_drawn(tmp_path: Path) -> None:
    symbol = f'<symbol id="s" viewBox="0 0 9 9">{SQUARE}</symbol>'
    assert areas(write(tmp_path, symbol + '<use href="#s" width="0" height="4"/>')) == []


def test_a_bare_side_beside_a_stated_one_is_not_guessed(tmp_path: Path) -> None:
    path = write(tmp_path, SQUARE, 'width="100mm" height="50" viewBox="0 0 200 100">')
    with pytest.raises(InputError, match='height is "50"'):
        read_svg(path)
    assert areas(path, "mm") == [100.0]


@pytest.mark.parametrize(
    ("sheet", "element"),
    [
        (".a{display:none}", 'class="a"'),
        (".b, .a {fill:red; display : none ;}", 'class="x a"'),
        ("rect.a{display:none}", 'class="a"'),
        ("#q{display:none}", 'id="q"'),
        ("rect{display:none}", ""),
        ("g *{display:none}", ""),
        ("svg g .a{visibility:hidden}", 'class="a"'),
        ("g > .a{visibility:collapse}", 'class="a"'),
        (".a{display:none!important}", 'class="a" style="display:inline"'),
        ("/* .a{} */ @import 'x.css'; @media screen {.a{display:none}}", 'class="a"'),
        ("@font-face{font-family:x} .a{opacity:0}", 'class="a"'),
        ("svg:not(:root){overflow:hidden} .a{opacity:0}", 'class="a"'),
        ("<![CDATA[<!-- .a{display:none} -->]]>", 'class="a"'),
        (".a{display:inline} rect.a{display:none} .a{display:inline}", 'class="a"'),
        ("a:hover{display:inline} .a{opacity:0.0}", 'class="a"'),
        ("", 'opacity="0"'),
        ("", 'style="display:NONE"'),
    ],
)
def test_what_a_style_hides_is_left_out(tmp_path: Path, sheet: str, element: str) -> None:
    content = f'<style>{sheet}</style><g><rect width="8" height="8" {element}/></g>'
    assert len(areas(write(tmp_path, content + '<polygon points="0 0 9 0 9 9"/>'))) == 1


@pytest.mark.parametrize(
    ("sheet", "element"),
    [
        (".a{display:none} #q{display:inline}", 'class="a" id="q"'),
        (".a{display:none}", 'class="a" style="display:inline"'),
        (".a{display:none} .a{display:inline}", 'class="a"'),
        ("@media print {.a{display:none}}", 'class="a"'),
        (".a:hover{display:none}", 'class="a"'),
        ("svg > .a{display:none}", 'class="a"'),
        (".b .a{display:none}", 'class="a"'),
        ("g.a{display:none}", 'class="a"'),
        (".a{opacity:0.1; fill:none; stroke:none}", 'class="a"'),
        ("path:not(.a){fill:red}", ""),
    ],
)
def test_what_a_style_does_not_hide_is_kept(tmp_path: Path, sheet: str, element: str) -> None:
    content = f'<style>{sheet}</style><g><rect width="8" height="8" {element}/></g>'
    assert areas(write(tmp_path, content)) == [16.0]


def test_a_sheet_for_print_alone_hides_nothing(tmp_path: Path) -> None:
    content = '<style media="print">rect{display:none}</style>'
    assert areas(write(tmp_path, content + SQUARE)) == [100.0]


@pytest.mark.parametrize(
    ("sheet", "told"),
    [
        ("rect:not(.a){display:none}", "not understood"),
        ("rect[width]{display:none}", "not understood"),
        ("rect{transform:rotate(3deg)}", 'style sets "transform"'),
        ("rect{d:path('M0 0')}", 'style sets "d"'),
        ("".join(f".a{k}{{display:none}}" for k in range(1001)), "too many style rules"),
    ],
)
def test_a_style_that_cannot_be_followed_is_refused(tmp_path: Path, sheet: str, told: str) -> None:
    path = write(tmp_path, f"<style>{sheet}</style>{SQUARE * 1000}")
    with pytest.raises(InputError, match=told):
        read_svg(path)


def test_lengths_of_a_style_stand_above_attributes(tmp_path: Path) -> None:
    content = '<style>.r{rx:4px} rect{width:8px}</style><rect width="90" height="4" class="q"/>'
    assert areas(write(tmp_path, content)) == [8.0]


def test_visible_lines_show_within_what_is_hidden(tmp_path: Path) -> None:
    content = (
        '<g visibility="hidden"><rect width="8" height="8"/>'
        '<rect width="4" height="4" visibility="visible"/></g>'
        '<g display="none"><rect width="2" height="2" display="inline"/></g>'
    )
    assert areas(write(tmp_path, content)) == [4.0]


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ('<switch><rect requiredExtensions="x" width="2" height="2"/>{}{}</switch>', [100.0]),
        ('<switch><rect systemLanguage="de" width="2" height="2"/>{}</switch>', [100.0]),
        ('<switch><rect systemLanguage="de, en-GB" width="2" height="2"/>{}</switch>', [1.0]),
        ('<switch><title>x</title><!-- x -->{}</switch>', []),
        ('<rect requiredExtensions="" width="2" height="2"/>{}', [100.0]),
    ],
)  # fmt: skip
def test_of_a_switch_the_first_that_holds_is_drawn(
    tmp_path: Path, content: str, expected: list[float]
) -> None:
    assert areas(write(tmp_path, content.format(SQUARE, SQUARE))) == expected


@pytest.mark.parametrize(
    "holder",
    ["defs", "clipPath", "mask", "pattern", "marker", "symbol", "linearGradient", "foreignObject"],
)
def test_what_only_serves_others_is_not_drawn(tmp_path: Path, holder: str) -> None:
    content = f"<{holder}>{SQUARE}</{holder}>" + '<rect width="2" height="2"/>'
    assert areas(write(tmp_path, content)) == [1.0]


def test_elements_of_other_programs_are_not_drawn(tmp_path: Path) -> None:
    content = '<x:rect xmlns:x="urn:other" width="9" height="9"/>'
    assert areas(write(tmp_path, content + SQUARE)) == [100.0]


@pytest.mark.parametrize(
    ("element", "true_mm2"),
    [
        ('<rect width="50%" height="10%"/>', 250.0),
        ('<rect x="10%" y="10%" width="10%" height="20" rx="0%"/>', 100.0),
        ('<svg width="50%" height="50%"><rect width="100%" height="100%"/></svg>', 1250.0),
        ('<svg><rect width="100%" height="100%"/></svg>', 5000.0),
        ('<svg viewBox="0 0 10 10" width="20" height="20"><rect width="50%" height="50%"/></svg>',
         25.0),
        ('<rect width="20" height="20" rx="auto" ry=""/>', 100.0),
    ],
)  # fmt: skip
def test_percentages_are_of_the_window_they_stand_in(
    tmp_path: Path, element: str, true_mm2: float
) -> None:
    assert areas(write(tmp_path, element)) == [true_mm2]


def test_a_radius_in_percent_is_of_the_diagonal(tmp_path: Path) -> None:
    (circle,) = read_svg(write(tmp_path, '<circle r="10%"/>')).paths
    # (SVG 2, section 8.9): sqrt(200^2 + 100^2) / sqrt(2) user units, of half a mm
    assert max(x for x, _ in circle.points) == pytest.approx(7.9057, abs=0.01)


def test_a_used_drawing_takes_the_size_of_its_use(tmp_path: Path) -> None:
    content = (
        '<defs><svg id="s" viewBox="0 0 10 10" width="10" height="10">'
        '<rect width="10" height="10"/></svg>'
        '<symbol id="y" viewBox="0 0 10 10" width="20" height="20" transform="scale(0.5)">'
        '<rect width="10" height="10"/></symbol></defs>'
        '<use href="#s"/><use href="#s" width="40" height="40"/>'
        '<use xlink:href="#y"/><use xlink:href="#y" width="40" height="40" x="9" y="-9"/>'
    )
    assert areas(write(tmp_path, content)) == [25.0, 400.0, 25.0, 100.0]


def test_the_name_of_a_use_stands_for_what_it_shows(tmp_path: Path) -> None:
    content = (
        '<defs><g id="g" inkscape:label="x"><rect width="2" height="2"/></g></defs>'
        '<use id="left" href="#g"/><use id="right" inkscape:label="the right" href="#g"/>'
    )
    one, two = read_svg(write(tmp_path, content)).paths
    assert (one.name, two.name, two.label) == ("left", "right", "the right")


def test_places_of_the_aspect_ratio_move_what_is_drawn(tmp_path: Path) -> None:
    page = 'width="100mm" height="50mm" viewBox="0 0 20 20" preserveAspectRatio="{}">'
    where = {}
    for aspect in ("xMinYMin", "xMidYMid", "xMaxYMax", "none"):
        (path,) = read_svg(write(tmp_path, SQUARE, page.format(aspect))).paths
        where[aspect] = unary_union(Polygon(path.points)).bounds
    assert where == {
        "xMinYMin": (0, 0, 50, 50),
        "xMidYMid": (25, 0, 75, 50),
        "xMaxYMax": (50, 0, 100, 50),
        "none": (0, 0, 100, 50),
    }


def test_texts_and_images_are_counted_as_left_out(tmp_path: Path) -> None:
    content = '<text>a</text><text>b</text><image/><text display="none">c</text>'
    assert read_svg(write(tmp_path, content + SQUARE)).left_out == ("1 image", "2 text")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ('<g transform="rotate(3)" transform-origin="3px 4px">{}</g>', "origin of its own"),
        ('<svg width="-3" height="4">{}</svg>', "below zero"),
        ('<svg width="3x" height="4">{}</svg>', "3x"),
        ("<g " + " ".join(f'a{k}=""' for k in range(1_000_001)) + ">{}</g>", "too much"),
    ],
)
def test_what_would_have_to_be_guessed_is_refused(tmp_path: Path, content: str, told: str) -> None:
    path = write(tmp_path, content.format(SQUARE))
    with pytest.raises(InputError, match=told):
        read_svg(path)


def test_an_inner_drawing_without_size_draws_nothing(tmp_path: Path) -> None:
    content = f'<svg width="0" height="5">{SQUARE}</svg><circle rx="9" /><ellipse r="9"/>'
    assert areas(write(tmp_path, content)) == []


def test_a_radius_of_an_ellipse_that_is_not_given_is_as_the_other(tmp_path: Path) -> None:
    (path,) = read_svg(write(tmp_path, '<ellipse rx="20" cx="3"/>')).paths
    assert Polygon(path.points).area == pytest.approx(314.159, rel=1e-4)


@pytest.mark.parametrize("radii", ['rx="0" ry="20"', 'rx="20" ry="0"', 'rx="0"', 'ry="0"'])
def test_corners_with_one_radius_of_zero_are_square(tmp_path: Path, radii: str) -> None:
    path = write(tmp_path, f'<rect x="20" y="20" width="40" height="60" {radii}/>')
    assert areas(path) == [pytest.approx(40 * 60 / 4)]

"""SVG drawings in true size, against closed forms; and SVG files that must not be read."""

from math import cos, pi, radians, sin
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import Polygon

from estimator.drawing import paths as lines
from estimator.drawing.svg.reader import read_svg
from estimator.errors import InputError

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
)
PAGE = 'width="210mm" height="297mm" viewBox="0 0 420 594">'


def drawn(folder: Path, content: str, page: str = PAGE) -> tuple[lines.Path, ...]:
    path = folder / "drawing.svg"
    path.write_text(f"{HEAD}{page}{content}</svg>", "utf-8")
    return read_svg(path).paths


def area(path: lines.Path) -> float:
    return float(Polygon(path.points).area)


def refused(folder: Path, content: str | bytes, page: str | None = PAGE) -> str:
    path = folder / "drawing.svg"
    text = content if isinstance(content, bytes) else content.encode()
    path.write_bytes(text if page is None else f"{HEAD}{page}".encode() + text + b"</svg>")
    with pytest.raises(InputError) as error:
        read_svg(path)
    assert "drawing.svg" in str(error.value)
    assert len(error.value.faults) == 1
    return str(error.value)


@pytest.mark.parametrize(
    ("element", "true_mm2"),
    [
        ('<circle r="20" cx="50" cy="50"/>', pi * 10**2),
        ('<ellipse rx="40" ry="20" transform="rotate(30)"/>', pi * 20 * 10),
        ('<ellipse rx="30" ry="10" transform="rotate(30) scale(2 1.5) skewX(10)"/>', pi * 225),
        ('<rect width="40" height="20"/>', 200.0),
        ('<rect width="40" height="20" rx="5"/>', 200 - (4 - pi) * 2.5**2),
        ('<rect width="40" height="20" rx="5" ry="3"/>', 200 - (4 - pi) * 2.5 * 1.5),
        ('<rect width="40" height="20" ry="99"/>', 200 - (4 - pi) * 10 * 5),
        ('<rect width="10mm" height="1cm"/>', (10 * 96 / 25.4 / 2) ** 2),
        ('<polygon points="0,0 40,0 40,30"/>', 150.0),
        ('<polyline points="0 0 40 0 40 30 0 0"/>', 150.0),
        ('<path d="M0 0 H40 V30 Z"/>', 150.0),
        ('<path d="m0,0 h40 v30 z"/>', 150.0),
        ('<path d="M0 0 L40 0 L40 30 L0 0"/>', 150.0),
        ('<path d="M0 0 A20 20 0 0 1 40 0 Z"/>', pi * 10**2 / 2),
        ('<path d="M0 0 A20 20 0 0 0 40 0 Z"/>', pi * 10**2 / 2),
        ('<path d="M0 0 A 5 5 0 0 0 40 0 Z"/>', pi * 10**2 / 2),
        ('<path d="M0 0 A 0 5 0 0 0 40 0 V20 Z"/>', 100.0),
        ('<path d="M0 0 Q 30 60 60 0 Z"/>', 2 / 3 * 30 * 15),
        ('<path d="M0 0 C 20 40 40 40 60 0 Z"/>', 2 / 3 * 30 * 15),
        ('<path d="M0 0 C 20 40 40 40 60 0 S 100 -40 120 0 V -80 H 0 Z"/>', 2400.0),
    ],
)
def test_a_shape_has_its_true_area(tmp_path: Path, element: str, true_mm2: float) -> None:
    (path,) = drawn(tmp_path, element)
    assert path.closed
    assert true_mm2 - 1e-6 <= area(path) <= true_mm2 * 1.002 + 1e-6


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(
    st.floats(-180, 180),
    st.tuples(st.floats(0.2, 3), st.floats(0.2, 3), st.sampled_from([-1, 1])),
    st.floats(-60, 60),
)
def test_any_affine_map_scales_area_by_its_determinant(
    tmp_path: Path, turn: float, scale: tuple[float, float, int], skew: float
) -> None:
    sx, sy, sign = scale
    transform = f"rotate({turn}) scale({sign * sx:.6f} {sy:.6f}) skewX({skew})"
    (path,) = drawn(tmp_path, f'<g transform="{transform}"><circle r="30"/></g>')
    true_mm2 = pi * 15**2 * round(sx, 6) * round(sy, 6)
    assert true_mm2 * (1 - 1e-9) <= area(path) <= true_mm2 * 1.004 + 0.01


def test_y_points_up_from_the_lower_left_corner_of_the_page(tmp_path: Path) -> None:
    (path,) = drawn(tmp_path, '<polyline points="0,0 420,594 20,20"/>')
    assert path.points == ((0.0, 297.0), (210.0, 0.0), (10.0, 287.0))
    assert not path.closed


@pytest.mark.parametrize(
    ("page", "side_mm"),
    [
        ('width="100mm" height="100mm">', 25.4 / 96 * 96),
        ('width="4in" height="4in" viewBox="0 0 96 96">', 4 * 25.4),
        ('width="96px" height="96px">', 25.4),
        ('width="10cm" height="10cm" viewBox="0 0 96 96">', 100.0),
        ('width="72pt" height="72pt" viewBox="0 0 96 96">', 25.4),
        ('width="6pc" height="6pc" viewBox="0 0 96 96">', 25.4),
        ('width="400Q" height="400Q" viewBox="0 0 96 96">', 100.0),
        ('width="200mm" height="100mm" viewBox="0 0 96 96">', 100.0),
        ('width="1e2mm" height="100mm" viewBox="0 0 96 96">', 100.0),
    ],
)
def test_the_size_of_the_page_sets_the_scale(tmp_path: Path, page: str, side_mm: float) -> None:
    (path,) = drawn(tmp_path, '<rect width="96" height="96"/>', page)
    assert area(path) == pytest.approx(side_mm**2)


def test_layers_names_and_labels_are_kept(tmp_path: Path) -> None:
    found = drawn(
        tmp_path,
        '<g inkscape:groupmode="layer" inkscape:label="cut" id="layer1"><g id="group">'
        '<rect id="body" inkscape:label="the body" width="9" height="9"/></g></g>'
        '<g id="plain"><g id="inner"><circle id="dot" r="3"/></g></g><line id="l" x2="9"/>',
    )
    assert [(path.layer, path.name, path.label) for path in found] == [
        ("cut", "body", "the body"),
        ("plain", "dot", ""),
        ("", "l", ""),
    ]
    assert lines.paths_named(found, "the body") == found[:1]
    assert lines.paths_named(found, "plain") == found[1:2]
    assert lines.paths_named(found, "nothing") == ()
    assert lines.names_in(found) == ("body", "cut", "dot", "l", "plain", "the body")


@pytest.mark.parametrize("label", ['label="{}"', 'xmlns:e="urn:some:editor" e:label="{}"'])
def test_a_label_counts_whatever_its_namespace(tmp_path: Path, label: str) -> None:
    (path,) = drawn(
        tmp_path,
        f'<g id="g1" {label.format("cut")}><rect id="r1" {label.format("body")} width="9" '
        'height="9"><title>an older name</title></rect></g>',
    )
    assert (path.layer, path.name, path.label) == ("cut", "r1", "body")


def test_a_title_names_what_has_no_label(tmp_path: Path) -> None:
    found = drawn(
        tmp_path,
        "<g><title>cut</title>"
        '<rect id="r1" width="9" height="9"><title>\n the  body </title></rect></g>'
        '<g id="fold"><title>Lines to fold</title><line id="l" x2="9"/></g>',
    )
    assert [(path.layer, path.label) for path in found] == [("cut", "the body"), ("fold", "")]


def test_a_path_with_a_hole_gives_two_lines_of_one_name(tmp_path: Path) -> None:
    outer, inner = drawn(tmp_path, '<path id="p" d="M0 0h40v40h-40z m10 10 h10 v10 h-10 z"/>')
    assert (outer.name, inner.name) == ("p", "p")
    assert (area(outer), area(inner)) == (400.0, 25.0)


def test_drawing_goes_on_after_a_close(tmp_path: Path) -> None:
    square, tail = drawn(tmp_path, '<path d="M0 0h40v40z l 0 -20"/>')
    assert square.closed
    assert tail.points == ((0.0, 297.0), (0.0, 307.0))


@pytest.mark.parametrize(
    "hidden",
    [
        'display="none"',
        'style="fill:red;display:none"',
        'style="display : none"',
        'visibility="hidden"',
        'style="visibility:hidden"',
        'class="other guide"',
    ],
)
def test_what_is_not_shown_is_not_cut(tmp_path: Path, hidden: str) -> None:
    style = "<style>.guide { display:none } .other { fill:red }</style>"
    content = f'{style}<g {hidden}><rect width="9" height="9"/></g><rect width="8" height="8"/>'
    (path,) = drawn(tmp_path, content)
    assert area(path) == 16.0


def test_definitions_are_drawn_only_where_they_are_used(tmp_path: Path) -> None:
    (one, other, clipped) = drawn(
        tmp_path,
        '<defs><rect id="r" width="20" height="10"/>'
        '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol></defs>'
        '<clipPath><rect width="99" height="99"/></clipPath>'
        '<use id="u" xlink:href="#r" x="100" y="50" transform="scale(2)"/>'
        '<use href="#r"/><use href="#s" width="30" height="30"/>',
    )
    assert (one.name, other.name, clipped.name) == ("u", "r", "")
    assert [area(path) for path in (one, other, clipped)] == [200.0, 50.0, 225.0]
    assert min(x for x, _ in one.points) == 100.0


def test_a_nested_drawing_has_its_own_scale(tmp_path: Path) -> None:
    whole, half = drawn(
        tmp_path,
        '<svg x="10" y="20" width="25" height="12.5" viewBox="0 0 50 25">'
        '<rect width="50" height="25"/></svg>'
        '<svg width="50%" viewBox="0 0 210 594"><rect width="210" height="594"/></svg>',
    )
    assert area(whole) == 78.125
    assert min(whole.points) == (5.0, 297 - 10 - 6.25)
    assert area(half) == pytest.approx(105 * 297)


def test_an_honest_export_with_an_entity_of_its_own_is_read(tmp_path: Path) -> None:
    path = tmp_path / "drawing.svg"
    path.write_text(
        '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]>'
        '<svg xmlns="&ns;" width="10mm" height="10mm" viewBox="0 0 10 10">'
        '<!-- note --><rect width="4" height="4"/></svg>'
    )
    assert area(read_svg(path).paths[0]) == 16.0


def test_a_turned_square_keeps_its_corners_to_the_last_digits(tmp_path: Path) -> None:
    (path,) = drawn(tmp_path, '<rect width="40" height="40" transform="rotate(30)"/>')
    c, s = cos(radians(30)), sin(radians(30))
    assert path.points[1] == pytest.approx((20 * c, 297 - 20 * s))


@pytest.mark.parametrize(
    ("page", "told"),
    [
        ('viewBox="0 0 420 594">', 'width is ""'),
        ('width="210" height="297" viewBox="0 0 420 594">', "how large"),
        ('width="100%" height="100%" viewBox="0 0 420 594">', "how large"),
        ('width="21em" height="297mm">', "how large"),
        ('width="210mm">', 'height is ""'),
        ('width="0mm" height="297mm">', "no size of a page"),
        ('width="-9mm" height="297mm">', "no size of a page"),
        ('width="210mm" height="297mm" viewBox="0 0 0 594">', "viewBox"),
        ('width="210mm" height="297mm" viewBox="0 0 420">', "viewBox"),
    ],
)
def test_a_drawing_without_a_true_size_is_refused(tmp_path: Path, page: str, told: str) -> None:
    assert told in refused(tmp_path, "<rect/>", page)


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ('<path id="p" d="M 0 0 L 10 x"/>', 'line 1, "p"'),
        ('<path d="M 0 0 L 10"/>', "breaks off"),
        ('<path d="garbage"/>', "no path command"),
        ('<path d="L 3 3"/>', "no path command"),
        ('<path d="M 0 0 L nan 3"/>', "no path command"),
        ('<path d="M 0 0 L 1e400 3 Z"/>', "100 m off"),
        ('<path d="M 0 0 L 1e7 3 Z"/>', "100 m off"),
        ('<circle r="1e400"/>', "too large"),
        ('<circle r="1e300"/>', "too large"),
        ('<path d="M0 0 C 1e400 0 0 0 3 3"/>', "too large"),
        (f'<path d="M0 0 {"L1 1" * 500_001}"/>', "absurdly long"),
        ('<symbol id="s" viewBox="0 0 0 1"/><use href="#s"/>', "viewBox"),
        ('<polygon points="0 0 3"/>', "pairs"),
        ('<polygon points="0 0 x y"/>', "as numbers"),
        ('<rect width="5furlongs" height="3"/>', "5furlongs"),
        ('<rect width="5em" height="3"/>', "5em"),
        ('<rect width="5" height="3" transform="bogus(3)"/>', "bogus"),
        ('<rect width="5" height="3" style="transform: rotate(3deg)"/>', "transform attribute"),
        ('<use href="#none"/>', "not in this drawing"),
        ('<use href="other.svg#x"/>', "not in this drawing"),
        ('<g id="a"><use href="#a"/></g>', "uses itself"),
        ('<rect id="a"/><rect id="a"/>', "stands twice"),
        ("<g>" * 150 + "</g>" * 150, "too often"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(
    tmp_path: Path, content: str, told: str
) -> None:
    assert told in refused(tmp_path, content)


def test_what_has_no_size_or_no_data_draws_nothing(tmp_path: Path) -> None:
    nothing = (
        '<path d=""/><path d="none"/><path/><circle/><rect width="0" height="4"/><text>x</text>'
    )
    assert drawn(tmp_path, nothing + '<svg width="auto"><title/></svg>') == ()


def bomb() -> str:
    """Ten levels of ten uses: ten thousand million rectangles."""
    levels = ['<g id="l0"><rect width="1" height="1"/></g>']
    for level in range(1, 11):
        uses = f'<use href="#l{level - 1}"/>' * 10
        levels.append(f'<g id="l{level}">{uses}</g>')
    return f'<defs>{"".join(levels)}</defs><use href="#l10"/>'


def test_a_bomb_of_uses_is_refused_at_once(tmp_path: Path) -> None:
    assert "too often" in refused(tmp_path, bomb())


@pytest.mark.parametrize(
    "content",
    [
        b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
        + b"".join(
            b'<!ENTITY %c "%s">' % (c, b"&%c;" % (c - 1) * 10) for c in range(ord("b"), ord("k"))
        )
        + b'] ><svg width="1mm" height="1mm"><title>&j;</title></svg>',
        b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg><title>&a;</title></svg>',
        b"<svg>" + b"<g>" * 20_000,
        b"<svg",
        b"",
        b"\xff\xfe\x00",
        b"%PDF-1.7",
        b"<html/>",
    ],
)
def test_hostile_and_broken_files_are_refused(tmp_path: Path, content: bytes) -> None:
    assert "SVG" in refused(tmp_path, content, None)


def test_a_path_of_too_many_points_is_refused(tmp_path: Path) -> None:
    arcs = "A 9e4 9e4 0 1 1 1 1 A 9e4 9e4 0 1 1 0 0 " * 300
    page = 'width="90m" height="90m" viewBox="0 0 90000 90000">'.replace("90m", "90000mm")
    assert "too many points" in refused(tmp_path, f'<path d="M0 0 {arcs}"/>', page)


def test_a_drawing_too_large_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "drawing.svg"
    with path.open("wb") as stream:
        stream.truncate(200_000_000)
    with pytest.raises(InputError, match="too large"):
        read_svg(path)

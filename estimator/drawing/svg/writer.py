"""Drawings out as SVG: true size in mm, a group per layer, an identifier per shape."""

from collections.abc import Mapping, Sequence
from urllib.parse import quote

from lxml import etree

from estimator.drawing.paths import Path
from estimator.drawing.sheets import (
    Caption,
    Dot,
    DrawnSheet,
    Identifiers,
    Underlay,
    printable,
    shapes_in,
)

DIGITS = 6
"""Decimals of a coordinate, mm: a millionth, far below what any reader tells apart."""

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_HREF = f"{{{_XLINK}}}href"
"""As in SVG 1.1, which all editors read; SVG 2 has dropped the prefix."""

_STYLES: Mapping[str, Mapping[str, str]] = {
    "cut": {"stroke": "#000000", "stroke-width": "0.35"},
    "fold": {"stroke": "#0072b2", "stroke-width": "0.3", "stroke-dasharray": "6 2 1 2"},
    "stitch": {"stroke": "#d55e00", "stroke-width": "0.25", "stroke-dasharray": "2 1.5"},
    "mark": {"stroke": "#009e73", "stroke-width": "0.2", "stroke-dasharray": "0.6 1"},
    "outline": {"stroke": "#d55e00", "stroke-width": "1.5"},
    "flaws": {"stroke": "#d55e00", "stroke-width": "1"},
    "proposed": {"stroke": "#f0e442", "stroke-width": "1", "stroke-dasharray": "4 2"},
    "not-seen": {"stroke": "#56b4e9", "stroke-width": "1", "stroke-dasharray": "1 2"},
    "backbone": {"stroke": "#cc79a7", "stroke-width": "1", "stroke-dasharray": "12 3 2 3"},
}
"""Colours of Okabe and Ito (2008), Color Universal Design; told apart by their dashes as well."""

_PLAIN: Mapping[str, str] = {"stroke": "#000000", "stroke-width": "0.25"}


def svg_text(sheet: DrawnSheet) -> str:
    """Write a drawing as SVG 1.1.

    The page is as large as the drawing says, and one user unit is one mm. Each layer is a
    group at the top with the layer's name as ``id`` and title. A shape carries its name as
    ``id``, and its label, or a name that had to be changed for it, as title; titles and texts
    have no effect on geometry.

    Parameters
    ----------
    sheet : DrawnSheet
        What to write, mm, y up.

    Returns
    -------
    str
        The whole file; the same drawing gives the same text.
    """
    names = {None: _SVG} if sheet.underlay is None else {None: _SVG, "xlink": _XLINK}
    root = etree.Element(
        f"{{{_SVG}}}svg",
        {
            "width": f"{_number(sheet.width_mm)}mm",
            "height": f"{_number(sheet.height_mm)}mm",
            "viewBox": f"0 0 {_number(sheet.width_mm)} {_number(sheet.height_mm)}",
        },
        nsmap=names,  # type: ignore[arg-type]  # stubs know no default namespace
    )
    _title(root, sheet.title)
    given = Identifiers(sheet.layers)
    if sheet.underlay is not None:
        _image(root, sheet.underlay, given, sheet.height_mm)
    for layer in sheet.layers:
        group = etree.SubElement(
            root,
            f"{{{_SVG}}}g",
            {"id": layer, "fill": "none", **_style(layer)},
        )
        _title(group, layer)
        for shape in shapes_in([path for path in sheet.paths if path.layer == layer]):
            _path(group, shape, given, sheet.height_mm)
        for dot in sheet.dots:
            if dot.layer == layer:
                _circle(group, dot, given, sheet.height_mm)
        for caption in sheet.captions:
            if caption.layer == layer:
                _text(group, caption, sheet.height_mm)
    text = etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)
    return text.decode("utf-8")


def _image(root: etree._Element, underlay: Underlay, given: Identifiers, height_mm: float) -> None:
    """Link a picture, on a layer that takes no pointer, so that it is not moved by mistake."""
    group = etree.SubElement(root, f"{{{_SVG}}}g", {"id": underlay.layer, "pointer-events": "none"})
    _title(group, underlay.layer)
    image = etree.SubElement(group, f"{{{_SVG}}}image", {"id": given.of("picture")})
    left, bottom = underlay.at
    image.set("x", _number(left))
    image.set("y", _number(height_mm - bottom - underlay.height_mm))
    image.set("width", _number(underlay.width_mm))
    image.set("height", _number(underlay.height_mm))
    image.set("preserveAspectRatio", "none")
    image.set(_HREF, quote(underlay.file))


def _path(
    group: etree._Element, shape: Sequence[Path], given: Identifiers, height_mm: float
) -> None:
    """Write a shape and its holes as one compound path."""
    strokes = []
    for path in shape:
        points = [f"{_number(x)} {_number(height_mm - y)}" for x, y in path.points]
        strokes.append(f"M {' L '.join(points)}{' Z' if path.closed else ''}")
    element = _begin_shape(group, "path", given, shape[0].name, shape[0].label)
    element.set("d", " ".join(strokes))


def _circle(group: etree._Element, dot: Dot, given: Identifiers, height_mm: float) -> None:
    element = _begin_shape(group, "circle", given, dot.name)
    element.set("cx", _number(dot.at[0]))
    element.set("cy", _number(height_mm - dot.at[1]))
    element.set("r", _number(dot.diameter_mm / 2))
    element.set("stroke-dasharray", "none")


def _text(group: etree._Element, caption: Caption, height_mm: float) -> None:
    x, y = _number(caption.at[0]), _number(height_mm - caption.at[1])
    element = etree.SubElement(
        group,
        f"{{{_SVG}}}text",
        {
            "x": x,
            "y": y,
            "font-size": _number(caption.height_mm),
            "font-family": "sans-serif",
            "text-anchor": "middle",
            "fill": "#000000",
            "stroke": "none",
        },
    )
    if caption.turn_deg:
        element.set("transform", f"rotate({_number(-caption.turn_deg)} {x} {y})")
    element.text = printable(caption.text)


def _begin_shape(
    group: etree._Element, tag: str, given: Identifiers, name: str, label: str = ""
) -> etree._Element:
    """Begin a shape with its identifier, and its label, or its name where that had to change."""
    shown = printable(name)
    identifier = given.of(shown)
    element = etree.SubElement(group, f"{{{_SVG}}}{tag}", {"id": identifier})
    title = label or (shown if shown != identifier else "")
    if title:
        _title(element, title)
    return element


def _title(element: etree._Element, text: str) -> None:
    etree.SubElement(element, f"{{{_SVG}}}title").text = printable(text)


def _style(layer: str) -> Mapping[str, str]:
    return _STYLES.get(layer, _PLAIN)


def _number(value: float) -> str:
    """Write a coordinate without needless digits and without minus zero."""
    return f"{round(value, DIGITS) + 0.0:.{DIGITS}f}".rstrip("0").rstrip(".")

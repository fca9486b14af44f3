"""SVG drawings in true size: a walker of our own over a hardened XML parser.

Rules: physical size from width and height over the viewBox; y flipped once, so
that it points up; layers, ``use``, ``symbol`` and nested ``svg`` resolved; what is
not displayed is left out; nothing outside the file is read.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import hypot, isfinite, sqrt
from pathlib import Path as FilePath

from lxml import etree

from estimator.drawing.affine import Affine, fit_box, parse_numbers, parse_transform
from estimator.drawing.paths import (
    FARTHEST_MM,
    LIMIT_BYTES,
    MOST_POINTS,
    Drawing,
    Path,
    count_texts,
)
from estimator.drawing.scales import DrawingUnit, mm_per, unit_refusal
from estimator.drawing.svg.marks import lines_of, user_length
from estimator.drawing.svg.page import UnstatedSizeError, page_of
from estimator.drawing.svg.styles import LENGTHS, Styles, is_shown, is_visible, styles_in
from estimator.drawing.svg.windows import Window, is_cut, windows_of
from estimator.errors import Fault, InputError
from estimator.files import read_bytes

MOST_MARKS = 1_000_000
"""Angle brackets and equals signs in a file: more of them would not fit in memory as a tree."""
MOST_ELEMENTS = 20_000
DEEPEST = 100

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "{http://www.w3.org/1999/xlink}href"
_GROUPS = {"g", "a", "switch", "svg"}
_LEFT_OUT = {"text", "image", "foreignObject"}
_MOVES = ("transform", "translate", "rotate", "scale", "zoom", "d")
_ACROSS = {"x", "x1", "x2", "cx", "width", "rx"}
_DOWN = {"y", "y1", "y2", "cy", "height", "ry"}
_CUT_OFF = (
    "the edge of the svg or symbol around it cuts it off on screen; "
    'make that one large enough, or give it overflow="visible"'
)


def read_svg(path: FilePath, unit: DrawingUnit | None = None) -> Drawing:
    """Read the lines of an SVG drawing in mm, y up, from the page's lower left corner.

    Parameters
    ----------
    path : Path
        The file, at most 20 MB.
    unit : str or None
        What a bare number means if the drawing does not state its size.

    Returns
    -------
    Drawing
        Its lines in their order, of which a path of several strokes gives several of one name;
        texts and images are counted.

    Raises
    ------
    InputError
        If it is not an SVG, has no true size, or holds something that cannot be read.
    """
    name = str(path)
    root = _root(name, read_bytes(path, limit_bytes=LIMIT_BYTES))
    try:
        return _drawing(name, root, None if unit is None else mm_per(unit))
    except UnstatedSizeError as error:
        drawn = _as_if_mm(name, root)
        remedy = 'give width and height with a unit, as in width="210mm" height="297mm"'
        raise unit_refusal(name, _place(root), str(error), drawn, remedy=remedy) from None


def _as_if_mm(name: str, root: etree._Element) -> tuple[Path, ...]:
    """Draw all as if its unit were mm, to tell how large it would be; nothing if that fails."""
    try:
        return _drawing(name, root, 1.0).paths
    except InputError:
        return ()


def _drawing(name: str, root: etree._Element, unit_mm: float | None) -> Drawing:
    """Draw all there is."""
    try:
        styles = styles_in(root)
        own = _attributes(root)
        own.update({k: v for k, v in styles.of(root).items() if k in {"width", "height"}})
        page = page_of(own, unit_mm)
    except UnstatedSizeError:
        raise
    except ValueError as error:
        raise _refusal(name, root, str(error)) from None
    walk = _Walk(file=name, root=root, styles=styles)
    place = _Place(page.matrix, "", page.width, page.height, is_page=True)
    return Drawing(
        paths=tuple(walk.draw(root, place, depth=0)), left_out=count_texts(walk.left_out)
    )


@dataclass(frozen=True, slots=True)
class _Place:
    """What an element inherits."""

    matrix: Affine
    layer: str
    width: float
    height: float
    is_page: bool = False
    is_visible: bool = True
    windows: tuple[Window, ...] = ()


@dataclass(slots=True)
class _Walk:
    """One pass over a drawing, with its limits."""

    file: str
    root: etree._Element
    styles: Styles
    elements: int = 0
    points: int = 0
    using: list[str] = field(default_factory=list)
    ids: dict[str, etree._Element] = field(init=False)
    left_out: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        self.ids = {}
        for element in self.root.iter("*"):
            identifier = element.get("id")
            if identifier and identifier in self.ids:
                raise _refusal(self.file, element, f'the id "{identifier}" stands twice')
            if identifier:
                self.ids[identifier] = element

    def draw(
        self, element: etree._Element, place: _Place, *, depth: int, size: Mapping[str, str] = {}
    ) -> Iterator[Path]:
        """Give the lines of an element and of all below it.

        A ``use`` may give what it refers to another size.
        """
        self.elements += 1
        if self.elements > MOST_ELEMENTS or depth > DEEPEST:
            raise _refusal(self.file, element, "the drawing repeats or nests its parts too often")
        tag = _tag(element)
        try:
            style = self.styles.of(element) if tag else {}
            attributes = {**_attributes(element), **size}
            if not tag or not _is_chosen(attributes) or not is_shown(style, attributes):
                return
            attributes = _apply_style(attributes, style, place, tag)
            visible = is_visible(style, attributes, above=place.is_visible)
            name = _layer_name(element) if tag == "g" else ""
            inside = _inner_place(tag, attributes, replace(place, is_visible=visible), name)
            lines = lines_of(tag, attributes, inside.matrix) if visible else []
        except ValueError as error:
            raise _refusal(self.file, element, str(error)) from None
        self.left_out.update([tag] if tag in _LEFT_OUT and visible else [])
        for points, closed in lines:
            self._count(element, points)
            if is_cut(points, inside.windows):
                raise _refusal(self.file, element, _CUT_OFF)
            name, label = attributes.get("id", ""), _label(element)
            yield Path(layer=place.layer, name=name, closed=closed, points=points, label=label)
        is_window = tag == "svg" and not place.is_page
        if tag in _GROUPS and not (is_window and not (inside.width and inside.height)):
            for child in _drawn_children(element, tag):
                yield from self.draw(child, inside, depth=depth + 1)
        elif tag == "use":
            yield from self._draw_use(element, attributes, inside, depth)

    def _draw_use(
        self, element: etree._Element, attributes: Mapping[str, str], place: _Place, depth: int
    ) -> Iterator[Path]:
        """Give the lines of what a ``use`` refers to, under the name of the ``use``."""
        link = element.get("href") or element.get(_XLINK) or ""
        target = self.ids.get(link.removeprefix("#")) if link.startswith("#") else None
        if target is None:
            raise _refusal(self.file, element, f'it uses "{link}", which is not in this drawing')
        if link in self.using:
            raise _refusal(self.file, element, f'"{link}" uses itself')
        self.using.append(link)
        size = {k: attributes[k] for k in ("width", "height") if k in attributes}
        children = [target]
        try:
            shift = Affine(e=_user(attributes, "x"), f=_user(attributes, "y"))
            moved = replace(place, matrix=shift.within(place.matrix))
            if _tag(target) == "symbol":
                style = {k: v for k, v in self.styles.of(target).items() if k == "overflow"}
                own = _apply_style({**_attributes(target), **size}, style, place, "symbol")
                moved = _window(own, _apply_transform(own, moved))
                is_empty = "0" in {own.get("width"), own.get("height")}
                size, children = {}, [] if is_empty else list(target)
        except ValueError as error:
            raise _refusal(self.file, element, str(error)) from None
        size = size if _tag(target) == "svg" else {}
        name, label = element.get("id"), _label(element)
        for child in children:
            for path in self.draw(child, moved, depth=depth + 1, size=size):
                yield replace(path, name=name or path.name, label=label or path.label)
        self.using.pop()

    def _count(self, element: etree._Element, points: tuple[tuple[float, float], ...]) -> None:
        """Refuse what is not finite, or beyond all leather."""
        self.points += len(points)
        if self.points > MOST_POINTS:
            raise _refusal(self.file, element, "the drawing has too many points")
        if not all(isfinite(v) and abs(v) <= FARTHEST_MM for point in points for v in point):
            raise _refusal(self.file, element, "it lies more than 100 m off, or nowhere")


def _root(name: str, content: bytes) -> etree._Element:
    """Parse the XML; entities of the file itself are allowed, anything from outside is not."""
    if content.count(b"<") + content.count(b"=") > MOST_MARKS:
        problem, remedy = "holds too much to be a pattern", "save the outlines alone"
        raise InputError(Fault(problem=problem, remedy=remedy, file=name))
    parser = etree.XMLParser(
        resolve_entities="internal",  # type: ignore[arg-type]  # the stubs are older than lxml 5
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
    )
    try:
        root = etree.fromstring(content, parser)
    except etree.XMLSyntaxError as error:
        reason = " ".join((error.msg or "unreadable").split())
        problem = f"is no sound SVG ({reason})"
        remedy = "save it again from the drawing program as plain SVG"
        place = f"line {error.lineno}" if error.lineno else ""
        raise InputError(Fault(problem=problem, remedy=remedy, file=name, place=place)) from None
    if etree.QName(root).localname != "svg":
        raise _refusal(name, root, "it is not an SVG drawing")
    return root


def _tag(element: etree._Element) -> str:
    """Give the local name of an element of SVG, or nothing."""
    if not isinstance(element.tag, str):
        return ""
    name = etree.QName(element)
    return name.localname if name.namespace in {None, _SVG} else ""


def _is_chosen(attributes: Mapping[str, str]) -> bool:
    """Whether the conditions of an element hold (SVG 2, section 5.9); English is understood."""
    if "requiredExtensions" in attributes:
        return False
    tongues = attributes.get("systemLanguage")
    if tongues is None:
        return True
    return any(tongue.strip().casefold().startswith("en") for tongue in tongues.split(","))


def _drawn_children(element: etree._Element, tag: str) -> Iterator[etree._Element]:
    """Give what is drawn of a group: of a ``switch`` only the first whose conditions hold."""
    for child in element:
        if tag == "switch" and not (_tag(child) and _is_chosen(_attributes(child))):
            continue
        yield child
        if tag == "switch":
            return


def _apply_style(
    attributes: Mapping[str, str], style: Mapping[str, str], place: _Place, tag: str
) -> dict[str, str]:
    """Take lengths from styles, and turn percentages into user units (SVG 2, section 8.9)."""
    for key in _MOVES:
        if style.get(key, "none") not in {"none", "1"}:
            raise ValueError(f'its style sets "{key}"; use the {key} attribute instead of a style')
    taken = LENGTHS | {"overflow"}
    result = {**attributes, **{k: v for k, v in style.items() if k in taken}}
    if place.is_page:
        return result
    diagonal = hypot(place.width, place.height) / sqrt(2)
    for key in (*_ACROSS, *_DOWN, "r"):
        text = result.get(key, "").strip()
        if text == "auto" or (text == "" and key in result and tag not in {"svg", "symbol"}):
            del result[key]
        if text.endswith("%"):
            if not diagonal:
                raise ValueError("it is a share of a page whose size is not stated")
            of = place.width if key in _ACROSS else place.height if key in _DOWN else diagonal
            result[key] = repr(user_length(text.removesuffix("%")) / 100 * of)
    return result


def _apply_transform(attributes: Mapping[str, str], place: _Place) -> _Place:
    """The place with the transform of an element in its map; one about an origin is refused."""
    if "transform" not in attributes:
        return place
    origin = attributes.get("transform-origin", "")
    if any(number for number in parse_numbers(origin.replace("px", " "))):
        raise ValueError("it turns about an origin of its own; use a plain transform")
    return replace(place, matrix=parse_transform(attributes["transform"]).within(place.matrix))


def _inner_place(tag: str, attributes: Mapping[str, str], place: _Place, name: str) -> _Place:
    """Give what the content of an element of that name inherits."""
    inner = replace(_apply_transform(attributes, place), is_page=False)
    if tag == "g" and (_any_attribute(attributes, "groupmode") == "layer" or not place.layer):
        inner = replace(inner, layer=name or place.layer)
    if tag != "svg" or place.is_page:
        return inner
    shift = Affine(e=_user(attributes, "x"), f=_user(attributes, "y"))
    return _window(attributes, replace(inner, matrix=shift.within(inner.matrix)))


def _window(attributes: Mapping[str, str], place: _Place) -> _Place:
    """Give the place inside an element with a size and perhaps a viewBox of its own."""
    width = _user(attributes, "width", place.width)
    height = _user(attributes, "height", place.height)
    if min(width, height) < 0:
        raise ValueError("its width or height is below zero")
    opened = windows_of(attributes, place.matrix, width, height)
    place = replace(place, windows=(*place.windows, *opened))
    box = attributes.get("viewBox", "").strip()
    if not box or not (width and height):
        return replace(place, width=width, height=height)
    view = parse_numbers(box)
    aspect = attributes.get("preserveAspectRatio", "")
    fitted = fit_box(view, width=width, height=height, aspect=aspect)
    return replace(place, matrix=fitted.within(place.matrix), width=view[2], height=view[3])


def _user(attributes: Mapping[str, str], key: str, default: float = 0.0) -> float:
    """Read a length of an element in user units; percentages are taken out already."""
    text = attributes.get(key, "").strip()
    return user_length(text) if text else default


def _attributes(element: etree._Element) -> dict[str, str]:
    return {str(key): str(value) for key, value in element.attrib.items()}


def _any_attribute(attributes: Mapping[str, str], name: str) -> str:
    """Give an attribute whatever its namespace, or nothing."""
    found = (text for key, text in attributes.items() if key.rpartition("}")[2] == name)
    return next(filter(None, found), "")


def _label(element: etree._Element) -> str:
    """Give the name given by hand: an attribute called label, of any namespace, or the title."""
    titles = (child.text or "" for child in element if _tag(child) == "title")
    return _any_attribute(_attributes(element), "label") or " ".join(next(titles, "").split())


def _layer_name(element: etree._Element) -> str:
    """Give the name of a group as a layer; an identifier stands before a title."""
    attributes = _attributes(element)
    return _any_attribute(attributes, "label") or attributes.get("id", "") or _label(element)


def _place(element: etree._Element) -> str:
    """Say where an element stands."""
    identifier = element.get("id")
    return f"line {element.sourceline}" + (f', "{identifier}"' if identifier else "")


def _refusal(file: str, element: etree._Element, problem: str) -> InputError:
    """Say what is wrong with an element, and where."""
    problem, _, remedy = problem.partition("; ")
    remedy = remedy or "correct it in the drawing program"
    return InputError(Fault(problem=problem, remedy=remedy, file=file, place=_place(element)))

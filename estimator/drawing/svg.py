"""SVG drawings in true size: a walker of our own over a hardened XML parser.

Rules: physical size from width and height over the viewBox; y flipped once, so
that it points up; layers, ``use``, ``symbol`` and nested ``svg`` resolved; what is
not displayed is left out; nothing outside the file is read.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import isfinite
from pathlib import Path as FilePath

from lxml import etree

from estimator.drawing.affine import Affine, fit_box, parse_numbers, parse_transform
from estimator.drawing.marks import PX_PER_UNIT, lines_of, user_length
from estimator.drawing.paths import Path
from estimator.errors import Fault, InputError
from estimator.files import read_bytes

LIMIT_BYTES = 20_000_000
MOST_ELEMENTS = 20_000
MOST_POINTS = 1_000_000
DEEPEST = 100
FARTHEST_MM = 100_000.0

_INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
_XLINK = "{http://www.w3.org/1999/xlink}href"
_GROUPS = {"g", "a", "switch", "svg"}
_HIDES = re.compile(r"(?:display\s*:\s*none|visibility\s*:\s*(?:hidden|collapse))", re.IGNORECASE)
_RULE = re.compile(r"\.([\w-]+)\s*(?:,[^{}]*)?\{([^{}]*)\}")


def read_svg(path: FilePath) -> tuple[Path, ...]:
    """Read the lines of an SVG drawing in mm, y up, from the page's lower left corner.

    Parameters
    ----------
    path : Path
        The file, at most 20 MB.

    Returns
    -------
    tuple of Path
        In the order of the drawing; a path of several strokes gives several of one name.

    Raises
    ------
    InputError
        If it is no SVG, has no true size, or holds something that cannot be read.
    """
    name = str(path)
    root = _root(name, read_bytes(path, limit_bytes=LIMIT_BYTES))
    walk = _Walk(file=name, root=root)
    try:
        page = _page(root)
    except ValueError as error:
        raise _refusal(name, root, str(error)) from None
    return tuple(walk.draw(root, page, depth=0))


@dataclass(frozen=True, slots=True)
class _Place:
    """What an element inherits."""

    matrix: Affine
    layer: str
    width: float
    height: float
    is_page: bool = False


@dataclass(slots=True)
class _Walk:
    """One pass over a drawing, with its limits."""

    file: str
    root: etree._Element
    elements: int = 0
    points: int = 0
    using: list[str] = field(default_factory=list)
    ids: dict[str, etree._Element] = field(init=False)
    hidden: set[str] = field(init=False)

    def __post_init__(self) -> None:
        self.ids = {}
        for element in self.root.iter("*"):
            identifier = element.get("id")
            if identifier and identifier in self.ids:
                raise _refusal(self.file, element, f'the id "{identifier}" stands twice')
            if identifier:
                self.ids[identifier] = element
        sheets = (text.text or "" for text in self.root.iter("{*}style"))
        rules = [rule for sheet in sheets for rule in _RULE.findall(sheet)]
        self.hidden = {name for name, style in rules if _HIDES.search(style)}

    def draw(self, element: etree._Element, place: _Place, *, depth: int) -> Iterator[Path]:
        """Give the lines of an element and of all below it."""
        self.elements += 1
        tag = etree.QName(element).localname if isinstance(element.tag, str) else ""
        if self.elements > MOST_ELEMENTS or depth > DEEPEST:
            raise _refusal(self.file, element, "the drawing repeats or nests its parts too often")
        if self._is_hidden(element):
            return
        try:
            inside = _inside(element, tag, place)
            lines = lines_of(tag, _attributes(element), inside.matrix)
        except ValueError as error:
            raise _refusal(self.file, element, str(error)) from None
        for points, closed in lines:
            self._count(element, points)
            name, label = element.get("id") or "", element.get(f"{_INKSCAPE}label") or ""
            yield Path(layer=place.layer, name=name, closed=closed, points=points, label=label)
        if tag in _GROUPS:
            for child in element:
                yield from self.draw(child, inside, depth=depth + 1)
        elif tag == "use":
            yield from self._used(element, inside, depth)

    def _used(self, element: etree._Element, place: _Place, depth: int) -> Iterator[Path]:
        """Give the lines of what a ``use`` refers to, under the name of the ``use``."""
        link = element.get("href") or element.get(_XLINK) or ""
        target = self.ids.get(link.removeprefix("#")) if link.startswith("#") else None
        if target is None:
            raise _refusal(self.file, element, f'it uses "{link}", which is not in this drawing')
        if link in self.using:
            raise _refusal(self.file, element, f'"{link}" uses itself')
        self.using.append(link)
        try:
            shift = Affine(e=_user(element, "x"), f=_user(element, "y"))
            moved = replace(place, matrix=shift.within(place.matrix))
            children = [target]
            if etree.QName(target).localname == "symbol":
                size = _user(element, "width", place.width), _user(element, "height", place.height)
                moved, children = _window(target, moved, *size), list(target)
        except ValueError as error:
            raise _refusal(self.file, element, str(error)) from None
        for child in children:
            for path in self.draw(child, moved, depth=depth + 1):
                yield replace(path, name=element.get("id") or path.name)
        self.using.pop()

    def _is_hidden(self, element: etree._Element) -> bool:
        classes = (element.get("class") or "").split()
        return (
            element.get("display") == "none"
            or element.get("visibility") in {"hidden", "collapse"}
            or bool(_HIDES.search(element.get("style") or ""))
            or not self.hidden.isdisjoint(classes)
        )

    def _count(self, element: etree._Element, points: tuple[tuple[float, float], ...]) -> None:
        """Refuse what is not finite, or beyond all leather."""
        self.points += len(points)
        if self.points > MOST_POINTS:
            raise _refusal(self.file, element, "the drawing has too many points")
        if not all(isfinite(v) and abs(v) <= FARTHEST_MM for point in points for v in point):
            raise _refusal(self.file, element, "it lies more than 100 m off, or nowhere")


def _root(name: str, content: bytes) -> etree._Element:
    """Parse the XML; entities of the file itself are allowed, anything from outside is not."""
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
        problem = f"is no sound SVG ({(error.msg or 'unreadable').strip()})"
        remedy = "save it again from the drawing program as plain SVG"
        place = f"line {error.lineno}" if error.lineno else ""
        raise InputError(Fault(problem=problem, remedy=remedy, file=name, place=place)) from None
    if etree.QName(root).localname != "svg":
        raise _refusal(name, root, "it is no SVG drawing")
    return root


def _page(root: etree._Element) -> _Place:
    """Give the map from user units to mm, y up, of the whole drawing."""
    width, height = (_true_mm(root, key) for key in ("width", "height"))
    px = PX_PER_UNIT["mm"]
    box = root.get("viewBox")
    view = parse_numbers(box) if box else (0.0, 0.0, width * px, height * px)
    fitted = fit_box(view, width=width, height=height, aspect=root.get("preserveAspectRatio") or "")
    upright = Affine(d=-1.0, f=height)
    return _Place(fitted.within(upright), "", view[2], view[3], is_page=True)


def _true_mm(root: etree._Element, key: str) -> float:
    """Read the physical width or height of the page."""
    text = root.get(key) or ""
    unit = text.strip().lstrip("+-0123456789.eE ").casefold()
    if unit not in PX_PER_UNIT:
        raise ValueError(
            f'the drawing does not say how large it is: {key} is "{text}"; give width and height '
            'with a unit, as in width="210mm" height="297mm"'
        )
    result = user_length(text) / PX_PER_UNIT["mm"]
    if not 0 < result <= FARTHEST_MM:
        raise ValueError(f'the {key} "{text}" is no size of a page')
    return result


def _inside(element: etree._Element, tag: str, place: _Place) -> _Place:
    """Give what the content of an element inherits."""
    if re.search(r"(?:^|;)\s*transform\s*:", element.get("style") or ""):
        raise ValueError("it is moved by a style; use the transform attribute")
    matrix = parse_transform(element.get("transform") or "").within(place.matrix)
    layer = place.layer
    label = element.get(f"{_INKSCAPE}label") or element.get("id") or ""
    if tag == "g" and (element.get(f"{_INKSCAPE}groupmode") == "layer" or not layer):
        layer = label or layer
    inner = replace(place, matrix=matrix, layer=layer, is_page=False)
    if tag != "svg" or place.is_page:
        return inner
    shift = Affine(e=_user(element, "x"), f=_user(element, "y"))
    size = (
        _user(element, "width", place.width, of=place.width),
        _user(element, "height", place.height, of=place.height),
    )
    return _window(element, replace(inner, matrix=shift.within(matrix)), *size)


def _window(element: etree._Element, place: _Place, width: float, height: float) -> _Place:
    """Give the place inside an element that may have a viewBox of its own."""
    box = element.get("viewBox")
    if not box:
        return replace(place, width=width, height=height)
    view = parse_numbers(box)
    aspect = element.get("preserveAspectRatio") or ""
    fitted = fit_box(view, width=width, height=height, aspect=aspect)
    return replace(place, matrix=fitted.within(place.matrix), width=view[2], height=view[3])


def _user(
    element: etree._Element, key: str, default: float = 0.0, *, of: float | None = None
) -> float:
    """Read a length of an element in user units; percentages of ``of``."""
    text = element.get(key)
    if text is None or text == "auto":
        return default
    if text.strip().endswith("%") and of is not None:
        return float(text.strip().removesuffix("%")) / 100 * of
    return user_length(text)


def _attributes(element: etree._Element) -> Mapping[str, str]:
    return {str(key): str(value) for key, value in element.attrib.items()}


def _refusal(file: str, element: etree._Element, problem: str) -> InputError:
    """Say what is wrong with an element, and where."""
    identifier = element.get("id")
    place = f"line {element.sourceline}" + (f', "{identifier}"' if identifier else "")
    problem, _, remedy = problem.partition("; ")
    remedy = remedy or "correct it in the drawing program"
    return InputError(Fault(problem=problem, remedy=remedy, file=file, place=place))

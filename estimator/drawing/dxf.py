"""DXF drawings in true size: lines, arcs, polylines, splines and blocks, through ezdxf."""

import logging
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from itertools import pairwise
from math import atan, isfinite, radians, tau
from pathlib import Path as FilePath
from typing import Any

from ezdxf import path as dxf_path
from ezdxf.document import Drawing
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.filemanagement import readfile
from ezdxf.lldxf.const import DXFError

from estimator.drawing.curves import Span, arc, cubic, line, quadratic, trace
from estimator.drawing.paths import Path
from estimator.drawing.strokes import Stroke, joined
from estimator.errors import Fault, InputError
from estimator.files import read_bytes

LIMIT_BYTES = 20_000_000
MOST_ENTITIES = 20_000
DEEPEST = 32
FARTHEST_MM = 100_000.0

MM_PER_DRAWING_UNIT: Mapping[int, float] = {
    1: 25.4,
    2: 304.8,
    4: 1.0,
    5: 10.0,
    6: 1000.0,
    10: 914.4,
    14: 100.0,
}
"""By ``$INSUNITS``: inches, feet, mm, cm, m, yards, dm; exact."""

_UNREADABLE = (
    DXFError,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
    AssertionError,
    RuntimeError,
    StopIteration,
)
"""What a damaged file makes ezdxf raise."""

logging.getLogger("ezdxf").addHandler(logging.NullHandler())


def read_dxf(path: FilePath) -> tuple[Path, ...]:
    """Read the lines of a DXF drawing in mm, y up.

    Loose lines and arcs of one layer whose ends meet are joined. Each line is
    named after its layer and numbered, ``CUT-1``; a layer with a single line may
    be meant by its own name.

    Parameters
    ----------
    path : Path
        The file, at most 20 MB.

    Returns
    -------
    tuple of Path
        In the order of the drawing, layer by layer.

    Raises
    ------
    InputError
        If it is no DXF, does not state its unit, or holds no lines.
    """
    name = str(path)
    document = _document(path)
    if not len(document.modelspace()):
        raise _refusal(name, "holds no lines to read", "check that it is the right drawing")
    scale = _scale(name, document)
    try:
        paths = _paths(_Walk(file=name, document=document), scale)
    except _UNREADABLE as error:
        raise _refusal(name, f"holds something that cannot be read ({error})") from None
    if not paths:
        raise _refusal(name, "holds no lines to read", "check that it is the right drawing")
    values = (value for each in paths for point in each.points for value in point)
    if not all(isfinite(value) and abs(value) <= FARTHEST_MM for value in values):
        raise _refusal(name, "reaches more than 100 m, or nowhere", "check its unit")
    return tuple(paths)


def _paths(walk: "_Walk", scale: float) -> list[Path]:
    """Give the lines of a drawing, those of a layer joined."""
    layers: dict[str, list[Stroke]] = {}
    for layer, entity in walk.entities():
        layers.setdefault(layer, []).extend(_strokes(entity, scale))
    return [
        Path(
            layer=layer, name=f"{layer}-{k + 1}", closed=closed, points=trace(spans, closed=closed)
        )
        for layer, strokes in layers.items()
        for k, (spans, closed) in enumerate(joined(strokes))
    ]


@dataclass(slots=True, kw_only=True)
class _Walk:
    """One pass over a drawing, blocks taken apart, with its limits."""

    file: str
    document: Drawing
    seen: int = 0

    def entities(self) -> Iterator[tuple[str, DXFGraphic]]:
        """Give each visible entity with the layer it is on."""
        for entity in self.document.modelspace():
            yield from self._taken_apart(entity, "0", 0)

    def _taken_apart(
        self, entity: DXFEntity, outer: str, depth: int
    ) -> Iterator[tuple[str, DXFGraphic]]:
        self.seen += 1
        if self.seen > MOST_ENTITIES or depth > DEEPEST:
            raise _refusal(self.file, "repeats or nests its blocks too often", "explode the blocks")
        if not isinstance(entity, DXFGraphic) or entity.dxf.get("invisible", 0):
            return
        # what lies on layer 0 of a block belongs to the layer the block is put on
        own = str(entity.dxf.get("layer", "0"))
        layer = outer if own == "0" else own
        if self._is_hidden(own):
            return
        if not isinstance(entity, Insert):
            yield layer, entity
            return
        for single in entity.multi_insert() if entity.mcount > 1 else (entity,):
            for child in single.virtual_entities():
                yield from self._taken_apart(child, layer, depth + 1)

    def _is_hidden(self, layer: str) -> bool:
        if not self.document.layers.has_entry(layer):
            return False
        entry = self.document.layers.get(layer)
        return entry.is_off() or entry.is_frozen()


def _document(path: FilePath) -> Drawing:
    """Read the file strictly: mending a number would be guessing where to cut."""
    name = str(path)
    # the size is looked at first; ezdxf then finds the encoding itself
    read_bytes(path, limit_bytes=LIMIT_BYTES)
    try:
        document = readfile(path)
        sound = not document.audit().has_errors
    except (OSError, *_UNREADABLE):
        sound = False
    if not sound:
        raise _refusal(name, "is no sound DXF drawing", "save it again as DXF R2010")
    return document


def _scale(name: str, document: Drawing) -> float:
    """Give mm per drawing unit."""
    code: Any = document.header.get("$INSUNITS", 0)
    scale = MM_PER_DRAWING_UNIT.get(code or 0)
    if scale is None:
        raise _refusal(
            name,
            "does not say in which unit it is drawn",
            "set the drawing unit ($INSUNITS) to mm or inches and save it as DXF R2000 or later",
        )
    return scale


def _strokes(entity: DXFGraphic, scale: float) -> list[Stroke]:
    """Give the stroke of an entity, scaled to mm; nothing for texts, points and hatches."""
    draw = _ENTITIES.get(entity.dxftype())
    return [stroke for stroke in draw(entity, scale) if stroke] if draw else []


def _point(vector: Any) -> complex:
    return complex(vector[0], vector[1])


def _line(entity: Any, scale: float) -> list[Stroke]:
    return [[line(_point(entity.dxf.start) * scale, _point(entity.dxf.end) * scale)]]


def _circle(entity: Any, scale: float) -> list[Stroke]:
    ocs, radius = entity.ocs(), entity.dxf.radius * scale
    if radius <= 0:
        return []
    center = _point(ocs.to_wcs(entity.dxf.center)) * scale
    u, v = (_point(ocs.to_wcs(axis)) * radius for axis in ((1, 0, 0), (0, 1, 0)))
    start, sweep = 0.0, tau
    if entity.dxftype() == "ARC":
        start = radians(entity.dxf.start_angle)
        sweep = radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360) or tau
    return [[arc(center, u, v, start, sweep)]]


def _ellipse(entity: Any, scale: float) -> list[Stroke]:
    u, v = _point(entity.dxf.major_axis) * scale, _point(entity.minor_axis) * scale
    start = entity.dxf.start_param
    sweep = (entity.dxf.end_param - start) % tau
    center = _point(entity.dxf.center) * scale
    return [[arc(center, u, v, start, sweep if sweep > 1e-9 else tau)]]


def _lwpolyline(entity: Any, scale: float) -> list[Stroke]:
    corners = [(complex(x, y), bulge) for x, y, bulge in entity.get_points("xyb")]
    return _bulged(entity, corners, scale)


def _polyline(entity: Any, scale: float) -> list[Stroke]:
    if entity.is_polygon_mesh or entity.is_poly_face_mesh:
        return []
    corners = [(_point(v.dxf.location), v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    return _bulged(entity, corners, scale)


def _bulged(entity: Any, corners: list[tuple[complex, float]], scale: float) -> list[Stroke]:
    """Join corners by lines and arcs; a bulge is the tangent of a quarter of the arc's angle."""
    ocs = entity.ocs()

    def world(point: complex) -> complex:
        return _point(ocs.to_wcs((point.real, point.imag, 0.0))) * scale

    if entity.is_closed and corners:
        corners = [*corners, (corners[0][0], 0.0)]
    stroke: Stroke = []
    for (start, bulge), (end, _) in pairwise(corners):
        if abs(bulge) < 1e-9:
            stroke.append(line(world(start), world(end)))
            continue
        center = (start + end) / 2 + (end - start) * 1j * (1 - bulge**2) / (4 * bulge)
        u = start - center
        stroke.append(arc(world(center), world(u), world(1j * u), 0.0, 4 * atan(bulge)))
    return [stroke]


def _spline(entity: Any, scale: float) -> list[Stroke]:
    """Give a spline as the Bezier curves it is made of; rational ones are approximated."""
    whole = dxf_path.make_path(entity)
    at = _point(whole.start) * scale
    stroke: list[Span] = []
    for command in whole.commands():
        points = [at]
        for key in ("ctrl", "ctrl1", "ctrl2", "end"):
            with suppress(AttributeError):
                points.append(_point(getattr(command, key)) * scale)
        draw: Mapping[int, Callable[..., Span]] = {2: line, 3: quadratic, 4: cubic}
        stroke.append(draw[len(points)](*points))
        at = points[-1]
    return [stroke]


_ENTITIES: Mapping[str, Callable[[Any, float], list[Stroke]]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _circle,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}


def _refusal(
    name: str, problem: str, remedy: str = "correct it in the drawing program"
) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, file=name))

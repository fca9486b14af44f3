"""DXF drawings in true size: lines, arcs, polylines, splines and blocks, through ezdxf."""

import logging
import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count, islice
from math import isfinite
from pathlib import Path as FilePath
from typing import Any

from ezdxf.audit import AuditError
from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.filemanagement import readfile
from ezdxf.lldxf.const import DXFError

from estimator.drawing.affine import Affine
from estimator.drawing.curves import trace
from estimator.drawing.dxf.marks import block_map, strokes_of
from estimator.drawing.paths import (
    FARTHEST_MM,
    LIMIT_BYTES,
    MOST_POINTS,
    Drawing,
    Path,
    count_texts,
)
from estimator.drawing.scales import DrawingUnit, mm_per, unit_refusal
from estimator.drawing.strokes import ForkError, Stroke, drop_doubles, join_strokes
from estimator.errors import Fault, InputError
from estimator.files import read_bytes
from estimator.units import MM_PER_FOOT, MM_PER_INCH, MM_PER_YARD

BINARY_LIMIT_BYTES = 5_000_000
MOST_PAIRS = 500_000
"""Group codes with their values; reading more takes longer than anybody waits."""
MOST_ENTITIES = 20_000
MOST_FAULTS = 20
DEEPEST = 32

MM_PER_DRAWING_UNIT: Mapping[int, float] = {
    1: float(MM_PER_INCH),
    2: float(MM_PER_FOOT),
    3: float(1760 * MM_PER_YARD),
    4: 1.0,
    5: 10.0,
    6: 1e3,
    7: 1e6,
    8: float(MM_PER_INCH / 1_000_000),
    9: float(MM_PER_INCH / 1000),
    10: float(MM_PER_YARD),
    11: 1e-7,
    12: 1e-6,
    13: 1e-3,
    14: 100.0,
    15: 1e4,
    16: 1e5,
    17: 1e12,
    21: 1_200_000 / 3937,
    22: 100_000 / 3937,
    23: 3_600_000 / 3937,
    24: 5280 * 1_200_000 / 3937,
}
"""By ``$INSUNITS`` (DXF reference, HEADER): inches, feet, miles, mm, cm, m, km, microinches,
mils, yards, angstroms, nm, microns, dm, dam, hm, Gm, US survey feet, inches, yards and miles
(1 survey foot is 1200/3937 m). Those of the sky are not among them."""

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

_MENDED_BY_CHANGE = {
    AuditError.UNDEFINED_BLOCK,
    AuditError.UNDEFINED_BLOCK_NAME,
    AuditError.INVALID_BLOCK_REFERENCE_CYCLE,
    AuditError.INVALID_ELLIPSE_RATIO,
    AuditError.INVALID_EXTRUSION_VECTOR,
    AuditError.INVALID_MAJOR_AXIS,
    AuditError.INVALID_SPLINE_CONTROL_POINT_COUNT,
    AuditError.INVALID_SPLINE_DEFINITION,
    AuditError.INVALID_SPLINE_FIT_POINT_COUNT,
    AuditError.INVALID_SPLINE_KNOT_VALUE_COUNT,
    AuditError.INVALID_SPLINE_WEIGHT_COUNT,
}
"""Faults that ezdxf mends by changing what is drawn."""

_Heading = tuple[str, str]
"""A layer, and a group or nothing."""

_STATED = re.compile(rb"(?m)^[ \t]*9[ \t]*\r?\n[ \t]*\$INSUNITS[ \t]*\r?$")
_BINARY = b"AutoCAD Binary DXF"
_BINARY_UNIT = b"$INSUNITS\x00"

logging.getLogger("ezdxf").addHandler(logging.NullHandler())


def read_dxf(path: FilePath, unit: DrawingUnit | None = None) -> Drawing:
    """Read the lines of a DXF drawing in mm, y up.

    Loose lines and arcs of one layer are joined where their ends meet within
    ``strokes.JOIN_MM``; those in different groups are not. Each line is named after
    its layer and numbered, ``CUT-1``, and labelled with its group; a layer with a
    single line may be meant by its own name.

    Parameters
    ----------
    path : Path
        The file, at most 20 MB.
    unit : str or None
        Its unit if it does not state one itself.

    Returns
    -------
    Drawing
        Its lines in their order, layer by layer; texts, hatches and the like are counted.

    Raises
    ------
    InputError
        If it is no DXF, its unit is not known, it holds no lines, or outlines in it
        cannot be told.
    """
    name = str(path)
    content = read_bytes(path, limit_bytes=LIMIT_BYTES)
    is_binary = content.startswith(_BINARY)
    if (
        (len(content) > BINARY_LIMIT_BYTES)
        if is_binary
        else (content.count(b"\n") > 2 * MOST_PAIRS)
    ):
        raise _refusal(name, "holds too much to be a pattern", "save the outlines alone")
    document = _document(path)
    if not len(document.modelspace()):
        raise _refusal(name, "holds no lines to read", "check that it is the right drawing")
    scale = _stated_mm(document, content)
    if scale is None and unit is None:
        drawn = _as_if_mm(name, document)
        remedy = "set the unit of the drawing and save it as DXF again"
        problem = "does not say in which unit it is drawn"
        raise unit_refusal(name, "", problem, drawn, remedy=remedy)
    return _drawing(name, document, mm_per(unit or "mm") if scale is None else scale)


def _as_if_mm(name: str, document: Document) -> tuple[Path, ...]:
    """Draw all as if its unit were mm, to tell how large it would be; nothing if that fails."""
    try:
        return _drawing(name, document, 1.0).paths
    except InputError:
        return ()


def _drawing(name: str, document: Document, scale: float) -> Drawing:
    """Give all there is, those lines of a layer joined."""
    walk = _Walk(file=name, document=document)
    try:
        layers = walk.strokes(Affine(a=scale, d=scale))
        paths = _join_layers(name, layers)
    except _UNREADABLE as error:
        raise _refusal(name, f"holds something that cannot be read ({_plain(error)})") from None
    if not paths:
        others = ", ".join(count_texts(walk.left_out))
        problem = "holds no lines to read" + (f", only {others}" if others else "")
        raise _refusal(name, problem, "check that it is the right drawing")
    values = (value for each in paths for point in each.points for value in point)
    if not all(isfinite(value) and abs(value) <= FARTHEST_MM for value in values):
        raise _refusal(name, "reaches more than 100 m, or nowhere", "check its unit")
    return Drawing(paths=tuple(paths), left_out=count_texts(walk.left_out))


def _join_layers(name: str, layers: Mapping[_Heading, list[Stroke]]) -> list[Path]:
    """Join the strokes of each layer and group; places where they fork are faults."""
    paths: list[Path] = []
    faults: list[Fault] = []
    drawn = 0
    numbers: dict[str, Iterator[int]] = defaultdict(lambda: count(1))
    for (layer, label), strokes in layers.items():
        try:
            whole = join_strokes(strokes)
        except ForkError as error:
            faults += (
                Fault(
                    file=name,
                    place=f'layer "{layer}", x {at.real:.1f}, y {at.imag:.1f} mm',
                    problem=f"{ends} lines meet, and it cannot be told which are the outline",
                    remedy="put what is no outline on a layer of its own, or draw closed polylines",
                )
                for at, ends in error.places
            )
            continue
        for spans, closed in whole:
            points = trace(spans, closed=closed)
            drawn += len(points)
            if drawn > MOST_POINTS:
                raise _refusal(name, "has too many points", "save the outlines alone")
            given = f"{layer}-{next(numbers[layer])}"
            paths.append(Path(layer=layer, name=given, closed=closed, points=points, label=label))
    if faults:
        raise InputError(*faults[:MOST_FAULTS])
    return paths


@dataclass(slots=True, kw_only=True)
class _Walk:
    """One pass over a drawing, blocks taken apart, with its limits."""

    file: str
    document: Document
    seen: int = 0
    points: int = 0
    label: str = ""
    left_out: Counter[str] = field(default_factory=Counter)
    layers: dict[_Heading, list[Stroke]] = field(default_factory=dict)

    def strokes(self, matrix: Affine) -> dict[_Heading, list[Stroke]]:
        """Give the strokes of all that is visible, by layer and group."""
        labels = _group_labels(self.document)
        for entity in self.document.modelspace():
            self.label = labels.get(str(entity.dxf.handle), "")
            self._draw(entity, matrix, "0", 0)
        for heading, strokes in self.layers.items():
            once = drop_doubles(strokes)
            self.left_out.update({"line drawn twice": len(strokes) - len(once)})
            self.layers[heading] = once
        self.left_out += Counter()
        return self.layers

    def _draw(self, entity: DXFEntity, matrix: Affine, outer: str, depth: int) -> None:
        self._count(depth)
        if not isinstance(entity, DXFGraphic) or entity.dxf.get("invisible", 0):
            return
        # what lies on layer 0 of a block belongs to the layer the block is put on
        own = str(entity.dxf.get("layer", "0"))
        layer = outer if own == "0" else own
        if isinstance(entity, Insert):
            self._draw_block(entity, matrix, layer, depth)
            return
        if self._is_hidden(layer, frozen_only=False):
            return
        strokes = strokes_of(entity, matrix)
        if strokes is None:
            self.left_out[entity.dxftype().lower()] += 1
            return
        self.points += sum(len(span.points) for stroke in strokes for span in stroke)
        if self.points > MOST_POINTS:
            raise _refusal(self.file, "has too many points", "save the outlines alone")
        self.layers.setdefault((_plain(layer), self.label), []).extend(strokes)

    def _draw_block(self, insert: Insert, matrix: Affine, layer: str, depth: int) -> None:
        """Draw a block; switched off, its layer hides only what is drawn on layer 0 of it."""
        if self._is_hidden(layer, frozen_only=True):
            return
        block = insert.block()
        if block is None:
            problem = f'uses the block "{_plain(insert.dxf.name)}", which is not in it'
            raise _refusal(self.file, problem)
        # every block of a read file has its head, which the types call optional
        base = complex(block.block.dxf.base_point[0], block.block.dxf.base_point[1])  # type: ignore[union-attr]
        for step in self._steps(insert):
            self._count(depth)
            inner = block_map(insert, base, step).within(matrix)
            for entity in block:
                if entity.dxftype() != "ATTDEF":
                    self._draw(entity, inner, layer, depth + 1)

    def _steps(self, insert: Insert) -> Iterator[complex]:
        """Give the shifts of an array of blocks, row by row."""
        rows, columns = (
            max(1, int(insert.dxf.get(f"{way}_count", 1))) for way in ("row", "column")
        )
        down, across = (float(insert.dxf.get(f"{way}_spacing", 0)) for way in ("row", "column"))
        every = (complex(k * across, n * down) for n in range(rows) for k in range(columns))
        return islice(every, MOST_ENTITIES + 1)

    def _count(self, depth: int) -> None:
        self.seen += 1
        if self.seen > MOST_ENTITIES or depth > DEEPEST:
            raise _refusal(self.file, "repeats or nests its blocks too often", "explode the blocks")

    def _is_hidden(self, layer: str, *, frozen_only: bool) -> bool:
        if not self.document.layers.has_entry(layer):
            return False
        entry = self.document.layers.get(layer)
        return entry.is_frozen() or (entry.is_off() and not frozen_only)


def _group_labels(document: Document) -> dict[str, str]:
    """Give what each entity is called that is in just one group with a name, by its handle."""
    labels: dict[str, str] = {}
    doubled: set[str] = set()
    for name, group in document.groups:
        if name.startswith("*"):
            # such groups are named by the drawing program
            continue
        label = _plain(group.dxf.get("description", "") or name)
        for entity in group:
            handle = str(entity.dxf.handle)
            if handle in labels:
                doubled.add(handle)
            labels[handle] = label
    return {handle: label for handle, label in labels.items() if handle not in doubled}


def _document(path: FilePath) -> Document:
    """Read the file strictly: mending a number would be guessing where to cut."""
    name = str(path)
    remedy = "save it as DXF again, in a newer version of the format"
    try:
        with _quiet():
            document = readfile(path)
            audit = document.audit()
    except Exception as error:  # whatever a damaged file makes ezdxf raise
        message = " ".join(str(error).split()).removeprefix(f"{type(error).__name__}: ")
        reason = f" ({_plain(message)})" if message and not isinstance(error, OSError) else ""
        raise _refusal(name, f"is no sound DXF drawing{reason}", remedy) from None
    mended = [*audit.errors, *(entry for entry in audit.fixes if entry.code in _MENDED_BY_CHANGE)]
    if mended:
        reason = _plain(mended[0].message)
        raise _refusal(name, f"is no sound DXF drawing ({reason})", remedy)
    return document


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep what ezdxf logs of a damaged file off the screen; the fault says it."""
    logger = logging.getLogger("ezdxf")
    before = logger.propagate
    logger.propagate = False
    try:
        yield
    finally:
        logger.propagate = before


def _stated_mm(document: Document, content: bytes) -> float | None:
    """Give mm per drawing unit, if the file itself states a unit.

    Where it does not, ezdxf answers with metres, the unit of its template.
    """
    is_binary = content.startswith(_BINARY)
    if not (_BINARY_UNIT in content if is_binary else _STATED.search(content)):
        return None
    code: Any = document.header.get("$INSUNITS", 0)
    return MM_PER_DRAWING_UNIT.get(code or 0)


def _plain(text: object) -> str:
    """Write a text of the file so that it can be printed anywhere."""
    kept = str(text).encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    return "".join(each if each.isprintable() else "\ufffd" for each in kept)[:200]


def _refusal(
    name: str, problem: str, remedy: str = "correct it in the drawing program"
) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, file=name))

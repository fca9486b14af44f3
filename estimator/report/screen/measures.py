"""Measurements of the parts in a drawing or a pattern file."""

import re
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from shapely import Polygon, STRtree

from estimator.drawing.paths import Path as Line
from estimator.errors import Fault, InputError, raise_faults
from estimator.geometry.shapes import Point, polygon_from_points
from estimator.report.json_output.payload import shape_measures

MOST_OUTLINES = 2000
"""More closed lines are no pattern; finding holes among them would take minutes."""

CUT = "cut"
"""A layer whose name begins so holds cut lines, whatever they are called."""

NOT_CUT = ("stitch", "seam", "fold", "mark", "region", "text", "note", "guide")
"""A line whose layer or name begins so is not a cut line."""

HOLE_WORDS = re.compile("hole|slot|cut-?out|inner|inside|window|opening|punch|rivet|snap", re.I)
"""A line with such a word in its name is a hole where it lies inside a part."""

NOT_A_NAME = re.compile(
    r"(path|rect|circle|ellipse|poly(gon|line)|use|line|shape|object|g|svg)?[-_.]?\d*", re.I
)
"""What drawing programs write where the maker named nothing."""


def measurements(parts: Sequence[tuple[str, Polygon]]) -> dict[str, list[dict[str, object]]]:
    """Measure parts.

    Parameters
    ----------
    parts : sequence of (str, Polygon)
        Names and cut lines, mm.

    Returns
    -------
    dict
        ``{"parts": [{"name", "area_mm2", "perimeter_mm", "holes", "width_mm", "height_mm"}]}``;
        the perimeter is the cut length, holes included.
    """
    return {"parts": [shape_measures(name, outline) for name, outline in parts]}


def drawn_parts(lines: Sequence[Line], *, file: Path) -> tuple[tuple[str, Polygon], ...]:
    """Take the closed lines of a drawing as parts.

    A closed line right inside another one is a hole of it, unless the maker
    named it: parts may be drawn in their seat on one another. Lines of one
    compound path are outlines and holes in turn. Lines that are marked as
    stitch, fold, region or mark by their layer or name are left out.

    Parameters
    ----------
    lines : sequence of Path
        mm, y up.
    file : Path
        For messages.

    Returns
    -------
    tuple of (str, Polygon)
        Names, each once, and cut lines, in the order of the drawing.

    Raises
    ------
    InputError
        If there is no closed line, or one crosses itself.
    """
    cut = [line for line in lines if line.closed and _is_cut(line)]
    faults: list[Fault] = []
    rings: list[tuple[Line, Polygon]] = []
    for line in cut:
        try:
            rings.append((line, polygon_from_points(line.points)))
        except ValueError as error:
            faults.append(_fault(file, f"{_name(line)}: {error}", "redraw it as one closed line"))
    if len(cut) > MOST_OUTLINES:
        problem = f"there are {len(cut)} closed lines, more than {MOST_OUTLINES}"
        raise InputError(_fault(file, problem, "save the parts alone"))
    if not cut:
        faults.append(_fault(file, "there is no closed cut line", "close the outline of each part"))
    raise_faults(faults)
    return _number_names(_with_holes(rings, file))


def _with_holes(rings: list[tuple[Line, Polygon]], file: Path) -> list[tuple[Line, Polygon]]:
    around: list[list[int]] = [[] for _ in rings]
    tree = STRtree([ring for _, ring in rings])
    outer, inner = tree.query([ring for _, ring in rings], predicate="contains_properly")
    for k, n in sorted(zip(outer.tolist(), inner.tolist(), strict=True)):
        if k != n and _may_be_hole(rings[n][0], rings[k][0]):
            around[n].append(k)
    holes: list[list[Sequence[Point]]] = [[] for _ in rings]
    for n, outlines in enumerate(around):
        for k in outlines:
            if len(around[k]) + 1 == len(outlines):
                holes[k].append(rings[n][0].points)
    parts = []
    for n, (line, _) in enumerate(rings):
        if len(around[n]) % 2:
            continue
        try:
            parts.append((line, polygon_from_points(line.points, holes[n])))
        except ValueError as error:
            raise InputError(
                _fault(file, f"{_name(line)}: {error}", "move the hole inside its part")
            ) from None
    return parts


def _may_be_hole(line: Line, outer: Line) -> bool:
    """Whether a line inside another one is a hole of it, by its name."""
    if (line.name and line.name == outer.name) or (line.label and line.label == outer.label):
        return True
    return _is_unnamed((line.label or line.name).removeprefix(line.layer))


@lru_cache(maxsize=MOST_OUTLINES)
def _is_unnamed(given: str) -> bool:
    return NOT_A_NAME.fullmatch(given) is not None or HOLE_WORDS.search(given) is not None


def _number_names(parts: list[tuple[Line, Polygon]]) -> tuple[tuple[str, Polygon], ...]:
    """Names made different from each other by numbers."""
    wanted = Counter(_name(line) for line, _ in parts)
    seen: Counter[str] = Counter()
    named = []
    for line, outline in parts:
        name = _name(line)
        seen[name] += 1
        named.append((name if wanted[name] == 1 else f"{name} {seen[name]}", outline))
    return tuple(named)


def _name(line: Line) -> str:
    return line.label or line.name or line.layer or "part"


def _is_cut(line: Line) -> bool:
    """Whether a line may be a cut line; a layer for cutting says it of all that lies on it."""
    if line.layer.casefold().startswith(CUT):
        return True
    names = (line.layer, line.name, line.label)
    return not any(name.casefold().startswith(NOT_CUT) for name in names)


def _fault(file: Path, problem: str, remedy: str) -> Fault:
    return Fault(problem=problem, remedy=remedy, file=str(file))

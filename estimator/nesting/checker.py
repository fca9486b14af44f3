"""Independent proof of a layout: shapely alone, on true outlines, no code of the engine."""

from collections import defaultdict
from itertools import combinations
from math import isfinite

from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from estimator.errors import LayoutError
from estimator.nesting.problem import Layout, Mirror, Piece, Placement, Problem, Sheet
from estimator.quality import Spoil, spoils

EPSILON_MM = 0.01
"""A distance may fall short by this much: a tenth of the finest pen line."""
TURN_GRACE_DEG = 1e-6


def verify(problem: Problem, layout: Layout) -> None:
    """Refuse a layout that breaks any rule of its problem.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        What is claimed to answer it.

    Raises
    ------
    LayoutError
        Naming every fault found.
    """
    found = faults(problem, layout)
    if found:
        raise LayoutError(*found)


def faults(problem: Problem, layout: Layout) -> tuple[str, ...]:
    """Name every breach of the problem's rules, with its measure.

    Distances are measured between the true outlines in their placed position
    and may fall short by ``EPSILON_MM``.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        What is claimed to answer it.

    Returns
    -------
    tuple of str
        One sentence per fault; empty if the layout is legal.
    """
    pieces = {piece.key: piece for piece in problem.pieces}
    sheets = {sheet.key: sheet for sheet in problem.sheets}
    found: list[str] = []
    placed: dict[str, list[tuple[str, Polygon]]] = defaultdict(list)
    for placement in layout.placements:
        name = f"{placement.piece} {placement.copy + 1}"
        piece, sheet = pieces.get(placement.piece), sheets.get(placement.sheet)
        pose = placement.pose
        if piece is None or sheet is None:
            found.append(f"{name}: no such piece or sheet ({placement.sheet})")
            continue
        if not all(map(isfinite, (pose.x_mm, pose.y_mm, pose.rotation_deg))):
            found.append(f"{name}: its place is not a number")
            continue
        found += _pose_faults(name, placement, piece, sheet)
        outline = pose.of(piece.outline)
        found += _edge_faults(name, outline, sheet, problem.margins.edge_mm)
        found += _blemish_faults(name, placement, piece, sheet, problem.margins.flaw_mm)
        placed[sheet.key].append((name, outline))
    for key, laid in placed.items():
        found += _spacing_faults(laid, key, problem.margins.spacing_mm)
    found += [
        f"{pin.piece} {pin.copy + 1}: pinned on {pin.sheet}, but not laid there"
        for pin in problem.pinned
        if pin not in layout.placements
    ]
    return (*found, *_count_faults(pieces, layout), *_lot_faults(pieces, sheets, layout))


def _pose_faults(name: str, placement: Placement, piece: Piece, sheet: Sheet) -> list[str]:
    found = []
    if sheet.key not in piece.sheets:
        found.append(f"{name}: may not be laid on {sheet.key}")
    mirrored = placement.pose.mirrored
    if piece.mirror is not Mirror.MAY and mirrored is not (piece.mirror is Mirror.ALWAYS):
        found.append(f"{name}: {'mirrored' if mirrored else 'not mirrored'} against its rule")
    turned = placement.pose.rotation_deg - sheet.axis_deg
    if not any(
        (turned - turn.from_deg + TURN_GRACE_DEG) % 360.0
        <= turn.to_deg - turn.from_deg + 2 * TURN_GRACE_DEG
        for turn in piece.turns
    ):
        found.append(f"{name}: turned {turned % 360.0:.3f} degrees from the axis of {sheet.key}")
    return found


def _edge_faults(name: str, outline: Polygon, sheet: Sheet, edge_mm: float) -> list[str]:
    outside = outline.difference(sheet.outline.buffer(EPSILON_MM, join_style="mitre"))
    if not outside.is_empty:
        return [f"{name}: {outside.area:.3f} mm2 over the edge of {sheet.key}"]
    distance = sheet.outline.boundary.distance(outline)
    if distance < edge_mm - EPSILON_MM:
        return [f"{name}: {distance:.3f} mm from the edge of {sheet.key}, wanted {edge_mm:g}"]
    return []


def _blemish_faults(
    name: str, placement: Placement, piece: Piece, sheet: Sheet, flaw_mm: float
) -> list[str]:
    found = []
    outline = placement.pose.of(piece.outline)
    zones = [(placement.pose.of(zone.outline), zone.needs) for zone in piece.zones]
    for number, blemish in enumerate(sheet.blemishes, start=1):
        if blemish.spoil is Spoil.COSMETIC and blemish.kind in piece.ignores:
            continue
        touched = [outline] if blemish.spoil is Spoil.UNUSABLE else []
        touched += [zone for zone, needs in zones if spoils(blemish.spoil, needs)]
        for shape in touched:
            distance = blemish.outline.distance(shape)
            if distance < flaw_mm - EPSILON_MM or _overlap(blemish.outline, shape):
                kind = blemish.kind or blemish.spoil.value
                found.append(
                    f"{name}: {distance:.3f} mm from {kind} {number} of {sheet.key}, "
                    f"wanted {flaw_mm:g}"
                )
                break
    return found


def _spacing_faults(laid: list[tuple[str, Polygon]], sheet: str, spacing_mm: float) -> list[str]:
    found = []
    outlines = [outline for _, outline in laid]
    tree = STRtree(outlines)
    for first, (name, outline) in enumerate(laid):
        for second in sorted(tree.query(outline, predicate="dwithin", distance=spacing_mm)):
            if second <= first:
                continue
            other = outlines[second]
            if _overlap(outline, other):
                area = outline.intersection(other).area
                found.append(f"{name} and {laid[second][0]} overlap by {area:.3f} mm2 on {sheet}")
            elif (distance := outline.distance(other)) < spacing_mm - EPSILON_MM:
                found.append(
                    f"{name} and {laid[second][0]} are {distance:.3f} mm apart on {sheet}, "
                    f"wanted {spacing_mm:g}"
                )
    return found


def _overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    """Whether two areas share ground deeper than the tolerance; touching is no overlap.

    What they share, shrunk, is what both share once shrunk; asked so, nothing hangs on the
    overlay of areas with edges almost in common, which can give a whole area for none.
    """
    if not one.intersects(other):
        return False
    return bool(one.buffer(-EPSILON_MM / 2).intersects(other.buffer(-EPSILON_MM / 2)))


def _count_faults(pieces: dict[str, Piece], layout: Layout) -> list[str]:
    found = []
    copies: dict[str, list[int]] = defaultdict(list)
    for placement in layout.placements:
        copies[placement.piece].append(placement.copy)
    missing: dict[str, int] = defaultdict(int)
    for unplaced in layout.unplaced:
        missing[unplaced.piece] += unplaced.copies
    found += [f"{key}: left over, but not asked for" for key in missing if key not in pieces]
    for key, piece in pieces.items():
        numbers = copies[key]
        if len(set(numbers)) != len(numbers):
            found.append(f"{key}: a copy is laid twice")
        if any(not 0 <= number < piece.copies for number in numbers):
            found.append(f"{key}: a copy that was not asked for")
        if len(numbers) + missing[key] != piece.copies:
            found.append(
                f"{key}: {len(numbers)} laid and {missing[key]} left over make not {piece.copies}"
            )
    return found


def _lot_faults(pieces: dict[str, Piece], sheets: dict[str, Sheet], layout: Layout) -> list[str]:
    siblings: dict[tuple[str, int], list[Placement]] = defaultdict(list)
    for placement in layout.placements:
        piece = pieces.get(placement.piece)
        if piece is not None and piece.same_lot and placement.sheet in sheets:
            siblings[piece.kit, placement.copy // piece.per_kit].append(placement)
    found = []
    for (kit, number), placements in siblings.items():
        for one, other in combinations(placements, 2):
            lots = [sheets[p.sheet].lot or f"of {p.sheet}" for p in (one, other)]
            if lots[0] != lots[1]:
                found.append(
                    f"{one.piece} and {other.piece} of {kit} {number + 1} come from lots "
                    f"{lots[0]} and {lots[1]}"
                )
                break
    return found

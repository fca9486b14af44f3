"""Leather and parts made for the experiments on the worth of leather."""

from dataclasses import replace
from functools import cache
from itertools import islice
from math import ceil
from pathlib import Path

import numpy as np
import shapely
from shapely import Polygon, affinity, box

from estimator.nesting.engine.arrange import Arranger
from estimator.nesting.engine.attempts import attempts
from estimator.nesting.engine.shapes import ShapeBank
from estimator.nesting.offcuts import areas_of
from estimator.nesting.problem import Blemish, Objective, Piece, Problem, Sheet
from estimator.quality import Spoil
from estimator.workshop.order.prepare import nesting_problem
from estimator.workshop.order.reader import read_order

DEMO = Path(__file__).parents[2] / "data" / "demo" / "order.toml"

SHEATHS = ("pruning", "grafting", "foraging")
"""The demo's lines: a fold-over with welt, a pouch with welt, and another fold-over."""

MIXES: dict[str, tuple[str, ...]] = {
    "straps": ("pruning/belt loop", "foraging/belt loop", "foraging/strap"),
    "loops": ("pruning/belt loop", "foraging/belt loop"),
    "strap": ("foraging/strap",),
    "welts": ("pruning/welt", "foraging/welt", "grafting/welt"),
    "pouch": ("grafting/front", "grafting/back", "grafting/welt"),
    "fold-over": ("pruning/body", "pruning/welt", "pruning/belt loop"),
    "mixed": tuple(
        f"{line}/{part}"
        for line, parts in (
            ("pruning", ("body", "welt", "belt loop")),
            ("grafting", ("front", "back", "welt")),
            ("foraging", ("body", "welt", "belt loop", "strap")),
        )
        for part in parts
    ),
}
"""Parts of one set. Linings, of thinner leather, are left out."""

PLAIN_MM = 1.0
"""Outlines are drawn no finer than this while leather is filled."""


@cache
def demo() -> Problem:
    """The demo's order as a problem, with its margins and its keep rule."""
    return nesting_problem(read_order(DEMO))


def mix_problem(mix: str, sets: int, *sheets: Sheet, objective: Objective) -> Problem:
    """Some sets of a mix on these sheets."""
    by_key = {piece.key: piece for piece in demo().pieces}
    pieces = tuple(
        replace(
            by_key[key],
            kit=mix,
            copies=sets * by_key[key].per_kit,
            sheets=frozenset(sheet.key for sheet in sheets),
        )
        for key in MIXES[mix]
    )
    return replace(demo(), pieces=pieces, sheets=sheets, objective=objective)


def filling_problem(mix: str, *sheets: Sheet) -> Problem:
    """More sets of a mix than can lie on these sheets."""
    one = mix_problem(mix, 1, *sheets, objective=Objective.SHEET)
    set_mm2 = sum(piece.outline.area * piece.copies for piece in one.pieces)
    most = ceil(sum(sheet.outline.area for sheet in sheets) / set_mm2)
    return mix_problem(mix, most, *sheets, objective=Objective.SHEET)


def plain(piece: Piece) -> Piece:
    """A piece drawn more coarsely, which takes a third of the time to lay."""
    zones = tuple(
        replace(zone, outline=largest(zone.outline.simplify(PLAIN_MM))) for zone in piece.zones
    )
    return replace(piece, outline=largest(piece.outline.simplify(PLAIN_MM)), zones=zones)


def fill(asked: Problem, arrangements: int) -> dict[str, float]:
    """Area of parts by sheet, mm2, in the fullest of some arrangements by size.

    Sets need not be complete: what counts is how much of the leather parts can use.
    """
    asked = replace(asked, pieces=tuple(plain(piece) for piece in asked.pieces))
    bank = ShapeBank(asked)
    arranger = Arranger(bank, ())
    by_size = (attempt for attempt in attempts(asked, 1) if not attempt.by_set)
    fullest = dict.fromkeys((sheet.key for sheet in asked.sheets), 0.0)
    for attempt in islice(by_size, arrangements):
        found = dict.fromkeys((sheet.key for sheet in asked.sheets), 0.0)
        for each in arranger.arrange(attempt):
            sheet = asked.sheets[each.sheet]
            found[sheet.key] += asked.pieces[each.item.piece].outline.area
        fullest = max(fullest, found, key=lambda areas: sum(areas.values()))
    return fullest


def leather(outline: Polygon, *blemishes: Blemish, turn_deg: float = 0.0) -> Sheet:
    """A sheet turned as it may lie; the backbone turns with it."""
    return Sheet(
        key="leather",
        outline=turned(outline, turn_deg),
        blemishes=tuple(replace(b, outline=turned(b.outline, turn_deg)) for b in blemishes),
        axis_deg=turn_deg,
        worth_per_mm2=1.0,
        lot="",
    )


def turned(outline: Polygon, turn_deg: float) -> Polygon:
    """An outline turned about the origin."""
    found = affinity.rotate(outline, turn_deg, origin=(0.0, 0.0))
    assert isinstance(found, Polygon)
    return found


def blob(random: np.random.Generator, x_mm: float, y_mm: float, reach_mm: float) -> Polygon:
    """A ragged, longish patch."""
    angle = 2 * np.pi * (np.arange(14) + random.uniform(-0.4, 0.4, 14)) / 14
    radius = reach_mm * random.uniform(0.5, 1.0, 14)
    ring = np.column_stack([radius * np.cos(angle), 0.6 * radius * np.sin(angle)])
    patch = affinity.rotate(Polygon(ring), random.uniform(0.0, 180.0), origin=(0.0, 0.0))
    return largest(affinity.translate(patch, x_mm, y_mm).buffer(0))


def side(random: np.random.Generator, length_mm: float, width_mm: float) -> Polygon:
    """Half a hide: backbone all but straight along y = 0, belly wavy, with two shanks."""
    x = np.linspace(0.0, length_mm, 60)
    t = x / length_mm
    wave = 0.12 * np.sin(2 * np.pi * t + random.uniform(0.0, 6.0))
    shanks = 0.16 * sum(np.exp(-(((t - at) / 0.08) ** 2)) for at in (0.15, 0.85))
    ends = np.clip(np.minimum(t, 1.0 - t) * 12.0, 0.25, 1.0) ** 0.6
    height = width_mm * (0.72 + wave + shanks) * ends
    backbone = zip(x, -3.0 * np.sin(5.0 * t), strict=True)
    return largest(Polygon([*backbone, *zip(x[::-1], height[::-1], strict=True)]).buffer(0))


def largest(shape: shapely.geometry.base.BaseGeometry) -> Polygon:
    """The largest area in a geometry."""
    return max(areas_of(shape), key=lambda polygon: polygon.area)


def bitten(outline: Polygon, bite: Polygon) -> Polygon:
    """An outline less a bite, its largest piece."""
    return largest(outline.difference(bite))


def scars(random: np.random.Generator, outline: Polygon, count: int) -> tuple[Blemish, ...]:
    """Unusable spots anywhere on a sheet, 10 to 40 mm across."""
    left, low, right, high = outline.bounds
    found: list[Blemish] = []
    while len(found) < count:
        spot = blob(random, random.uniform(left, right), random.uniform(low, high), 20.0)
        size = random.uniform(0.3, 1.1)
        spot = affinity.scale(spot, size, size)
        if outline.intersects(spot):
            found.append(Blemish(outline=spot, spoil=Spoil.UNUSABLE, kind="scar"))
    return tuple(found)


def rectangle(length_mm: float, width_mm: float) -> Polygon:
    """Corner at the origin."""
    return box(0.0, 0.0, length_mm, width_mm)

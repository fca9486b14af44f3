"""Leftovers at random: needles, and rings that touch or nearly do."""

from math import cos, sin, tau
from random import Random
from typing import NamedTuple

from shapely import Point, Polygon, affinity, box, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.nesting.problem import Keep

STEPS_MM = (0.0, 0.0, 1e-14, 1e-12, -1e-12, 1e-9, -1e-9, 1e-6)
"""How far corners miss each other."""


class Leftover(NamedTuple):
    """What ``worth_keeping`` is asked."""

    rest: BaseGeometry
    sheet: Polygon
    keep: Keep
    axis_deg: float


def leftover(random: Random) -> Leftover:
    """Put some shapes on a sheet, corner to corner half of the time, and give what is left."""
    size = random.choice([125, 160, 400])
    diamond = Polygon([(size, 0), (0, -size), (-size, 0), (0, size)])
    sheet = random.choice([box(0, 0, size, size), diamond, diamond.buffer(20)])
    sheet = affinity.rotate(sheet, _turn_deg(random), (0, 0))
    taken: list[Polygon] = []
    for _ in range(random.randint(1, 10)):
        taken.append(_put(random, _shape(random), [*taken, sheet], is_touching=bool(taken)))
    if random.random() < 0.4:
        twin = random.choice(taken)
        mirrored = affinity.scale(twin, -1, 1, origin=(twin.bounds[2], 0))
        taken.append(affinity.translate(mirrored, random.choice([1e-13, 1e-10, 1e-7, 0.0])))
    if random.random() < 0.3:
        taken = [each.buffer(random.choice([0.0, 1.0, 3.0])) for each in taken]
    rest = sheet.difference(unary_union(taken))
    if random.random() < 0.15:
        rim = sheet.difference(sheet.buffer(random.choice([-1e-9, -11, -20])))
        rest = rim.union(rest)
    keep = Keep(
        disc_radius_mm=random.choice([5, 15, 40]),
        area_mm2=random.choice([0.0, 500.0, 2000.0]),
        strip_width_mm=random.choice([3.0, 10.0, 30.0]),
        strip_length_mm=random.choice([20.0, 100.0]),
    )
    return Leftover(rest, sheet, keep, _turn_deg(random))


def _turn_deg(random: Random) -> float:
    return random.choice([0.0, 30.0, 33.3, -37.5, 90.0, random.uniform(-180, 180)])


def _shape(random: Random) -> Polygon:
    """A rectangle, a disc or a ragged star, turned."""
    ragged = Polygon(
        [
            (far * cos(turn), far * sin(turn))
            for turn in sorted(random.uniform(0, tau) for _ in range(random.randint(3, 9)))
            for far in [random.uniform(5, 80)]
        ]
    )
    hull = ragged if ragged.is_valid else ragged.convex_hull
    assert isinstance(hull, Polygon)
    shape = random.choice(
        [
            box(0, 0, random.uniform(5, 90), random.uniform(5, 90)),
            Point(0, 0).buffer(random.uniform(5, 60)),
            hull,
        ]
    )
    return affinity.rotate(shape, _turn_deg(random), (0, 0))


def _put(random: Random, shape: Polygon, others: list[Polygon], *, is_touching: bool) -> Polygon:
    """Put a shape somewhere on the sheet, or with a corner on the outline of another."""
    *_, sheet = others
    left, low, right, high = sheet.bounds
    if not is_touching or random.random() < 0.5:
        return affinity.translate(shape, random.uniform(left, right), random.uniform(low, high))
    ring = list(random.choice(others).exterior.coords)
    at = random.randrange(len(ring) - 1)
    share = random.choice([0.0, 0.0, 0.5, random.random()])
    (x0, y0), (x1, y1) = ring[at], ring[at + 1]
    corner_x, corner_y = random.choice(list(shape.exterior.coords))
    step = random.choice(STEPS_MM)
    return affinity.translate(
        shape,
        x0 + share * (x1 - x0) - corner_x + step,
        y0 + share * (y1 - y0) - corner_y + step * random.choice([-1, 0, 1]),
    )


def wrong(asked: Leftover, kept: tuple[Polygon, ...], random: Random) -> list[str]:
    """Tell what is wrong with the leftovers that are kept.

    No strip of the rule fits into what is not kept, tried at random places, nor a disc if any
    area is enough; with room to spare, since arcs are drawn as chords.
    """
    rule = asked.keep
    arc_mm = 0.02 + 0.005 * rule.disc_radius_mm
    found = [] if all(each.is_valid for each in kept) else ["sides cross"]
    union = unary_union(kept)
    if sum(each.area for each in kept) - union.area > 0.01:
        found.append("leftovers overlap")
    if union.difference(asked.rest.buffer(arc_mm)).area > 1e-6:
        found.append("more is kept than is left")
    if union.difference(asked.sheet.buffer(1e-6)).area > 1e-6:
        found.append("more is kept than the sheet")
    across, up = rule.strip_length_mm / 2, rule.strip_width_mm / 2
    probes = [affinity.rotate(box(-across, -up, across, up), asked.axis_deg, (0, 0))]
    if not rule.area_mm2:
        probes.append(Point(0, 0).buffer(rule.disc_radius_mm + arc_mm))
    bare = asked.rest.buffer(-0.1).difference(union.buffer(arc_mm))
    large = [each for each in getattr(bare, "geoms", [bare]) if each.area > 4 * across * up]
    for place in large * 40:
        left, low, right, high = place.bounds
        x, y = random.uniform(left, right), random.uniform(low, high)
        if any(bare.covers(affinity.translate(probe, x, y)) for probe in probes):
            found.append(f"more could be kept at {x:.1f}, {y:.1f}")
    return found

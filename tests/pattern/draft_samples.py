"""Blades and drafts for tests, one that works and random ones, and a cross-section drawn out."""

from dataclasses import replace
from math import cos, pi, sin
from typing import Any

from hypothesis import strategies as st
from shapely import LineString, Polygon

from estimator.geometry.shapes import polygon_from_points
from estimator.pattern.blades import Blade, HandleSection
from estimator.pattern.draft.drafting import Drafted, drafted
from estimator.pattern.draft_choices import (
    BeltLoop,
    Construction,
    Draft,
    Finished,
    Keeper,
    Sewing,
    Shown,
    Strap,
    Throat,
)
from estimator.pattern.parts import Hand, Part, Pattern

LOOP = BeltLoop(
    belt_width_mm=40.0, belt_thickness_mm=4.0, clearance_mm=3.0, width_mm=None, tab_mm=30.0
)
STRAP = Strap(
    name="strap", width_mm=18.0, overlap_mm=40.0, rivet="double-cap rivet", snap="line snap"
)
KEEPER = Keeper(
    name="keeper",
    holds_width_mm=12.0,
    holds_thickness_mm=8.0,
    width_mm=20.0,
    overlap_mm=12.0,
    at_mm=None,
)


ARC_STEPS = 100


def blade(outline: Polygon | None = None, **others: Any) -> Blade:
    """A blade 100 mm long and 24 mm wide to its point, with 40 mm of a handle 28 mm wide."""
    point = [
        (-40, 2),
        (-40, -26),
        (0, -26),
        (0, -24),
        (80, -24),
        (100, -4),
        (95, 0),
        (0, 0),
        (0, 2),
    ]
    given: dict[str, Any] = {
        "outline": outline or polygon_from_points([(float(x), float(y)) for x, y in point]),
        "length_mm": 100.0,
        "spine_thickness_mm": 3.0,
        "bevel_mm": 8.0,
        "handle_thickness_mm": 18.0,
        "handle_section": HandleSection.OVAL,
    }
    return Blade(**(given | others))


def sewing(**others: Any) -> Sewing:
    """A seam 4 mm inside the edge, at 4 mm pitch."""
    given: dict[str, Any] = {
        "from_edge_mm": 4.0,
        "start_mm": 4.0,
        "end_mm": None,
        "pitch_mm": 4.0,
        "glue_width_mm": 10.0,
        "backstitches": 4,
        "thread": "waxed thread",
    }
    return Sewing(**(given | others))


def draft(**others: Any) -> Draft:
    """A plain fold-over of 3 mm leather over 30 mm of the handle."""
    given: dict[str, Any] = {
        "blade": blade(),
        "construction": Construction.FOLD_OVER,
        "leather_min_mm": 3.0,
        "leather_max_mm": 3.0,
        "neutral_axis_share": 0.5,
        "handle_covered_mm": 30.0,
        "girth_clearance_mm": 4.0,
        "edge_clearance_mm": 3.0,
        "welt_width_mm": 10.0,
        "welts": 1,
        "sewing": sewing(),
        "throat": Throat.STRAIGHT,
        "throat_depth_mm": 0.0,
        "tip_radius_mm": 15.0,
        "drain_gap_mm": 0.0,
        "dyes_grain": True,
        "dyes_flesh": False,
        "finished": Finished.ALL,
        "shown": Shown.FRONT,
        "belt_loop": None,
        "straps": (),
        "keepers": (),
    }
    return Draft(**(given | others))


def make(made_of: Draft | None = None, hand: Hand = Hand.RIGHT, **others: Any) -> Drafted:
    """Draft it, wet-formed, under the name pruning."""
    what = made_of or draft()
    return drafted(replace(what, **others), name="pruning", hand=hand, wet_formed=True)


def pattern(**others: Any) -> Pattern:
    """The pattern of a draft that differs from the plain one in this."""
    return make(**others).pattern


def depth_mm(made: Pattern, at_mm: float) -> float:
    """Distance from the fold line to the welt at one place, measured on the parts."""
    ray = LineString([(at_mm, -1000.0), (at_mm, 1000.0)])
    _, low, _, high = ray.intersection(made.part("welt").outline).bounds
    return min(abs(low), abs(high))


def band_mm(parts: tuple[Part, ...], at_mm: float) -> float:
    """Distance between the welts of a pouch at one place, measured on the parts."""
    ray = LineString([(at_mm, -1000.0), (at_mm, 1000.0)])
    front = next(part for part in parts if part.name == "front")
    covered = [part.outline for part in parts if part.name.startswith("welt")]
    free = ray.intersection(front.outline)
    for welt in covered:
        free = free.difference(welt)
    return float(free.length)


def section(
    *, depth_mm: float, spine_mm: float, thickness_mm: float, share: float, welts: int
) -> Polygon | None:
    """The inside of a fold-over pocket, drawn out: an arc round the spine, two straight walls,
    and a bend back into the seam, where both walls lie parallel on the welt.

    The leather's neutral axis is ``depth_mm`` long on either side. How steeply the walls close
    is found by halving, until they meet the welt; None where they are too short for arcs of
    these radii to meet it at all.
    """
    neutral = share * thickness_mm
    radius, back = spine_mm / 2.0, 6.0  # the bend into the seam, at the neutral axis
    wanted = welts * thickness_mm / 2.0

    def half(steep: float) -> list[tuple[float, float]]:
        """Inside face from the spine to the welt, y up, for walls that close by ``steep``."""
        sign = 1.0 if steep >= 0.0 else -1.0
        straight = depth_mm - (pi / 2 + steep) * (radius + neutral) - abs(steep) * back
        points = [
            (-radius * cos(turn), radius * sin(turn))
            for turn in ((pi / 2 + steep) * k / ARC_STEPS for k in range(ARC_STEPS + 1))
        ]
        x, y = points[-1]
        x, y = x + straight * cos(steep), y - straight * sin(steep)
        points.append((x, y))
        inner = back + sign * neutral  # its face is on the far side of that bend if steep
        for k in range(1, ARC_STEPS + 1):
            left = steep * (1.0 - k / ARC_STEPS)
            points.append(
                (
                    x + sign * inner * (sin(steep) - sin(left)),
                    y - sign * inner * (cos(left) - cos(steep)),
                )
            )
        return points

    low, high = -1.2, 1.2
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if half(middle)[-1][1] > wanted else (low, middle)
    upper = half((low + high) / 2.0)
    straight = (upper[ARC_STEPS + 1][0] - upper[ARC_STEPS][0]) / cos((low + high) / 2.0)
    if straight < 0.0 or abs(upper[-1][1] - wanted) > 1e-6:
        return None
    return Polygon(upper + [(x, -y) for x, y in reversed(upper[1:])])


@st.composite
def blades(draw: st.DrawFn) -> Blade:
    """A blade of uneven width, its spine sunk here and there, with a handle."""
    length = draw(st.floats(40.0, 220.0))
    count = draw(st.integers(2, 6))
    at = [length * k / count for k in range(count)]
    tops = [-draw(st.floats(0.0, 8.0)) for _ in at]
    widths = [draw(st.floats(8.0, 45.0)) for _ in at]
    tip = (length, tops[-1] - widths[-1] * draw(st.floats(0.0, 1.0)))
    over, under = draw(st.floats(-5.0, 6.0)), draw(st.floats(15.0, 40.0))
    ring = [
        (-90.0, over),
        (-90.0, over - under),
        (0.0, over - under),
        *((x, y - w) for x, y, w in zip(at, tops, widths, strict=True)),
        tip,
        *reversed([(x, y) for x, y in zip(at, tops, strict=True)]),
        (0.0, over),
    ]
    return blade(
        polygon_from_points(ring),
        length_mm=length,
        spine_thickness_mm=draw(st.floats(1.0, 7.0)),
        bevel_mm=draw(st.none() | st.floats(2.0, 30.0)),
        handle_thickness_mm=draw(st.floats(10.0, 30.0)),
        handle_section=draw(st.sampled_from(HandleSection)),
    )


@st.composite
def drafts(draw: st.DrawFn, construction: Construction | None = None) -> Draft:
    """A random blade and random choices that go with it."""
    thickness = draw(st.floats(1.5, 5.0))
    throat = draw(st.sampled_from(Throat))
    is_straight = throat is Throat.STRAIGHT
    return draft(
        blade=draw(blades()),
        construction=construction or draw(st.sampled_from(Construction)),
        leather_min_mm=thickness,
        leather_max_mm=thickness + draw(st.sampled_from([0.0, 0.5, 1.0])),
        neutral_axis_share=draw(st.floats(0.0, 1.0)),
        handle_covered_mm=draw(st.floats(10.0, 80.0)),
        girth_clearance_mm=draw(st.floats(0.0, 12.0)),
        edge_clearance_mm=draw(st.floats(0.0, 6.0)),
        welt_width_mm=draw(st.floats(8.0, 16.0)),
        welts=draw(st.integers(1, 2)),
        throat=throat,
        throat_depth_mm=0.0 if is_straight else draw(st.floats(0.0, 10.0)),
        tip_radius_mm=draw(st.floats(0.0, 40.0)),
        shown=draw(st.sampled_from(Shown)),
        finished=draw(st.sampled_from(Finished)),
    )

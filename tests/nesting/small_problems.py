"""Small nesting problems at random, awkward on purpose: for property tests and long soaks."""

from math import cos, pi, sin
from random import Random

from shapely import MultiPolygon, Polygon, affinity, box

from estimator.nesting.problem import (
    Blemish,
    Keep,
    Margins,
    Mirror,
    Objective,
    Piece,
    Problem,
    Sheet,
    Turn,
    Zone,
)
from estimator.quality import Need, Spoil
from tests.nesting.samples import without

KINDS = ("scratch", "stain", "")
NEEDS = (
    frozenset({Need.SHOW}),
    frozenset({Need.LOAD}),
    frozenset({Need.SHOW, Need.LOAD}),
)
TURNS = (
    (Turn(from_deg=0.0, to_deg=0.0),),
    (Turn(from_deg=0.0, to_deg=0.0), Turn(from_deg=180.0, to_deg=180.0)),
    (Turn(from_deg=-15.0, to_deg=15.0),),
    (Turn(from_deg=350.0, to_deg=370.0), Turn(from_deg=90.0, to_deg=90.0)),
    (Turn(from_deg=33.3, to_deg=33.3),),
    (Turn(from_deg=0.0, to_deg=360.0),),
)


def small_problem(random: Random) -> Problem:
    """A problem that nests in a moment.

    Parameters
    ----------
    random : Random
        Same state, same problem.

    Returns
    -------
    Problem
        One to three kinds of piece, one or two sheets, any margins, needs and turns.
    """
    sheets = tuple(_sheet(random, f"sheet {n}") for n in range(random.randint(1, 2)))
    keys = [sheet.key for sheet in sheets]
    return Problem(
        pieces=tuple(_piece(random, f"piece {n}", keys) for n in range(random.randint(1, 3))),
        sheets=sheets,
        margins=Margins(
            spacing_mm=random.choice([0.0, 0.5, 3.0]),
            edge_mm=random.choice([0.0, 2.0, 5.0]),
            flaw_mm=random.choice([0.0, 1.0, 3.0]),
        ),
        keep=Keep(
            disc_radius_mm=15.0,
            area_mm2=2000.0,
            strip_width_mm=random.choice([0.0, 10.0]),
            strip_length_mm=100.0,
        ),
        objective=Objective.LENGTH
        if len(sheets) == 1 and random.random() < 0.1
        else Objective.SHEET,
        poor_share=random.choice([1.0, 0.6]),
    )


def shape(random: Random, size_mm: float) -> Polygon:
    """A simple polygon about the origin, of about a size: smooth, jagged, thin, bent or hollow."""
    kind = random.choice(["block", "star", "needle", "bent", "hollow", "many", "straight"])
    half = size_mm / 2
    if kind == "block":
        outline = box(-half, -half * random.uniform(0.2, 1.0), half, half)
    elif kind == "star":
        outline = _star(random, random.randint(3, 12), half * 0.3, half)
    elif kind == "needle":
        outline = Polygon([(-half, 0.0), (half, 0.0), (half * random.uniform(-1.0, 1.0), 0.8)])
    elif kind == "bent":
        notch = box(
            -half * random.uniform(0.2, 0.8), -half * random.uniform(-0.3, 0.6), size_mm, half
        )
        outline = without(box(-half, -half, half, half), notch)
    elif kind == "hollow":
        hole = affinity.scale(_star(random, 6, half * 0.3, half * 0.8), 1.0, 0.7)
        outline = without(box(-half, -half, half, half), hole)
    elif kind == "many":
        outline = _star(random, random.randint(60, 120), half * 0.9, half)
    else:  # corners that turn nowhere
        outline = Polygon(
            [(-half, 0), (-half / 3, 0), (0, 0), (half, 0), (half, half), (0, half), (-half, half)]
        )
    return affinity.rotate(outline, random.uniform(0.0, 360.0), (0.0, 0.0))


def _star(random: Random, corners: int, least_mm: float, most_mm: float) -> Polygon:
    """A ring seen whole from its middle."""
    return Polygon(
        [
            (r * cos(2 * pi * k / corners), r * sin(2 * pi * k / corners))
            for k, r in ((k, random.uniform(least_mm, most_mm)) for k in range(corners))
        ]
    )


def _sheet(random: Random, key: str) -> Sheet:
    width, height = random.uniform(60.0, 260.0), random.uniform(60.0, 200.0)
    kind = random.choice(["block", "hide", "neck", "holed"])
    outline = box(0.0, 0.0, width, height)
    if kind == "hide":
        outline = affinity.scale(_star(random, 16, 70.0, 120.0), 1.0, height / 200.0)
    elif kind == "neck":  # two parts joined by a strip
        gap = random.uniform(2.0, 30.0)
        outline = without(outline, box(width * 0.4, -1.0, width * 0.6, height - gap))
    elif kind == "holed":
        hole = box(width * 0.4, height * 0.4, width * 0.5, height * 0.6)
        outline = without(outline, hole)
    left, low, right, high = outline.bounds
    blemishes = []
    for _ in range(random.randint(0, 3)):
        spot = affinity.translate(
            shape(random, random.uniform(3.0, 80.0)),
            random.uniform(left - 10.0, right + 10.0),
            random.uniform(low - 10.0, high + 10.0),
        )
        blemishes.append(
            Blemish(outline=spot, spoil=random.choice(list(Spoil)), kind=random.choice(KINDS))
        )
    return Sheet(
        key=key,
        outline=outline,
        blemishes=tuple(blemishes),
        axis_deg=random.choice([0.0, 0.0, 90.0, -37.5, 400.0]),
        worth_per_mm2=random.choice([0.5, 1.0]),
        lot=random.choice(["", "A", "B"]),
    )


def _piece(random: Random, key: str, sheets: list[str]) -> Piece:
    outline = shape(random, random.uniform(10.0, 90.0))
    outline = affinity.translate(outline, random.uniform(-50.0, 50.0), random.uniform(-50.0, 50.0))
    per_kit = random.randint(1, 2)
    return Piece(
        key=key,
        copies=per_kit * random.randint(1, 3),
        outline=outline,
        zones=_zones(random, outline),
        turns=random.choice(TURNS),
        sheets=frozenset(random.sample(sheets, random.randint(1, len(sheets)))),
        mirror=random.choice(list(Mirror)),
        kit=random.choice(["kit", key]),
        per_kit=per_kit,
        same_lot=random.random() < 0.3,
        ignores=frozenset({"stain"} if random.random() < 0.3 else ()),
    )


def _zones(random: Random, outline: Polygon) -> tuple[Zone, ...]:
    """No need, the same need all over, or needs that differ from half to half."""
    how = random.choice(["none", "whole", "halves"])
    if how == "none":
        return ()
    if how == "whole":
        return (Zone(outline=outline, needs=random.choice(NEEDS)),)
    left, low, right, high = outline.bounds
    middle = (left + right) / 2
    zones = []
    for half in (box(left, low, middle, high), box(middle, low, right, high)):
        area = outline.intersection(half)
        parts = area.geoms if isinstance(area, MultiPolygon) else [area]
        needs = random.choice(NEEDS)
        zones += [Zone(outline=part, needs=needs) for part in parts if isinstance(part, Polygon)]
    return tuple(zones[: random.randint(1, len(zones))])

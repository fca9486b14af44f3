"""How far from an edge leather begins to count: the rim that best predicts what still fits.

Leather of several shapes is filled with parts of the demo: whole, with a hole cut out of its
middle, with the same area cut from an edge or a corner, and with scars. For each rim the area
of parts laid is taken to be proportional to the worth of the leather, with a density for each
mix of parts. The error is told as a share of what the leather would hold by its bare area; the
density used for a shape comes from the other shapes. The interval is that of the best rim when
shapes are drawn again with replacement. Strips are filled likewise.
"""

import argparse
import json
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, affinity, box

from estimator.nesting.problem import Keep, Sheet
from estimator.nesting.worth import worth_before_mm2
from tests.benchmarks.worth_cases import (
    PLAIN_MM,
    bitten,
    demo,
    fill,
    filling_problem,
    largest,
    leather,
    rectangle,
    scars,
    side,
)

Table = NDArray[np.float64]

WAYS = ("whole", "hole", "edge", "corner", "scars")
TURNS = 2
"""Layouts of each leather, turned differently; what they differ by is the noise."""
ARRANGEMENTS = 4
PIECE_MIXES = ("straps", "pouch", "fold-over", "mixed")
STRIP_MIXES = ("straps", "loops", "strap")
RIMS = np.arange(0.0, 51.0)
STRIP_RIMS = np.arange(0.0, 16.0, 0.5)
STRIP_LENGTHS_MM = (430.0, 560.0, 720.0, 900.0)
STRIP_WIDTHS_MM = tuple(float(width) for width in range(32, 80, 3))
DRAWS = 1000
"""How often shapes are drawn again for the interval."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One leather: a shape, what is missing in it, and which one of several."""

    shape: str
    way: str
    number: int

    @property
    def random(self) -> np.random.Generator:
        """The same for the same case; what is cut away has the same size whatever the way."""
        return np.random.default_rng([*self.shape.encode(), self.number])


def shape_of(name: str, random: np.random.Generator) -> Polygon:
    """An outline by name, a little larger or smaller each time."""
    kind, length, width = name.split("-")
    long, wide = (float(each) * random.uniform(0.92, 1.08) for each in (length, width))
    if kind == "side":
        return largest(side(random, long, wide).simplify(PLAIN_MM))
    if kind == "shank":
        return Polygon([(0, 0), (long, 0), (long, 0.25 * wide), (0, wide)])
    whole = rectangle(long, wide)
    return bitten(whole, box(0.45 * long, 0.45 * wide, long, wide)) if kind == "ell" else whole


SHAPES = (
    "rectangle-300-220",
    "rectangle-400-300",
    "rectangle-560-430",
    "rectangle-800-500",
    "side-480-300",
    "side-720-400",
    "side-980-560",
    "ell-500-400",
    "ell-800-560",
    "narrow-700-105",
    "narrow-900-140",
    "shank-520-260",
)


def sheet_of(case: Case, turn_deg: float) -> Sheet:
    """The leather of a case as it lies on the bench."""
    random = case.random
    outline = shape_of(case.shape, random)
    lost_mm2 = random.uniform(0.06, 0.14) * outline.area
    ratio, place = random.uniform(1.2, 3.3), random.uniform(0.25, 0.75)
    if case.way == "scars":
        found = scars(random, outline, int(random.integers(2, 6)))
        return leather(outline, *found, turn_deg=turn_deg)
    if case.way == "hole":
        outline = bitten(outline, _hole(outline, lost_mm2, ratio))
    elif case.way in {"edge", "corner"}:
        outline = _cut(outline, lost_mm2, ratio, place if case.way == "edge" else 0.0)
    return leather(outline, turn_deg=turn_deg)


def _hole(outline: Polygon, lost_mm2: float, ratio: float) -> Polygon:
    """A block out of the middle: flatter where the leather is narrow."""
    left, low, right, high = outline.bounds
    for flatter in (1.0, 1.5, 2.0, 3.0, 5.0, 8.0):
        wide = (lost_mm2 * ratio * flatter) ** 0.5
        tall = lost_mm2 / wide
        ground = outline.buffer(-0.6 * tall)
        level = ground.intersection(box(left + wide / 2, low, right - wide / 2, high))
        centre = level.representative_point()
        block = box(-wide / 2, -tall / 2, wide / 2, tall / 2)
        hole = block if level.is_empty else affinity.translate(block, centre.x, centre.y)
        if isinstance(hole, Polygon) and outline.buffer(-10.0).contains(hole):
            return hole
    raise ValueError(f"no room for a hole of {lost_mm2:.0f} mm2")


def _cut(outline: Polygon, lost_mm2: float, ratio: float, place: float) -> Polygon:
    """Less a block from the lower edge, or from the corner if the place is 0."""
    left, low, right, _ = outline.bounds
    at = left + place * (right - left)
    least, most = 0.0, right - left
    for _ in range(40):
        wide = (least + most) / 2
        start = at - wide / 2 if place else left
        block = box(start, low - 1.0, start + wide, low + wide / ratio)
        if outline.intersection(block).area < lost_mm2:
            least = wide
        else:
            most = wide
    return bitten(outline, block)


def piece_cases(numbers: int) -> list[Case]:
    """All of them."""
    return [
        Case(shape=shape, way=way, number=number)
        for number in range(numbers)
        for shape in SHAPES
        for way in WAYS
    ]


def strip_cases() -> list[Case]:
    """All of them; narrower than the disc of the demo's keep rule."""
    return [
        Case(shape=f"{length}x{width}", way="strip", number=0)
        for length in STRIP_LENGTHS_MM
        for width in STRIP_WIDTHS_MM
    ]


def bench(case: Case, turn: int) -> Sheet:
    """The leather of a case, turned in one of several ways."""
    turn_deg = float(
        np.random.default_rng([*case.shape.encode(), case.number, turn]).uniform(0.0, 360.0)
    )
    if case.way == "strip":
        length, width = (float(each) for each in case.shape.split("x"))
        return leather(rectangle(length, width), turn_deg=turn_deg if turn else 0.0)
    return sheet_of(case, turn_deg)


def laid_mm2(mix: str, sheet: Sheet, arrangements: int) -> float:
    """Area of the parts that the engine lays of more than can fit, mm2."""
    return sum(fill(filling_problem(mix, sheet), arrangements).values())


def measured(
    cases: list[Case], mixes: tuple[str, ...], runs: Path | None, arrangements: int
) -> dict[str, Table]:
    """Area laid by mix: a row for each case, a column for each turn; runs known are read."""
    known = dict(_known(runs))
    found: dict[str, list[list[float]]] = defaultdict(list)
    for case in cases:
        for mix in mixes:
            row = []
            for turn in range(TURNS):
                key = f"{case.shape}/{case.way}/{case.number}/{mix}/{turn}/{arrangements}"
                if key not in known:
                    known[key] = laid_mm2(mix, bench(case, turn), arrangements)
                    if runs is not None:
                        with runs.open("a", encoding="utf-8") as file:
                            file.write(json.dumps([key, known[key]]) + "\n")
                row.append(known[key])
            found[mix].append(row)
    return {mix: np.array(rows) for mix, rows in found.items()}


def _known(runs: Path | None) -> Iterator[tuple[str, float]]:
    if runs is None or not runs.exists():
        return
    for line in runs.read_text(encoding="utf-8").splitlines():
        key, area = json.loads(line)
        yield key, area


def worths(cases: list[Case], rims: Table, *, of_strips: bool) -> Table:
    """Worth by each rim: a row for each rim, a column for each case, mm2."""
    rule = demo().keep
    rules: list[Keep] = [
        replace(rule, strip_rim_mm=rim) if of_strips else replace(rule, rim_mm=rim)
        for rim in map(float, rims)
    ]
    sheets = [bench(case, 0) for case in cases]
    return np.array([[worth_before_mm2(sheet, each) for sheet in sheets] for each in rules])


def areas(cases: list[Case]) -> Table:
    """Bare areas, mm2."""
    return np.array([bench(case, 0).outline.area for case in cases])


def density(worth: Table, laid: Table, area: Table) -> Table:
    """Area of parts laid for each worth, through the origin, leather of any size alike."""
    share, held = worth / area, laid / area
    return np.asarray((share * held).sum(axis=-1) / (share * share).sum(axis=-1))


def errors(worth: Table, laid: Table, area: Table, dense: Table | float | None = None) -> Table:
    """Parts predicted less parts laid, as a share of what the bare area holds on the mean."""
    dense = density(worth, laid, area)[..., None] if dense is None else dense
    return np.asarray((dense * worth - laid) / (area * max(float((laid / area).mean()), 1e-9)))


def left_out(worth: Table, laid: Table, area: Table, groups: Table) -> Table:
    """Root mean square error for each rim, each group foretold from the others."""
    squares = np.zeros(worth.shape[0])
    scale = area * (laid / area).mean()
    for group in np.unique(groups):
        test = groups == group
        dense = density(worth[:, ~test], laid[~test], area[~test])
        gap = (dense[:, None] * worth[:, test] - laid[test]) / scale[test]
        squares += (gap**2).sum(axis=1)
    return np.sqrt(squares / len(groups))


def interval(
    worth: Table, laid: dict[str, Table], area: Table, groups: Table, rims: Table
) -> dict[str, tuple[float, float]]:
    """Where the best rim lies in 95 of 100 draws of the shapes, by mix and for all mixes."""
    random = np.random.default_rng(1)
    names = np.unique(groups)
    members = {name: np.flatnonzero(groups == name) for name in names}
    best = np.zeros((DRAWS, len(laid) + 1))
    for draw in range(DRAWS):
        chosen = np.concatenate([members[name] for name in random.choice(names, len(names))])
        squares = [
            (errors(worth[:, chosen], held[chosen], area[chosen]) ** 2).mean(axis=1)
            for held in laid.values()
        ]
        best[draw] = [rims[np.argmin(each)] for each in (*squares, np.sum(squares, axis=0))]
    low, high = np.quantile(best, [0.025, 0.975], axis=0)
    return {name: (low[k], high[k]) for k, name in enumerate([*laid, "all"])}


def noise(laid: Table, area: Table) -> float:
    """Standard deviation of one layout against another of the same leather, as errors are."""
    spread = np.std(laid, axis=1, ddof=1) / (area * (laid.mean(axis=1) / area).mean())
    return float(np.sqrt((spread**2).mean()))


def table(
    title: str, cases: list[Case], laid: dict[str, Table], rims: Table, shown: Table
) -> float:
    """Print errors by rim and mix; give the best rim for all mixes."""
    of_strips = cases[0].way == "strip"
    worth, area = worths(cases, rims, of_strips=of_strips), areas(cases)
    groups = np.array([case.shape.split("x")[-1] for case in cases])
    means = {mix: each.mean(axis=1) for mix, each in laid.items()}
    by_mix = {mix: left_out(worth, held, area, groups) for mix, held in means.items()}
    by_mix["all"] = np.sqrt(np.mean([each**2 for each in by_mix.values()], axis=0))
    spans = interval(worth, means, area, groups, rims)
    print(f"\n{title}: {len(cases)} leathers, {TURNS} layouts each\n")
    print(f"| rim, mm | {' | '.join(by_mix)} |\n|{'---|' * (len(by_mix) + 1)}")
    for row, rim in enumerate(rims):
        if rim in shown:
            print(f"| {rim:g} | {' | '.join(f'{each[row]:.3f}' for each in by_mix.values())} |")
    best = {mix: float(rims[np.argmin(each)]) for mix, each in by_mix.items()}
    print(f"| best | {' | '.join(f'{best[mix]:g}' for mix in by_mix)} |")
    told = [f"{low:g} to {high:g}" for low, high in (spans[mix] for mix in by_mix)]
    print(f"| 95 of 100 draws | {' | '.join(told)} |")
    spread = [f"{noise(laid[mix], area):.3f}" for mix in laid]
    print(f"| noise of one layout | {' | '.join(spread)} | |")
    row = int(np.argmin(by_mix["all"]))
    _bias(cases, worth[[0, row]], means, area, (float(rims[0]), float(rims[row])))
    return best["all"]


def _bias(
    cases: list[Case], worth: Table, laid: dict[str, Table], area: Table, rims: tuple[float, ...]
) -> None:
    """Print how much too many parts are foretold on the mean, by what is missing."""
    ways = np.array([case.way for case in cases])
    print("\nForetold less laid, mean of all mixes:\n")
    print(f"| rim, mm | {' | '.join(dict.fromkeys(ways))} |\n|{'---|' * (len(set(ways)) + 1)}")
    for k, rim in enumerate(rims):
        gaps = np.mean([errors(worth[k], held, area) for held in laid.values()], axis=0)
        told = [f"{gaps[ways == way].mean():+.3f}" for way in dict.fromkeys(ways)]
        print(f"| {rim:g} | {' | '.join(told)} |")


def losses(cases: list[Case], laid: dict[str, Table], rims: Table, shown: Table) -> None:
    """Print how well each rim foretells what a cut or a scar costs, as a share of the whole.

    This needs no density: the parts laid in the rest over those laid in the whole, and the
    worths likewise.
    """
    worth = worths(cases, rims, of_strips=False).reshape(len(rims), -1, len(WAYS))
    held = np.array([each.mean(axis=1) for each in laid.values()]).reshape(len(laid), -1, len(WAYS))
    fits = held[:, :, :1] > 0
    lost = np.where(fits, 1.0 - held / np.where(fits, held[:, :, :1], 1.0), np.nan)
    whole = worth[:, :, :1]
    told = 1.0 - worth / np.where(whole > 0, whole, np.inf)
    gaps = told[:, None, :, 1:] - lost[None, :, :, 1:]
    print("\nShare of the parts that a cut or scars cost, foretold less found (mean; last, the")
    print("root mean square of all):\n")
    print(f"| rim, mm | {' | '.join(WAYS[1:])} | all |\n|{'---|' * (len(WAYS) + 1)}")
    means = np.nanmean(gaps, axis=(1, 2))
    squares = np.sqrt(np.nanmean(gaps**2, axis=(1, 2, 3)))
    for row, rim in enumerate(rims):
        if rim in shown:
            by_way = " | ".join(f"{each:+.3f}" for each in means[row])
            print(f"| {rim:g} | {by_way} | {squares[row]:.3f} |")
    by_way = " | ".join(f"{each:.3f}" for each in np.nanmean(lost[:, :, 1:], axis=(0, 1)))
    print(f"| found | {by_way} | |")
    by_leather = np.nanmean(gaps**2, axis=(1, 3))
    shapes = np.array([case.shape for case in cases[:: len(WAYS)]])
    random = np.random.default_rng(1)
    best = []
    for _ in range(DRAWS):
        drawn = random.choice(np.unique(shapes), len(np.unique(shapes)))
        chosen = np.concatenate([np.flatnonzero(shapes == shape) for shape in drawn])
        best.append(rims[np.argmin(by_leather[:, chosen].mean(axis=1))])
    low, high = np.quantile(best, [0.025, 0.975])
    print(
        f"\nbest by this: {rims[np.argmin(squares)]:g} mm, {low:g} to {high:g} in 95 of 100 draws"
    )


def beside_pieces(
    strips: list[Case], narrow: Table, cases: list[Case], laid: Table, rim_mm: float
) -> None:
    """Print the best rim of strips where a mix has the density that it has in pieces."""
    worth, area = worths(cases, np.array([rim_mm]), of_strips=False), areas(cases)
    dense = float(density(worth[0], laid.mean(axis=1), area))
    of_strips, strip_area = worths(strips, STRIP_RIMS, of_strips=True), areas(strips)
    gaps = errors(of_strips, narrow.mean(axis=1), strip_area, dense)
    squares = np.sqrt((gaps**2).mean(axis=1))
    row = int(np.argmin(squares))
    print(f"\nStrips with the density of pieces ({dense:.3f} of the worth, straps): best rim")
    print(f"{STRIP_RIMS[row]:g} mm, error {squares[row]:.3f}, mean {gaps[row].mean():+.3f}")


def main() -> None:
    """Fill leather, then look for the rims."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="few leathers")
    parser.add_argument("--numbers", type=int, default=2, help="leathers of each kind (2)")
    parser.add_argument(
        "--arrangements", type=int, default=ARRANGEMENTS, help=f"of each ({ARRANGEMENTS})"
    )
    parser.add_argument("--runs", type=Path, help="file of areas laid, to go on from")
    options = parser.parse_args()
    cases, strips = piece_cases(1 if options.quick else options.numbers), strip_cases()
    mixes: tuple[str, ...] = PIECE_MIXES
    if options.quick:
        cases, strips, mixes = cases[:30], strips[::4], mixes[:2]
    narrow = measured(strips, STRIP_MIXES, options.runs, options.arrangements)
    laid = measured(cases, mixes, options.runs, options.arrangements)
    shown = np.arange(0.0, 51.0, 5.0)
    best = table("Pieces", cases, laid, RIMS, shown)
    losses(cases, laid, RIMS, shown)
    table("Strips", strips, narrow, STRIP_RIMS, np.arange(0.0, 16.0, 1.0))
    beside_pieces(strips, narrow["straps"], cases, laid["straps"], best)
    print(f"\n{process_time():.0f} CPU seconds")


if __name__ == "__main__":
    main()

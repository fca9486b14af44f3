"""Use less sheet: pull the sides of each sheet's window in, separate, and keep what is better.

A window is an octagon round what is laid on a sheet. Pulling one of its sides
in by a little area, and sometimes letting another out by less, makes overlap
that the guided local search removes or not. What counts in the end is the true
value of the layout, not the window.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np
from shapely import Polygon

from estimator.nesting.engine.arrays import DIRECTIONS, Floats, State
from estimator.nesting.engine.board import OPEN_MM, Board
from estimator.nesting.engine.duel import WORKERS, Duel, Try
from estimator.nesting.engine.overlap import update_all
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.strip import swap_large

PULLS = (0.004, 0.008, 0.015, 0.03, 0.06)
"""Shares of a window's area that one pull frees."""
CLOSE_CHANCE = 0.1
"""Chance to empty a whole sheet instead, where several are in use."""
SWAP_CHANCE = 0.15
"""Chance that two large items swap places besides."""
DRIFT = 1.003
"""A layout this little worse than the best of its line is still worked on."""
NARROW_AFTER = 0.5
"""Share of the budget after which only the best line is worked on."""


@dataclass(slots=True)
class Line:
    """One layout being worked on, with what was learnt about pulling its sides.

    Parameters
    ----------
    board : Board
        Holds its items.
    state : State
        Without overlap.
    cost, least : float
        Of this state, and the least reached on this line.
    full : frozenset of int
        Sheets that are consumed whole, so that using all of them costs nothing.
    """

    board: Board
    state: State
    cost: float
    least: float
    full: frozenset[int]
    luck: dict[tuple[int, int], float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pull:
    """What a try is for."""

    line: Line
    sheet: int
    side: int


Valued = tuple[float, frozenset[int]]
"""Cost of a layout, and the sheets it consumes whole."""


def shrink(
    lines: list[tuple[Board, list[Laid]]],
    value: Callable[[list[Laid]], Valued],
    seed: int,
    spend: Callable[[], float],
) -> Iterator[list[Laid]]:
    """Give cheaper and cheaper layouts until the budget is spent.

    Parameters
    ----------
    lines : list of (Board, list of Laid)
        Layouts to start from, best first.
    value : callable
        True cost of a layout, and the sheets it consumes whole.
    seed : int
        Starts the random numbers.
    spend : callable
        Counts one round and gives the share of the budget used.

    Yields
    ------
    list of Laid
        Each cheaper than the one before.
    """
    random = np.random.default_rng([seed, 2])
    work = []
    for board, laid in lines:
        cost, full = value(laid)
        work.append(Line(board, board.state(laid, random), cost, cost, full))
    least = min(line.least for line in work)
    share = 0.0
    with Duel() as duel:
        tries = [_pull(_choose(work, share, random), random) for _ in range(WORKERS)]
        while share < 1.0:
            duel.round(tries)
            share = spend()
            for index, each in enumerate(tries):
                if not (each.is_done or each.is_lost):
                    continue
                pull = each.purpose
                assert isinstance(pull, Pull)
                line = pull.line
                key = (pull.sheet, pull.side)
                is_better = False
                if each.is_done:
                    laid = line.board.laid(each.state)
                    cost, full = value(laid)
                    is_better = cost < line.cost
                    if cost <= line.least * DRIFT:
                        line.state, line.cost, line.full = each.state, cost, full
                        line.least = min(line.least, cost)
                    if cost < least:
                        least = cost
                        yield laid
                line.luck[key] = 0.7 * line.luck.get(key, 0.5) + 0.3 * is_better
                tries[index] = _pull(_choose(work, share, random), random)


def _choose(work: list[Line], share: float, random: np.random.Generator) -> Line:
    """The best line mostly, another one now and then while there is time."""
    ranked = sorted(work, key=lambda line: line.least)
    if share > NARROW_AFTER or random.random() < 0.5:
        return ranked[0]
    return ranked[int(random.integers(len(ranked)))]


def _pull(line: Line, random: np.random.Generator) -> Try:
    """A try with one side of one window pulled in, or one sheet emptied."""
    board = line.board
    reach = board.reaches(line.state)
    used = [k for k in range(len(reach)) if np.isfinite(reach[k, 0])]
    window = np.where(np.isfinite(reach), reach, -OPEN_MM)
    for sheet in line.full:
        window[sheet] = OPEN_MM
    if len(used) > 1 and random.random() < CLOSE_CHANCE:
        sheet, side = _close_one(line, used, window, random), -1
    else:
        sheet, side = _choose_side(line, used, random)
        area = _window_area(board, sheet, reach[sheet])
        freed = float(random.choice(PULLS))
        window[sheet] = reach[sheet]
        window[sheet, side] = _side_freeing(area, side, freed)
        if random.random() < 0.4:
            other = int(random.integers(len(DIRECTIONS)))
            if other != side:
                room = freed * area.area * random.uniform(0.1, 0.6)
                window[sheet, other] += room / np.sqrt(area.area)
    fresh = board.retry(line.state, window, random)
    if random.random() < SWAP_CHANCE:
        swap_large(board, fresh, random)
        update_all(board.ground, fresh)
    return Try(board.ground, fresh, Pull(line, sheet, side))


def _close_one(line: Line, used: list[int], window: Floats, random: np.random.Generator) -> int:
    """Close one used sheet, open all others, and give its number."""
    sheet = int(random.choice(used))
    window[:] = OPEN_MM
    window[sheet] = -OPEN_MM
    del line
    return sheet


def _choose_side(line: Line, used: list[int], random: np.random.Generator) -> tuple[int, int]:
    """A used sheet and a side of its window, those that paid before more often."""
    keys = [
        (sheet, side)
        for sheet in used
        if sheet not in line.full or len(used) == len(line.full)
        for side in range(len(DIRECTIONS))
    ]
    weights = np.array([0.05 + line.luck.get(key, 0.5) for key in keys])
    return keys[int(random.choice(len(keys), p=weights / weights.sum()))]


def _window_area(board: Board, sheet: int, reach: Floats) -> Polygon:
    """The sheet within a window, as one polygon: its convex hull, for measuring."""
    area = board.bank.problem.sheets[sheet].outline
    for (dx, dy), far in zip(DIRECTIONS, reach, strict=True):
        area = area.intersection(_half_plane(dx, dy, far))
    hull = area.convex_hull
    return hull if isinstance(hull, Polygon) else Polygon()


def _half_plane(dx: float, dy: float, far: float) -> Polygon:
    """All points up to ``far`` along a direction, cut off at a great distance."""
    big = 1e5
    mx, my = dx * far, dy * far
    return Polygon(
        [
            (mx - dy * big, my + dx * big),
            (mx - dy * big - dx * big, my + dx * big - dy * big),
            (mx + dy * big - dx * big, my - dx * big - dy * big),
            (mx + dy * big, my - dx * big),
        ]
    )


def _side_freeing(area: Polygon, side: int, share: float) -> float:
    """How far out a side may be so that it cuts this share off an area, by halving."""
    dx, dy = DIRECTIONS[side]
    if area.is_empty:
        return -OPEN_MM
    along = np.asarray(area.exterior.coords) @ DIRECTIONS[side]
    low, high = float(along.min()), float(along.max())
    for _ in range(12):
        middle = (low + high) / 2
        if area.intersection(_half_plane(dx, dy, middle)).area < (1.0 - share) * area.area:
            low = middle
        else:
            high = middle
    return high

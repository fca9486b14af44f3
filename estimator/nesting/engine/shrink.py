"""Use less sheet: push the front of the leftovers forward, separate, and keep what is better.

Leftovers worth keeping are ground to stay out of. A try lets them grow a
little, along their whole front, round one spot of it, or over one item's
place; that makes overlap, which the guided local search removes or not. What
counts in the end is the true cost of the layout.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from math import cos, pi, sin, sqrt

import numpy as np
import shapely
from shapely import Polygon, affinity
from shapely.geometry.base import BaseGeometry

from estimator.nesting.engine.arrays import State
from estimator.nesting.engine.board import Board
from estimator.nesting.engine.duel import WORKERS, Duel, Try
from estimator.nesting.engine.ground import OPEN_MM, open_front, set_front
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.strip import swap_large
from estimator.nesting.score import SheetUse

PUSHES = (0.002, 0.004, 0.008, 0.016)
"""Shares of a sheet's consumed area that one push wants to free."""
SWAP_CHANCE = 0.15
"""Chance that two large items swap places besides."""
DRIFT = 1.002
"""A layout this little worse than the best of its line is still worked on."""
NARROW_AFTER = 0.5
"""Share of the budget after which only the best line is worked on."""
MOST_IDLE = 6
"""Pushes tried that meet nothing before one is taken all the same."""
PATIENCE = 3
"""Rounds without progress after which a push is given up: another one may be easier."""
MOVES = ("push", "bulge", "vacate", "empty", "open")
"""Ways to free ground: whole front, a spot of it, an item's place, a sheet, a new leftover."""

Valued = tuple[float, tuple[SheetUse, ...]]
"""Cost of a layout, and what it takes of each sheet."""


@dataclass(slots=True)
class Line:
    """One layout being worked on.

    Parameters
    ----------
    board : Board
        Holds its items.
    state : State
        Without overlap.
    cost, least : float
        Of this state, and the least reached on this line.
    uses : tuple of SheetUse
        What this state takes of each sheet.
    luck : dict
        How often each way to free ground paid, by its name.
    """

    board: Board
    state: State
    cost: float
    least: float
    uses: tuple[SheetUse, ...]
    luck: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Push:
    """What a try is for."""

    line: Line
    move: str


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
        True cost of a layout, and what it takes of each sheet.
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
        cost, uses = value(laid)
        work.append(Line(board, board.state(laid, random), cost, cost, uses))
    least = min(line.least for line in work)
    share = 0.0
    with Duel() as duel:
        pushes = [_troubled_push(work, share, random) for _ in range(WORKERS)]
        while share < 1.0:
            duel.round([each for _, each in pushes])
            share = spend()
            for index, (push, each) in enumerate(pushes):
                if not (each.is_done or each.is_lost):
                    continue
                line = push.line
                is_better = False
                if each.is_done:
                    laid = line.board.laid(each.state)
                    cost, uses = value(laid)
                    is_better = cost < line.cost
                    if cost <= line.least * DRIFT:
                        line.state, line.cost, line.uses = each.state, cost, uses
                        line.least = min(line.least, cost)
                    if cost < least:
                        least = cost
                        yield laid
                line.luck[push.move] = 0.8 * line.luck.get(push.move, 0.5) + 0.2 * is_better
                pushes[index] = _troubled_push(work, share, random)


def _choose(work: list[Line], share: float, random: np.random.Generator) -> Line:
    """The best line mostly, another one now and then while there is time."""
    ranked = sorted(work, key=lambda line: line.least)
    if share > NARROW_AFTER or random.random() < 0.5:
        return ranked[0]
    return ranked[int(random.integers(len(ranked)))]


def _troubled_push(work: list[Line], share: float, random: np.random.Generator) -> tuple[Push, Try]:
    """A push that meets something: ground that nothing lies on is no gain."""
    for _ in range(MOST_IDLE):
        push, each = _push(_choose(work, share, random), random)
        if each.has_trouble():
            break
    return push, each


def _push(line: Line, random: np.random.Generator) -> tuple[Push, Try]:
    """A try that is to free some ground."""
    board = line.board
    used = [k for k, use in enumerate(line.uses) if use.consumed_mm2 > 0]
    fronted = [k for k in used if line.uses[k].offcuts]
    whole = [k for k in used if not line.uses[k].offcuts]
    window = board.open_window()
    front = open_front(board.ground)
    for sheet in range(len(line.uses)):
        if sheet not in used:
            window[sheet] = -OPEN_MM
            set_front(board.ground, front, sheet, None)
    weights = {
        "push": 1.0 if fronted else 0.0,
        "bulge": 1.0 if fronted else 0.0,
        "vacate": 1.0 if fronted else 0.0,
        "empty": 0.3 if len(used) > 1 else 0.0,
        "open": 0.5 if whole else 0.0,
    }
    chances = np.array([weights[m] * (0.1 + line.luck.get(m, 0.5)) for m in MOVES])
    move = MOVES[int(random.choice(len(MOVES), p=chances / chances.sum()))]
    grows: dict[int, BaseGeometry | None] = {
        k: shapely.union_all(line.uses[k].offcuts) for k in fronted
    }
    if move == "empty":
        sheet = int(random.choice(used))
        grows = {sheet: None}
        window[sheet] = -OPEN_MM
    elif move == "open":
        sheet = int(random.choice(whole))
        grows[sheet] = _new_leftover(board, sheet, random)
    else:
        sheet = int(random.choice(fronted))
        kept = shapely.union_all(line.uses[sheet].offcuts)
        grows[sheet] = _grown(line, sheet, kept, move, random)
    for sheet, free in grows.items():
        set_front(board.ground, front, sheet, free)
    fresh = board.retry(line.state, window, front, random)
    if random.random() < SWAP_CHANCE:
        swap_large(board, fresh, random)
    return Push(line, move), Try(board.ground, fresh, patience=PATIENCE)


def _grown(
    line: Line, sheet: int, kept: BaseGeometry, move: str, random: np.random.Generator
) -> BaseGeometry:
    """The leftovers of a sheet with the ground added that a try wants to free."""
    board = line.board
    skin = board.bank.problem.sheets[sheet].outline
    freed = float(random.choice(PUSHES)) * line.uses[sheet].consumed_mm2
    if move == "vacate":
        items = np.flatnonzero((line.state.sheet == sheet) & (line.state.fixed == 0))
        distances = [kept.distance(shapely.Point(*line.state.place[k])) for k in items]
        near = items[np.argsort(distances, kind="stable")[: max(3, len(items) // 3)]]
        item = int(random.choice(near))
        x, y = line.state.place[item]
        ground = affinity.translate(board.bank.outline(int(line.state.shape[item])), x, y)
        return kept.union(ground.buffer(-2.0))
    front = kept.boundary.difference(skin.boundary.buffer(5.0))
    length = max(front.length, 50.0)
    if move == "push":
        angle = random.uniform(0.0, 2 * pi)
        step = min(freed / length * 1.6, 60.0)
        moved = affinity.translate(kept, step * cos(angle), step * sin(angle))
        return kept.union(moved).intersection(skin)
    spot = front.interpolate(random.uniform(0.0, 1.0), normalized=True)
    radius = random.uniform(0.1, 0.5) * length
    step = min(freed / (2 * min(radius, length / 2)), 60.0)
    return kept.union(kept.buffer(step).intersection(spot.buffer(radius))).intersection(skin)


def _new_leftover(board: Board, sheet: int, random: np.random.Generator) -> BaseGeometry:
    """Ground at some side of a sheet, a little more than the least worth keeping."""
    skin: Polygon = board.bank.problem.sheets[sheet].outline
    wanted = board.bank.problem.keep.area_mm2 * random.uniform(1.05, 2.0)
    angle = random.uniform(0.0, 2 * pi)
    level = affinity.rotate(skin, -angle, (0.0, 0.0), use_radians=True)
    left, low, right, high = level.bounds
    near, far = left, right
    for _ in range(14):
        middle = (near + far) / 2
        if level.intersection(shapely.box(middle, low, right, high)).area > wanted:
            near = middle
        else:
            far = middle
    side = level.intersection(shapely.box(near, low, right, high))
    radius = min(board.bank.problem.keep.disc_radius_mm, sqrt(wanted) / 4)
    side = side.buffer(-radius).buffer(radius).intersection(level)
    return affinity.rotate(side, angle, (0.0, 0.0), use_radians=True)

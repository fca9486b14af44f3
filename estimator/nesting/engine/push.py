"""Which ground a try is to free.

Leftovers worth keeping are ground to stay out of. A try lets them grow a
little, along their whole front, round one spot of it, or to what would be kept
without some item; that makes overlap, which the guided local search removes or not.
"""

from dataclasses import dataclass, field
from math import cos, pi, sin, sqrt

import numpy as np
import shapely
from shapely import Polygon, affinity
from shapely.geometry.base import BaseGeometry

from estimator.nesting.engine.arrays import SIZE, Floats, State
from estimator.nesting.engine.board import Board
from estimator.nesting.engine.ground import (
    OPEN_MM,
    front_grace_mm,
    front_span,
    open_front,
    set_front,
)
from estimator.nesting.engine.strip import swap_large
from estimator.nesting.engine.tries import Try
from estimator.nesting.engine.vacancies import Vacancy, vacancies
from estimator.nesting.score import SheetUse

PUSHES = (0.002, 0.004, 0.008, 0.016)
"""Shares of a sheet's consumed area that one push wants to free."""
SWAP_CHANCE = 0.15
"""Chance that two large items swap places besides."""
MOST_IDLE = 6
"""Pushes tried that meet nothing before one is taken all the same."""
PATIENCE, RETURNS = 3, 1
"""Rounds without progress after which a push is given up: another one may be easier."""
MOVES = ("push", "bulge", "vacate", "empty", "open")
"""Ways to free ground: whole front, a spot of it, an item's place, a sheet, a new leftover."""


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
    fronts : dict
        Front of each sheet's kept leftovers in this state, by its number, once asked for.
    vacant : dict
        What there is to gain at the places of its items, likewise.
    """

    board: Board
    state: State
    cost: float
    least: float
    uses: tuple[SheetUse, ...]
    luck: dict[str, float] = field(default_factory=dict)
    fronts: dict[int, Floats] = field(default_factory=dict)
    vacant: dict[int, list[Vacancy]] = field(default_factory=dict)

    def take(self, state: State, cost: float, uses: tuple[SheetUse, ...]) -> None:
        """Go on from another state."""
        self.state, self.cost, self.uses = state, cost, uses
        self.least = min(self.least, cost)
        self.fronts = {}
        self.vacant = {}

    @property
    def used(self) -> list[int]:
        """Numbers of the sheets that are cut into."""
        return [k for k, use in enumerate(self.uses) if use.consumed_mm2 > 0]


@dataclass(frozen=True, slots=True)
class Push:
    """A try, and what it is for."""

    line: Line
    move: str
    attempt: Try


@dataclass(frozen=True, slots=True)
class _Aim:
    """A way to free ground: on which sheet, and what is to be free there; None for all of it."""

    move: str
    sheet: int
    free: BaseGeometry | None


def push_of(line: Line, random: np.random.Generator) -> Push:
    """A try that is to free some ground that something lies on.

    Parameters
    ----------
    line : Line
        What to start from.
    random : Generator
        Chooses the ground.

    Returns
    -------
    Push
        Not begun.
    """
    aim = _aim(line, random)
    for _ in range(MOST_IDLE - 1):
        if aim.free is None or _meets(line, aim.sheet, aim.free):
            break
        aim = _aim(line, random)
    board = line.board
    window = board.open_window()
    front = open_front(board.ground)
    for sheet, use in enumerate(line.uses):
        is_closed = use.consumed_mm2 <= 0 or (sheet == aim.sheet and aim.free is None)
        if is_closed:
            window[sheet] = -OPEN_MM
        if is_closed or sheet == aim.sheet:
            free = None if aim.free is None or is_closed else _with_outside(line, sheet, aim.free)
            set_front(board.ground, front, sheet, free, spacing_mm=_spacing_mm(board))
        elif use.offcuts:
            _keep_front(line, front, sheet)
    fresh = board.retry(line.state, window, front, random)
    if random.random() < SWAP_CHANCE:
        swap_large(board, fresh, random)
    return Push(line, aim.move, Try(board.ground, fresh, patience=PATIENCE, returns=RETURNS))


def _keep_front(line: Line, front: Floats, sheet: int) -> None:
    """Write the leftovers kept so far into a front: they stay free."""
    span = front_span(line.board.ground, sheet)
    if sheet not in line.fronts:
        kept = open_front(line.board.ground)
        free = _with_outside(line, sheet, _kept(line, sheet))
        set_front(line.board.ground, kept, sheet, free, spacing_mm=_spacing_mm(line.board))
        line.fronts[sheet] = kept[span].copy()
    front[span] = line.fronts[sheet]


def _spacing_mm(board: Board) -> float:
    return board.bank.problem.margins.spacing_mm


def _with_outside(line: Line, sheet: int, free: BaseGeometry) -> BaseGeometry:
    """Free ground and all round the sheet in one, so that the only way out leads to used ground."""
    return free.union(line.board.bank.outside(sheet))


def _kept(line: Line, sheet: int) -> BaseGeometry:
    return shapely.union_all(line.uses[sheet].offcuts)


def _aim(line: Line, random: np.random.Generator) -> _Aim:
    """Some ground to free, ways that paid before more often than others."""
    used = line.used
    fronted = [k for k in used if line.uses[k].offcuts]
    whole = [k for k in used if not line.uses[k].offcuts]
    weights = {
        "push": 1.0 if fronted else 0.0,
        "bulge": 1.0 if fronted else 0.0,
        "vacate": 1.0 if fronted else 0.0,
        "empty": 0.3 if len(used) > 1 else 0.0,
        "open": 0.5 if whole else 0.0,
    }
    chances = np.array([weights[m] * (0.1 + line.luck.get(m, 0.5)) for m in MOVES])
    move = MOVES[int(random.choice(len(MOVES), p=chances / chances.sum()))]
    if move == "empty":
        return _Aim(move, int(random.choice(used)), None)
    if move == "open":
        sheet = int(random.choice(whole))
        return _Aim(move, sheet, _new_leftover(line.board, sheet, random))
    sheet = int(random.choice(fronted))
    return _Aim(move, sheet, _grown(line, sheet, _kept(line, sheet), move, random))


def _meets(line: Line, sheet: int, free: BaseGeometry) -> bool:
    """Whether anything lies on ground that is to be free."""
    state = line.state
    reach = _spacing_mm(line.board) - front_grace_mm(line.board.ground, sheet)
    shapely.prepare(free)
    for item in np.flatnonzero(state.sheet == sheet):
        if free.distance(line.board.outline(state, int(item))) < reach:
            return True
    return False


def _grown(
    line: Line, sheet: int, kept: BaseGeometry, move: str, random: np.random.Generator
) -> BaseGeometry:
    """The leftovers of a sheet with the ground added that a try wants to free."""
    board = line.board
    skin = board.bank.problem.sheets[sheet].outline
    freed = float(random.choice(PUSHES)) * line.uses[sheet].consumed_mm2
    if move == "vacate":
        return _vacated(line, sheet, kept, random)
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


def _vacated(
    line: Line, sheet: int, kept: BaseGeometry, random: np.random.Generator
) -> BaseGeometry:
    """What a sheet would keep without some item; small ones that gain much more often than others.

    Small ones find another place more easily.
    """
    if sheet not in line.vacant:
        line.vacant[sheet] = vacancies(line.board, line.state, sheet, line.uses[sheet])
    vacant = line.vacant[sheet]
    if not vacant:
        return kept
    shapes = line.state.shape[[each.item for each in vacant]]
    gains = np.array([each.gain_mm2 for each in vacant])
    chances = gains / line.board.ground.shape[shapes, SIZE] ** 2
    return vacant[int(random.choice(len(vacant), p=chances / chances.sum()))].kept


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

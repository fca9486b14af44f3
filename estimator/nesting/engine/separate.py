"""Remove overlap by moving one item at a time: guided local search.

Every sweep moves each item in trouble to the best of many sampled places;
afterwards the weights of what still overlaps rise, so that the search leaves
dead ends. Guided local search on overlap: Egeblad, Nielsen and Odgaard 2007,
*Fast neighborhood search for two- and three-dimensional nesting problems*,
EJOR 183; sampling and weight rule after Gardeyn, Vanden Berghe and Wauters
2025, arXiv:2509.13329.
"""

import numpy as np

from estimator.nesting.engine.arrays import (
    EXTENT,
    KEPT_SAMPLES,
    REGION,
    SHAPE,
    SHEET,
    SIZE,
    SPACED,
    Floats,
    Ground,
    Room,
    State,
)
from estimator.nesting.engine.compiled import FAR, entry_kernel, inner_kernel, kernel
from estimator.nesting.engine.lines import gap_on_line
from estimator.nesting.engine.overlap import loss_at, put, total_loss, update_all

LINES = 12
"""Lines searched for a gap before places are sampled: a fifth of the time of the sampling."""
WIDE_SAMPLES = 30
"""Places sampled on all of an item's sheets, in all its shapes: a first guess, kept."""
NEAR_SAMPLES = 15
"""Places sampled round where it lies, likewise."""
COARSE_STEP = 0.25
"""First step downhill, as a share of the square root of the item's area."""
FINE_STEP = 0.02
"""Step at which only the best place is followed further."""
LAST_STEP = 0.0005
"""Step at which it stops."""
RISE_LEAST = 1.2
"""Least factor by which the weight of an overlap rises."""
RISE_MOST = 2.0
"""Factor for the worst overlap."""
FALL = 0.95
"""Factor by which a weight falls back where there is no overlap."""


@inner_kernel
def uniform(state: State) -> float:
    """Next random number in 0 to 1 (Marsaglia 2003, *Xorshift RNGs*, J. Stat. Softw. 8)."""
    word = state.random[0]
    word ^= word << np.uint64(13)
    word ^= word >> np.uint64(7)
    word ^= word << np.uint64(17)
    state.random[0] = word
    return float(word >> np.uint64(11)) / 9007199254740992.0


@inner_kernel
def descend(
    ground: Ground,
    state: State,
    item: int,
    choice: int,
    kept: Floats,
    row: int,
    step: float,
    last: float,
) -> None:
    """Walk one of ``kept`` (x, y, loss) downhill, steps shrinking from ``step`` to ``last``."""
    while step > last and kept[row, 2] > 0.0:
        way = uniform(state)
        dx = 0.0
        dy = 0.0
        if way < 0.25:
            dx = step
        elif way < 0.5:
            dy = step
        elif way < 0.75:
            dx = step
            dy = step
        else:
            dx = step
            dy = -step
        better = False
        for sign in (1.0, -1.0):
            x = kept[row, 0] + sign * dx
            y = kept[row, 1] + sign * dy
            loss = loss_at(ground, state, item, choice, x, y, kept[row, 2])
            if loss < kept[row, 2]:
                kept[row, 0] = x
                kept[row, 1] = y
                kept[row, 2] = loss
                better = True
                break
        step *= 1.1 if better else 0.5


@kernel
def slide_into_gap(ground: Ground, state: State, item: int, room: Room) -> bool:
    """Lay an item in a gap found on one of several lines, if there is one."""
    kind = ground.kind[item]
    first = ground.choice_first[kind]
    count = ground.choice_first[kind + 1] - first
    luck = room.luck
    for _ in range(LINES):
        choice = first + min(int(uniform(state) * count), count - 1)
        if uniform(state) < 0.3:
            choice = state.choice[item]
        upright = uniform(state) < 0.5
        region = ground.choice[choice, REGION]
        low = ground.region_box[region, 0 if upright else 1]
        high = ground.region_box[region, 2 if upright else 3]
        how = uniform(state)
        at = low + (high - low) * uniform(state)
        if how < 0.3:
            at = low + ground.tolerance if how < 0.15 else high - ground.tolerance
        elif how < 0.8:
            other = min(int(uniform(state) * len(state.shape)), len(state.shape) - 1)
            shape = ground.choice[choice, SHAPE]
            axis = 0 if upright else 1
            if uniform(state) < 0.5:
                at = state.box[axis, other] - ground.shape[shape, SPACED + 2 * axis]
            else:
                at = state.box[axis + 2, other] + ground.shape[shape, SPACED + 2 * axis + 1]
            if at < low or at > high:
                continue
        luck[0] = uniform(state)
        luck[1] = uniform(state)
        luck[2] = uniform(state)
        along = gap_on_line(ground, state, item, choice, upright, at, room)
        if along >= FAR:
            continue
        x = at if upright else along
        y = along if upright else at
        if loss_at(ground, state, item, choice, x, y, 0.0) <= 0.0:
            put(ground, state, item, choice, x, y)
            return True
    return False


@kernel
def move_item(ground: Ground, state: State, item: int, room: Room) -> bool:
    """Move an item to the best place found, if that lowers its weighted loss.

    Places are sampled on all its sheets and near where it lies; the best few are followed downhill.
    """
    kept = room.kept
    chosen = room.chosen
    here = state.choice[item]
    x0 = state.place[item, 0]
    y0 = state.place[item, 1]
    now = FAR
    for k in range(KEPT_SAMPLES):
        kept[k, 2] = FAR
        chosen[k] = here
    kind = ground.kind[item]
    first = ground.choice_first[kind]
    count = ground.choice_first[kind + 1] - first
    size = ground.shape[ground.choice[here, SHAPE], SIZE]
    for sample in range(-1, WIDE_SAMPLES + NEAR_SAMPLES):
        choice = here
        x = x0
        y = y0
        if 0 <= sample < WIDE_SAMPLES:
            choice = first + min(int(uniform(state) * count), count - 1)
            shape = ground.choice[choice, SHAPE]
            sheet = ground.choice[choice, SHEET]
            region = ground.choice[choice, REGION]
            box = ground.region_box
            reach = ground.shape
            window = state.window
            left = max(box[region, 0], reach[shape, EXTENT + 1] - window[sheet, 1])
            right = min(box[region, 2], window[sheet, 0] - reach[shape, EXTENT])
            low = max(box[region, 1], reach[shape, EXTENT + 3] - window[sheet, 3])
            high = min(box[region, 3], window[sheet, 2] - reach[shape, EXTENT + 2])
            if right < left or high < low:
                continue
            x = left + (right - left) * uniform(state)
            y = low + (high - low) * uniform(state)
        elif sample >= 0:
            x = x0 + (uniform(state) - 0.5) * 0.5 * size
            y = y0 + (uniform(state) - 0.5) * 0.5 * size
        worst = KEPT_SAMPLES - 1
        loss = loss_at(ground, state, item, choice, x, y, kept[worst, 2])
        if sample < 0:
            now = loss
        if loss < kept[worst, 2]:
            while worst > 0 and loss < kept[worst - 1, 2]:
                for column in range(3):
                    kept[worst, column] = kept[worst - 1, column]
                chosen[worst] = chosen[worst - 1]
                worst -= 1
            kept[worst, 0] = x
            kept[worst, 1] = y
            kept[worst, 2] = loss
            chosen[worst] = choice
    best = 0
    for k in range(KEPT_SAMPLES + 1):
        row = k if k < KEPT_SAMPLES else best
        if kept[row, 2] >= FAR:
            continue
        side = ground.shape[ground.choice[chosen[row], SHAPE], SIZE]
        step = COARSE_STEP if k < KEPT_SAMPLES else FINE_STEP
        last = FINE_STEP if k < KEPT_SAMPLES else LAST_STEP
        descend(ground, state, item, chosen[row], kept, row, step * side, last * side)
        if kept[row, 2] < kept[best, 2]:
            best = row
    if kept[best, 2] < now:
        put(ground, state, item, chosen[best], kept[best, 0], kept[best, 1])
        return True
    return False


@kernel
def raise_weights(state: State) -> None:
    """Weights rise with the loss they weigh, and fall back slowly where there is none."""
    n = len(state.choice)
    most = 0.0
    for item in range(n):
        most = max(most, state.outside[item])
        for other in range(item):
            most = max(most, state.overlap[item, other])
    if most <= 0.0:
        return
    for item in range(n):
        loss = state.outside[item]
        factor = RISE_LEAST + (RISE_MOST - RISE_LEAST) * loss / most if loss > 0.0 else FALL
        state.outside_weight[item] = max(1.0, state.outside_weight[item] * factor)
        for other in range(item):
            loss = state.overlap[item, other]
            factor = RISE_LEAST + (RISE_MOST - RISE_LEAST) * loss / most if loss > 0.0 else FALL
            weight = max(1.0, state.pair_weight[item, other] * factor)
            state.pair_weight[item, other] = weight
            state.pair_weight[other, item] = weight


@entry_kernel
def sweep(ground: Ground, state: State, room: Room, sweeps: int) -> float:
    """Do some sweeps over the items in trouble, in random order; give the loss that is left.

    Losses are brought up to date first, so that a state may be changed before.
    """
    n = len(state.choice)
    order = room.order
    for k in range(n):
        order[k] = k
    total = update_all(ground, state)
    for _ in range(sweeps):
        if total <= 0.0:
            break
        for k in range(n - 1, 0, -1):
            j = min(int(uniform(state) * (k + 1)), k)
            swapped = order[k]
            order[k] = order[j]
            order[j] = swapped
        for k in range(n):
            item = order[k]
            if state.fixed[item]:
                continue
            trouble = state.outside[item]
            for other in range(n):
                trouble += state.overlap[item, other]
            if trouble > 0.0 and not slide_into_gap(ground, state, item, room):
                move_item(ground, state, item, room)
        raise_weights(state)
        total = total_loss(state.outside, state.overlap)
    return total

"""Remove overlap by moving one item at a time: guided local search.

Every sweep moves each item in trouble to the best of many sampled places;
afterwards the weights of what still overlaps rise, so that the search leaves
dead ends. Guided local search on overlap: Egeblad, Nielsen and Odgaard 2007,
*Fast neighborhood search for two- and three-dimensional nesting problems*,
EJOR 183; sampling and weight rule after Gardeyn, Vanden Berghe and Wauters
2025, arXiv:2509.13329.
"""

import numpy as np

from estimator.nesting.engine.arrays import Floats, Ground, State
from estimator.nesting.engine.compiled import kernel
from estimator.nesting.engine.lines import MOST_CROSSINGS, MOST_INTERVALS, gap_on_line
from estimator.nesting.engine.overlap import FAR, loss_at, put

LINES = 12
WIDE_SAMPLES = 30
NEAR_SAMPLES = 15
KEPT_SAMPLES = 3
COARSE_STEP = 0.25
FINE_STEP = 0.02
LAST_STEP = 0.0005
RISE_LEAST = 1.2
RISE_MOST = 2.0
FALL = 0.95


@kernel
def uniform(state: State) -> float:
    """Next random number in 0 to 1 (xorshift64*, Vigna 2016, ACM TOMS 42)."""
    word = state.random[0]
    word ^= word >> np.uint64(12)
    word ^= word << np.uint64(25)
    word ^= word >> np.uint64(27)
    state.random[0] = word
    return float((word * np.uint64(2685821657736338717)) >> np.uint64(11)) / 9007199254740992.0


@kernel
def descend(
    ground: Ground, state: State, item: int, choice: int, best: Floats, step: float, last: float
) -> None:
    """Walk from ``best`` (x, y, loss) downhill, with steps shrinking from ``step`` to ``last``."""
    while step > last and best[2] > 0.0:
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
            x = best[0] + sign * dx
            y = best[1] + sign * dy
            loss = loss_at(ground, state, item, choice, x, y, best[2])
            if loss < best[2]:
                best[0] = x
                best[1] = y
                best[2] = loss
                better = True
                break
        step *= 1.1 if better else 0.5


@kernel
def slide_into_gap(
    ground: Ground, state: State, item: int, intervals: Floats, found: Floats, allowed: Floats
) -> bool:
    """Lay an item in a gap found on one of several lines, if there is one."""
    kind = ground.kind[item]
    first = ground.choice_first[kind]
    count = ground.choice_first[kind + 1] - first
    luck = np.empty(3)
    for _ in range(LINES):
        choice = first + min(int(uniform(state) * count), count - 1)
        if uniform(state) < 0.3:
            choice = state.choice[item]
        upright = uniform(state) < 0.5
        box = ground.region_box[ground.choice_region[choice]]
        low = box[0] if upright else box[1]
        high = box[2] if upright else box[3]
        how = uniform(state)
        at = low + (high - low) * uniform(state)
        if how < 0.3:
            at = low + ground.tolerance if how < 0.15 else high - ground.tolerance
        elif how < 0.8:
            other = min(int(uniform(state) * len(state.shape)), len(state.shape) - 1)
            shape = ground.choice_shape[choice]
            theirs = state.shape[other]
            pair = ground.pair_box[theirs, shape]
            beside = uniform(state) < 0.5
            if upright:
                at = state.place[other, 0] + (pair[0] if beside else pair[2])
            else:
                at = state.place[other, 1] + (pair[1] if beside else pair[3])
            if at < low or at > high:
                continue
        luck[0] = uniform(state)
        luck[1] = uniform(state)
        luck[2] = uniform(state)
        along = gap_on_line(
            ground, state, item, choice, upright, at, intervals, found, allowed, luck
        )
        if np.isnan(along):
            continue
        x = at if upright else along
        y = along if upright else at
        if loss_at(ground, state, item, choice, x, y, 0.0) <= 0.0:
            put(ground, state, item, choice, x, y)
            return True
    return False


@kernel
def move_item(ground: Ground, state: State, item: int) -> bool:
    """Move an item to the best place found, if that lowers its weighted loss."""
    here = state.choice[item]
    x0 = state.place[item, 0]
    y0 = state.place[item, 1]
    now = loss_at(ground, state, item, here, x0, y0, FAR)
    kept = np.full((KEPT_SAMPLES, 3), FAR)
    chosen = np.full(KEPT_SAMPLES, here)
    kept[0, 0] = x0
    kept[0, 1] = y0
    kept[0, 2] = now
    kind = ground.kind[item]
    first = ground.choice_first[kind]
    count = ground.choice_first[kind + 1] - first
    size = ground.size[ground.choice_shape[here]]
    for sample in range(WIDE_SAMPLES + NEAR_SAMPLES):
        choice = here
        if sample < WIDE_SAMPLES:
            choice = first + min(int(uniform(state) * count), count - 1)
            shape = ground.choice_shape[choice]
            window = state.window[ground.choice_sheet[choice]]
            box = ground.region_box[ground.choice_region[choice]]
            left = max(box[0], ground.extent[shape, 1] - window[1])
            right = min(box[2], window[0] - ground.extent[shape, 0])
            low = max(box[1], ground.extent[shape, 3] - window[3])
            high = min(box[3], window[2] - ground.extent[shape, 2])
            if right < left or high < low:
                continue
            x = left + (right - left) * uniform(state)
            y = low + (high - low) * uniform(state)
        else:
            x = x0 + (uniform(state) - 0.5) * 0.5 * size
            y = y0 + (uniform(state) - 0.5) * 0.5 * size
        worst = KEPT_SAMPLES - 1
        loss = loss_at(ground, state, item, choice, x, y, kept[worst, 2])
        if loss < kept[worst, 2]:
            while worst > 0 and loss < kept[worst - 1, 2]:
                kept[worst] = kept[worst - 1]
                chosen[worst] = chosen[worst - 1]
                worst -= 1
            kept[worst, 0] = x
            kept[worst, 1] = y
            kept[worst, 2] = loss
            chosen[worst] = choice
    best = 0
    for k in range(KEPT_SAMPLES):
        if kept[k, 2] < FAR:
            side = ground.size[ground.choice_shape[chosen[k]]]
            descend(ground, state, item, chosen[k], kept[k], COARSE_STEP * side, FINE_STEP * side)
            if kept[k, 2] < kept[best, 2]:
                best = k
    side = ground.size[ground.choice_shape[chosen[best]]]
    descend(ground, state, item, chosen[best], kept[best], FINE_STEP * side, LAST_STEP * side)
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


@kernel
def total_loss(state: State) -> float:
    """Sum of all losses, unweighted."""
    total = 0.0
    for item in range(len(state.choice)):
        total += state.outside[item]
        for other in range(item):
            total += state.overlap[item, other]
    return total


@kernel
def sweep(ground: Ground, state: State, sweeps: int) -> float:
    """Do some sweeps over the items in trouble, in random order; give the loss that is left."""
    n = len(state.choice)
    order = np.arange(n)
    intervals = np.empty((MOST_INTERVALS, 2))
    found = np.empty(MOST_CROSSINGS)
    allowed = np.empty(MOST_CROSSINGS)
    total = total_loss(state)
    for _ in range(sweeps):
        if total <= 0.0:
            break
        for k in range(n - 1, 0, -1):
            j = min(int(uniform(state) * (k + 1)), k)
            order[k], order[j] = order[j], order[k]
        for k in range(n):
            item = order[k]
            if state.fixed[item]:
                continue
            trouble = state.outside[item]
            for other in range(n):
                trouble += state.overlap[item, other]
            if trouble > 0.0 and not slide_into_gap(ground, state, item, intervals, found, allowed):
                move_item(ground, state, item)
        raise_weights(state)
        total = total_loss(state)
    return total

"""How far the thin shadow beside a sheet moves where its edge seems to be.

Beside a sheet runs a line of shadow, as wide as the paper is thick or as it lifts. Blurred by the
lens it makes the fall of brightness begin early, and on pale leather, where paper stands out
little, the steepest place is then some tenths of a pixel inside the edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import erf

import numpy as np

from estimator.photo.base.picture import Light
from estimator.photo.base.view import Floats
from estimator.photo.scale.edges import Side, side_profile

BLURS_PX = (0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.4, 1.7, 2.0, 2.5, 3.0)
"""Standard deviations of the blur that are tried; the same on all sides."""
FADES_PX = (0.7, 1.5, 3.0)
"""Lengths over which the shadow fades away from the edge."""
SHIFTS_PX = np.arange(-0.6, 1.01, 0.05)
REACH_PX = 6.0
MOST_DEPTH = 0.9
"""Of the leather's light that the shadow can take."""
CLEARLY = 0.5
"""Of the squares left without a shadow: a model with one is believed if it leaves less."""
FINE_PX = 0.1


@dataclass(frozen=True, kw_only=True)
class _ShadowFit:
    """The best shift of one side at one blur, and the squares it leaves."""

    shift_px: float
    squares: float
    is_plain: bool


def without_shadow(bright: Light, sides: Sequence[Side]) -> list[Side]:
    """Move sides to where the paper ends, if there is a shadow beside it.

    Parameters
    ----------
    bright : array of float32
        From `edges.brightness`.
    sides : sequence of Side
        Of one sheet.

    Returns
    -------
    list of Side
        Moved outward or inward by the same distance all along; as they were where nothing
        speaks for a shadow.

    Notes
    -----
    Each side's mean profile is compared with a step beside which light falls short by a share that
    fades exponentially, both blurred by a normal curve: least squares over a grid of blur, fade
    and shift, with levels solved for. The blur is taken as one for all sides.
    """
    profiles = [side_profile(bright, side, REACH_PX) for side in sides]
    best: list[_ShadowFit] = []
    plain = [np.inf] * len(sides)
    for blur in BLURS_PX:
        shapes = _shapes(profiles[0][0], blur)
        fitted = [_fit_shapes(profile, shapes) for _, profile in profiles]
        plain = [min(before, one[0].squares) for before, one in zip(plain, fitted, strict=True)]
        shaded = [one[1] for one in fitted]
        if not best or sum(one.squares for one in shaded) < sum(one.squares for one in best):
            best = shaded
    return [
        _move_side(side, one.shift_px) if one.squares < CLEARLY * without else side
        for side, one, without in zip(sides, best, plain, strict=True)
    ]


def _move_side(side: Side, shift_px: float) -> Side:
    outward = np.array([-side.along[1], side.along[0]])
    return replace(
        side,
        curve=side.curve + np.array([0.0, 0.0, shift_px]),
        points_px=side.points_px + shift_px * outward,
    )


def _shapes(offsets: Floats, blur: float) -> list[tuple[float, Floats, Floats | None]]:
    """Shift, step and shadow at each offset, for all shifts and fades; None for no shadow."""
    fine = np.arange(-REACH_PX - 4 * blur - 2, REACH_PX + 4 * blur + 2, FINE_PX)
    kernel = np.exp(-0.5 * (np.arange(-4 * blur, 4 * blur + FINE_PX / 2, FINE_PX) / blur) ** 2)
    kernel /= kernel.sum()
    shades = [
        np.convolve(np.where(fine >= 0, np.exp(-np.maximum(fine, 0) / fade), 0.0), kernel, "same")
        for fade in FADES_PX
    ]
    shapes: list[tuple[float, Floats, Floats | None]] = []
    for shift in SHIFTS_PX:
        at = offsets - shift
        step = np.array([0.5 - 0.5 * erf(float(each) / (blur * 2**0.5)) for each in at])
        shapes.append((float(shift), step, None))
        shapes += [(float(shift), step, np.interp(at, fine, shade)) for shade in shades]
    return shapes


def _fit_shapes(
    profile: Floats, shapes: Sequence[tuple[float, Floats, Floats | None]]
) -> tuple[_ShadowFit, _ShadowFit]:
    """The best without a shadow, and the best with one."""
    best = {True: (np.inf, 0.0), False: (np.inf, 0.0)}
    one = np.ones_like(profile)
    for shift, step, shade in shapes:
        columns = np.column_stack([one, step] if shade is None else [one, step, -shade])
        levels = np.linalg.lstsq(columns, profile, rcond=None)[0]
        if shade is not None and not 0.0 <= levels[2] <= MOST_DEPTH * levels[0]:
            continue
        squares = float(((columns @ levels - profile) ** 2).sum())
        best[shade is None] = min(best[shade is None], (squares, shift))
    made = {
        is_plain: _ShadowFit(shift_px=shift, squares=squares, is_plain=is_plain)
        for is_plain, (squares, shift) in best.items()
    }
    return made[True], made[False]

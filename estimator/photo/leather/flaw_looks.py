"""What a differing place on the leather is called, and how sure one can be of it."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from estimator.photo.leather.seen import SeenFlaw

LEAST_MM2 = 15.0
"""Smaller marks are grain; an awl's hole is stitched over."""
SHADOW_EDGE_MM = 9.0
"""Edges softer than this belong to shadows, unless the colour changes too."""
SOFT_EDGE_MM, SOFT_STEP, BROAD_MM2 = 6.0, 0.085, 3000.0
"""What is soft, faint and small at once is the leather's own unevenness."""
BROAD_EDGE_MM = 30.0
"""No flaw is softer than this: light and the leather itself are."""
PUNCHED_EDGE_MM, PUNCHED_MM2 = 7.5, 700.0
"""Edge and size of what may be a hole: cuts and bites are smaller than 3 cm across."""
OWN_TINT, OWN_TINT_BROAD = 0.012, 0.008
"""A shadow keeps the leather's colour to about this, natural logarithm of a ratio; less noise is
left in that of a broad patch. Tuned on rendered photographs, seeds 0 to 23."""
LEAST_CONFIDENCE = 0.15
"""Below this more was imagined than real on rendered photographs, seeds 0 to 23."""
LEAST_COLOUR_CONFIDENCE = 0.55
"""The same for a place that differs in colour alone: encoders blur colour in blocks, and dark
leather shows them; tuned on rendered photographs, seeds 0 to 57."""
LONG = 2.5
"""Longer than so many widths is a scar, rounder is a stain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What was measured of a differing place.

    Parameters
    ----------
    ring_px : array, shape (n, 2)
        Its outline in the picture from above, px.
    area_mm2 : float
        mm2.
    step : float
        Difference of lightness from the leather about it, natural logarithm.
    tint : float
        Difference of colour from the leather about it, natural logarithms of ratios.
    grain : float
        How much lightness varies by itself, one standard deviation.
    edge_mm : float
        Width of its edge, mm.
    floor_tint_off, floor_tint_spread : float
        Difference of its colour from the floor's, and how much that varies.
    floor_step : float
        Its lightness less the floor's.
    """

    ring_px: NDArray[np.int_]
    area_mm2: float
    step: float
    tint: float
    grain: float
    edge_mm: float
    floor_tint_off: float
    floor_tint_spread: float
    floor_step: float


def flaw_from_look(look: Look, shape: Polygon) -> SeenFlaw | None:
    """Give the flaw a place looks like, or None for a shadow or a speck.

    Parameters
    ----------
    look : Look
        What was measured.
    shape : Polygon
        Where, mm.

    Returns
    -------
    SeenFlaw or None
        With a confidence.
    """
    if shape.area < LEAST_MM2:
        return None
    if _is_light_alone(look):
        return None
    confidence = round(_confidence(look), 2)
    if confidence < LEAST_CONFIDENCE:
        return None
    kind = _kind(look, shape)
    if kind == "uneven-colour" and confidence < LEAST_COLOUR_CONFIDENCE:
        return None
    return SeenFlaw(
        outline=shape,
        kind=kind,
        confidence=confidence,
        note=f"{np.exp(look.step):.0%} of the brightness about it, {shape.area:.0f} mm2, "
        f"edge {look.edge_mm:.0f} mm",
    )


def _is_light_alone(look: Look) -> bool:
    """Whether a place is a shadow, a light, or the leather's own unevenness."""
    is_broad = look.area_mm2 >= BROAD_MM2
    own_tint = OWN_TINT_BROAD if is_broad else OWN_TINT
    if look.edge_mm > SHADOW_EDGE_MM and look.tint < own_tint:
        return True
    is_faint = look.edge_mm > SOFT_EDGE_MM and abs(look.step) < SOFT_STEP
    return (is_faint and not is_broad) or look.edge_mm > BROAD_EDGE_MM


def _kind(look: Look, shape: Polygon) -> str:
    """Name a place by how it looks."""
    small = look.area_mm2 < PUNCHED_MM2
    floor_like = look.floor_tint_off < max(0.04, 4 * look.floor_tint_spread)
    if floor_like and look.tint > 2 * look.floor_tint_off and look.floor_step < 0.15:
        return "hole"
    # light, sharp and small: no sun does that, but a floor showing through does
    if floor_like and look.step > 0 and look.edge_mm < PUNCHED_EDGE_MM and small:
        return "hole"
    if look.step > 0.5 * look.tint and look.step > 0:
        return "sun-fade"
    if abs(look.step) < 0.5 * look.tint:
        return "uneven-colour"
    box = shapely.get_coordinates(shape.minimum_rotated_rectangle)
    sides = sorted(np.linalg.norm(np.diff(box, axis=0), axis=1))
    longer, shorter = sides[-1], sides[0]
    # a bent scar fills little of its box
    return "scar" if longer > LONG * min(shorter, shape.area / longer) else "stain"


def _confidence(look: Look) -> float:
    """Give how sure one can be: each of three signs must be there."""
    differs = max(abs(look.step), look.tint)
    clear = np.clip(differs / max(look.grain, 0.004) / 12, 0, 1)
    strong = np.clip((differs - 0.03) / 0.25, 0, 1)
    sharp = np.clip(1.3 - look.edge_mm / 25, 0.4, 1)
    large = np.clip(look.area_mm2 / 40, 0.5, 1)
    return float(np.clip((0.25 + 0.75 * strong) * clear * sharp * large, 0.05, 0.98))

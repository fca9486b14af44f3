"""How deep the pocket must be at each place, so that the knife fits round and can be drawn out.

x runs from the throat (0) to the tip; distances are on the flat leather, mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, pi

from estimator.pattern.blades import girth_mm, reach_mm
from estimator.pattern.draft.bends import Bend
from estimator.pattern.draft_choices import Draft

STEP_MM = 1.0
"""The knife is looked at this often; at every corner of its outline besides."""

SPARE_MM = 0.05
"""Added to every depth, so that rounding and smoothing of the lines cannot make it too small."""


NARROWEST_MM = 3.0
"""A pouch is no narrower anywhere, so that a knife can cut out its welt. Common practice, no
source."""

LEAST_END_WELT_MM = 3.0
"""A fold-over is so deep that this much of welt is left at its tip, short of the fold. Common
practice, no source."""

JUST_MM = 1e-6
"""This far beyond the handle only the blade is met."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Depth:
    """How far the pocket reaches at one place.

    Parameters
    ----------
    at_mm : float
        From the throat.
    above_mm, below_mm : float
        From the x axis to the welt on the spine's side and on the edge's side. In a
        fold-over the axis is the fold line, and both are the same.
    """

    at_mm: float
    above_mm: float
    below_mm: float


def stations_mm(draft: Draft) -> tuple[float, ...]:
    """Places where the knife is looked at, from the throat to its tip, mm."""
    covered, length = draft.handle_covered_mm, draft.pocket_mm
    steps = ceil(length / STEP_MM)
    corners = (x + covered for x, _ in draft.blade.outline.exterior.coords)
    places = {length * k / steps for k in range(steps + 1)} | {covered}
    places |= {x for x in corners if 0.0 < x < length}
    return tuple(sorted(places))


def spine_fold(draft: Draft) -> Bend:
    """Give the fold of a fold-over: half a turn round the spine, in the thickest leather."""
    return Bend(
        angle_deg=180.0,
        inside_radius_mm=draft.blade.spine_thickness_mm / 2.0,
        thickness_mm=draft.leather_max_mm,
        neutral_axis_share=draft.neutral_axis_share,
    )


def fold_over_depths(draft: Draft) -> tuple[Depth, ...]:
    """Give the pocket of a fold-over, from the throat to the blade's tip.

    Two rules hold at every place. The inside must be as long round as the knife and the
    clearance (:func:`~estimator.pattern.draft.bends.folded_girth_mm`, in the thinnest and in
    the thickest leather), and the welt must lie beyond the blade's edge: half the fold's
    allowance, then straight down from there. What passes the throat has to fit the throat,
    so a pocket never widens towards its tip.

    Parameters
    ----------
    draft : Draft
        Blade and choices.

    Returns
    -------
    tuple of Depth
        Never deeper than the one before.
    """
    places = stations_mm(draft)
    reaches = [reach_mm(draft.blade, on_knife_mm(draft, at)) for at in places]
    top = max(high for high, _ in reaches)
    round_spine = spine_fold(draft).allowance_mm / 2.0
    radius = draft.blade.spine_thickness_mm / 2.0
    least = draft.leather_max_mm + LEAST_END_WELT_MM
    needed: list[float] = []
    for at, (_, low) in zip(places, reaches, strict=True):
        girth = girth_mm(draft.blade, on_knife_mm(draft, at)) + draft.girth_clearance_mm
        past_edge = round_spine + max(0.0, top - low - radius) + draft.edge_clearance_mm
        slack = max(
            (pi * draft.neutral_axis_share - draft.welts) * thickness
            for thickness in (draft.leather_min_mm, draft.leather_max_mm)
        )
        needed.append(max(least, past_edge, (girth + slack) / 2.0) + SPARE_MM)
    deep = _deepen_towards_throat(needed)
    return tuple(
        Depth(at_mm=at, above_mm=depth, below_mm=depth)
        for at, depth in zip(places, deep, strict=True)
    )


def pouch_depths(draft: Draft) -> tuple[Depth, ...]:
    """Give the pocket of a two-piece pouch, from the throat to the blade's tip.

    As in :func:`fold_over_depths`, with :func:`~estimator.pattern.draft.bends.flat_girth_mm`
    and a welt beyond both spine and edge; what the girth wants more is given to both sides
    alike.

    Parameters
    ----------
    draft : Draft
        Blade and choices.

    Returns
    -------
    tuple of Depth
        From the x axis of the blade; on neither side farther out than the one before.
    """
    places = stations_mm(draft)
    above: list[float] = []
    below: list[float] = []
    for at in places:
        high, low = reach_mm(draft.blade, on_knife_mm(draft, at))
        girth = girth_mm(draft.blade, on_knife_mm(draft, at)) + draft.girth_clearance_mm
        clear = max(high - low + 2.0 * draft.edge_clearance_mm, NARROWEST_MM)
        wanting = max(0.0, girth / 2.0 - draft.welts * draft.leather_min_mm - clear)
        beside = (clear - (high - low) + wanting) / 2.0 + SPARE_MM
        above.append(high + beside)
        below.append(beside - low)
    pairs = zip(places, _deepen_towards_throat(above), _deepen_towards_throat(below), strict=True)
    return tuple(Depth(at_mm=at, above_mm=high, below_mm=low) for at, high, low in pairs)


def on_knife_mm(draft: Draft, at_mm: float) -> float:
    """Give the blade's own x of a place, mm; a handle that is not covered is left out."""
    covered = draft.handle_covered_mm
    first, _, last, _ = draft.blade.outline.bounds  # traced to a thousandth of a mm
    left = max(first, -covered) if covered else JUST_MM
    return min(max(at_mm - covered, left), last)


def _deepen_towards_throat(needed: Sequence[float]) -> tuple[float, ...]:
    """Make each place at least as deep as all that lies beyond it towards the tip."""
    return tuple(reversed(tuple(accumulate(reversed(needed), max))))

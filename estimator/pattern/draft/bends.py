"""Length of leather that goes into a bend, and what that makes of pockets, loops and bands.

Bend allowance as in sheet metal: a bend of angle A (radians) over an inside radius R in leather
of thickness T takes up ``A (R + K T)`` of its neutral axis, which lies K T from the inside face
(form: US Navy Aviation Structural Mechanic training manual, and FAA-H-8083-31 chapter 4, where
K is 0.447 for sheet metal). No value of K is published for leather; the default here is half
the thickness (common practice, no source), and a shop sets its own from test folds.
"""

from dataclasses import dataclass
from math import pi, radians

from estimator.facts import Statement, statement


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A bend in leather.

    Parameters
    ----------
    angle_deg : float
        How far the leather turns, degrees, zero or more.
    inside_radius_mm : float
        Of the inside face, zero or more.
    thickness_mm : float
        Of the leather, zero or more.
    neutral_axis_share : float
        0 at the inside face, 1 at the outside face.

    Examples
    --------
    >>> fold = Bend(
    ...     angle_deg=180.0, inside_radius_mm=1.5, thickness_mm=3.0, neutral_axis_share=0.5
    ... )
    >>> round(fold.allowance_mm, 3)
    9.425
    """

    angle_deg: float
    inside_radius_mm: float
    thickness_mm: float
    neutral_axis_share: float

    @property
    def allowance_mm(self) -> float:
        """Length of leather in the bend, along its neutral axis, mm."""
        return radians(self.angle_deg) * (
            self.inside_radius_mm + self.neutral_axis_share * self.thickness_mm
        )

    @property
    def formula(self) -> Statement:
        """The allowance, spelt out with its numbers."""
        return statement(
            "bend-allowance",
            angle_deg=self.angle_deg,
            inside_radius_mm=self.inside_radius_mm,
            neutral_axis=self.neutral_axis_share,
            thickness_mm=self.thickness_mm,
            allowance_mm=self.allowance_mm,
        )


def folded_girth_mm(
    *, depth_mm: float, thickness_mm: float, neutral_axis_share: float, welts_mm: float
) -> float:
    """Distance round the inside of a fold-over pocket: leather and inner face of the welt.

    The leather runs from the welt round the fold and back to the welt, clamped parallel at
    both ends. Whatever shape it takes between, its inside face is shorter than its neutral
    axis by the distance between the two times the turning, half a turn. So the inside is
    ``2 d - pi K t + w``.

    Parameters
    ----------
    depth_mm : float
        From the fold line to the welt on the flat part, mm.
    thickness_mm : float
        Of the leather, mm.
    neutral_axis_share : float
        0 at the inside face, 1 at the outside face.
    welts_mm : float
        Thickness of the welts in the seam together, mm.

    Returns
    -------
    float
        mm.

    Notes
    -----
    Source: length of a parallel curve, L - a (total turning), plane differential geometry.

    Examples
    --------
    >>> round(folded_girth_mm(depth_mm=30, thickness_mm=3, neutral_axis_share=0.5, welts_mm=3), 3)
    58.288
    """
    return 2.0 * depth_mm - pi * neutral_axis_share * thickness_mm + welts_mm


def flat_girth_mm(*, width_mm: float, welts_mm: float) -> float:
    """Distance round the inside of a pocket of two pieces with welts on both sides.

    Each piece is clamped parallel at both ends, so its turning adds up to nothing, and its
    inside face is as long as its neutral axis: ``2 (f + w)``.

    Parameters
    ----------
    width_mm : float
        Between the welts on the flat part, f, mm.
    welts_mm : float
        Thickness of the welts in one seam together, w, mm.

    Returns
    -------
    float
        mm.

    Examples
    --------
    >>> flat_girth_mm(width_mm=30.0, welts_mm=3.0)
    66.0
    """
    return 2.0 * (width_mm + welts_mm)


def loop_strip_mm(*, opening_mm: float, sewn_mm: float, fold: Bend) -> float:
    """Length of a strip folded once over a belt, both ends sewn together.

    Parameters
    ----------
    opening_mm : float
        From the seam to where the fold begins: belt width and clearance, mm.
    sewn_mm : float
        From the seam to the end of the strip, mm.
    fold : Bend
        Over the belt.

    Returns
    -------
    float
        ``2 (opening + sewn) + bend allowance``, mm.

    Examples
    --------
    >>> fold = Bend(angle_deg=180, inside_radius_mm=2, thickness_mm=4, neutral_axis_share=0.5)
    >>> round(loop_strip_mm(opening_mm=42.0, sewn_mm=26.0, fold=fold), 3)
    148.566
    """
    return 2.0 * (opening_mm + sewn_mm) + fold.allowance_mm


def wrapped_mm(
    *, girth_mm: float, thickness_mm: float, neutral_axis_share: float, overlap_mm: float
) -> float:
    """Length of a band once round something, with its ends on each other.

    One whole turn of the band makes its neutral axis ``2 pi K t`` longer than its inside.

    Parameters
    ----------
    girth_mm : float
        Round what it holds, mm.
    thickness_mm : float
        Of the band, mm.
    neutral_axis_share : float
        0 at the inside face, 1 at the outside face.
    overlap_mm : float
        mm.

    Returns
    -------
    float
        mm.

    Notes
    -----
    Source: length of a parallel curve round a convex shape (Steiner), L + 2 pi a.

    Examples
    --------
    >>> round(
    ...     wrapped_mm(girth_mm=80, thickness_mm=3, neutral_axis_share=0.5, overlap_mm=40), 3
    ... )
    129.425
    """
    return girth_mm + 2.0 * pi * neutral_axis_share * thickness_mm + overlap_mm

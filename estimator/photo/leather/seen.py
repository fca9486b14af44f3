"""What was found in a photograph of a hide: records only, on the plane of its view."""

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon

from estimator.photo.base.picture import Picture
from estimator.photo.base.view import View


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeStretch:
    """A stretch of an outline, with how well it is known.

    Parameters
    ----------
    line : LineString
        Where, on the plane, mm.
    expected_error_mm : float
        How far it may be off, mm, at 95 of 100 places.
    """

    line: LineString
    expected_error_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFlaw:
    """A place that looks like a flaw, until somebody has looked.

    Parameters
    ----------
    outline : Polygon
        On the plane, mm.
    kind : str
        ``scar``, ``stain``, ``hole``, ``sun-fade`` or ``uneven-colour``.
    confidence : float
        0 to 1: from difference, size and sharpness; no probability.
    note : str
        What was measured.
    expected_error_mm : float or None
        How far it may be off, mm; None if as far as the hide's outline.
    """

    outline: Polygon
    kind: str
    confidence: float
    note: str = ""
    expected_error_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A place that another photograph shows better.

    Parameters
    ----------
    picture : Picture
        That photograph.
    view : View
        How it sees the same plane.
    area : Polygon
        The place, mm.
    """

    picture: Picture
    view: View
    area: Polygon


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenHide:
    """A hide as found in a photograph; all on the plane of the view, mm, y up.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        Of the plane.
    outline : Polygon
        As found, without any allowance.
    expected_error_mm : float
        How far the outline may be off, mm, at 95 of 100 places, as found: a drawing of it that
        leaves out points adds what that moves it.
    covered : tuple of Polygon
        Sheets that lie on the leather.
    flaws : tuple of SeenFlaw
        Proposals, in the order of their numbers.
    patches : tuple of Patch
        What other photographs show of leather that a sheet covers in this one.
    stretches : sequence of EdgeStretch
        All of the outline piece by piece, with how far each may be off; some may lie on
        others. Empty if ``expected_error_mm`` holds all round.
    backbone_deg : float
        Direction of the backbone, degrees from the plane's x axis.
    left_out : int
        Spots too faint to be proposed.
    """

    picture: Picture
    view: View
    outline: Polygon
    expected_error_mm: float
    covered: tuple[Polygon, ...]
    flaws: tuple[SeenFlaw, ...]
    patches: tuple[Patch, ...] = ()
    stretches: Sequence[EdgeStretch] = ()
    backbone_deg: float = 0.0
    left_out: int = 0

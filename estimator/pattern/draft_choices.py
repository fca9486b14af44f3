"""What a pattern is drafted from: a blade and the maker's choices. Records only."""

from dataclasses import dataclass
from enum import StrEnum

from estimator.pattern.blades import Blade


class Construction(StrEnum):
    """How a sheath is put together."""

    FOLD_OVER = "fold-over"
    POUCH = "pouch"


class Throat(StrEnum):
    """The shape of the opening, seen from the front."""

    STRAIGHT = "straight"
    CURVED = "curved"
    SLANTED = "slanted"


class Shown(StrEnum):
    """Which faces of the sheath will be seen."""

    FRONT = "front"
    ALL = "all"
    NONE = "none"


class Finished(StrEnum):
    """Which edges are bevelled and burnished."""

    ALL = "all"
    THROAT = "throat"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class BeltLoop:
    """A strip folded over a belt, both ends sewn to the back in one seam.

    Parameters
    ----------
    belt_width_mm, belt_thickness_mm : float
        The belt it must take, above zero.
    clearance_mm : float
        Play along the belt's width, zero or more.
    width_mm : float or None
        Of the strip; None for as wide as fits the back, up to 30 mm.
    tab_mm : float
        Length of either end that lies on the back, above zero.
    """

    belt_width_mm: float
    belt_thickness_mm: float
    clearance_mm: float
    width_mm: float | None
    tab_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strap:
    """A strap round the handle, riveted to the back and closed by a snap.

    Parameters
    ----------
    name : str
        Unique among the parts.
    width_mm : float
        Above zero.
    overlap_mm : float
        How far its ends lie on each other, zero or more.
    rivet, snap : str
        Items of the price book.
    """

    name: str
    width_mm: float
    overlap_mm: float
    rivet: str
    snap: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeper:
    """A band sewn to the back that holds a small tool, or the tail of a strap.

    Parameters
    ----------
    name : str
        Unique among the parts.
    holds_width_mm, holds_thickness_mm : float
        Cross-section of what it holds, above zero.
    width_mm : float
        Of the band, above zero.
    overlap_mm : float
        How far its ends lie on each other under the seam, above zero.
    at_mm : float or None
        From the throat to the middle of the band; None for next to the belt loop.
    """

    name: str
    holds_width_mm: float
    holds_thickness_mm: float
    width_mm: float
    overlap_mm: float
    at_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sewing:
    """How seams are sewn and glued.

    Parameters
    ----------
    from_edge_mm : float
        From the cut edge to the stitch line, above zero.
    start_mm : float
        From the throat to the first hole, zero or more.
    end_mm : float or None
        From the fold line to the last hole; None for one thickness and ``from_edge_mm``.
    pitch_mm : float
        Distance between holes, above zero.
    glue_width_mm : float
        Band glued along the edge, zero or more.
    backstitches : int
        Stitches sewn twice, both ends together.
    thread : str
        Item of the price book.
    """

    from_edge_mm: float
    start_mm: float
    end_mm: float | None
    pitch_mm: float
    glue_width_mm: float
    backstitches: int
    thread: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """All that the parts of a drafted pattern follow from.

    Parameters
    ----------
    blade : Blade
        The knife.
    construction : Construction
        Fold-over or pouch.
    leather_min_mm, leather_max_mm : float
        Thickness of the leather, above zero.
    neutral_axis_share : float
        Where in a bend the leather neither stretches nor crowds: 0 at its inside face, 1 at
        its outside face.
    handle_covered_mm : float
        How much of the handle the sheath takes in, zero or more.
    girth_clearance_mm : float
        How much longer the pocket is round than the knife, for wet forming, zero or more.
    edge_clearance_mm : float
        Between the blade and the welt, at edge and tip, zero or more.
    welt_width_mm : float
        Above the seam's distance from the edge.
    welts : int
        Layers of welt, one or more.
    sewing : Sewing
        How seams are sewn.
    throat : Throat
        Shape of the opening.
    throat_depth_mm : float
        How far a curved or slanted throat is cut in, zero or more.
    tip_radius_mm : float
        Of the outer corners at the tip, zero or more; never less than the welt is wide.
    drain_gap_mm : float
        Width of welt left out at the tip so that water drains, 0 for none.
    dyes_grain, dyes_flesh : bool
        Faces of the seen parts that take dye.
    finished : Finished
        Edges bevelled and burnished.
    shown : Shown
        Faces that will be seen.
    belt_loop : BeltLoop or None
        None for no loop.
    straps : tuple of Strap
        Straps round the handle.
    keepers : tuple of Keeper
        Bands on the back.
    """

    blade: Blade
    construction: Construction
    leather_min_mm: float
    leather_max_mm: float
    neutral_axis_share: float
    handle_covered_mm: float
    girth_clearance_mm: float
    edge_clearance_mm: float
    welt_width_mm: float
    welts: int
    sewing: Sewing
    throat: Throat
    throat_depth_mm: float
    tip_radius_mm: float
    drain_gap_mm: float
    dyes_grain: bool
    dyes_flesh: bool
    finished: Finished
    shown: Shown
    belt_loop: BeltLoop | None
    straps: tuple[Strap, ...]
    keepers: tuple[Keeper, ...]

    @property
    def pocket_mm(self) -> float:
        """Length of knife inside: covered handle and blade, mm."""
        return self.handle_covered_mm + self.blade.length_mm

    @property
    def end_gap_mm(self) -> float:
        """Distance from the fold line of a fold-over to the last hole, mm."""
        if self.sewing.end_mm is not None:
            return self.sewing.end_mm
        return self.leather_max_mm + self.drain_gap_mm + self.sewing.from_edge_mm

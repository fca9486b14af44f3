"""The parts of a sheath and how they are joined: records only.

Coordinates are mm, x right and y up, outer rings counter-clockwise, each part
in its own axes, seen from the grain side.
"""

from dataclasses import dataclass
from enum import StrEnum

from shapely import LineString, Polygon

from estimator.geometry.pose import Pose
from estimator.pattern.draft_choices import Draft
from estimator.quality import Need


class PartKind(StrEnum):
    """What a part is, so that checks know which rules apply to it."""

    BODY = "body"
    WELT = "welt"
    LOOP = "loop"
    STRAP = "strap"
    LINING = "lining"
    OTHER = "other"


class Face(StrEnum):
    """The two faces of leather."""

    GRAIN = "grain"
    FLESH = "flesh"


class Hand(StrEnum):
    """The hand a sheath is made for."""

    RIGHT = "right"
    LEFT = "left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """An area of a part and what it needs of the leather.

    Parameters
    ----------
    outline : Polygon
        In the part's coordinates, mm; lies within the part.
    needs : frozenset of Need
        Empty where the region needs nothing.
    """

    outline: Polygon
    needs: frozenset[Need]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Which direction of a part must follow the backbone, and how closely.

    Parameters
    ----------
    along_deg : float
        The part's direction that carries the pull, degrees from its x axis.
    within_deg : float
        Allowed deviation to either side, 0 to 90. The opposite direction
        serves as well, since leather stretches alike both ways.
    """

    along_deg: float
    within_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Where a part lies on another one when the sheath is flat.

    Parameters
    ----------
    part : str
        Name of the part underneath.
    pose : Pose
        Takes this part's coordinates to those of the part underneath.
    """

    part: str
    pose: Pose


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One piece of leather to cut.

    Parameters
    ----------
    name : str
        Unique in its pattern.
    kind : PartKind
        Which rules of thumb apply.
    copies : int
        Pieces per sheath cut as drawn, one or more.
    mirrored_copies : int
        Further pieces per sheath cut mirrored, zero or more.
    outline : Polygon
        The cut line, holes included, mm.
    regions : tuple of Region
        What the leather must be, area by area; ground in no region needs nothing.
    fold_lines : tuple of LineString
        Lines it is folded along, mm.
    stretch : Stretch or None
        None where any direction will do.
    thickness_min_mm, thickness_max_mm : float
        The leather it may be cut from, mm.
    may_mirror : bool
        Whether a copy may be cut mirrored at will, to save leather.
    same_lot : bool
        Whether all such parts of one sheath must come from one colour lot.
    dyed : frozenset of Face
        Faces that take dye.
    finish_edges : tuple of LineString
        Stretches of edge that are bevelled and burnished, mm.
    seat : Seat or None
        Where it lies on another part, if that matters for checks.
    """

    name: str
    kind: PartKind
    copies: int
    mirrored_copies: int
    outline: Polygon
    regions: tuple[Region, ...]
    fold_lines: tuple[LineString, ...]
    stretch: Stretch | None
    thickness_min_mm: float
    thickness_max_mm: float
    may_mirror: bool
    same_lot: bool
    dyed: frozenset[Face]
    finish_edges: tuple[LineString, ...]
    seat: Seat | None

    @property
    def pieces(self) -> int:
        """Pieces per sheath, as drawn and mirrored together."""
        return self.copies + self.mirrored_copies


@dataclass(frozen=True, slots=True, kw_only=True)
class Mate:
    """The same seam drawn on another part, where laying one on the other does not give it.

    Parameters
    ----------
    part : str
        The part whose coordinates ``path`` is in; the seam's own part again
        for the other half of a part folded over itself.
    path : LineString
        The stitch line there, mm, drawn from the same end as the seam's own.
    """

    part: str
    path: LineString


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A line of stitches through a stack of parts.

    Parameters
    ----------
    name : str
        Unique in its pattern.
    part : str
        The part whose coordinates ``path`` is in, where the holes are marked.
    path : LineString
        The stitch line, mm; closed when its ends meet.
    layers : tuple of str
        Names of the parts sewn through, from one face to the other; a part
        folded over itself is named twice, so the stack is known.
    pitch_mm : float
        Distance between holes, mm.
    glue_width_mm : float
        Width of the band glued between layers before sewing, mm; 0 for none.
    backstitches : int
        Stitches sewn twice, both ends together.
    thread : str
        Item in the price book; empty if none is named.
    corner_mm : float
        How far holes keep from a sharp corner of the path, measured along it, mm;
        with 0 a hole sits in the corner itself and the thread turns about it
        (common practice, no source).
    mates : tuple of Mate
        The stitch line as drawn on other layers; for layers not named here it
        follows from where the part lies, or from the fold.
    """

    name: str
    part: str
    path: LineString
    layers: tuple[str, ...]
    pitch_mm: float
    glue_width_mm: float
    backstitches: int
    thread: str
    corner_mm: float = 0.0
    mates: tuple[Mate, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardware:
    """Rivets, snaps, buckles: bought, counted, and part of the assembly.

    Parameters
    ----------
    item : str
        Item in the price book.
    count : int
        Pieces per sheath.
    joins : tuple of str
        Names of the parts it holds together.
    """

    item: str
    count: int
    joins: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """Parts held together by neither seam nor hardware: glued, laced, slotted.

    Parameters
    ----------
    how : str
        In the maker's words.
    parts : tuple of str
        Names of the parts held together.
    glue_mm2 : float
        Area bonded, one face, mm2; 0 for none.
    """

    how: str
    parts: tuple[str, ...]
    glue_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Belt:
    """The belt a sheath is carried on.

    Parameters
    ----------
    width_mm, thickness_mm : float
        mm, above zero.
    """

    width_mm: float
    thickness_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Everything that is cut and joined for one sheath.

    Parameters
    ----------
    name : str
        What the maker calls it.
    hand : Hand
        The hand it is drawn for.
    parts : tuple of Part
        Every piece of leather; the only list of parts there is.
    seams, hardware, joins
        How they are held together.
    wet_formed : bool
        Whether the sheath is formed wet around the blade and must dry.
    belt : Belt or None
        The belt it is to go on, if that is known.
    draft : Draft or None
        The blade and the choices its parts were drafted from, if they were.
    """

    name: str
    hand: Hand
    parts: tuple[Part, ...]
    seams: tuple[Seam, ...]
    hardware: tuple[Hardware, ...]
    joins: tuple[Join, ...]
    wet_formed: bool
    belt: Belt | None = None
    draft: Draft | None = None

    def part(self, name: str) -> Part:
        """Give the part of this name.

        Raises
        ------
        KeyError
            If there is none.
        """
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)

"""A nesting problem and its answer: records only.

Any consistent unit of length will do; the names say mm because that is what
this package uses. Angles are degrees counter-clockwise, y up.
"""

from dataclasses import dataclass
from enum import StrEnum

from shapely import Polygon, is_valid_reason

from estimator.geometry.pose import Pose
from estimator.quality import Need, Spoil

RIM_MM = 24.0
"""How far from an edge leather begins to count: measured by tests/benchmarks/rim.py, 21 to 27
for orders of all kinds; 15 for mixed orders, 7 for straps alone, 38 for large bodies alone."""

STRIP_RIM_MM = 10.0
"""The same in the narrowest strip, for straps and loops: measured likewise, 4.5 to 12.5."""

WEAK_SHARE = 0.5
"""Worth of loose or stretchy leather beside sound leather. Common practice, no source."""

COSMETIC_SHARE = 0.7
"""Worth of faded or stained leather beside sound leather. Common practice, no source."""


class Objective(StrEnum):
    """What a good layout saves."""

    WORTH = "worth"
    """Least share of every sheet's worth used up, at what the sheet costs."""
    SHEET = "sheet"
    """Least sheet area consumed, by the rule that leftovers count by area alone."""
    LENGTH = "length"
    """Shortest stretch in x of one strip."""


class Mirror(StrEnum):
    """Whether copies of a piece are laid mirrored."""

    NEVER = "never"
    ALWAYS = "always"
    MAY = "may"


FLIPS = {Mirror.NEVER: (False,), Mirror.ALWAYS: (True,), Mirror.MAY: (False, True)}
"""Whether a copy is laid mirrored: what may be tried."""


def _refuse_crossed(outline: Polygon, name: str) -> None:
    """Raise ValueError for an outline that encloses nothing or crosses itself."""
    if outline.is_empty or outline.area <= 0:
        raise ValueError(f"{name}: the outline encloses no area")
    if not outline.is_valid:
        raise ValueError(f"{name}: the outline is not a simple polygon: {is_valid_reason(outline)}")


def _refuse_share(share: float, name: str) -> None:
    """Raise ValueError for what is no share."""
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"{name}: {share} is not between 0 and 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """An area of a piece and what it needs of the sheet; a simple polygon."""

    outline: Polygon
    needs: frozenset[Need]

    def __post_init__(self) -> None:
        """Refuse an outline that crosses itself."""
        _refuse_crossed(self.outline, "zone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A range of allowed turns, measured from the sheet's axis, degrees.

    ``from_deg == to_deg`` allows one angle; a span of 360 or more allows all.
    """

    from_deg: float
    to_deg: float

    def __post_init__(self) -> None:
        """Refuse a range that runs backwards."""
        if self.to_deg < self.from_deg:
            raise ValueError(f"to_deg {self.to_deg} is below from_deg {self.from_deg}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A shape to lay, some number of times.

    Parameters
    ----------
    key : str
        Unique in the problem.
    copies : int
        How many to lay in all, one or more.
    outline : Polygon
        Simple outer ring; holes are allowed, and nothing is laid in them.
    zones : tuple of Zone
        Needs area by area; the rest of the piece needs nothing.
    turns : tuple of Turn
        Allowed turns; at least one.
    sheets : frozenset of str
        Keys of the sheets it may be laid on.
    mirror : Mirror
        Whether copies are laid mirrored.
    kit : str
        Pieces with the same kit key are wanted in complete sets.
    per_kit : int
        Copies in one set, of which ``copies`` is a whole multiple: copy ``n`` belongs to
        set ``n // per_kit``.
    same_lot : bool
        Whether this piece shares its lot with the other ``same_lot`` pieces of its set.
    ignores : frozenset of str
        Kinds of cosmetic blemish that do not matter to this piece.
    """

    key: str
    copies: int
    outline: Polygon
    zones: tuple[Zone, ...]
    turns: tuple[Turn, ...]
    sheets: frozenset[str]
    mirror: Mirror
    kit: str
    per_kit: int
    same_lot: bool
    ignores: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        """Refuse counts that make no complete sets, and an outline that crosses itself."""
        _refuse_crossed(self.outline, f"piece {self.key}")
        if self.copies < 1 or self.per_kit < 1 or self.copies % self.per_kit:
            raise ValueError(f"piece {self.key}: {self.copies} copies, {self.per_kit} per kit")
        if not self.turns:
            raise ValueError(f"piece {self.key}: no allowed turn")


@dataclass(frozen=True, slots=True, kw_only=True)
class Blemish:
    """A spoiled area of a sheet; may reach over its edge.

    Parameters
    ----------
    outline : Polygon
        A simple polygon.
    spoil : Spoil
        How far it spoils the ground.
    kind : str
        What a piece may ignore.
    lowers_worth : bool
        False for ground that is only kept free this time: what is left of it is worth as
        much as before.
    """

    outline: Polygon
    spoil: Spoil
    kind: str = ""
    lowers_worth: bool = True

    def __post_init__(self) -> None:
        """Refuse an outline that crosses itself."""
        _refuse_crossed(self.outline, "blemish")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """An area of a sheet that is worth ``share`` of the best ground, 0 to 1."""

    outline: Polygon
    share: float

    def __post_init__(self) -> None:
        """Refuse an outline that crosses itself, and a share out of range."""
        _refuse_crossed(self.outline, "grade")
        _refuse_share(self.share, "grade")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Something to lay pieces on.

    Parameters
    ----------
    key : str
        Unique in the problem.
    outline : Polygon
        Holes are allowed.
    blemishes : tuple of Blemish
        Spoiled areas.
    axis_deg : float
        The direction turns are measured from, degrees.
    worth_per_mm2 : float
        A weight that says which sheet to use up first (low) and which to spare (high).
    lot : str
        Sheets of one lot match in colour; empty means a lot of its own.
    grades : tuple of Grade
        Areas worth less than the best ground; the lowest counts where they overlap.
    """

    key: str
    outline: Polygon
    blemishes: tuple[Blemish, ...]
    axis_deg: float
    worth_per_mm2: float
    lot: str
    grades: tuple[Grade, ...] = ()

    def __post_init__(self) -> None:
        """Refuse an outline that crosses itself."""
        _refuse_crossed(self.outline, f"sheet {self.key}")

    @property
    def lot_key(self) -> str:
        """The lot, or a key of its own for a sheet that belongs to none."""
        return self.lot or f"\0{self.key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Least distances: piece to piece, piece to sheet edge, zone to a blemish it must avoid."""

    spacing_mm: float
    edge_mm: float
    flaw_mm: float

    def __post_init__(self) -> None:
        """Refuse negative distances."""
        if min(self.spacing_mm, self.edge_mm, self.flaw_mm) < 0:
            raise ValueError("margins must be zero or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep:
    """Which leftovers go back on the rack, and what they are worth there.

    A leftover is kept where a disc of ``disc_radius_mm`` can travel and the
    area so swept is at least ``area_mm2``; so is a straight strip of at least
    ``strip_length_mm`` by ``strip_width_mm``, unless one of the two is 0.

    Ground counts from ``rim_mm`` inside an edge, a hole or an unusable flaw on, in the narrowest
    strip from ``strip_rim_mm`` on; weak and cosmetically spoiled ground counts by
    ``weak_share`` and ``cosmetic_share`` of sound ground.
    """

    disc_radius_mm: float
    area_mm2: float
    strip_width_mm: float
    strip_length_mm: float
    rim_mm: float = RIM_MM
    strip_rim_mm: float = STRIP_RIM_MM
    weak_share: float = WEAK_SHARE
    cosmetic_share: float = COSMETIC_SHARE

    def __post_init__(self) -> None:
        """Refuse rims below zero and shares out of range."""
        if min(self.rim_mm, self.strip_rim_mm) < 0:
            raise ValueError("rims must be zero or more")
        _refuse_share(self.weak_share, "weak_share")
        _refuse_share(self.cosmetic_share, "cosmetic_share")


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """One copy of a piece on a sheet; ``pose`` takes the piece's axes to the sheet's."""

    piece: str
    copy: int
    sheet: str
    pose: Pose


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Pieces to lay on sheets, with the distances to hold and the aim.

    Parameters
    ----------
    pieces : tuple of Piece
        What to lay.
    sheets : tuple of Sheet
        What to lay it on.
    margins : Margins
        Distances to hold.
    keep : Keep
        Which leftovers count as kept.
    objective : Objective
        What a good layout saves.
    poor_share : float
        Worth of ground spoiled cosmetically or weak, as a share of clean
        ground, 0 to 1. Below 1, pieces that may lie on poor ground are sent there; by
        worth, this is only tried, and what it costs decides.
    pinned : tuple of Placement
        Copies that lie where they lie: cut already, or wanted there.
    """

    pieces: tuple[Piece, ...]
    sheets: tuple[Sheet, ...]
    margins: Margins
    keep: Keep
    objective: Objective
    poor_share: float = 1.0
    pinned: tuple[Placement, ...] = ()


class Reason(StrEnum):
    """Why copies are left over, in the engine's words."""

    NO_SHEET = "there is no sheet it may be cut from"
    TOO_LARGE = "it is larger than any sheet it may be cut from, edge margin included"
    NO_SOUND_PLACE = "flaws leave no sound place of its size on any sheet it may be cut from"
    NO_ROOM_IN_LOT = "no room is left beside the other pieces of its colour lot"
    NO_ROOM = "no room is left beside the other pieces"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplaced:
    """Copies that do not fit, and why: a :class:`Reason`."""

    piece: str
    copies: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where everything lies. Only the checker may call it proved.

    Parameters
    ----------
    placements : tuple of Placement
        What is laid.
    unplaced : tuple of Unplaced
        What is not.
    seed, moves : int
        How it was found: its seed, and the moves counted until then.
    refused : tuple of str
        Faults of a later layout that the checker refused, so that this, the
        one proved before it, is given instead. Empty unless the engine is at fault.
    island_saving : float or None
        Share of the leather's cost that islands save against the cheapest layout found
        without any: pieces cut out of the middle of what is left. None if there are none.
    """

    placements: tuple[Placement, ...]
    unplaced: tuple[Unplaced, ...]
    seed: int
    moves: int
    refused: tuple[str, ...] = ()
    island_saving: float | None = None

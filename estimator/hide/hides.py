"""Hides and offcuts with their flaws: records only. Coordinates mm, y up, grain side up."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path
from typing import assert_never

from shapely import Polygon

from estimator.quality import Spoil


class Tannage(StrEnum):
    """How the hide was tanned, as far as a sheath maker must know."""

    VEGETABLE = "vegetable"
    CHROME = "chrome"
    COMBINATION = "combination"


class FlawState(StrEnum):
    """Whether somebody has looked at a flaw; a dropped one was none, and is in no hide."""

    CONFIRMED = "confirmed"
    PROPOSED = "proposed"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """A spoiled area of a hide.

    Parameters
    ----------
    outline : Polygon
        In the hide's axes, mm; may reach over the hide's edge.
    kind : str
        What it is, in the trade's words: ``sun-fade``, ``scar``, ``hole``.
    spoil : Spoil
        How far it spoils the leather, if it is what it is said to be.
    note : str
        The maker's remark, or empty.
    state : FlawState
        ``PROPOSED`` for one that a program found and nobody has looked at yet.
    confidence : float or None
        Of a proposal: how sure it is that this is a flaw, 0 to 1.
    number : int
        By which it is named in a picture of the hide; 0 if it has none.
    is_forbidden : bool
        Whether it is only kept clear by one order: the leather is sound, and what is left of
        it is worth as much as before.
    """

    outline: Polygon
    kind: str
    spoil: Spoil
    note: str
    state: FlawState = FlawState.CONFIRMED
    confidence: float | None = None
    number: int = 0
    is_forbidden: bool = False

    @property
    def reckoned_spoil(self) -> Spoil:
        """How far a layout keeps off: a proposal may be worse than it looks in a picture."""
        match self.state:
            case FlawState.PROPOSED:
                return Spoil.UNUSABLE
            case FlawState.CONFIRMED | FlawState.DROPPED:
                return self.spoil
            case other:
                assert_never(other)


@dataclass(frozen=True, slots=True, kw_only=True)
class HideZone:
    """An area of a hide that is worth less than its best: shoulder, belly, a thin flank.

    Parameters
    ----------
    outline : Polygon
        In the hide's axes, mm; may reach over the hide's edge.
    name : str
        In the trade's words.
    share : float
        What it is worth beside the best leather of the hide, 0 to 1.
    """

    outline: Polygon
    name: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HidePhoto:
    """A photograph of a hide as seen straight from above.

    Parameters
    ----------
    file : Path
        JPEG or PNG, an absolute path; it may have gone since.
    mm_per_px : float
        mm of leather for one pixel, above zero.
    left_mm, bottom_mm : float
        Where the lower left corner of the picture lies in the hide's axes, mm; its sides run
        along x and y.
    error_mm : float
        How far lines taken from it may be off, mm, at 95 of 100 places; zero or more. The
        hide's outline was drawn inside by as much.
    """

    file: Path
    mm_per_px: float
    left_mm: float
    bottom_mm: float
    error_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hide:
    """One piece of leather on the rack, whole or offcut.

    Parameters
    ----------
    tag : str
        Its name on the rack, unique in an order.
    outline : Polygon
        mm; what is inside holes of the outline is gone.
    flaws : tuple of Flaw
        Spoiled areas.
    backbone_deg : float
        Direction of the backbone, degrees from the x axis: the direction of least stretch.
    thickness_min_mm, thickness_max_mm : float
        Measured, or the range it was sold as, mm.
    tannage : Tannage
        Decides wet forming and a warning about steel.
    lot : str
        Colour lot; empty means a lot of its own.
    price_paid : Decimal
        For the whole piece, with shipping, in the workshop's currency.
    stamped_area_mm2 : float or None
        What the tannery stamped on it, if known, mm2.
    is_offcut : bool
        Left over from earlier work, so used up first.
    shipping_paid : Decimal
        The part of ``price_paid`` that was for its way here.
    photo : HidePhoto or None
        What it looks like, if its map was made from a photograph.
    zones : tuple of HideZone
        Areas worth less than its best leather; the lowest counts where they overlap.
    """

    tag: str
    outline: Polygon
    flaws: tuple[Flaw, ...]
    backbone_deg: float
    thickness_min_mm: float
    thickness_max_mm: float
    tannage: Tannage
    lot: str
    price_paid: Decimal
    stamped_area_mm2: float | None
    is_offcut: bool
    shipping_paid: Decimal = Decimal(0)
    photo: HidePhoto | None = None
    zones: tuple[HideZone, ...] = ()

    @property
    def thickness_mm(self) -> float:
        """Middle of the thickness range, mm."""
        return (self.thickness_min_mm + self.thickness_max_mm) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class HideFacts:
    """What the maker says of a hide; a photograph shows none of it.

    Parameters
    ----------
    tag : str
        Its name on the rack.
    thickness_min_mm, thickness_max_mm : float
        mm.
    price_paid : Decimal
        For the whole piece, with shipping.
    shipping_paid : Decimal
        The part of it for the way here.
    tannage : Tannage
        How it was tanned.
    lot : str
        Colour lot.
    stamped_area_mm2 : float or None
        mm2.
    is_offcut : bool
        Left over, so used up first.
    """

    tag: str
    thickness_min_mm: float
    thickness_max_mm: float
    price_paid: Decimal
    shipping_paid: Decimal = Decimal(0)
    tannage: Tannage = Tannage.VEGETABLE
    lot: str = ""
    stamped_area_mm2: float | None = None
    is_offcut: bool = False

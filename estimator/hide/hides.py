"""Hides and offcuts with their flaws: records only. Coordinates mm, y up, grain side up."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shapely import Polygon

from estimator.quality import Spoil


class Tannage(StrEnum):
    """How the hide was tanned, as far as a sheath maker must know."""

    VEGETABLE = "vegetable"
    CHROME = "chrome"
    COMBINATION = "combination"


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
        How far it spoils the leather.
    note : str
        The maker's remark, or empty.
    """

    outline: Polygon
    kind: str
    spoil: Spoil
    note: str


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

    @property
    def thickness_mm(self) -> float:
        """Middle of the thickness range, mm."""
        return (self.thickness_min_mm + self.thickness_max_mm) / 2

"""What a layout uses: records; the figures are computed by :func:`score`."""

from dataclasses import dataclass

from shapely import Polygon


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetUse:
    """What is taken from one sheet.

    Parameters
    ----------
    sheet : str
        Its key.
    area_mm2 : float
        The whole sheet, mm2.
    pieces_mm2 : float
        The pieces laid on it, mm2.
    consumed_mm2 : float
        The sheet less the leftovers kept, mm2; 0 if nothing is laid on it.
    offcuts : tuple of Polygon
        The leftovers kept, in the sheet's axes.
    """

    sheet: str
    area_mm2: float
    pieces_mm2: float
    consumed_mm2: float
    offcuts: tuple[Polygon, ...]

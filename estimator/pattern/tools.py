"""The shop's own tools, as far as they limit what can be sewn."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """What the tools reach and what the maker allows.

    Parameters
    ----------
    tine_reach_mm : float
        Thickest stack the stitching irons punch from one side, mm.
    awl_reach_mm : float
        Usable length of the longest awl blade, mm.
    stitch_edge_min_mm : float
        Least distance from stitch line to cut edge, mm.
    welt_inside_min_mm : float
        Least width of welt between stitch line and blade, mm.
    """

    tine_reach_mm: float
    awl_reach_mm: float
    stitch_edge_min_mm: float
    welt_inside_min_mm: float

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
    iron_tines : int
        Tines of the iron that punches straight runs, two or more.
    """

    tine_reach_mm: float
    awl_reach_mm: float
    stitch_edge_min_mm: float
    welt_inside_min_mm: float
    iron_tines: int = 4


USUAL_TOOLS = Tools(
    tine_reach_mm=8.5, awl_reach_mm=44.0, stitch_edge_min_mm=3.0, welt_inside_min_mm=3.0
)
"""Where no price book says what the shop has: tines of 8.5 mm and 3 mm of leather on either side
of a seam are common practice, no source; 44 mm is the second of the awl blade lengths that a
community guide to thread sizes lists (38, 44, 51, 57, 65 mm)."""

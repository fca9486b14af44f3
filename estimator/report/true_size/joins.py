"""Where tiles are joined: which edges meet, and the marks that come together on them.

Of two neighbours one lies on top: the right one, or the lower one. Its trimmed edge is the *join
line*; the page beneath shows the same line, one overlap inside its own edge. A join mark is a
diamond on that line, whole on the page beneath and half on the page on top.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from estimator.geometry.shapes import Point
from estimator.report.true_size.sheets import PrintSheet, Tile

DIAMOND_MM = 3.5
"""From the middle of a join mark to its corners, mm."""
STEPS = 24
CLEAR_MM = 9.0
"""A mark stays this far from the bands in which other joins run across its line, mm, unless
these take most of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """Two tiles that are glued together.

    Parameters
    ----------
    number : int
        Its number, printed on both.
    under, over : Tile
        The tile that is glued onto, and the one that lies on top.
    line : LineString
        Where the trimmed edge of the tile on top comes to lie, mm.
    marks : tuple of (float, float)
        Middles of its join marks, on that line, mm.
    """

    number: int
    under: Tile
    over: Tile
    line: LineString
    marks: tuple[Point, ...]

    @property
    def is_upright(self) -> bool:
        """Whether the tiles lie side by side, so that the line runs up and down."""
        return self.under.row == self.over.row

    @property
    def band(self) -> Polygon:
        """What both tiles show, mm."""
        band = self.under.window.intersection(self.over.window)
        if not isinstance(band, Polygon):
            raise TypeError("neighbouring tiles share no band")
        return band


def sheet_joins(
    sheet: PrintSheet, drawn: BaseGeometry, *, overlap_mm: float, first: int
) -> tuple[Join, ...]:
    """Give the joins of a sheet, row by row.

    Parameters
    ----------
    sheet : PrintSheet
        With its tiles.
    drawn : shapely geometry
        Lines of its parts, mm; marks are put where these are far.
    overlap_mm : float
        Width of the band that neighbours share, mm.
    first : int
        Number of the first join.

    Returns
    -------
    tuple of Join
        Numbered on from the first.
    """
    return tuple(
        Join(
            number=first + place,
            under=under,
            over=over,
            line=line,
            marks=_marks(line, drawn, from_end_mm=overlap_mm + CLEAR_MM),
        )
        for place, (under, over, line) in enumerate(_neighbours(sheet))
    )


def diamond(at: Point) -> Polygon:
    """Give the shape of a join mark.

    Parameters
    ----------
    at : (float, float)
        Its middle, mm.

    Returns
    -------
    Polygon
        mm.
    """
    x, y = at
    return Polygon(
        [(x - DIAMOND_MM, y), (x, y - DIAMOND_MM), (x + DIAMOND_MM, y), (x, y + DIAMOND_MM)]
    )


def _neighbours(sheet: PrintSheet) -> Iterator[tuple[Tile, Tile, LineString]]:
    """Neighbours, the one beneath first, with the line at which they join."""
    tiles = {(tile.row, tile.column): tile for tile in sheet.tiles}
    for (row, column), under in tiles.items():
        over = tiles.get((row, column + 1))
        if over is not None:
            left, low, _, high = over.window.bounds
            yield under, over, LineString([(left, low), (left, high)])
        over = tiles.get((row + 1, column))
        if over is not None:
            left, _, right, high = over.window.bounds
            yield under, over, LineString([(left, high), (right, high)])


def _marks(line: LineString, drawn: BaseGeometry, *, from_end_mm: float) -> tuple[Point, ...]:
    """Two places on a line, one in either third, as far from what is drawn as may be."""
    from_end_mm = min(from_end_mm, line.length / 4)
    usable = line.length - 2 * from_end_mm
    places = [
        line.interpolate(from_end_mm + usable * (step + 0.5) / STEPS) for step in range(STEPS)
    ]
    # beyond some way it makes no difference, and then the marks had best be far apart
    clear = [min(float(shapely.distance(place, drawn)), 3 * DIAMOND_MM) for place in places]
    third = STEPS // 3
    first = max(range(third), key=lambda step: (clear[step], -step))
    last = max(range(STEPS - third, STEPS), key=lambda step: (clear[step], step))
    return tuple((places[step].x, places[step].y) for step in (first, last))

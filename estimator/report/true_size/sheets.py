"""How parts in true size are spread over pages of paper: sheets, and the tiles they are cut into.

A *sheet* is a plane on which parts lie; a *tile* is the piece of it that one page shows. The
tiles of a sheet lie in rows and columns and overlap, so that they can be glued together.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely
from shapely import Polygon, box, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.errors import Fault, InputError
from estimator.geometry.pose import Pose
from estimator.pattern.parts import Part
from estimator.report.true_size.export import Laid

GAP_MM = 8.0
"""Left between parts that share a page, mm: room for scissors."""
INSET_MM = 2.0
"""Between a part and the end of its sheet, mm, so that its cut line is not on the trim line."""
RASTER_MM = 4.0
MOST_PARTS = 8
"""Parts on one page: as many as its foot has lines for."""
MOST_TILES = 400
"""More pages than this are a mistake in the size of something."""
TOUCH_MM2 = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSetting:
    """A page and what of it can be used.

    Parameters
    ----------
    width_mm, height_mm : float
        The paper as it lies in the reader, mm.
    margin_mm : float
        Left free on all sides, mm.
    foot_mm : float
        Height kept below the picture for rulers and texts, mm.
    overlap_mm : float
        Width of the band that neighbouring tiles share, mm.
    """

    width_mm: float
    height_mm: float
    margin_mm: float
    foot_mm: float
    overlap_mm: float

    @property
    def window_mm(self) -> tuple[float, float]:
        """Width and height of what a page shows of the pattern, mm."""
        wide = self.width_mm - 2 * self.margin_mm
        return wide, self.height_mm - 2 * self.margin_mm - self.foot_mm

    @property
    def step_mm(self) -> tuple[float, float]:
        """How much further a neighbouring tile begins, mm."""
        wide, high = self.window_mm
        return wide - self.overlap_mm, high - self.overlap_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """What one page shows.

    Parameters
    ----------
    sheet : str
        Letter of the sheet.
    row, column : int
        From 1, the top row and the left column first.
    window : Polygon
        The rectangle shown, in the sheet's coordinates, mm.
    """

    sheet: str
    row: int
    column: int
    window: Polygon

    @property
    def name(self) -> str:
        """How it is called on paper: sheet, row and column."""
        return f"{self.sheet} {self.row}-{self.column}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSheet:
    """Parts in one plane, and the tiles that show them.

    Parameters
    ----------
    letter : str
        What it is called.
    rows, columns : int
        Of its grid.
    laid : tuple of Laid
        Its parts in their places, mm.
    tiles : tuple of Tile
        Row by row; those that show nothing are left out.
    """

    letter: str
    rows: int
    columns: int
    laid: tuple[Laid, ...]
    tiles: tuple[Tile, ...]


def tile_count(length_mm: float, *, window_mm: float, overlap_mm: float) -> int:
    """Give the number of tiles along one direction.

    The first tile shows the whole window, and each further one adds the window less the
    overlap: ``n = ceil((length - overlap) / (window - overlap))``.

    Parameters
    ----------
    length_mm : float
        Of what is shown, mm, above zero.
    window_mm : float
        What one page shows, mm.
    overlap_mm : float
        mm, less than the window.

    Returns
    -------
    int
        At least 1.

    Raises
    ------
    ValueError
        If the overlap leaves nothing of the window.

    Notes
    -----
    Source: geometry, derived above.

    Examples
    --------
    >>> tile_count(420.0, window_mm=297.0 - 2 * 10.0, overlap_mm=15.0)
    2
    """
    if not 0 <= overlap_mm < window_mm:
        raise ValueError(f"overlap {overlap_mm} mm leaves nothing of a window of {window_mm} mm")
    # a length that fills its tiles exactly, give or take rounding, needs no further one
    return max(1, ceil((length_mm - overlap_mm) / (window_mm - overlap_mm) - 1e-9))


def print_sheets(
    parts: Sequence[Part], setting: PageSetting, *, is_mirrored: bool = False
) -> tuple[PrintSheet, ...]:
    """Spread parts over pages.

    A part that is larger than a page has a sheet of its own, turned by a quarter if that saves
    pages. Smaller parts go where there is room on a page that is printed anyway, else on
    further pages.

    Parameters
    ----------
    parts : sequence of Part
        Each is drawn once, however many copies are cut.
    setting : PageSetting
        Paper, margin and overlap.
    is_mirrored : bool
        Whether the parts are drawn for the other hand.

    Returns
    -------
    tuple of PrintSheet
        Every part lies on exactly one of them.

    Raises
    ------
    InputError
        If it would take an absurd number of pages.
    """
    open_sheets: list[_OpenSheet] = []
    for part in sorted(parts, key=lambda each: -_grid(each, setting)[0]):
        if _grid(part, setting)[0] == 1 and any(sheet.take(part) for sheet in open_sheets):
            continue
        open_sheets.append(_OpenSheet(part, setting, is_mirrored=is_mirrored))
    total = sum(sheet.rows * sheet.columns for sheet in open_sheets)
    if total > MOST_TILES:
        raise InputError(
            Fault(
                problem=f"printing this would take some {total} pages",
                remedy="print on larger paper, or some parts only with --part",
                key=("paper",),
            )
        )
    return tuple(
        sheet.closed(letter) for sheet, letter in zip(open_sheets, _letters(), strict=False)
    )


def _letters() -> Iterator[str]:
    """A, B, ... Z, AA, AB, ..."""
    count = 0
    while True:
        count += 1
        left, name = count, ""
        while left:
            left, place = divmod(left - 1, 26)
            name = chr(65 + place) + name
        yield name


def _grid(part: Part, setting: PageSetting) -> tuple[int, int, int, float]:
    """Number of tiles, rows and columns of a part by itself, and how it is turned for it."""
    left, low, right, high = part.outline.bounds
    sizes = {0.0: (right - left, high - low), 90.0: (high - low, right - left)}
    found = []
    for turn, size in sizes.items():
        columns, rows = (
            tile_count(length + 2 * INSET_MM, window_mm=window, overlap_mm=setting.overlap_mm)
            for length, window in zip(size, setting.window_mm, strict=True)
        )
        found.append((rows * columns, rows, columns, turn))
    return min(found, key=lambda each: (each[0], each[3]))


class _OpenSheet:
    """A sheet that may take further parts.

    Parameters
    ----------
    part : Part
        The first one; the grid is made for it.
    setting : PageSetting
        Paper, margin and overlap.
    is_mirrored : bool
        Whether its parts are drawn for the other hand.
    """

    def __init__(self, part: Part, setting: PageSetting, *, is_mirrored: bool) -> None:
        self._setting = setting
        self._is_mirrored = is_mirrored
        _, self.rows, self.columns, turn = _grid(part, setting)
        wide, high = setting.window_mm
        along, up = setting.step_mm
        self._size = (along * (self.columns - 1) + wide, up * (self.rows - 1) + high)
        # a part goes into a corner, so that others find room beside it
        self._laid = [self._placed(part, turn, (INSET_MM, self._size[1] - INSET_MM))]

    def take(self, part: Part) -> bool:
        """Lay a part that fits on one page onto this sheet, if there is room."""
        if len(self._laid) >= MOST_PARTS:
            return False
        ground = unary_union([each.outline for each in self._laid])
        taken = ground.buffer(GAP_MM)
        shapely.prepare(taken)
        left, low, right, high = part.outline.bounds
        for turn, (wide, tall) in (
            (0.0, (right - left, high - low)),
            (90.0, (high - low, right - left)),
        ):
            for tile in self._tiles(""):
                if not tile.window.intersects(ground):
                    continue  # else a page would be printed for this part alone
                corner = _corner(tile.window, taken, wide, tall)
                if corner is not None:
                    self._laid.append(self._placed(part, turn, corner))
                    return True
        return False

    def closed(self, letter: str) -> PrintSheet:
        """Give the sheet with the tiles that show something."""
        return PrintSheet(
            letter=letter,
            rows=self.rows,
            columns=self.columns,
            laid=tuple(self._laid),
            tiles=_needed_tiles(
                self._tiles(letter), unary_union([each.outline for each in self._laid])
            ),
        )

    def _placed(self, part: Part, turn: float, at: tuple[float, float]) -> Laid:
        """Turn a part and put the upper left corner of its box at a place."""
        turned = Pose(rotation_deg=turn, mirrored=self._is_mirrored).of(part.outline)
        left, _, _, high = turned.bounds
        pose = Pose(
            x_mm=at[0] - left,
            y_mm=at[1] - high,
            rotation_deg=turn,
            mirrored=self._is_mirrored,
        )
        return Laid(part=part, pose=pose)

    def _tiles(self, letter: str) -> tuple[Tile, ...]:
        wide, high = self._setting.window_mm
        along, up = self._setting.step_mm
        return tuple(
            Tile(
                sheet=letter,
                row=row + 1,
                column=column + 1,
                window=box(
                    column * along,
                    (self.rows - 1 - row) * up,
                    column * along + wide,
                    (self.rows - 1 - row) * up + high,
                ),
            )
            for row in range(self.rows)
            for column in range(self.columns)
        )


def _corner(
    window: Polygon, taken: BaseGeometry, wide: float, tall: float
) -> tuple[float, float] | None:
    """Where the upper left corner of a box can lie in a window, top first, then left."""
    left, low, right, high = window.buffer(-INSET_MM, join_style="mitre").bounds
    if right - left < wide or high - low < tall:
        return None
    xs = np.append(np.arange(left, right - wide, RASTER_MM), right - wide)
    ys = np.append(np.arange(high, low + tall, -RASTER_MM), low + tall)
    x, y = (each.ravel() for each in np.meshgrid(xs, ys))
    free = ~shapely.intersects(taken, shapely.box(x, y - tall, x + wide, y))
    if not free.any():
        return None
    first = int(np.argmax(free))
    return float(x[first]), float(y[first])


def _needed_tiles(tiles: Sequence[Tile], ground: BaseGeometry) -> tuple[Tile, ...]:
    """Leave out the tiles whose ground other tiles show as well, as long as all hang together."""
    kept = [tile for tile in tiles if tile.window.intersection(ground).area > TOUCH_MM2]
    for tile in tuple(kept):
        others = [other for other in kept if other is not tile]
        covered = unary_union([other.window for other in others])
        rest = tile.window.intersection(ground).difference(covered)
        if others and rest.area <= TOUCH_MM2 and _hang_together(others):
            kept = others
    return tuple(kept)


def _hang_together(tiles: Sequence[Tile]) -> bool:
    """Whether tiles are joined side to side."""
    left = {(tile.row, tile.column) for tile in tiles}
    reached = {min(left)}
    border = list(reached)
    while border:
        row, column = border.pop()
        beside = {(row, column + 1), (row, column - 1), (row + 1, column), (row - 1, column)}
        new = (beside & left) - reached
        reached |= new
        border += new
    return reached == left

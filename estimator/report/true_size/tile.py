"""One page of a pattern in true size: a tile with its parts, and where it joins the next ones."""

from collections.abc import Sequence

import shapely
from shapely import LineString, MultiLineString, Polygon, box, unary_union
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from estimator.drawing.paths import Path
from estimator.geometry.shapes import Point
from estimator.pattern.parts import Part, Pattern
from estimator.report.true_size.canvas import ARROW, JOIN, PENS, THIN, Canvas
from estimator.report.true_size.export import Laid
from estimator.report.true_size.foot import crop_marks, hole, quantity_text
from estimator.report.true_size.joins import DIAMOND_MM, Join, diamond
from estimator.report.true_size.pattern_lines import (
    BARB_MM,
    CUT,
    HOLE_MM,
    MARK,
    arrow,
    holes_of,
    part_paths,
    stretch_deg,
)
from estimator.report.true_size.room import (
    beside,
    rectangle_at,
    room,
    text_height_mm,
    text_width_mm,
)
from estimator.report.true_size.sheets import PageSetting, PrintSheet, Tile

CLEAR_MM = 1.2
"""Texts keep this far from lines, mm."""
NAME_SIZES = ((12.0, 7.5), (9.0, 6.5), (7.0, 5.5))
"""Font sizes of a part's name and of the line under it, largest first."""
ARROWS_MM = (40.0, 25.0, 12.0)
JOIN_GREY = 0.72
UPON_MM = 0.4


def sheet_lines(pattern: Pattern, sheet: PrintSheet) -> BaseGeometry:
    """Give every line drawn on a sheet.

    Parameters
    ----------
    pattern : Pattern
        With its seams.
    sheet : PrintSheet
        With its parts in their places.

    Returns
    -------
    shapely geometry
        mm, in the sheet's coordinates.
    """
    lines: list[BaseGeometry] = []
    for each in sheet.laid:
        lines += [whole_line(path) for path in part_paths(pattern, each.part, each.pose)]
        lines += [Polygon(diamond(at)) for at in holes_of(pattern, each.part, each.pose)]
    return unary_union(lines)


def whole_line(path: Path) -> LineString:
    """Give a line of a drawing, closed if it is.

    Parameters
    ----------
    path : Path
        mm.

    Returns
    -------
    LineString
        mm.
    """
    return LineString([*path.points, path.points[0]] if path.closed else path.points)


def draw_tile(
    canvas: Canvas,
    tile: Tile,
    *,
    pattern: Pattern,
    sheet: PrintSheet,
    joins: Sequence[Join],
    setting: PageSetting,
) -> None:
    """Draw what one page shows of a sheet.

    Parameters
    ----------
    canvas : Canvas
        The page.
    tile : Tile
        The piece of the sheet that is shown.
    pattern : Pattern
        With its seams.
    sheet : PrintSheet
        With its parts in their places.
    joins : sequence of Join
        Of this sheet.
    setting : PageSetting
        Where the picture lies on the page.
    """
    drawing = _TileDrawing(canvas, pattern, tile, setting)
    drawing.draw_frame()
    own = [join for join in joins if tile in (join.under, join.over)]
    for join in own:
        drawing.draw_join(join)
    shown = parts_on(sheet, tile)
    for each in shown:
        drawing.draw_lines(each)
    for each in shown:
        drawing.name_part(each, shown)
    for join in own:
        drawing.name_join(join)


def parts_on(sheet: PrintSheet, tile: Tile) -> tuple[Laid, ...]:
    """Give the parts that a tile shows something of.

    Parameters
    ----------
    sheet : PrintSheet
        With its parts in their places.
    tile : Tile
        One of its tiles.

    Returns
    -------
    tuple of Laid
        In the order of the sheet.
    """
    return tuple(each for each in sheet.laid if each.outline.intersection(tile.window).area > 1e-6)


class _TileDrawing:
    """A tile being drawn: from the sheet's coordinates to the page's, and what is taken."""

    def __init__(self, canvas: Canvas, pattern: Pattern, tile: Tile, setting: PageSetting) -> None:
        self._canvas, self._pattern, self._tile = canvas, pattern, tile
        left, low, _, _ = tile.window.bounds
        self._shift = setting.margin_mm - left, setting.margin_mm + setting.foot_mm - low
        self._taken: list[BaseGeometry] = []
        self._bands: list[BaseGeometry] = []

    def _on_page(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape of the sheet, cut to the tile, on the page."""
        return translate(shape.intersection(self._tile.window), *self._shift)

    def _at(self, at: Point) -> Point:
        return at[0] + self._shift[0], at[1] + self._shift[1]

    def draw_frame(self) -> None:
        """The edge of the tile and its crop marks."""
        left, low, right, high = translate(self._tile.window, *self._shift).bounds
        self._canvas.box((left, low), right - left, high - low, THIN)
        crop_marks(self._canvas, (left, low, right, high))

    def draw_join(self, join: Join) -> None:
        """The join line, where this tile is the one beneath, and the diamonds on it."""
        self._bands.append(join.band)
        if join.under is self._tile:
            self._canvas.lines(self._on_page(join.line), JOIN)
        for place, at in enumerate(join.marks):
            self._canvas.filled(self._on_page(diamond(at)), JOIN_GREY)
            for side in (-1, 1):
                away = side * (DIAMOND_MM + 2.6)
                spot = (at[0] + away, at[1]) if join.is_upright else (at[0], at[1] + away)
                ground = rectangle_at(spot, 5.0, 3.6, 0.0)
                if self._tile.window.contains(ground):
                    number = f"{join.number}{'ab'[place]}"
                    self._canvas.text(self._at(spot), number, size_pt=7.5, place="middle")
                    self._taken.append(ground)
            self._taken.append(diamond(at))

    def name_join(self, join: Join) -> None:
        """In words, where this tile joins which one: in the shared band, clear of all lines."""
        turn = 90.0 if join.is_upright else 0.0
        is_under = join.under is self._tile
        if is_under:
            text = (f"glue {join.over.name} on top, up to the dotted line",)
        else:
            text = (f"cut off along this edge, glue onto {join.under.name}",)
        taken = unary_union([each.buffer(CLEAR_MM) for each in self._taken])
        free = join.band.buffer(-0.8, join_style="mitre").difference(taken)
        for size in (6.5, 5.5):
            wide, tall = text_width_mm(text[0], size), text_height_mm(size)
            found = room(free, wide, tall, (turn,))
            if found is not None:
                self._canvas.text(
                    self._at(found[0]),
                    text[0],
                    size_pt=size,
                    place="middle",
                    turn_deg=turn,
                    grey=0.3,
                )
                return

    def draw_lines(self, each: Laid) -> None:
        """Every line of a part, and its stitch holes."""
        paths = part_paths(self._pattern, each.part, each.pose)
        plain = unary_union([whole_line(path) for path in paths if path.layer != MARK])
        for path in sorted(paths, key=lambda path: path.layer == CUT):
            line: BaseGeometry = whole_line(path)
            if path.layer == MARK:
                # dots upon another line would spoil its dashes
                line = line.difference(plain.buffer(UPON_MM))
            self._canvas.lines(self._on_page(line), PENS[path.layer])
            self._taken.append(line)
        for at in holes_of(self._pattern, each.part, each.pose):
            dot = shapely.Point(at)
            if dot.intersects(self._tile.window):
                hole(self._canvas, self._at(at))
                self._taken.append(dot.buffer(HOLE_MM / 2))

    def name_part(self, each: Laid, shown: Sequence[Laid]) -> None:
        """The part's name, how many are cut, and its stretch arrow, where there is room."""
        seen = each.outline.intersection(self._tile.window)
        # what stands in a shared band would be half covered once the pages are glued
        free = seen.difference(unary_union([self._taken_ground(), *self._bands]))
        inside = self._name_inside(each.part, free)
        if inside is None:
            others = unary_union([other.outline for other in shown])
            outside = self._tile.window.buffer(-2.0, join_style="mitre").difference(
                unary_union([others, self._taken_ground(), *self._bands])
            )
            self._name_beside(each, outside)
        else:
            free = free.difference(inside.buffer(CLEAR_MM))
        self._draw_arrow(each, free)

    def _name_inside(self, part: Part, free: BaseGeometry) -> Polygon | None:
        """Name and quantity inside the part; the ground they take."""
        quantity = f"{quantity_text(part)} · grain side up"
        for lines in ((part.name, quantity), (part.name, quantity_text(part)), (part.name,)):
            for sizes in NAME_SIZES:
                # bold letters are wider
                wide = max(
                    text_width_mm(line, size) * weight
                    for line, size, weight in zip(lines, sizes, (1.1, 1.0), strict=False)
                )
                tall = sum(
                    1.25 * text_height_mm(size) for size, _ in zip(sizes, lines, strict=False)
                )
                found = room(free, wide, tall, (0.0, 90.0))
                if found is None:
                    continue
                at, turn = found
                up = tall / 2
                for place, line in enumerate(lines):
                    high = 1.25 * text_height_mm(sizes[place])
                    spot = beside(at, up - high / 2, turn)
                    up -= high
                    self._canvas.text(
                        self._at(spot),
                        line,
                        size_pt=sizes[place],
                        place="middle",
                        turn_deg=turn,
                        is_bold=not place,
                    )
                ground = rectangle_at(at, wide, tall, turn)
                self._taken.append(ground)
                return ground
        return None

    def _name_beside(self, each: Laid, outside: BaseGeometry) -> None:
        """Name and quantity near a part too narrow for them, with a thin line to it."""
        text = f"{each.part.name}: {quantity_text(each.part)} · grain side up"
        size = 7.0
        seen = each.outline.intersection(self._tile.window)
        wide, tall = text_width_mm(text, size), text_height_mm(size) + 1.0
        for reach in (8.0, 16.0, 40.0):
            near = seen.buffer(reach).intersection(outside)
            found = room(near, wide, tall, (0.0, 90.0))
            if found is None:
                continue
            at, turn = found
            ground = rectangle_at(at, wide, tall, turn)
            leader = translate(shapely.shortest_line(ground, seen), *self._shift)
            self._canvas.lines(leader, THIN)
            self._canvas.text(self._at(at), text, size_pt=size, place="middle", turn_deg=turn)
            self._taken.append(ground)
            return

    def _draw_arrow(self, each: Laid, free: BaseGeometry) -> None:
        turn = stretch_deg(each.part, each.pose)
        if turn is None:
            return
        for length in ARROWS_MM:
            found = room(free, length + 1.0, BARB_MM + 1.0, (turn,))
            if found is not None:
                lines = MultiLineString(list(arrow(found[0], turn, length_mm=length)))
                self._canvas.lines(self._on_page(lines), ARROW)
                self._taken.append(rectangle_at(found[0], length, BARB_MM, turn))
                return

    def _taken_ground(self) -> BaseGeometry:
        """Lines, marks and texts on this tile, with some room around them."""
        bounds = box(*self._tile.window.bounds)
        near = [each for each in self._taken if each.intersects(bounds)]
        return unary_union([each.buffer(CLEAR_MM) for each in near])

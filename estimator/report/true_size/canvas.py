"""A page drawn in mm of paper, from its lower left corner: lines of few kinds, and text.

Lines are told apart by their dashes, so that a page printed in black can be read.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import shapely
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path as Outline
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from estimator.geometry.shapes import Point
from estimator.report.page.fonts import Fonts
from estimator.report.page.styles import mm_page, plain_letters
from estimator.units import POINTS_PER_MM


class Pen(NamedTuple):
    """How a line is drawn.

    Parameters
    ----------
    width_mm : float
        mm.
    dashes_mm : tuple of float
        Dash and gap in turn, mm; empty for an unbroken line.
    grey : float
        0 for black, 1 for white.
    """

    width_mm: float
    dashes_mm: tuple[float, ...] = ()
    grey: float = 0.0


PENS = {
    "cut": Pen(0.45),
    "fold": Pen(0.3, (6.0, 1.6, 0.8, 1.6)),
    "stitch": Pen(0.2, (2.0, 1.4)),
    "mark": Pen(0.2, (0.4, 1.0), 0.35),
}
"""By layer: solid, dash-dot, dashed, dotted."""

THIN = Pen(0.15, grey=0.45)
FINE = Pen(0.15)
RULE = Pen(0.25)
ARROW = Pen(0.35)
JOIN = Pen(0.2, (0.5, 0.9), 0.45)

BOLD_UPTO = 0x460
"""Latin, Greek and Cyrillic letters come in bold; fonts of other scripts often do not."""

_PLACES = {"left": "left", "middle": "center", "right": "right"}


class Canvas:
    """A page to draw on, in mm from its lower left corner.

    Parameters
    ----------
    width_mm, height_mm : float
        The paper, mm.
    fonts : Fonts
        That cover all its text.
    """

    def __init__(self, width_mm: float, height_mm: float, *, fonts: Fonts) -> None:
        self._fonts = fonts
        self.width_mm, self.height_mm = width_mm, height_mm
        self.figure, self._axes = mm_page(width_mm, height_mm)

    def line(self, points: Sequence[Point], pen: Pen) -> None:
        """Draw a line through points.

        Parameters
        ----------
        points : sequence of (float, float)
            mm on the page.
        pen : Pen
            Its kind.
        """
        xs, ys = zip(*points, strict=True)
        stroke = Line2D(
            xs,
            ys,
            color=str(pen.grey),
            linewidth=pen.width_mm * POINTS_PER_MM,
            solid_capstyle="butt",
            solid_joinstyle="round",
            dash_capstyle="butt",
        )
        if pen.dashes_mm:
            # the drawing library measures dashes in widths of the line
            stroke.set_dashes([each / pen.width_mm for each in pen.dashes_mm])
        self._axes.add_line(stroke)

    def ticks(self, segments: Sequence[tuple[Point, Point]], pen: Pen) -> None:
        """Draw many straight strokes at once.

        Parameters
        ----------
        segments : sequence of ((float, float), (float, float))
            mm on the page.
        pen : Pen
            Their kind, without dashes.
        """
        corners = [corner for segment in segments for corner in segment]
        outline = Outline(corners, [Outline.MOVETO, Outline.LINETO] * len(segments))
        width = pen.width_mm * POINTS_PER_MM
        self._axes.add_patch(
            PathPatch(outline, fill=False, edgecolor=str(pen.grey), linewidth=width)
        )

    def lines(self, shape: BaseGeometry, pen: Pen) -> None:
        """Draw all lines in a geometry.

        Parameters
        ----------
        shape : shapely geometry
            Lines, mm on the page; points in it are left out.
        pen : Pen
            Their kind.
        """
        for part in shapely.get_parts(shape):
            if isinstance(part, LineString) and not part.is_empty:
                self.line([(x, y) for x, y in part.coords], pen)
            elif shapely.get_num_geometries(part) > 1:
                self.lines(part, pen)

    def filled(self, shape: BaseGeometry, grey: float) -> None:
        """Fill the areas in a geometry.

        Parameters
        ----------
        shape : shapely geometry
            Areas without holes, mm on the page.
        grey : float
            0 for black, 1 for white.
        """
        for part in shapely.get_parts(shape):
            if isinstance(part, Polygon) and not part.is_empty:
                outline = Outline(list(part.exterior.coords), closed=True)
                self._axes.add_patch(PathPatch(outline, facecolor=str(grey), edgecolor="none"))

    def box(self, at: Point, width_mm: float, height_mm: float, pen: Pen) -> None:
        """Draw a rectangle by its lower left corner.

        Parameters
        ----------
        at : (float, float)
            mm on the page.
        width_mm, height_mm : float
            mm.
        pen : Pen
            Its kind.
        """
        self._axes.add_patch(
            Rectangle(
                at,
                width_mm,
                height_mm,
                fill=False,
                edgecolor=str(pen.grey),
                linewidth=pen.width_mm * POINTS_PER_MM,
                joinstyle="miter",
            )
        )

    def text(
        self,
        at: Point,
        text: str,
        *,
        size_pt: float,
        place: str = "left",
        turn_deg: float = 0.0,
        is_bold: bool = False,
        grey: float = 0.0,
    ) -> None:
        """Write a line of text around or beside a point at half its height.

        Parameters
        ----------
        at : (float, float)
            mm on the page.
        text : str
            Data, never markup.
        size_pt : float
            Font size.
        place : str
            Which end of the text is at the point: left, middle or right.
        turn_deg : float
            Direction of reading, degrees.
        is_bold : bool
            Whether in bold.
        grey : float
            0 for black, 1 for white.
        """
        made = self._axes.text(
            *at,
            self._fonts.printable(text),
            fontsize=size_pt,
            ha=_PLACES[place],
            va="center_baseline" if not turn_deg else "center",
            rotation=turn_deg,
            rotation_mode="anchor" if not turn_deg else "default",
            fontweight="bold"
            if is_bold and max(map(ord, text), default=0) < BOLD_UPTO
            else "normal",
            color=str(grey),
            parse_math=False,
        )
        plain_letters((made,))

    def column(self, at: Point, lines: Iterable[str], *, size_pt: float, line_mm: float) -> float:
        """Write lines of text below each other.

        Parameters
        ----------
        at : (float, float)
            Left end of the first line, mm on the page.
        lines : iterable of str
            Line by line.
        size_pt : float
            Font size.
        line_mm : float
            From line to line, mm.

        Returns
        -------
        float
            Height of the next line, mm on the page.
        """
        x, y = at
        for each in lines:
            self.text((x, y), each, size_pt=size_pt)
            y -= line_mm
        return y

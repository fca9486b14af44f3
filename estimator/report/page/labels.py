"""Where the text on a piece goes so that it can be read and covers nothing else.

Pure geometry in mm of paper, y up: text is taken as a rectangle, its width estimated from the count
of its characters.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin

import shapely
from shapely import Point, Polygon, box, prepare
from shapely.affinity import rotate, translate

from estimator.units import MM_PER_POINT

WIDTH_EM = 0.62
"""Mean width of a character of DejaVu Sans, in font sizes."""

HEIGHT_EM = 0.95
"""Height taken by a line of text, in font sizes."""


ROUGH_MM = 0.1
"""Text is placed in outlines of this accuracy, mm of paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text in its place.

    Parameters
    ----------
    text : str
        One line.
    x_mm, y_mm : float
        Its middle, mm on paper.
    turn_deg : float
        Direction of reading, degrees, between -90 and 90.
    size_pt : float
        Font size on paper.
    leader_to : tuple of float or None
        Where a thin line leads from the text, if it stands beside its piece.
    """

    text: str
    x_mm: float
    y_mm: float
    turn_deg: float
    size_pt: float
    leader_to: tuple[float, float] | None


def text_box(text: str, *, x_mm: float, y_mm: float, turn_deg: float, size_pt: float) -> Polygon:
    """Give the rectangle a text takes.

    Parameters
    ----------
    text : str
        One line.
    x_mm, y_mm : float
        Its middle, mm on paper.
    turn_deg : float
        Direction of reading, degrees.
    size_pt : float
        Font size on paper.

    Returns
    -------
    Polygon
        mm on paper.
    """
    em = size_pt * MM_PER_POINT
    half_width = em * WIDTH_EM * max(len(text), 1) / 2
    half_height = em * HEIGHT_EM / 2
    level = box(-half_width, -half_height, half_width, half_height)
    return translate(rotate(level, turn_deg, origin=(0, 0)), x_mm, y_mm)


def reading_turn_deg(outline: Polygon) -> float:
    """Give the direction of a shape's longer side, such that text is not upside down.

    Parameters
    ----------
    outline : Polygon
        Any shape.

    Returns
    -------
    float
        Degrees, above -90 and up to 90; 0 for a shape as wide as it is long.
    """
    ring = shapely.get_coordinates(shapely.minimum_rotated_rectangle(outline)).tolist()
    sides = [
        (hypot(bx - ax, by - ay), degrees(atan2(by - ay, bx - ax)))
        for (ax, ay), (bx, by) in pairwise(ring[:3])
    ]
    (first, first_deg), (second, second_deg) = sides
    if max(first, second) < 1.15 * min(first, second):
        return 0.0
    turn = first_deg if first > second else second_deg
    turn = (turn + 90.0) % 180.0 - 90.0
    return turn if turn > -89.0 else 90.0


def inside_label(
    outline: Polygon, texts: tuple[str, ...], *, sizes_pt: tuple[float, ...]
) -> Label | None:
    """Put a text within a shape.

    Parameters
    ----------
    outline : Polygon
        The shape, mm on paper.
    texts : tuple of str
        The wording wanted first, then shorter ones.
    sizes_pt : tuple of float
        Font sizes to try, largest first.

    Returns
    -------
    Label or None
        None if not even the shortest text fits at the smallest size.
    """
    rough = outline.simplify(ROUGH_MM)
    outline = rough if isinstance(rough, Polygon) else outline
    prepare(outline)
    reach = hypot(outline.bounds[2] - outline.bounds[0], outline.bounds[3] - outline.bounds[1])
    middle = shapely.maximum_inscribed_circle(outline, tolerance=reach / 200).coords[0]
    centroid = outline.centroid.coords[0]
    along = reading_turn_deg(outline)
    for text in texts:
        for size_pt in sizes_pt:
            for turn in (0.0, along):
                for x, y in (centroid, middle):
                    needed = text_box(text, x_mm=x, y_mm=y, turn_deg=turn, size_pt=size_pt)
                    if outline.contains(needed):
                        return Label(
                            text=text,
                            x_mm=x,
                            y_mm=y,
                            turn_deg=turn,
                            size_pt=size_pt,
                            leader_to=None,
                        )
    return None


def beside_label(
    outline: Polygon,
    text: str,
    *,
    taken: list[Polygon],
    size_pt: float,
) -> Label:
    """Put a text in the nearest free ground beside a shape, with a leader line to it.

    Parameters
    ----------
    outline : Polygon
        The shape, mm on paper.
    text : str
        One line.
    taken : list of Polygon
        What the text must not cover: pieces and other texts.
    size_pt : float
        Font size on paper.

    Returns
    -------
    Label
        On the shape itself if there is no free ground near by.
    """
    anchor = shapely.point_on_surface(outline)
    tree = shapely.STRtree(taken)
    for step in range(1, 40):
        away = step * 1.5
        for direction in range(24):
            angle = direction * pi / 12
            x, y = anchor.x + away * cos(angle), anchor.y + away * sin(angle)
            needed = text_box(text, x_mm=x, y_mm=y, turn_deg=0.0, size_pt=size_pt)
            if tree.query(needed, predicate="intersects").size == 0:
                end = _leader_end(Point(x, y), outline)
                return Label(
                    text=text, x_mm=x, y_mm=y, turn_deg=0.0, size_pt=size_pt, leader_to=end
                )
    return Label(
        text=text, x_mm=anchor.x, y_mm=anchor.y, turn_deg=0.0, size_pt=size_pt, leader_to=None
    )


def _leader_end(start: Point, outline: Polygon) -> tuple[float, float]:
    """A point a little way into the shape, on the shortest way from the text."""
    x, y = shapely.shortest_line(start, outline).coords[1]
    inner = shapely.point_on_surface(outline)
    reach = hypot(inner.x - x, inner.y - y)
    step = min(1.0, 1.0 / reach) if reach else 0.0
    return (x + (inner.x - x) * step, y + (inner.y - y) * step)


def mirrored_turn_deg(turn_deg: float) -> float:
    """Give the direction that a direction has after the drawing is mirrored left to right.

    Parameters
    ----------
    turn_deg : float
        Degrees counter-clockwise from the x axis.

    Returns
    -------
    float
        Degrees, above -90 and up to 90.

    Examples
    --------
    >>> mirrored_turn_deg(30.0), mirrored_turn_deg(90.0)
    (-30.0, 90.0)
    """
    turn = degrees(atan2(sin(radians(turn_deg)), -cos(radians(turn_deg))))
    turn = round(turn, 9) % 180.0
    return turn - 180.0 if turn > 90.0 else turn

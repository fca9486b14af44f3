"""Room for a text or an arrow: ground in a shape that no line crosses."""

import unicodedata
from collections.abc import Sequence
from math import cos, radians, sin

import numpy as np
import shapely
from shapely import Polygon, box
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from estimator.geometry.shapes import Point
from estimator.report.page.labels import HEIGHT_EM, WIDTH_EM
from estimator.units import MM_PER_POINT

WIDE_EM = 1.05
"""Width of a character of East Asian scripts, in font sizes."""

STEPS = 16
"""Places tried along the longer side of a shape."""


def text_width_mm(text: str, size_pt: float) -> float:
    """Estimate the width of a line of text, rather too wide.

    Parameters
    ----------
    text : str
        One line, any script.
    size_pt : float
        Font size, points.

    Returns
    -------
    float
        mm on paper.

    Examples
    --------
    >>> text_width_mm("welt", 10.0) < text_width_mm("belt loop", 10.0)
    True
    """
    ems = sum(
        WIDE_EM if unicodedata.east_asian_width(character) in "WF" else WIDTH_EM
        for character in text
    )
    return ems * size_pt * MM_PER_POINT


def text_height_mm(size_pt: float) -> float:
    """Give the height that a line of text takes.

    Parameters
    ----------
    size_pt : float
        Font size, points.

    Returns
    -------
    float
        mm on paper.
    """
    return HEIGHT_EM * size_pt * MM_PER_POINT


def shorten(text: str, width_mm: float, size_pt: float) -> str:
    """Shorten a text so that it fits into a line.

    Parameters
    ----------
    text : str
        One line.
    width_mm : float
        Room for it, mm.
    size_pt : float
        Font size, points.

    Returns
    -------
    str
        The text, or its beginning and an ellipsis.

    Examples
    --------
    >>> shorten("a name without an end", 12.0, 8.0)
    'a nam…'
    """
    if text_width_mm(text, size_pt) <= width_mm:
        return text
    kept = text
    while kept and text_width_mm(f"{kept}…", size_pt) > width_mm:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def room(
    free: BaseGeometry, width_mm: float, height_mm: float, turns_deg: Sequence[float]
) -> tuple[Point, float] | None:
    """Find a place for a rectangle, as near to the middle of the free ground as may be.

    Parameters
    ----------
    free : shapely geometry
        Free ground, mm; of several areas the largest are tried first.
    width_mm, height_mm : float
        The rectangle before turning, mm.
    turns_deg : sequence of float
        Directions that will do, the best first, degrees.

    Returns
    -------
    ((float, float), float) or None
        Its middle, mm, and its turn, degrees; None if there is no room.
    """
    areas = [each for each in shapely.get_parts(free) if isinstance(each, Polygon)]
    for area in sorted(areas, key=lambda each: -each.area)[:4]:
        if area.area < width_mm * height_mm:
            break
        shapely.prepare(area)
        places = _places(area)
        for turn in turns_deg:
            level = box(-width_mm / 2, -height_mm / 2, width_mm / 2, height_mm / 2)
            corners = np.asarray(rotate(level, turn, origin=(0, 0)).exterior.coords)
            rings = corners[None, :, :] + places[:, None, :]
            fits = shapely.contains_properly(area, shapely.polygons(rings))
            if fits.any():
                x, y = places[int(np.argmax(fits))].tolist()
                return (x, y), turn
    return None


def rectangle_at(at: Point, width_mm: float, height_mm: float, turn_deg: float) -> Polygon:
    """Give a turned rectangle by its middle.

    Parameters
    ----------
    at : (float, float)
        Its middle, mm.
    width_mm, height_mm : float
        Sides before turning, mm.
    turn_deg : float
        Degrees counter-clockwise.

    Returns
    -------
    Polygon
        mm.
    """
    level = box(-width_mm / 2, -height_mm / 2, width_mm / 2, height_mm / 2)
    return translate(rotate(level, turn_deg, origin=(0, 0)), *at)


def beside(at: Point, away_mm: float, turn_deg: float) -> Point:
    """Give the point so far above a turned line of reading.

    Parameters
    ----------
    at : (float, float)
        A point on the line, mm.
    away_mm : float
        Distance from it, mm; negative is below.
    turn_deg : float
        Direction of reading, degrees.

    Returns
    -------
    (float, float)
        mm.
    """
    turn = radians(turn_deg)
    return at[0] - away_mm * sin(turn), at[1] + away_mm * cos(turn)


def _places(area: Polygon) -> "np.ndarray[tuple[int, ...], np.dtype[np.float64]]":
    """Places in an area, the middle of its widest ground first, then outward."""
    left, low, right, high = area.bounds
    step = max(right - left, high - low) / STEPS
    xs, ys = np.arange(left + step / 2, right, step), np.arange(low + step / 2, high, step)
    middle = np.asarray(
        shapely.maximum_inscribed_circle(area, tolerance=max(step / 4, 0.05)).coords[0]
    )
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    centroid = np.asarray(area.centroid.coords[0])
    every = np.vstack([centroid, middle, grid])
    order = np.argsort(np.hypot(*(every - middle).T), kind="stable")
    return np.vstack([centroid, every[order]])

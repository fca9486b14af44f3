"""Sheets of paper and pages of markers that lie on leather, and how they are painted."""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, affinity, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from estimator.photo.camera.marker_page import tag_corners_mm, tags_of_page
from tests.photo.scene_paint import Image, linear, paint

Floats = NDArray[np.float64]
Seen = Callable[[Floats, Floats], Floats]
"""From places on the floor's plane and heights above it, mm, to px."""

SIZES_MM = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""Longer and shorter side: ISO 216 and ANSI/ASME Y14.1 (8.5 x 11 in)."""

PAPER = (238, 237, 232)
INK = (38, 38, 40)


@dataclass(frozen=True, kw_only=True)
class SheetSpec:
    """What is to be laid down, and where.

    Parameters
    ----------
    name : str
        a4 or letter, or any name with the size given.
    size_mm : tuple of float or None
        Longer and shorter side, if not that of the name.
    place : str
        middle, end or anywhere on the hide; floor; cut (by the frame).
    turn_deg : float or None
        Of its longer side against the backbone; None for any.
    dirty, printed : bool
        Smudges; lines of print.
    curl_mm : float
        How high the corners lie above the leather, each between nothing and this.
    lifted_mm : float
        How high one corner is bent up, over a third of the sheet.
    """

    name: str = "a4"
    size_mm: tuple[float, float] | None = None
    place: str = "middle"
    turn_deg: float | None = None
    dirty: bool = False
    printed: bool = False
    curl_mm: float = 0.0
    lifted_mm: float = 0.0

    @property
    def sides_mm(self) -> tuple[float, float]:
        """Longer and shorter side."""
        return self.size_mm or SIZES_MM[self.name]


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A sheet or page where it lies.

    Parameters
    ----------
    spec : SheetSpec
        What it is.
    x_mm, y_mm, turn_deg : float
        Its middle and the turn of its longer side.
    page : int or None
        The number of a page of markers.
    curls : tuple of float
        How high each corner lies, as a share of ``spec.curl_mm``.
    """

    spec: SheetSpec
    x_mm: float
    y_mm: float
    turn_deg: float
    page: int | None = None
    curls: tuple[float, ...] = (0.0, 0.0, 0.0, 0.0)

    def there(self, points_mm: Floats) -> Floats:
        """From the sheet's own axes (middle, longer side along x) to the floor's."""
        angle = np.radians(self.turn_deg)
        c, s = np.cos(angle), np.sin(angle)
        placed: Floats = points_mm @ np.array([[c, s], [-s, c]]) + (self.x_mm, self.y_mm)
        return placed

    @property
    def outline(self) -> Polygon:
        """Where it lies, as if flat."""
        wide, high = self.spec.sides_mm
        return Polygon(self.there(np.array(corners(wide, high))))

    def heights(self, own_mm: Floats) -> Floats:
        """Height above the plane of points in the sheet's own axes: its corners are bent up."""
        heights = np.zeros(len(own_mm))
        lifts = np.array(self.curls) * self.spec.curl_mm + (0, 0, self.spec.lifted_mm, 0)
        for corner, lift in zip(corners(*self.spec.sides_mm), lifts, strict=True):
            toward = (own_mm / np.array(corner)).sum(axis=1) / 2
            heights += lift * np.clip((toward - 0.34) / 0.66, 0, 1) ** 1.5
        return heights


def corners(wide: float, high: float) -> list[tuple[float, float]]:
    """Corners of a rectangle about the origin, counter-clockwise, y up."""
    x, y = wide / 2, high / 2
    return [(-x, -y), (x, -y), (x, y), (-x, y)]


def page_tags_mm(page: int) -> dict[int, Floats]:
    """Corners of the tags on a page, in the page's own axes, in the order of the standard."""
    return {number: tag_corners_mm(number) for number in tags_of_page(page)}


def tag_ink(number: int, corners_mm: Floats) -> BaseGeometry:
    """Black area of a tag 36h11 whose black square has these corners."""
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    bits = cv2.aruco.generateImageMarker(book, number, 8) < 128
    cells = [box(x, 7 - y, x + 1, 8 - y) for y, x in zip(*np.nonzero(bits), strict=True)]
    black = unary_union(cells)
    right, up = (corners_mm[2] - corners_mm[3]) / 8, (corners_mm[0] - corners_mm[3]) / 8
    origin = corners_mm[3]
    matrix = [right[0], up[0], right[1], up[1], origin[0], origin[1]]
    return affinity.affine_transform(black, matrix)


def paint_laid(canvas: Image, laid: Laid, seen: Seen, random: np.random.Generator) -> None:
    """Paint a sheet with its shadow, print or tags, and dirt."""
    wide, high = laid.spec.sides_mm
    body = box(-wide / 2, -high / 2, wide / 2, high / 2)
    scale = px_per_mm(laid, seen)

    def put(area: BaseGeometry, colour: Image, **how: float | bool) -> None:
        pieces = getattr(area, "geoms", [area])
        for piece in pieces:
            dense = piece.segmentize(3.0)
            rings = [np.asarray(r.coords)[:-1] for r in (dense.exterior, *dense.interiors)]
            where = [seen(laid.there(r), laid.heights(r)) for r in rings]
            paint(canvas, where, colour, **how)  # type: ignore[arg-type]  # mixed keywords

    shade = np.full(3, 0.72, np.float32)
    put(affinity.translate(body, 0.4, -0.5), shade, soft_px=0.8 * scale, factor=True)
    if laid.spec.lifted_mm:
        drop = affinity.translate(body, 0.3 * laid.spec.lifted_mm, 0.0)
        put(drop, shade, soft_px=4 * scale, factor=True)
    paper = np.asarray(PAPER) * random.uniform(0.94, 1.02) + random.normal(0, 1.5, 3)
    put(body, linear(np.clip(paper[::-1], 0, 250)))
    if laid.spec.lifted_mm:
        flap = Polygon([(wide / 2, high / 2), (-0.15 * wide, high / 2), (wide / 2, -0.15 * high)])
        put(flap, np.full(3, 0.86, np.float32), soft_px=6 * scale, factor=True)
    ink = linear(np.asarray(INK[::-1]))
    if laid.page is not None:
        for number, tag in page_tags_mm(laid.page).items():
            put(tag_ink(number, tag), ink)
    if laid.spec.printed:
        _print(put, wide, high, random)
    if laid.spec.dirty:
        _smudge(put, wide, high, scale, random)


def _print(put: Callable[..., None], wide: float, high: float, random: np.random.Generator) -> None:
    """Lines of words."""
    for y in np.arange(-high / 2 + 25, high / 2 - 25, 9.0):
        x = -wide / 2 + 22
        while x < wide / 2 - 40:
            word = float(random.uniform(8, 26))
            put(box(x, y, x + word, y + 2.6), linear(INK[::-1]), strength=0.6)
            x += word + 4


def _smudge(
    put: Callable[..., None], wide: float, high: float, scale: float, random: np.random.Generator
) -> None:
    """Finger marks: brown, soft, some over the edge."""
    for _ in range(6):
        x, y = random.uniform(-wide / 2, wide / 2), random.uniform(-high / 2, high / 2)
        round_spot = box(x - 9, y - 6, x + 9, y + 6).buffer(5)
        spot = round_spot.intersection(box(-wide / 2, -high / 2, wide / 2, high / 2))
        if not spot.is_empty:
            put(spot, linear((196, 210, 222)), soft_px=0.4 * scale, strength=0.6)


def px_per_mm(laid: Laid, seen: Seen) -> float:
    """Scale in the picture where a sheet lies."""
    ends = laid.there(np.array([[-50.0, 0.0], [50.0, 0.0], [0.0, -50.0], [0.0, 50.0]]))
    where = seen(ends, np.zeros(4))
    spans = np.linalg.norm(where[[1, 3]] - where[[0, 2]], axis=1)
    return float(spans.mean() / 100)

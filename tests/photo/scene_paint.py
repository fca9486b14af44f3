"""Paint areas into a picture with exact shares of covered pixels, in linear light."""

from collections.abc import Iterable, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

Floats = NDArray[np.float64]
Image = NDArray[np.float32]

GAMMA = 2.2
"""Pixel values are linear light to the power 1 / 2.2, about what sRGB does."""


def linear(value: Sequence[float] | Floats) -> Image:
    """Linear light, 0 to 1, of pixel values 0 to 255."""
    return ((np.asarray(value, dtype=np.float64) / 255) ** GAMMA).astype(np.float32)


def coverage(rings_px: Iterable[Floats], size_px: tuple[int, int]) -> tuple[Image, slice, slice]:
    """Share of each pixel that lies inside rings, and where that part lies in the picture.

    Outer rings turn one way and holes the other. Edges are cut at all lines between pixels;
    each piece adds its height, and its area in its own pixel, to sums along the rows, so the
    shares are exact for polygons. Pixel (0, 0) has its centre at (0.0, 0.0).

    Parameters
    ----------
    rings_px : iterable of array, shape (n, 2)
        Not closed, px.
    size_px : tuple of int
        Width and height of the picture.

    Returns
    -------
    tuple
        Shares from 0 to 1, rows, columns.
    """
    rings = [np.asarray(ring, dtype=np.float64) + 0.5 for ring in rings_px]
    every = np.vstack(rings)
    low = np.floor(every.min(axis=0)).astype(int)
    high = np.ceil(every.max(axis=0)).astype(int)
    left, top = (int(v) for v in np.clip(low, 0, size_px))
    right, bottom = (int(v) for v in np.clip(high, 0, size_px))
    rows, columns = slice(top, max(bottom, top)), slice(left, max(right, left))
    width, height = max(right - left, 0), max(bottom - top, 0)
    sums = np.zeros((height, width + 1), dtype=np.float64)
    if width and height:
        starts, ends = _pieces(rings, (left, top))
        _add(sums, starts, ends)
    shares = np.abs(np.cumsum(sums[:, :-1], axis=1))
    return np.clip(shares, 0, 1).astype(np.float32), rows, columns


def _pieces(rings: list[Floats], corner: tuple[int, int]) -> tuple[Floats, Floats]:
    """Edges cut wherever they pass from one pixel to another."""
    start = np.vstack(rings) - corner
    end = np.vstack([np.roll(ring, -1, axis=0) for ring in rings]) - corner
    edges, places = [np.arange(len(start))] * 2, [np.zeros(len(start)), np.ones(len(start))]
    for axis in (0, 1):
        first = np.floor(np.minimum(start[:, axis], end[:, axis])).astype(int) + 1
        last = np.ceil(np.maximum(start[:, axis], end[:, axis])).astype(int) - 1
        counts = np.maximum(last - first + 1, 0)
        edge = np.repeat(np.arange(len(start)), counts)
        step = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
        line = first[edge] + step
        edges.append(edge)
        places.append((line - start[edge, axis]) / (end[edge, axis] - start[edge, axis]))
    edge, place = np.concatenate(edges), np.concatenate(places)
    order = np.lexsort((place, edge))
    edge, place = edge[order], place[order]
    points = start[edge] + place[:, None] * (end[edge] - start[edge])
    same = edge[1:] == edge[:-1]
    return points[:-1][same], points[1:][same]


def _add(sums: Floats, starts: Floats, ends: Floats) -> None:
    """Add the pieces to the sums along the rows."""
    middle = (starts + ends) / 2
    rise = ends[:, 1] - starts[:, 1]
    row = np.floor(middle[:, 1]).astype(int)
    width = sums.shape[1] - 1
    keep = (row >= 0) & (row < sums.shape[0]) & (middle[:, 0] < width) & (rise != 0)
    row, rise, x = row[keep], rise[keep], np.maximum(middle[keep, 0], 0)
    column = np.floor(x).astype(int)
    rest = x - column
    np.add.at(sums, (row, column), rise * (1 - rest))
    np.add.at(sums, (row, column + 1), rise * rest)


def paint(
    canvas: Image,
    rings_px: Iterable[Floats],
    colour: Image,
    *,
    strength: float = 1.0,
    soft_px: float = 0.0,
    factor: bool = False,
) -> None:
    """Lay a colour over an area, or multiply the area by it.

    Parameters
    ----------
    canvas : array, shape (height, width, 3)
        Linear light; changed.
    rings_px : iterable of array, shape (n, 2)
        The area, px.
    colour : array, shape (3,) or that of the canvas
        Linear light, or factors.
    strength : float
        From 0 to 1.
    soft_px : float
        Spread of the edge, px (one standard deviation).
    factor : bool
        Multiply instead of covering.
    """
    height, width = canvas.shape[:2]
    shares, rows, columns = coverage(rings_px, (width, height))
    if not shares.size:
        return
    if soft_px > 0:
        shares, rows, columns = _softened(shares, rows, columns, (width, height), soft_px)
    there = canvas[rows, columns]
    new = colour if colour.ndim == 1 else colour[rows, columns]
    if factor:
        new = there * new
    there += (new - there) * (shares * np.float32(strength))[:, :, None]


def _softened(
    shares: Image, rows: slice, columns: slice, size_px: tuple[int, int], soft_px: float
) -> tuple[Image, slice, slice]:
    """Shares with a soft edge, in a frame grown by three spreads."""
    grow = int(np.ceil(3 * soft_px)) + 1
    padded = cv2.copyMakeBorder(shares, grow, grow, grow, grow, cv2.BORDER_CONSTANT)
    soft = np.asarray(cv2.GaussianBlur(padded, (0, 0), soft_px), dtype=np.float32)
    top, left = rows.start - grow, columns.start - grow
    low_y, low_x = max(-top, 0), max(-left, 0)
    high_y = min(soft.shape[0], size_px[1] - top)
    high_x = min(soft.shape[1], size_px[0] - left)
    rows = slice(top + low_y, top + high_y)
    columns = slice(left + low_x, left + high_x)
    return soft[low_y:high_y, low_x:high_x], rows, columns


def rings_of(polygon: Polygon, spacing_mm: float = 3.0) -> list[Floats]:
    """Rings of a polygon with points close enough to follow what a lens bends."""
    dense = polygon.segmentize(spacing_mm)
    return [
        np.asarray(ring.coords, dtype=np.float64)[:-1]
        for ring in (dense.exterior, *dense.interiors)
    ]

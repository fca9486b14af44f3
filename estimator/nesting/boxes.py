"""Rectangles packed by their outside measures: quick, safe from above, exact for straps.

Packing by rectpack (maximal rectangles: Jylänki 2010, *A thousand ways to pack
the bin*), on whole thousandths of a millimetre.
"""

from collections.abc import Sequence
from math import ceil, floor, sqrt

import rectpack

Size = tuple[float, float]
"""Width and height, mm."""

Spot = tuple[int, int, float, float, bool]
"""Number of the bin, number of the box, its lower left corner in mm, and whether it was turned."""

PER_MM = 1000
ASPECTS = (1.0, 1.6, 2.5)
"""Shapes of rectangle that are tried, long side to short side."""
STEP = 1.06
"""By how much a rectangle grows until it holds all boxes, as a factor of area."""


def packed(
    boxes: Sequence[Size], bins: Sequence[Size], *, spacing_mm: float, may_turn: bool
) -> list[Spot]:
    """Pack boxes upright or by quarter turns, the first bins first.

    Parameters
    ----------
    boxes : sequence of (width, height)
        mm.
    bins : sequence of (width, height)
        mm; the spacing is held between boxes, not to the sides of a bin.
    spacing_mm : float
        Least distance between boxes, mm.
    may_turn : bool
        Whether boxes may be turned by 90 degrees.

    Returns
    -------
    list of Spot
        Those that found a place; the most that one of a few orders packed.
    """
    best: list[Spot] = []
    for order in (rectpack.SORT_AREA, rectpack.SORT_SSIDE, rectpack.SORT_LSIDE):
        for turned, rotation in ((False, False), (True, False), (False, True)):
            if (turned or rotation) and not may_turn:
                continue
            if len(best) == len(boxes):
                return best
            sizes = [(h, w) if turned else (w, h) for w, h in boxes]
            spots = _pack_once(sizes, bins, spacing_mm, order, rotation=rotation)
            spots = [(b, n, x, y, is_turned is not turned) for b, n, x, y, is_turned in spots]
            best = max(best, spots, key=len)
    return best


def _pack_once(
    boxes: Sequence[Size], bins: Sequence[Size], spacing_mm: float, order: object, *, rotation: bool
) -> list[Spot]:
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rectpack.MaxRectsBssf,
        sort_algo=order,
        rotation=rotation,
    )
    for number, (width, height) in enumerate(boxes):
        packer.add_rect(_up(width + spacing_mm), _up(height + spacing_mm), rid=number)
    for number, (width, height) in enumerate(bins):
        packer.add_bin(_down(width + spacing_mm), _down(height + spacing_mm), bid=number)
    packer.pack()
    return [
        (
            packer[index].bid,
            rect.rid,
            rect.x / PER_MM,
            rect.y / PER_MM,
            rect.width != _up(boxes[rect.rid][0] + spacing_mm),
        )
        for index in range(len(packer))
        for rect in packer[index]
    ]


def rectangle_for(boxes: Sequence[Size], *, spacing_mm: float) -> Size:
    """A rectangle that surely holds all boxes: the quick bound for shapes inside them.

    Parameters
    ----------
    boxes : sequence of (width, height)
        Outside measures of the shapes, mm; at least one.
    spacing_mm : float
        Least distance between them, mm.

    Returns
    -------
    (float, float)
        Long and short side, mm: the smallest found of a few shapes.

    Examples
    --------
    >>> rectangle_for([(100.0, 50.0)], spacing_mm=3.0)
    (100.0, 50.0)
    """
    if len(boxes) == 1:
        return max(boxes[0]), min(boxes[0])
    least_mm2 = sum((w + spacing_mm) * (h + spacing_mm) for w, h in boxes)
    longest = max(max(box) for box in boxes)
    found: list[Size] = []
    for aspect in ASPECTS:
        area_mm2 = least_mm2
        while True:
            long_side = max(sqrt(area_mm2 * aspect), longest)
            size = (long_side, area_mm2 / long_side)
            if len(packed(boxes, [size], spacing_mm=spacing_mm, may_turn=True)) == len(boxes):
                found.append(size)
                break
            area_mm2 *= STEP
    return min(found, key=lambda size: size[0] * size[1])


def _up(mm: float) -> int:
    return ceil(mm * PER_MM - 1e-6)


def _down(mm: float) -> int:
    return floor(mm * PER_MM + 1e-6)

"""The photograph with what was found in it drawn over, for somebody to look at."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from estimator.photo.base.picture import Picture, Pixels
from estimator.photo.base.view import Floats

Box = tuple[int, int, int, int]
"""Left, top, right, bottom, px."""

MARKED_PX = 2400
"""Longer side of the picture: more than a screen has, so that one can look closer once."""
FINE = 16
"""Lines are drawn to a sixteenth of a pixel."""
ORANGE, YELLOW, BLUE, GREEN = (0, 94, 213), (66, 228, 240), (178, 114, 0), (115, 158, 0)
"""BGR values of vermilion, yellow, blue and green of Okabe and Ito (2008)."""
COLOURS = {"outline": ORANGE, "sheet": GREEN, "proposed": YELLOW, "not-seen": BLUE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A closed line to draw over a photograph.

    Parameters
    ----------
    what : str
        ``outline``, ``sheet``, ``proposed`` or ``not-seen``; decides the colour.
    points_px : array, shape (n, 2)
        In the photograph.
    text : str
        Written beside it; letters of ASCII.
    is_inside : bool
        Whether the text stands in its middle instead.
    """

    what: str
    points_px: Floats
    text: str = ""
    is_inside: bool = False


def mark_picture(picture: Picture, marks: Sequence[Mark]) -> Pixels:
    """Draw what was found over the photograph.

    Parameters
    ----------
    picture : Picture
        The photograph.
    marks : sequence of Mark
        In drawing order.

    Returns
    -------
    array of uint8, shape (height, width, 3)
        Blue, green, red; at most ``MARKED_PX`` on its longer side. Every line is drawn on a
        wider dark one, so that it shows on any leather.
    """
    width, height = picture.size_px
    shrunk = min(1.0, MARKED_PX / max(width, height))
    size = max(1, round(width * shrunk)), max(1, round(height * shrunk))
    drawn = np.asarray(
        cv2.resize(picture.pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8
    ).copy()
    thick = max(1, round(max(size) / 800))
    for mark in marks:
        scaled = (mark.points_px + 0.5) * (size[0] / width) - 0.5
        line = np.round(scaled * FINE).astype(np.int32).reshape(-1, 1, 2)
        for colour, wide in (((0, 0, 0), 2 * thick + 1), (COLOURS[mark.what], thick)):
            cv2.polylines(drawn, [line], True, colour, wide, cv2.LINE_AA, shift=4)
    labels = [(mark, (mark.points_px + 0.5) * (size[0] / width)) for mark in marks if mark.text]
    taken = [_bounding_box(points) for mark, points in labels if not mark.is_inside]
    for mark, points in labels:
        taken.append(_write_text(drawn, mark, points, taken))
    return drawn


def _bounding_box(points: Floats) -> Box:
    """The box round some points, px."""
    left, top = np.floor(points.min(axis=0)).astype(int)
    right, bottom = np.ceil(points.max(axis=0)).astype(int)
    return int(left), int(top), int(right), int(bottom)


def _write_text(drawn: Pixels, mark: Mark, points: Floats, taken: Sequence[Box]) -> Box:
    """Write beside a mark or in its middle, on a dark ground, clear of all else if possible."""
    height, width = drawn.shape[:2]
    size = max(width, height)
    scale, thick, gap = size / 1600, max(1, round(size / 900)), 0.006 * size
    (wide, high), base = cv2.getTextSize(mark.text, cv2.FONT_HERSHEY_SIMPLEX, scale, thick)
    left, top = points.min(axis=0)
    right, bottom = points.max(axis=0)
    middle = (left + right - wide) / 2, (top + bottom + high) / 2
    places = [
        (right + gap, middle[1]),
        (left - gap - wide, middle[1]),
        (middle[0], top - gap - base),
        (middle[0], bottom + gap + high),
        (right + gap, top - gap - base),
        (right + gap, bottom + gap + high),
        (left - gap - wide, top - gap - base),
        (left - gap - wide, bottom + gap + high),
    ]
    boxes = []
    for wanted_x, wanted_y in [middle] if mark.is_inside else places:
        x = int(np.clip(wanted_x, 4, max(4, width - wide - 4)))
        y = int(np.clip(wanted_y, high + 5, max(high + 5, height - base - 2)))
        boxes.append((x - 3, y - high - 4, x + wide + 3, y + base))
    box = min(boxes, key=lambda one: sum(_shared_px(one, other) for other in taken))
    x, y = box[0] + 3, box[1] + high + 4
    cv2.rectangle(drawn, box[:2], box[2:], (0, 0, 0), -1)
    colour = COLOURS[mark.what]
    cv2.putText(
        drawn, mark.text, (x, y), cv2.FONT_HERSHEY_SIMPLEX, scale, colour, thick, cv2.LINE_AA
    )
    return box


def _shared_px(one: Box, other: Box) -> int:
    """Area that two boxes share, px."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return max(wide, 0) * max(high, 0)

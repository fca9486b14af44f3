"""The photograph with what was found in it drawn over, for somebody to look at."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.picture import Picture, Pixels

Floats = NDArray[np.float64]

MARKED_PX = 2400
"""Longer side of the picture: more than a screen has, so that one can look closer once."""
FINE = 16
"""Lines are drawn to a sixteenth of a pixel."""
ORANGE, YELLOW, BLUE, GREEN = (0, 94, 213), (66, 228, 240), (178, 114, 0), (115, 158, 0)
"""Blue, green, red of vermilion, yellow, blue and green of Okabe and Ito (2008)."""
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


def marked(picture: Picture, marks: Sequence[Mark]) -> Pixels:
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
    for mark in marks:
        if mark.text:
            scaled = (mark.points_px + 0.5) * (size[0] / width)
            _write(drawn, mark, scaled, size=max(size))
    return drawn


def _write(drawn: Pixels, mark: Mark, points: Floats, *, size: int) -> None:
    """Write beside a mark or in its middle, on a dark ground, within the picture."""
    scale = size / 1600
    thick = max(1, round(size / 900))
    (wide, high), base = cv2.getTextSize(mark.text, cv2.FONT_HERSHEY_SIMPLEX, scale, thick)
    height, width = drawn.shape[:2]
    left, top = points[:, 0].max() + 0.006 * size, points[:, 1].min()
    if mark.is_inside:
        left, top = points[:, 0].mean() - wide / 2, points[:, 1].mean() + high / 2
    x = int(np.clip(left, 2, max(2, width - wide - 2)))
    y = int(np.clip(top, high + 4, max(high + 4, height - base - 2)))
    cv2.rectangle(drawn, (x - 3, y - high - 4), (x + wide + 3, y + base), (0, 0, 0), -1)
    colour = COLOURS[mark.what]
    cv2.putText(
        drawn, mark.text, (x, y), cv2.FONT_HERSHEY_SIMPLEX, scale, colour, thick, cv2.LINE_AA
    )

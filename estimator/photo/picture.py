"""A photograph as it is worked on: upright, in colour, of a limited size."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photograph, upright and at its working size.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        Blue, green, red. Pixel (0, 0) has its centre at (0.0, 0.0); x to the right, y down.
    source : Path
        The file it came from, for messages.
    shrunk : float
        Working pixels per pixel of the file, at most 1.
    """

    pixels: Pixels
    source: Path
    shrunk: float

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height, px."""
        height, width = self.pixels.shape[:2]
        return width, height

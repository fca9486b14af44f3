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
    focal_35mm : float or None
        Focal length that sees as much on 35 mm film, mm, if the file tells it.
    is_whole_frame : bool
        False if the file's own data show that the picture was cut after it was taken.
    """

    pixels: Pixels
    source: Path
    shrunk: float
    focal_35mm: float | None = None
    is_whole_frame: bool = True

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height, px."""
        height, width = self.pixels.shape[:2]
        return width, height

"""A photograph as it is worked on: upright, in colour, of a limited size."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from estimator.errors import Fault, InputError

Pixels = NDArray[np.uint8]
Light = NDArray[np.float32]

_CODED = np.arange(256) / 255
LIGHT_OF_CODE = np.where(
    _CODED <= 0.04045, _CODED / 12.92, ((_CODED + 0.055) / 1.055) ** 2.4
).astype(np.float32)
"""The light, 0 to 1, that each value of a pixel stands for: the transfer function of sRGB, IEC
61966-2-1."""


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


def refusal(picture: Picture, problem: str, remedy: str) -> InputError:
    """Give the error for a photograph that cannot be used, with its file."""
    return InputError(Fault(problem=problem, remedy=remedy, file=str(picture.source)))

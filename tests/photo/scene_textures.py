"""Floors and leather as colours of places: linear light over coordinates in mm."""

from functools import lru_cache

import cv2
import numpy as np

from tests.photo.scene_paint import Image, linear

TILE = 1024
"""Side of a noise tile, texels; tiles repeat."""

LEATHERS = {
    "pale": (226, 196, 158),
    "natural": (199, 150, 104),
    "russet": (157, 92, 56),
    "oxblood": (112, 44, 40),
    "green": (86, 98, 70),
    "brown": (98, 62, 42),
    "dark": (66, 46, 36),
    "black": (44, 40, 39),
}
"""Red, green, blue pixel values."""

FLOORS = {
    "planks": (168, 128, 88),
    "dark-planks": (92, 66, 48),
    "grey-planks": (140, 134, 124),
    "concrete": (148, 146, 141),
    "tiles": (188, 186, 180),
    "red-tiles": (162, 92, 70),
    "carpet": (84, 92, 112),
    "pale-carpet": (190, 186, 176),
}
"""Red, green, blue pixel values."""


@lru_cache(maxsize=8)
def noise(which: int, fall: float) -> Image:
    """Repeating noise of mean 0 and spread 1; amplitudes fall with frequency to a power."""
    random = np.random.default_rng([which, 4711])
    white = np.fft.rfft2(random.standard_normal((TILE, TILE)))
    fy, fx = np.fft.fftfreq(TILE)[:, None], np.fft.rfftfreq(TILE)[None, :]
    radius = np.hypot(fx, fy)
    radius[0, 0] = 1
    shaped = white * radius**-fall * np.exp(-((radius / 0.35) ** 2))
    shaped[0, 0] = 0
    made = np.fft.irfft2(shaped, (TILE, TILE))
    even: Image = (made / made.std()).astype(np.float32)
    return even


def looked_up(tile: Image, x: Image, y: Image) -> Image:
    """Noise at places given in texels."""
    found = cv2.remap(tile, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    return np.asarray(found, dtype=np.float32)


def _turned(x: Image, y: Image, angle: float) -> tuple[Image, Image]:
    c, s = np.float32(np.cos(angle)), np.float32(np.sin(angle))
    return c * x + s * y, c * y - s * x


def _line(across: Image, pitch: float, half: float) -> Image:
    """1 on lines of a pitch, 0 off them, with an edge 1 mm wide."""
    off = np.abs(across - pitch * np.round(across / np.float32(pitch)))
    return np.clip(np.float32(half + 0.5) - off, 0, 1)


def floor(kind: str, x: Image, y: Image, random: np.random.Generator) -> Image:
    """Colour of a floor.

    Parameters
    ----------
    kind : str
        One of `FLOORS`, or of `LEATHERS` for a plain cloth of that colour.
    x, y : array, shape (height, width)
        Places, mm.
    random : Generator
        Chooses direction, pitch and tints.
    """
    u, v = _turned(x, y, float(random.uniform(0, np.pi)))
    u, v = u + np.float32(random.uniform(0, 900)), v + np.float32(random.uniform(0, 900))
    if "planks" in kind:
        bright = _planks(u, v, random)
    elif "tiles" in kind:
        bright = _tiles(u, v, random)
    elif "carpet" in kind:
        bright = 1 + 0.16 * looked_up(noise(3, 0.2), u * 0.5, v * 0.5)
        bright += 0.05 * looked_up(noise(1, 1.4), u * 0.3, v * 0.3)
    else:
        bright = 1 + 0.05 * looked_up(noise(1, 1.4), u * 0.4, v * 0.4)
        bright += 0.05 * looked_up(noise(3, 0.2), u, v)
    base = {**FLOORS, **LEATHERS}[kind]
    tint = np.asarray(base) * random.uniform(0.92, 1.08) + random.normal(0, 2.5, 3)
    return np.maximum(bright, 0.05)[:, :, None] * linear(np.clip(tint[::-1], 0, 255))


def _planks(u: Image, v: Image, random: np.random.Generator) -> Image:
    width, length = random.uniform(90, 180), random.uniform(900, 1600)
    board = np.floor(v / np.float32(width) + np.float32(0.5)).astype(np.int32)
    shifts = random.uniform(0, length, 64).astype(np.float32)
    tints = random.normal(1, 0.10, 64).astype(np.float32)
    u = u + shifts[board & 63]
    bright = tints[board & 63] * (1 + 0.13 * looked_up(noise(2, 0.9), u * 0.05, v * 0.9))
    bright += 0.05 * looked_up(noise(3, 0.2), u * 0.2, v * 1.1)
    gaps = np.maximum(_line(v + np.float32(width / 2), width, 0.6), _line(u, length, 0.5))
    return np.asarray(bright * (1 - np.float32(0.75) * gaps), dtype=np.float32)


def _tiles(u: Image, v: Image, random: np.random.Generator) -> Image:
    pitch = np.float32(random.uniform(180, 420))
    column, row = (np.floor(a / pitch + np.float32(0.5)).astype(np.int32) for a in (u, v))
    tints = random.normal(1, 0.05, 64).astype(np.float32)
    bright = tints[(column * 7 + row * 13) & 63]
    bright = bright + 0.04 * looked_up(noise(1, 1.4), u * 0.6, v * 0.6)
    grout = np.maximum(
        _line(u + pitch / 2, float(pitch), 1.8), _line(v + pitch / 2, float(pitch), 1.8)
    )
    change = np.float32(random.choice([-0.45, -0.3, 0.12]))
    return np.asarray(bright * (1 + change * grout), dtype=np.float32)


def leather(
    kind: str, x: Image, y: Image, random: np.random.Generator, *, wrinkles: float, fade: float
) -> Image:
    """Colour of leather.

    Parameters
    ----------
    kind : str
        One of `LEATHERS`.
    x, y : array, shape (height, width)
        Places, mm.
    random : Generator
        Chooses tint and place in the noise.
    wrinkles : float
        Depth of wrinkles, 0 for none, 1 for deep ones.
    fade : float
        Broad changes of brightness, as a share.
    """
    u, v = _turned(x, y, float(random.uniform(0, np.pi)))
    u, v = u + np.float32(random.uniform(0, 900)), v + np.float32(random.uniform(0, 900))
    broad = looked_up(noise(1, 1.4), u * 0.25, v * 0.25)
    bright = 1 + np.float32(fade) * broad
    bright += 0.05 * looked_up(noise(3, 0.2), u * 1.3, v * 1.3)
    if wrinkles > 0:
        folds = np.abs(looked_up(noise(2, 0.9), u * 0.1, v * 0.5))
        lines = np.clip(1 - folds / np.float32(0.12), 0, 1)
        where = np.clip(0.5 + 0.6 * looked_up(noise(4, 1.4), u * 0.1, v * 0.1), 0, 1)
        bright -= np.float32(0.22 * wrinkles) * lines * where
    tint = np.asarray(LEATHERS[kind]) * random.uniform(0.95, 1.05) + random.normal(0, 2, 3)
    colour = linear(np.clip(tint[::-1], 0, 255))
    bright = np.maximum(bright, np.float32(0.05))
    made = np.empty((*x.shape, 3), dtype=np.float32)
    for channel, warm in enumerate((-0.25 * fade, 0.0, 0.2 * fade)):
        np.multiply(
            bright, colour[channel] * (1 + np.float32(warm) * broad), out=made[:, :, channel]
        )
    return made

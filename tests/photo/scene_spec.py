"""All choices of a synthetic photograph of a hide."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_textures import FLOORS, LEATHERS


@dataclass(frozen=True, kw_only=True)
class SceneSpec:
    """Choices of a scene; the same ones give the same photograph.

    Parameters
    ----------
    seed : int
        For everything left to chance. Seeds 0 to 99 are for tuning, 1000 on for measuring.
    megapixels : float
        Size of the picture, 4 to 3.
    hide_shape : str
        side or bend.
    hide_length_mm : float
        Along the backbone.
    leather : str
        One of `LEATHERS`.
    floor : str
        One of `FLOORS`, or of `LEATHERS` for a cloth of that colour.
    sheets : tuple of SheetSpec
        On the leather.
    pages : int
        Pages of markers on the leather.
    page_paper : str
        a4 or letter.
    tilt_deg, azimuth_deg, roll_deg : float or None
        How the camera stands; None for any.
    k1 : float
        Radial term of the lens, focal units.
    focal_share : float
        Focal length over the picture's longer side.
    fill : float
        Share of the frame that the hide fills; above 1 it is cut.
    off_share : float
        How far the hide is moved out of the frame, as a share of its width.
    shadow : float
        How much of the pixel values a soft shadow takes.
    uneven, vignetting : float
        Change of the light over the picture and toward its corners, as shares.
    noise : float
        Spread of pixel values.
    blur_px : float
        Spread of the lens's blur.
    jpeg_quality : int
        As the encoder takes it.
    clutter, touching : int
        Things on the floor, and further ones that stick out from under the hide.
    half_sheet : bool
        A sheet of half the size and nearly the same shape lies on the floor.
    second_hide : bool
        Another hide of the same leather overlaps.
    dark_flaws, faint_flaws, bleached, holes : int
        Flaws at 35 to 55 % and at 70 to 90 % of the leather's brightness, at 115 to 135 %,
        and holes that show the floor.
    tells_focal : bool
        The file tells the focal length, rounded to whole mm of 35 mm film.
    wrinkles, fade : float
        Of the leather, see `scene_textures.leather`.
    """

    seed: int = 0
    megapixels: float = 3.0
    hide_shape: str = "side"
    hide_length_mm: float = 1100.0
    leather: str = "natural"
    floor: str = "concrete"
    sheets: tuple[SheetSpec, ...] = (SheetSpec(),)
    pages: int = 0
    page_paper: str = "a4"
    tilt_deg: float = 15.0
    azimuth_deg: float | None = None
    roll_deg: float | None = None
    k1: float = 0.0
    focal_share: float = 0.8
    fill: float = 0.9
    off_share: float = 0.0
    shadow: float = 0.2
    uneven: float = 0.12
    vignetting: float = 0.12
    noise: float = 2.0
    blur_px: float = 0.7
    jpeg_quality: int = 88
    clutter: int = 6
    touching: int = 0
    half_sheet: bool = False
    second_hide: bool = False
    dark_flaws: int = 3
    faint_flaws: int = 2
    bleached: int = 1
    holes: int = 2
    wrinkles: float = 0.5
    fade: float = 0.05
    tells_focal: bool = True

    @property
    def focal_35mm(self) -> int:
        """Focal length on 35 mm film, by the diagonal of a 4 to 3 picture, whole mm."""
        return round(self.focal_share / 1.25 * 43.267)


LEAST_CONTRAST = 45.0
"""Least distance of mean pixel values, red, green and blue together, of leather and floor."""


def random_spec(seed: int, **fixed: Any) -> SceneSpec:
    """Give ordinary choices by chance, with some of them fixed.

    Leather and floor differ by at least `LEAST_CONTRAST`, whichever of them is left to chance.
    """
    random = np.random.default_rng([seed, 2])
    pairs = [
        (skin, ground)
        for skin, colour in LEATHERS.items()
        for ground, other in FLOORS.items()
        if np.linalg.norm(np.subtract(colour, other)) > LEAST_CONTRAST
        and fixed.get("leather", skin) == skin
        and fixed.get("floor", ground) == ground
    ]
    if not pairs:
        pairs = [(fixed["leather"], fixed["floor"])]
    leather, ground = pairs[int(random.integers(len(pairs)))]
    spec = SceneSpec(
        seed=seed,
        leather=leather,
        floor=ground,
        tilt_deg=float(random.uniform(0, 30)),
        k1=float(random.uniform(-0.04, 0.04)),
        shadow=float(random.uniform(0, 0.35)),
        uneven=float(random.uniform(0.03, 0.2)),
        vignetting=float(random.uniform(0.03, 0.2)),
        noise=float(random.uniform(1, 3)),
        blur_px=float(random.uniform(0.5, 1.0)),
        jpeg_quality=int(random.integers(75, 96)),
        clutter=int(random.integers(3, 9)),
        wrinkles=float(random.uniform(0, 1)),
        fade=float(random.uniform(0.02, 0.07)),
        sheets=(SheetSpec(dirty=bool(random.random() < 0.3), printed=bool(random.random() < 0.2)),),
    )
    return replace(spec, **fixed)

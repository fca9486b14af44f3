"""Synthetic photographs of blades on a sheet of paper, with their truth."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon, affinity, box
from shapely.ops import unary_union

from estimator.photo.base.picture import Picture, Pixels
from estimator.photo.base.view import View
from tests.photo.scene_camera import Camera, framed
from tests.photo.scene_light import photographed
from tests.photo.scene_paint import Image, linear, paint, rings_of
from tests.photo.scene_shapes import largest, smooth_ring
from tests.photo.scene_sheets import Laid, SheetSpec, corners, paint_laid
from tests.photo.scene_textures import floor, looked_up, noise
from tests.photo.scenes import places

Floats = NDArray[np.float64]

BLADES = {
    # hooked, to pull through a twig
    "pruning": [
        (0.0, 8.0), (30.0, 9.2), (58.0, 7.6), (74.0, 2.2), (84.0, -9.0), (85.2, -13.2),
        (83.6, -14.0), (76.0, -10.6), (62.0, -8.6), (40.0, -8.4), (18.0, -8.8), (0.0, -8.2),
    ],
    # straight edge, spine falling to the tip
    "grafting": [
        (0.0, 7.4), (25.0, 7.6), (48.0, 7.0), (60.0, 3.2), (66.0, -4.6), (66.6, -7.0),
        (64.0, -7.6), (40.0, -7.8), (20.0, -7.8), (0.0, -7.6),
    ],
    # narrow, bent upward
    "foraging": [
        (0.0, 6.6), (22.0, 6.4), (44.0, 8.4), (62.0, 13.6), (72.0, 18.8), (73.2, 18.0),
        (70.0, 11.6), (58.0, 1.8), (40.0, -5.0), (20.0, -7.0), (0.0, -6.8),
    ],
}  # fmt: skip
"""Points of outlines, mm: tip to the right, edge down, x = 0 where the handle begins. Drawn for
this project."""

PLAIN = SheetSpec()

HANDLES = {"wood": (124, 80, 46), "black": (36, 36, 38), "red": (150, 36, 34), "horn": (92, 78, 58)}


@dataclass(frozen=True, kw_only=True)
class BladeSpec:
    """Choices of a scene; the same ones give the same photograph.

    Parameters
    ----------
    seed : int
        For everything left to chance. Seeds 0 to 99 are for tuning, 1000 on for measuring.
    shape : str
        One of `BLADES`.
    size_share : float
        The blade is this many times as large as it was drawn.
    handle : str
        One of `HANDLES`.
    handle_mm : float
        Length of the handle; 0 for none.
    sheet : SheetSpec
        What the blade lies on.
    bench : str
        A floor of `scene_textures`.
    turn_deg : float or None
        Of the blade against the sheet's longer side; None for any.
    over_mm : float
        How far the handle's end reaches over the sheet's edge; at most its length.
    raised_mm : float
        How high the blade's outline lies above the sheet.
    gloss : float
        From 0, dull, to 1, with highlights as bright as the paper.
    second_thing : bool
        A coin-like disc lies on the sheet as well.
    megapixels, tilt_deg, azimuth_deg, roll_deg, k1, focal_share, fill, shadow, uneven,
    vignetting, noise, blur_px, jpeg_quality
        As in `SceneSpec`.
    """

    seed: int = 0
    shape: str = "pruning"
    size_share: float = 1.0
    handle: str = "wood"
    handle_mm: float = 105.0
    sheet: SheetSpec = PLAIN
    bench: str = "planks"
    turn_deg: float | None = None
    over_mm: float = 0.0
    raised_mm: float = 0.0
    gloss: float = 0.6
    second_thing: bool = False
    megapixels: float = 3.0
    tilt_deg: float = 10.0
    azimuth_deg: float | None = None
    roll_deg: float | None = None
    k1: float = 0.0
    focal_share: float = 0.8
    fill: float = 0.85
    shadow: float = 0.1
    uneven: float = 0.08
    vignetting: float = 0.1
    noise: float = 2.0
    blur_px: float = 0.7
    jpeg_quality: int = 88


@dataclass(frozen=True, kw_only=True)
class BladeScene:
    """A photograph of a blade with its truth, on the sheet's axes, mm.

    Parameters
    ----------
    spec : BladeSpec
        The choices.
    pixels, jpeg
        As in `Scene`.
    camera, view
        Where the camera stood and how the sheet's plane is seen.
    blade, handle : Polygon
        Outlines as they lie; the handle is empty if there is none.
    pose : tuple of float
        Turn in degrees and place of the blade's own axes.
    own : Polygon
        The blade in its own axes: tip right, edge down, x = 0 where the handle begins.
    corners_mm, corners_px : array, shape (4, 2)
        Of the sheet.
    """

    spec: BladeSpec
    pixels: Pixels
    jpeg: bytes
    camera: Camera
    view: View
    blade: Polygon
    handle: Polygon
    pose: tuple[float, float, float]
    own: Polygon
    corners_mm: Floats
    corners_px: Floats

    @property
    def picture(self) -> Picture:
        """The photograph as the detectors take it."""
        return Picture(pixels=self.pixels, source=Path(f"blade-{self.spec.seed}.jpg"), shrunk=1.0)

    @property
    def length_mm(self) -> float:
        """From where the handle begins to the tip, along the blade."""
        return float(self.own.bounds[2])

    @property
    def edge_faces(self) -> str:
        """Where the edge faces in the photograph: left, right, up or down."""
        turn = np.radians(self.pose[0])
        down = np.array([np.sin(turn), -np.cos(turn)])
        middle = np.array(self.blade.centroid.coords[0])
        seen = self.view.to_picture(np.vstack([middle, middle + down]))
        x, y = seen[1] - seen[0]
        if abs(x) > abs(y):
            return "right" if x > 0 else "left"
        return "down" if y > 0 else "up"

    def width_mm(self, at_mm: float) -> float:
        """Width across the blade at a place along it."""
        x0, y0, x1, y1 = self.own.bounds
        cut = self.own.intersection(box(at_mm - 1e-3, y0 - 1, at_mm + 1e-3, y1 + 1))
        return float(np.ptp(np.asarray(cut.bounds)[[1, 3]])) if x0 < at_mm < x1 else 0.0


def blade_outline(shape: str, size_share: float, random: np.random.Generator) -> Polygon:
    """A blade in its own axes, every one a little different."""
    plan = np.asarray(BLADES[shape]) * size_share
    plan[1:-1] += random.normal(0, 0.25, plan[1:-1].shape)
    ring = smooth_ring(plan, steps=24)
    # the corners where the handle begins stay corners
    ring = ring[: len(ring) - 24]
    ring = np.vstack([ring, plan[-1:]])
    made = largest(Polygon(ring).buffer(0))
    x1 = made.bounds[2]
    kept = made.intersection(box(0, -99, x1, 99))
    return largest(kept) if isinstance(kept, Polygon | MultiPolygon) else made


def _joined(*areas: Polygon, hull: bool = False) -> Polygon:
    """One area of several that touch, or all within a hull."""
    whole = unary_union([area for area in areas if not area.is_empty])
    made = whole.convex_hull if hull else whole
    if not isinstance(made, Polygon):
        raise TypeError("the areas do not touch")
    return made


def random_blade_spec(seed: int, **fixed: Any) -> BladeSpec:
    """Give ordinary choices by chance, with some of them fixed."""
    random = np.random.default_rng([seed, 13])
    spec = BladeSpec(
        seed=seed,
        shape=str(random.choice(list(BLADES))),
        size_share=float(random.uniform(0.9, 1.2)),
        handle=str(random.choice(list(HANDLES))),
        handle_mm=float(random.uniform(90, 112)),
        bench=str(random.choice(["planks", "dark-planks", "concrete", "green", "red-tiles"])),
        gloss=float(random.uniform(0.1, 0.6)),
        raised_mm=float(random.uniform(0.5, 4.0)),
        tilt_deg=float(random.uniform(0, 20)),
        k1=float(random.uniform(-0.05, 0.05)),
        shadow=float(random.uniform(0, 0.25)),
        noise=float(random.uniform(1, 3)),
        blur_px=float(random.uniform(0.5, 1.0)),
        jpeg_quality=int(random.integers(75, 96)),
    )
    return replace(spec, **fixed)


def blade_scene(spec: BladeSpec) -> BladeScene:
    """Photograph a blade."""
    random = np.random.default_rng([spec.seed, 11])
    own = blade_outline(spec.shape, spec.size_share, random)
    grip = Polygon()
    if spec.handle_mm > 0:
        wide = (own.bounds[3] - own.bounds[1]) * 0.5 + float(random.uniform(13, 16))
        grip = box(-spec.handle_mm, -wide / 2, 0, wide / 2).buffer(-5).buffer(5)
        grip = _joined(grip, box(-12, -wide / 2 + 1.5, 0, wide / 2 - 1.5))
    turn, x, y = _laid_at(spec, _joined(own, grip), random)

    def moved(area: Polygon) -> Polygon:
        return affinity.translate(affinity.rotate(area, turn, origin=(0, 0)), x, y)

    blade, handle = moved(own), moved(grip) if not grip.is_empty else grip
    curls = tuple(float(c) for c in np.random.default_rng([spec.seed, 14]).uniform(0, 1, 4))
    sheet = Laid(spec=spec.sheet, x_mm=0.0, y_mm=0.0, turn_deg=0.0, curls=curls)
    camera = _camera(spec, _joined(sheet.outline, handle, hull=True), random)
    canvas = _painted(spec, (blade, handle), (turn, x, y), sheet, camera)
    pixels, jpeg = photographed(canvas, spec, camera, sheet.outline, random)
    own_corners = np.array(corners(*spec.sheet.sides_mm))
    return BladeScene(
        spec=spec,
        pixels=pixels,
        jpeg=jpeg,
        camera=camera,
        view=camera.view,
        blade=blade,
        handle=handle,
        pose=(turn, x, y),
        own=own,
        corners_mm=own_corners,
        corners_px=camera.seen(own_corners, sheet.heights(own_corners)),
    )


def _laid_at(
    spec: BladeSpec, whole: Polygon, random: np.random.Generator
) -> tuple[float, float, float]:
    """Turn and place: wholly on the sheet, or with the handle's end over its edge."""
    wide, high = spec.sheet.sides_mm
    room = box(-wide / 2, -high / 2, wide / 2, high / 2).buffer(-8)
    for _ in range(2000):
        turn = float(random.uniform(-40, 40)) if spec.turn_deg is None else spec.turn_deg
        turned = affinity.rotate(whole, turn, origin=(0, 0))
        x0, y0, x1, y1 = turned.bounds
        if spec.over_mm > 0:
            x = -wide / 2 - spec.over_mm * float(np.cos(np.radians(turn))) - x0
            y = float(random.uniform(-high / 6, high / 6)) - (y0 + y1) / 2
            kept = affinity.translate(turned, x, y).intersection(box(-wide / 2 + 8, -999, 999, 999))
            if room.buffer(1).contains(kept):
                return turn, x, y
            continue
        x = float(random.uniform(-wide / 2, wide / 2)) - (x0 + x1) / 2
        y = float(random.uniform(-high / 2, high / 2)) - (y0 + y1) / 2
        if room.contains(affinity.translate(turned, x, y)):
            return turn, x, y
    raise ValueError("no room for this blade on this sheet")


def _camera(spec: BladeSpec, about: Polygon, random: np.random.Generator) -> Camera:
    height = round((spec.megapixels * 1e6 * 3 / 4) ** 0.5)
    azimuth = random.uniform(0, 360) if spec.azimuth_deg is None else spec.azimuth_deg
    roll = random.uniform(-8, 8) if spec.roll_deg is None else spec.roll_deg
    return framed(
        np.asarray(about.exterior.coords)[:-1],
        fill=spec.fill,
        size_px=(round(height * 4 / 3), height),
        focal_share=spec.focal_share,
        k1=spec.k1,
        tilt_deg=spec.tilt_deg,
        azimuth_deg=azimuth,
        roll_deg=roll,
    )


def _painted(
    spec: BladeSpec,
    parts: tuple[Polygon, Polygon],
    pose: tuple[float, float, float],
    sheet: Laid,
    camera: Camera,
) -> Image:
    """The bench, the sheet, shadows, handle and steel."""
    random = np.random.default_rng([spec.seed, 12])
    x, y = places(camera)
    canvas = floor(spec.bench, x, y, random)
    paint_laid(canvas, sheet, camera.seen, random)
    px_per_mm = 1 / float(np.hypot(x[0, 0] - x[0, 9], y[0, 0] - y[0, 9]) / 9)
    blade, handle = parts
    away = np.radians(random.uniform(0, 360))
    reach = float(random.uniform(1.0, 3.0))

    def put(area: Polygon, colour: Image, *, mm: float = 0.0, factor: bool = False) -> None:
        heights = 0.0 if factor else spec.raised_mm
        rings = [camera.seen(ring, heights) for ring in rings_of(area, 1.0)]
        paint(canvas, rings, colour, soft_px=mm * px_per_mm, factor=factor)

    for area, height in ((handle, 2.5), (blade, 1.0)):
        if area.is_empty:
            continue
        dx, dy = height * reach * np.cos(away), height * reach * np.sin(away)
        put(
            affinity.translate(area, dx, dy), np.full(3, 0.62, np.float32), mm=1.4, factor=True
        )  # fmt: skip
        put(area, np.full(3, 0.66, np.float32), mm=0.5, factor=True)
    if spec.second_thing:
        wide, high = spec.sheet.sides_mm
        far = max(corners(wide - 60, high - 60), key=lambda c: blade.distance(_disc(c)))
        put(_disc(far), linear((70, 120, 160)))
    if not handle.is_empty:
        grain = 1 + 0.07 * looked_up(noise(2, 0.9), x * np.float32(0.4), y * np.float32(3.0))
        put(handle, grain[:, :, None] * linear(HANDLES[spec.handle][::-1]))
    put(blade, _steel(spec, pose, x, y, random))
    return canvas


def _disc(middle: tuple[float, float]) -> Polygon:
    return affinity.translate(affinity.scale(box(-1, -1, 1, 1), 2, 2).buffer(9), *middle)


def _steel(
    spec: BladeSpec,
    pose: tuple[float, float, float],
    x: Image,
    y: Image,
    random: np.random.Generator,
) -> Image:
    """What steel shows: a soft sky, a bright streak along it, a dark one, a ground bevel."""
    turn, dx, dy = pose
    c, s = np.float32(np.cos(np.radians(turn))), np.float32(np.sin(np.radians(turn)))
    x, y = x - np.float32(dx), y - np.float32(dy)
    along, across = c * x + s * y, c * y - s * x
    gloss = np.float32(spec.gloss)
    bright = np.full(x.shape, random.uniform(0.30, 0.42), np.float32)
    bright *= 1 + 0.10 * looked_up(noise(2, 0.9), along * np.float32(0.4), across * np.float32(6.0))
    at, width = random.uniform(-2, 5), random.uniform(1.5, 3.0)
    slope = np.float32(random.normal(0, 0.03))
    bright += gloss * 0.55 * np.exp(-(((across - at - slope * along) / width) ** 2))
    low, reach = random.uniform(-4, 2), random.uniform(2.0, 4.0)
    bright -= gloss * 0.22 * np.exp(-(((across - low - 0.1 * along) / reach) ** 2))
    flash = random.uniform(10, 55)
    spot = np.exp(-(((along - flash) / 9) ** 2) - ((across - at) / 4) ** 2)
    bright += gloss * 0.8 * spot.astype(np.float32)
    bevel = np.clip((-across - np.float32(4.5)) / np.float32(0.4), 0, 1)
    bright += bevel * np.float32(random.uniform(0.02, 0.16))
    tint = np.array([1.03, 1.0, 0.97], dtype=np.float32)
    return np.clip(bright, 0.06, 1.0)[:, :, None] * tint

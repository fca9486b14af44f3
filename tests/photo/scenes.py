"""Synthetic photographs of hides whose truth is known: the scene seen by the camera."""

from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image as PilImage
from shapely import Polygon, affinity

from estimator.photo.base.picture import Picture, Pixels
from estimator.photo.base.view import View
from tests.photo.scene_camera import Camera, framed
from tests.photo.scene_light import photographed
from tests.photo.scene_paint import Image, linear, paint, rings_of
from tests.photo.scene_sheets import Laid, corners, page_tags_mm, paint_laid
from tests.photo.scene_spec import SceneSpec
from tests.photo.scene_textures import floor, leather
from tests.photo.scene_world import TrueFlaw, World, make_world

Floats = NDArray[np.float64]

TURNS_BACK = {
    2: PilImage.Transpose.FLIP_LEFT_RIGHT,
    3: PilImage.Transpose.ROTATE_180,
    4: PilImage.Transpose.FLIP_TOP_BOTTOM,
    5: PilImage.Transpose.TRANSPOSE,
    6: PilImage.Transpose.ROTATE_90,
    7: PilImage.Transpose.TRANSVERSE,
    8: PilImage.Transpose.ROTATE_270,
}
"""From upright to the rows of a file, by EXIF orientation."""

GRID_PX = 8
"""Places are worked out on a grid of this pitch and blended between: true to about 0.01 px."""


@dataclass(frozen=True, kw_only=True)
class TrueSheet:
    """A sheet as it lies: corners counter-clockwise on the plane, in mm and px."""

    laid: Laid
    corners_mm: Floats
    corners_px: Floats


@dataclass(frozen=True, kw_only=True)
class TruePage:
    """A page of markers: the corners of its tags by number, in mm and px."""

    laid: Laid
    tags_mm: dict[int, Floats]
    tags_px: dict[int, Floats]


@dataclass(frozen=True, kw_only=True)
class Scene:
    """A photograph with its truth.

    The plane has its origin in the middle of the first sheet (or page, or of the hide if there
    is neither), x along its longer side, y up, mm.

    Parameters
    ----------
    spec : SceneSpec
        The choices.
    pixels : array of uint8
        Blue, green, red, after the JPEG encoder.
    jpeg : bytes
        The file.
    camera : Camera
        Where it stood.
    view : View
        How the plane is seen.
    outline : Polygon
        The hide's outer edge, mm.
    flaws : tuple of TrueFlaw
        Within it.
    sheets, pages : tuple
        What gives the scale.
    """

    spec: SceneSpec
    pixels: Pixels
    jpeg: bytes
    camera: Camera
    view: View
    outline: Polygon
    flaws: tuple[TrueFlaw, ...]
    sheets: tuple[TrueSheet, ...]
    pages: tuple[TruePage, ...]

    @property
    def picture(self) -> Picture:
        """The photograph as the detectors take it."""
        return Picture(
            pixels=self.pixels,
            source=Path(f"scene-{self.spec.seed}.jpg"),
            shrunk=1.0,
            focal_35mm=self.spec.focal_35mm if self.spec.tells_focal else None,
        )

    @property
    def outline_px(self) -> Floats:
        """The hide's outer edge in the picture, px."""
        return self.view.to_picture(rings_of(self.outline)[0])


def hide_scene(spec: SceneSpec) -> Scene:
    """Photograph one hide."""
    world = make_world(spec)
    return _scene(spec, world, _camera(spec, world), 0)


def overlapping_scenes(
    spec: SceneSpec, count: int = 3, overlap: float = 0.45, *, fill: float = 1.05
) -> list[Scene]:
    """Photograph one hide in parts along its length, each with its share of the next.

    Parameters
    ----------
    spec : SceneSpec
        With pages of markers.
    count : int
        How many photographs.
    overlap : float
        How much of a photograph's length the next one shows as well.
    fill : float
        Share of the frame that each part fills; above 1 the hide's edge may be in none.
    """
    world = make_world(spec)
    straight = affinity.rotate(world.hide, -world.backbone_deg, origin=(0, 0))
    x0, y0, x1, y1 = straight.bounds
    length = (x1 - x0) / (1 + (count - 1) * (1 - overlap))
    scenes = []
    for k in range(count):
        left = x0 + k * length * (1 - overlap)
        window = Polygon([(left, y0), (left + length, y0), (left + length, y1), (left, y1)])
        seen = affinity.rotate(window, world.backbone_deg, origin=(0, 0))
        part = replace(spec, azimuth_deg=None, roll_deg=None, fill=fill)
        scenes.append(_scene(spec, world, _camera(part, world, seen, k), k))
    return scenes


def write_jpeg(scene: Scene, path: Path, *, exif_orientation: int = 1) -> None:
    """Write the photograph, turned as the orientation says, with EXIF data.

    Upright, the file holds the very pixels; turned, it is encoded once more, finely.

    Parameters
    ----------
    scene : Scene
        The photograph.
    path : Path
        The file.
    exif_orientation : int
        1 to 8 as EXIF counts them: how the file's rows must be turned to be upright.
    """
    exif = PilImage.Exif()
    exif[0x0112] = exif_orientation
    if scene.spec.tells_focal:
        exif.get_ifd(0x8769)[0xA405] = scene.spec.focal_35mm
    if exif_orientation == 1:
        segment = exif.tobytes()
        length = (len(segment) + 2).to_bytes(2, "big")
        path.write_bytes(scene.jpeg[:2] + b"\xff\xe1" + length + segment + scene.jpeg[2:])
        return
    upright = PilImage.fromarray(np.ascontiguousarray(scene.pixels[:, :, ::-1]))
    turned = upright.transpose(TURNS_BACK[exif_orientation])
    turned.save(path, "JPEG", quality=95, subsampling=0, exif=exif)


def places(camera: Camera) -> tuple[Image, Image]:
    """Give the place on the plane that each pixel sees, mm: x and y."""
    width, height = camera.size_px
    columns, rows = -(-width // GRID_PX) + 2, -(-height // GRID_PX) + 2
    x = (np.arange(columns) - 1) * GRID_PX + (GRID_PX - 1) / 2
    y = (np.arange(rows) - 1) * GRID_PX + (GRID_PX - 1) / 2
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    plane = camera.view.to_plane(grid).astype(np.float32).reshape(rows, columns, 2)
    size = (columns * GRID_PX, rows * GRID_PX)
    fine = np.asarray(cv2.resize(plane, size, interpolation=cv2.INTER_LINEAR))
    there = fine[GRID_PX : GRID_PX + height, GRID_PX : GRID_PX + width]
    return np.ascontiguousarray(there[:, :, 0]), np.ascontiguousarray(there[:, :, 1])


def _camera(spec: SceneSpec, world: World, part: Polygon | None = None, which: int = 0) -> Camera:
    random = np.random.default_rng([spec.seed, 3, which])
    height = round((spec.megapixels * 1e6 * 3 / 4) ** 0.5)
    size = (round(height * 4 / 3), height)
    azimuth = random.uniform(0, 360) if spec.azimuth_deg is None else spec.azimuth_deg
    roll = random.uniform(-12, 12) if spec.roll_deg is None else spec.roll_deg
    aim = np.asarray((part or world.hide).exterior.coords)[:-1]
    shift = (spec.off_share * spec.fill * size[0], 0.35 * spec.off_share * spec.fill * size[1])
    return framed(
        aim,
        fill=spec.fill,
        shift_px=shift,
        size_px=size,
        focal_share=spec.focal_share,
        k1=spec.k1,
        tilt_deg=spec.tilt_deg,
        azimuth_deg=azimuth + world.backbone_deg,
        roll_deg=roll - world.backbone_deg,
    )


def _scene(spec: SceneSpec, world: World, camera: Camera, which: int) -> Scene:
    canvas = _painted(spec, world, camera)
    pixels, jpeg = photographed(
        canvas, spec, camera, world.hide, np.random.default_rng([spec.seed, 5, which])
    )
    sheets, pages = [], []
    for laid in world.laid:
        if laid.page is None:
            own = np.array(corners(*laid.spec.sides_mm))
            seen = camera.seen(laid.there(own), laid.heights(own))
            sheets.append(TrueSheet(laid=laid, corners_mm=laid.there(own), corners_px=seen))
        else:
            tags = {n: laid.there(tag) for n, tag in page_tags_mm(laid.page).items()}
            own_tags = page_tags_mm(laid.page)
            seen_tags = {n: camera.seen(tags[n], laid.heights(own_tags[n])) for n in tags}
            pages.append(TruePage(laid=laid, tags_mm=tags, tags_px=seen_tags))
    return Scene(
        spec=spec,
        pixels=pixels,
        jpeg=jpeg,
        camera=camera,
        view=camera.view,
        outline=world.hide,
        flaws=world.flaws,
        sheets=tuple(sheets),
        pages=tuple(pages),
    )


def _painted(spec: SceneSpec, world: World, camera: Camera) -> Image:
    """The scene in linear light, evenly lit and sharp."""
    random = np.random.default_rng([spec.seed, 4])
    x, y = places(camera)
    ground = floor(spec.floor, x, y, random)
    canvas = ground.copy()
    middle = np.asarray([camera.size_px]) / 2
    here = camera.view.to_plane(np.vstack([middle, middle + np.array([1.0, 0.0])]))
    px_per_mm = 1 / float(np.linalg.norm(here[1] - here[0]))
    shade = np.full(3, 0.6, np.float32)

    def put(area: Polygon, colour: Image, *, mm: float = 0.0, factor: bool = False) -> None:
        rings = [camera.seen(ring) for ring in rings_of(area)]
        paint(canvas, rings, colour, soft_px=mm * px_per_mm, factor=factor)

    for part, colour in world.things:
        put(affinity.translate(part, 2.0, -2.0), shade, mm=2.5, factor=True)
        put(part, linear(colour[::-1]))
    skin = leather(spec.leather, x, y, random, wrinkles=spec.wrinkles, fade=spec.fade)
    for hide in (world.second, world.hide):
        if hide is not None:
            put(affinity.translate(hide, 1.5, -1.5), shade, mm=2.0, factor=True)
            put(hide, skin)
    for flaw in world.flaws:
        if flaw.group == "hole":
            put(flaw.outline, ground * np.float32(0.55))
        else:
            tint = np.array([1.06, 1.0, 0.96] if flaw.brightness > 1 else [0.97, 1.0, 1.02])
            factor = (flaw.brightness**2.2 * tint).astype(np.float32)
            put(flaw.outline, factor, mm=flaw.soft_mm, factor=True)
    for laid in world.laid:
        paint_laid(canvas, laid, camera.seen, random)
    return canvas

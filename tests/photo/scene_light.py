"""From an evenly lit, sharp scene to a phone's file: light, shadow, blur, noise, JPEG."""

from typing import Protocol

import cv2
import numpy as np
from shapely import Point, Polygon

from estimator.photo.base.picture import Pixels
from tests.photo.scene_camera import Camera
from tests.photo.scene_paint import GAMMA, Image, coverage
from tests.photo.scene_shapes import blob
from tests.photo.scene_textures import looked_up, noise

COARSE = 8
"""Light is worked out at this fraction of the picture's size: it has no sharp edges."""


class Light(Protocol):
    """What a scene says of its light and camera; see `scene_spec.SceneSpec`."""

    @property
    def shadow(self) -> float: ...
    @property
    def uneven(self) -> float: ...
    @property
    def vignetting(self) -> float: ...
    @property
    def noise(self) -> float: ...
    @property
    def blur_px(self) -> float: ...
    @property
    def jpeg_quality(self) -> int: ...


def photographed(
    canvas: Image, spec: Light, camera: Camera, about: Polygon, random: np.random.Generator
) -> tuple[Pixels, bytes]:
    """Give the pixels and the file of a photograph; the canvas is used up."""
    width, height = camera.size_px
    light = _light(spec, camera, about, random)
    canvas *= np.asarray(cv2.resize(light, (width, height)))[:, :, None]
    return developed(
        canvas,
        random,
        blur_px=spec.blur_px,
        noise=spec.noise,
        jpeg_quality=spec.jpeg_quality,
    )


def developed(
    canvas: Image,
    random: np.random.Generator,
    *,
    blur_px: float,
    noise: float,
    jpeg_quality: int,
) -> tuple[Pixels, bytes]:
    """Blur, turn linear light into pixel values, add noise, encode."""
    if blur_px > 0:
        canvas = np.asarray(cv2.GaussianBlur(canvas, (0, 0), blur_px), dtype=np.float32)
    values = np.asarray(cv2.pow(np.clip(canvas, 0, 1), 1 / GAMMA), dtype=np.float32)
    values *= np.float32(255)
    if noise > 0:
        grain = random.standard_normal(values.shape, dtype=np.float32)
        values += np.float32(noise) * grain
    raw = np.clip(values + np.float32(0.5), 0, 255).astype(np.uint8)
    _, encoded = cv2.imencode(".jpg", raw, [cv2.IMWRITE_JPEG_QUALITY, jpeg_quality])
    pixels = np.asarray(cv2.imdecode(encoded, cv2.IMREAD_COLOR), dtype=np.uint8)
    return pixels, encoded.tobytes()


def _light(spec: Light, camera: Camera, about: Polygon, random: np.random.Generator) -> Image:
    """Factors of linear light over the picture, at a fraction of its size."""
    width, height = (-(-side // COARSE) for side in camera.size_px)
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    across = np.hypot(x - width / 2, y - height / 2) / np.float32(np.hypot(width, height) / 2)
    angle = random.uniform(0, 2 * np.pi)
    slope = ((x - width / 2) * np.cos(angle) + (y - height / 2) * np.sin(angle)) / (width / 2)
    spots = looked_up(noise(1, 1.4), x * np.float32(60 / width), y * np.float32(60 / width))
    value = 1 + np.float32(spec.uneven) * (0.7 * slope + 0.2 * spots)
    value *= 1 - np.float32(spec.vignetting) * across**2
    if spec.shadow > 0:
        value *= 1 - np.float32(spec.shadow) * _shadow(camera, about, (width, height), random)
    value *= np.float32(random.uniform(0.88, 1.0))
    light: Image = np.clip(value, 0.05, 1.4).astype(np.float32) ** np.float32(GAMMA)
    return light


def _shadow(
    camera: Camera, about: Polygon, size: tuple[int, int], random: np.random.Generator
) -> Image:
    """Somebody's soft shadow over part of the hide, 0 to 1."""
    ring = about.exterior
    at: Point = ring.interpolate(float(random.uniform(0, ring.length)))
    reach = ring.length / 4
    figure = blob((at.x, at.y), (reach * 1.4, reach * 0.7), random)
    shares, rows, columns = coverage(
        [camera.seen(np.asarray(figure.exterior.coords)[:-1]) / COARSE], size
    )
    whole = np.zeros((size[1], size[0]), np.float32)
    whole[rows, columns] = shares
    spread = max(size) * float(random.uniform(0.008, 0.03))
    return np.asarray(cv2.GaussianBlur(whole, (0, 0), spread), dtype=np.float32)

"""Cameras, sheets and pages made of numbers alone, so that tests know all there is to know."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import Picture
from estimator.photo.base.view import View
from estimator.photo.camera.bundle import from_target
from estimator.photo.camera.marker_page import tag_corners_mm, tags_of_page
from estimator.photo.camera.sheet_sizes import A4, SheetSize
from estimator.photo.camera.targets import FoundPage, FoundSheet
from estimator.photo.camera.terms import view_of

Floats = NDArray[np.float64]

SIZE_PX = (4000, 3000)
FOCAL_PX = 27.0 / 43.267 * 5000
POINTS = 60
STRETCHES = 12
"""Along each side neighbours share their error, as grain and JPEG blocks make them."""


@dataclass(frozen=True, kw_only=True)
class Chance:
    """How far things may be from what they should be, in standard deviations or limits."""

    focal_share: float = 0.15
    centre_px: float = 40.0
    k1: float = 0.05
    is_paper_true: bool = False
    noise_px: float = 0.1


def picture(name: str = "made.jpg", focal_35mm: float | None = None) -> Picture:
    """A picture nobody looks into; its size alone counts."""
    width, height = SIZE_PX
    pixels = np.broadcast_to(np.zeros(3, np.uint8), (height, width, 3))
    return Picture(pixels=pixels, source=Path(name), shrunk=1.0, focal_35mm=focal_35mm)


def camera_view(
    random: np.random.Generator, chance: Chance, *, aim_mm: tuple[float, float] = (0.0, 0.0)
) -> View:
    """A camera some 1.4 m above the plane, tilted by up to 35 degrees, turned any way."""
    tilt, toward = np.radians(random.uniform(0, 35)), random.uniform(0, 2 * np.pi)
    turn = random.uniform(-3, 3)
    # small turns about the lens's axis and across it, one after the other, as one vector
    half_turn = np.array([np.cos(turn / 2), 0, 0, np.sin(turn / 2)])
    half_tilt = np.array(
        [
            np.cos(tilt / 2),
            np.sin(tilt / 2) * np.cos(toward),
            np.sin(tilt / 2) * np.sin(toward),
            0,
        ]
    )
    w, x, y, z = _quaternion_product(half_tilt, half_turn)
    sine = float(np.hypot(np.hypot(x, y), z))
    vector = np.array([x, y, z]) / sine * 2 * np.arctan2(sine, w) if sine else np.zeros(3)
    focal = FOCAL_PX * np.exp(random.normal(0, chance.focal_share))
    middle = (np.array(SIZE_PX) - 1) / 2
    centre = middle + random.normal(0, chance.centre_px, 2)
    bend = random.normal(0, chance.k1) * 1e6 / focal**2
    terms = np.array([*vector, *centre, np.log(1400 / 3200), np.log(focal), *centre, bend])
    shift = view_of(terms).to_picture(np.array([[-aim_mm[0], -aim_mm[1]]]))[0] - centre
    terms[3:5] += shift
    return view_of(terms)


def _quaternion_product(a: Floats, b: Floats) -> tuple[float, float, float, float]:
    w, v = a[0] * b[0] - a[1:] @ b[1:], a[0] * b[1:] + b[0] * a[1:] + np.cross(a[1:], b[1:])
    return float(w), float(v[0]), float(v[1]), float(v[2])


def seen_sheet(
    random: np.random.Generator,
    view: View,
    chance: Chance,
    pose: tuple[float, float, float] = (0.0, 0.0, 0.0),
    size: SheetSize = A4,
) -> FoundSheet:
    """A sheet as it would be found, cut and lying as badly as paper may."""
    half = np.array([size.width_mm, size.height_mm]) / 2
    ring = np.array([[-1.0, -1.0], [1, -1], [1, 1], [-1, 1]]) * half
    bow = 0.0
    if not chance.is_paper_true:
        within = np.asarray(size.within_mm)
        ring = ring * (1 + random.triangular(-1, 0, 1, 2) * within / (2 * half))
        ring = ring + random.normal(0, 0.2, (4, 2))
        bow = 0.05
    edges = []
    for place in range(4):
        start, way = ring[place], ring[(place + 1) % 4] - ring[place]
        share = np.linspace(0.03, 0.97, POINTS)[:, None]
        outward = np.array([way[1], -way[0]]) / np.linalg.norm(way)
        own = start + share * way + outward * 4 * share * (1 - share) * random.normal(0, bow)
        noise = np.repeat(
            random.normal(0, chance.noise_px, (STRETCHES, 2)), POINTS // STRETCHES, axis=0
        )
        edges.append(view.to_picture(from_target(np.array(pose), own)) + noise)
    within_px = max(chance.noise_px, 0.01)
    return FoundSheet(
        size=size,
        corners_px=view.to_picture(from_target(np.array(pose), ring)),
        edges_px=(edges[0], edges[1], edges[2], edges[3]),
        within_px=(within_px, within_px, within_px, within_px),
    )


def seen_page(
    random: np.random.Generator,
    view: View,
    page: int,
    pose: tuple[float, float, float] = (0.0, 0.0, 0.0),
    noise_px: float = 0.05,
) -> FoundPage:
    """A true and flat marker page as it would be found."""
    tags = tags_of_page(page)
    own = np.concatenate([tag_corners_mm(tag) for tag in tags])
    seen = view.to_picture(from_target(np.array(pose), own))
    return FoundPage(
        page=page,
        tags=tags,
        corners_px=seen + random.normal(0, noise_px, seen.shape),
        corners_mm=own,
        within_px=noise_px,
    )


def leather_grid(view: View) -> Floats:
    """Places all over a hide of 1.1 by 0.8 m that the picture shows, mm."""
    x, y = np.meshgrid(np.linspace(-550, 550, 12), np.linspace(-400, 400, 9))
    grid = np.column_stack([x.ravel(), y.ravel()])
    seen = view.to_picture(grid)
    shown: Floats = grid[(seen > 0).all(axis=1) & (seen < np.array(SIZE_PX)).all(axis=1)]
    return shown

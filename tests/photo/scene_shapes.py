"""Outlines of hides, flaws and things that lie about, mm."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import LinearRing, MultiPolygon, Point, Polygon, affinity, box

Floats = NDArray[np.float64]

SIDE = (
    (0.00, 0.33), (0.02, 0.44), (0.10, 0.465), (0.40, 0.47), (0.70, 0.465), (0.88, 0.45),
    (0.97, 0.42), (1.00, 0.35), (0.985, 0.27), (0.93, 0.235), (0.885, 0.20), (0.875, 0.12),
    (0.87, 0.02), (0.83, -0.015), (0.775, 0.005), (0.765, 0.08), (0.735, 0.135), (0.62, 0.115),
    (0.48, 0.075), (0.34, 0.085), (0.265, 0.135), (0.225, 0.11), (0.195, 0.00), (0.13, -0.035),
    (0.075, 0.00), (0.07, 0.09), (0.045, 0.17), (0.015, 0.24),
)  # fmt: skip
"""A side along its backbone, butt at the left, as shares of its length: two legs, bays at the
throat, behind the foreleg and at the flank. Drawn for this project."""

BEND = (
    (0.00, 0.05), (0.00, 0.45), (0.03, 0.50), (0.5, 0.51), (0.97, 0.50), (1.00, 0.46),
    (1.00, 0.28), (0.985, 0.06), (0.95, 0.015), (0.5, 0.0), (0.05, 0.01),
)  # fmt: skip
"""A bend: nearly a rectangle."""

SHAPES = {"side": SIDE, "bend": BEND}


def smooth_ring(points: Sequence[Sequence[float]] | Floats, steps: int = 12) -> Floats:
    """Closed curve through points (centripetal Catmull-Rom; Yuksel et al. 2011)."""
    p1 = np.asarray(points, dtype=np.float64)
    p0, p2, p3 = np.roll(p1, 1, 0), np.roll(p1, -1, 0), np.roll(p1, -2, 0)
    t1 = np.linalg.norm(p1 - p0, axis=1) ** 0.5
    t2 = t1 + np.linalg.norm(p2 - p1, axis=1) ** 0.5
    t3 = t2 + np.linalg.norm(p3 - p2, axis=1) ** 0.5
    share = np.linspace(0, 1, steps, endpoint=False)[:, None, None]
    t1, t2, t3 = t1[None, :, None], t2[None, :, None], t3[None, :, None]
    t = t1 + share * (t2 - t1)
    a1 = (t1 - t) / t1 * p0 + t / t1 * p1
    a2 = (t2 - t) / (t2 - t1) * p1 + (t - t1) / (t2 - t1) * p2
    a3 = (t3 - t) / (t3 - t2) * p2 + (t - t2) / (t3 - t2) * p3
    b1 = (t2 - t) / t2 * a1 + t / t2 * a2
    b2 = (t3 - t) / (t3 - t1) * a2 + (t - t1) / (t3 - t1) * a3
    curve = (t2 - t) / (t2 - t1) * b1 + (t - t1) / (t2 - t1) * b2
    ring: Floats = curve.transpose(1, 0, 2).reshape(-1, 2)
    return ring


def hide_outline(shape: str, length_mm: float, random: np.random.Generator) -> Polygon:
    """A hide about the origin, its backbone along x: every one with other legs and bays.

    Parameters
    ----------
    shape : str
        One of `SHAPES`.
    length_mm : float
        Along the backbone.
    random : Generator
        Moves the points, and roughens the edge by about a millimetre.
    """
    plan = np.asarray(SHAPES[shape])
    plan = plan + random.normal(0, 0.010, plan.shape)
    if random.random() < 0.5:
        plan = plan * (1, -1)
    ring = smooth_ring(plan * length_mm, steps=40)
    ring = np.asarray(Polygon(ring).buffer(0).segmentize(4.0).exterior.coords)[:-1]
    normal = np.roll(ring, -1, 0) - np.roll(ring, 1, 0)
    normal = normal[:, ::-1] * (1, -1) / np.linalg.norm(normal, axis=1, keepdims=True)
    wobble = np.zeros(len(ring))
    along = np.linspace(0, 2 * np.pi, len(ring), endpoint=False)
    for waves in random.integers(20, 160, 14):
        wobble += random.normal(0, 3.5 / waves**0.5) * np.sin(
            waves * along + random.uniform(0, 2 * np.pi)
        )
    made = largest(Polygon(ring + normal * wobble[:, None]).buffer(0))
    made = largest(made.buffer(-4).buffer(8).buffer(-4))
    made = Polygon(LinearRing(made.exterior.coords).simplify(0.05).coords)
    made = affinity.translate(made, -made.centroid.x, -made.centroid.y)
    scale = length_mm / np.ptp(np.asarray(made.exterior.coords)[:, 0])
    return affinity.scale(made, scale, scale, origin=(0, 0))


def largest(area: Polygon | MultiPolygon) -> Polygon:
    """The largest piece of an area."""
    return max(area.geoms, key=lambda a: a.area) if isinstance(area, MultiPolygon) else area


def blob(
    middle: tuple[float, float],
    size_mm: tuple[float, float],
    random: np.random.Generator,
    turn_deg: float | None = None,
) -> Polygon:
    """A rounded spot of a length and a width, irregular by a fifth."""
    angles = np.linspace(0, 2 * np.pi, 9, endpoint=False) + random.normal(0, 0.1, 9)
    radii = random.uniform(0.8, 1.15, 9)
    ring = np.column_stack([np.cos(angles), np.sin(angles)]) * radii[:, None]
    shape = Polygon(smooth_ring(ring * np.asarray(size_mm) / 2, steps=10)).buffer(0)
    turn = float(random.uniform(0, 180)) if turn_deg is None else turn_deg
    return affinity.translate(affinity.rotate(largest(shape), turn, origin=(0, 0)), *middle)


def streak(
    middle: tuple[float, float], length_mm: float, width_mm: float, random: np.random.Generator
) -> Polygon:
    """A long thin mark, slightly bent, thinner at its ends."""
    along = np.linspace(-0.5, 0.5, 25)
    bow = random.normal(0, 0.15) * length_mm * (0.25 - along**2)
    half = width_mm / 2 * np.sqrt(np.maximum(1 - (2 * along) ** 4, 0.02))
    upper = np.column_stack([along * length_mm, bow + half])
    lower = np.column_stack([along * length_mm, bow - half])
    shape = Polygon(np.vstack([lower, upper[::-1]])).buffer(0)
    turned = affinity.rotate(shape, float(random.uniform(0, 180)), origin=(0, 0))
    return affinity.translate(largest(turned), *middle)


def somewhere(
    area: Polygon, room_mm: float, random: np.random.Generator, away_from: Sequence[Polygon] = ()
) -> tuple[float, float] | None:
    """A point of an area with room about it, away from others; None if there is none."""
    inner = area.buffer(-room_mm, quad_segs=4)
    if inner.is_empty:
        return None
    x0, y0, x1, y1 = inner.bounds
    for _ in range(200):
        point = Point(float(random.uniform(x0, x1)), float(random.uniform(y0, y1)))
        if inner.contains(point) and all(other.distance(point) > room_mm for other in away_from):
            return point.x, point.y
    return None


def thing(kind: str, random: np.random.Generator) -> list[tuple[Polygon, tuple[int, int, int]]]:
    """Something that lies about in a workshop: its parts with red, green, blue pixel values.

    Parameters
    ----------
    kind : str
        tool, box, paper, offcut or cloth; an offcut's colour is the caller's.
    random : Generator
        Chooses sizes and colours.
    """
    if kind == "tool":
        grip, rod = random.uniform(90, 130), random.uniform(80, 200)
        colour = _pick([(150, 60, 40), (40, 70, 120), (120, 84, 52), (30, 30, 32)], random)
        wide = random.uniform(22, 34)
        return [
            (box(0, -random.uniform(3, 7), rod, random.uniform(3, 7)), (128, 130, 134)),
            (box(-grip, -wide / 2, 0, wide / 2).buffer(-6).buffer(6), colour),
        ]
    if kind == "box":
        size = random.uniform(50, 180, 2)
        colour = _pick([(190, 40, 40), (40, 110, 60), (30, 60, 140), (230, 190, 40)], random)
        return [(box(0, 0, size[0], size[1]), colour)]
    if kind == "paper":
        sizes = [(220, 110), (150, 150), (105, 74), (90, 55), (200, 120), (148, 105)]
        wide, high = sizes[int(random.integers(len(sizes)))]
        return [(box(0, 0, wide, high), (242, 241, 238))]
    if kind == "cloth":
        return [(blob((0, 0), (random.uniform(120, 240), random.uniform(90, 160)), random),
                 _pick([(225, 222, 214), (120, 30, 40), (60, 80, 110)], random))]  # fmt: skip
    long, short = random.uniform(60, 200), random.uniform(40, 120)
    return [(blob((0, 0), (long, short), random), (0, 0, 0))]


def _pick(
    colours: Sequence[tuple[int, int, int]], random: np.random.Generator
) -> tuple[int, int, int]:
    return colours[int(random.integers(len(colours)))]

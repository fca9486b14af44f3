"""Generate flawed hides in the form of the public cases, so that nothing is tuned on two of them.

Outlines, flaws and parts are invented; sizes follow those of the public cases. The same seed
makes the same file. Cases differ in outline, in number, kind and place of flaws, and in the
measures of the parts.
"""

import argparse
import json
from pathlib import Path
from typing import Any

import numpy as np
from shapely import Polygon, affinity, box

Ring = list[list[float]]


def main() -> None:
    """Write cases into a folder."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3])
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    for seed in options.seeds:
        for case in cases(seed):
            path = options.folder / f"{case['name']}.json"
            path.write_text(json.dumps(case), encoding="utf-8")


def cases(seed: int) -> list[dict[str, Any]]:
    """One sheath, six and twenty-four on a side, and four on remnants with a small side."""
    random = np.random.default_rng([seed, 77])
    parts = _parts(random)
    side = _hide("side", random, (random.uniform(2000, 2300), random.uniform(900, 1050)), (12, 24))
    rest = [_hide(f"remnant-{k}", random, (480.0, 400.0), (1, 3)) for k in (1, 2, 3)]
    rest.append(_hide("small-side", random, (1300.0, 700.0), (5, 9)))
    return [
        *(_case(f"made-{seed}-x{n}", seed, n, parts, [side]) for n in (1, 6, 24)),
        _case(f"made-mixed-{seed}", seed, 4, parts, rest),
    ]


def _case(
    name: str, seed: int, sheaths: int, parts: list[dict[str, Any]], hides: list[dict[str, Any]]
) -> dict[str, Any]:
    wanted = [{**part, "qty": part["per_sheath"] * sheaths} for part in parts]
    return {
        "format": "hide-case/1",
        "name": name,
        "seed": seed,
        "units": "mm",
        "sheaths": sheaths,
        "spacing": 3.0,
        "edge_margin": 5.0,
        "flaw_margin": 3.0,
        "known_feasible": None,
        "hides": hides,
        "parts": wanted,
    }


def _ring(polygon: Polygon) -> Ring:
    return [[round(x, 2), round(y, 2)] for x, y in polygon.exterior.coords[:-1]]


def _hide(
    name: str,
    random: np.random.Generator,
    size_mm: tuple[float, float],
    flaw_counts: tuple[int, int],
) -> dict[str, Any]:
    """A wavy outline round a rounded rectangle, and flaws."""
    length, width = size_mm
    least, most = flaw_counts
    skin = box(0, 0, length, width).buffer(-0.15 * width).buffer(0.15 * width)
    points = [skin.exterior.interpolate(k / 120, normalized=True) for k in range(120)]
    waves = [
        (n, random.normal(0, 0.02 * width / n**0.5), random.uniform(0, 7)) for n in range(2, 9)
    ]
    centre = skin.centroid
    outline = []
    for k, point in enumerate(points):
        wave = sum(size * np.sin(2 * np.pi * n * k / 120 + phase) for n, size, phase in waves)
        dx, dy = point.x - centre.x, point.y - centre.y
        far = 1.0 + wave / np.hypot(dx, dy)
        outline.append((centre.x + dx * far, centre.y + dy * far))
    polygon = Polygon(outline)
    low, left = polygon.bounds[1], polygon.bounds[0]
    polygon = affinity.translate(polygon, -left, -low)
    flaws = [_flaw(k, polygon, random) for k in range(int(random.integers(least, most + 1)))]
    return {"id": name, "outline": _ring(polygon), "flaws": flaws, "stretch_axis_deg": 90.0}


def _flaw(number: int, skin: Polygon, random: np.random.Generator) -> dict[str, Any]:
    kinds = {
        "sun-fade": ("cosmetic", 300, 0.15),
        "wrinkle": ("cosmetic", 80, 0.2),
        "brand": ("no-go", 45, 0.1),
        "scar": ("no-go", 55, 0.3),
        "tick": ("no-go", 6, 0.25),
    }
    chances = [share for _, _, share in kinds.values()]
    kind = str(random.choice(list(kinds), p=chances))
    grade, size, _ = kinds[kind]
    left, low, right, high = skin.bounds
    x, y = random.uniform(left, right), random.uniform(low, high)
    angle = 2 * np.pi * (np.arange(14) + random.uniform(-0.4, 0.4, 14)) / 14
    radius = size * random.uniform(0.5, 1.0, 14)
    blob = Polygon(np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle) * 0.6]))
    turned = affinity.rotate(blob, random.uniform(0, 180))
    return {"id": f"f{number}", "kind": kind, "grade": grade, "polygon": _ring(turned)}


def _parts(random: np.random.Generator) -> list[dict[str, Any]]:
    """A fold-over body, its welt, a belt loop, a strap and two keepers."""
    long, wide = random.uniform(220, 320), random.uniform(120, 170)
    step = np.linspace(0, 1, 11)
    half = wide / 2 * np.minimum(1, 2.2 * (1 - step) ** random.uniform(0.5, 0.8) + 0.15)
    body = Polygon(
        [*zip(long * step, half, strict=True), *zip(long * step[::-1], -half[::-1], strict=True)]
    )
    inner = np.maximum(half - random.uniform(10, 14), 2.0)
    welt = Polygon(
        [*zip(long * step, half, strict=True), *zip(long * step[::-1], inner[::-1], strict=True)]
    )
    loop = (
        box(0, 0, random.uniform(130, 170), random.uniform(35, 45))
        .buffer(-6)
        .buffer(6, quad_segs=2)
    )
    strap = (
        box(0, 0, random.uniform(200, 260), random.uniform(14, 18))
        .buffer(-5)
        .buffer(5, quad_segs=2)
    )
    keeper = (
        box(0, 0, random.uniform(50, 70), random.uniform(16, 24)).buffer(-4).buffer(4, quad_segs=2)
    )
    quarters = [0, 90, 180, 270]
    return [
        _part("body", body, 1, "visible", [0, 180]),
        _part("belt-loop", loop, 1, "visible", quarters),
        _part("strap", strap, 1, "visible", [0, 180]),
        _part("keeper", keeper, 2, "visible", quarters),
        _part("welt", welt, 1, "hidden", "free"),
    ]


def _part(
    name: str, outline: Polygon, per_sheath: int, side: str, rotations: list[int] | str
) -> dict[str, Any]:
    return {
        "id": name,
        "polygon": _ring(outline),
        "per_sheath": per_sheath,
        "mirror": False,
        "side": side,
        "rotations": rotations,
    }


if __name__ == "__main__":
    main()

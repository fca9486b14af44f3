"""Two outlines of one hide are laid on each other; round ones are known to be ambiguous."""

import numpy as np
import pytest
from shapely import Point, Polygon, box
from shapely.affinity import affine_transform, rotate, translate

from estimator.photo.leather.matching import match_outlines


def blob(seed: int, *, wobble_mm: float = 0.0) -> Polygon:
    """Something like a hide, its edge off by some mm here and there."""
    random = np.random.default_rng(seed)
    angle = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    radius = 420 + sum(
        random.normal(0, 60 / k) * np.cos(k * angle + random.uniform(0, 6)) for k in range(2, 9)
    )
    radius = radius + np.random.default_rng(seed + 7).normal(0, wobble_mm, len(angle))
    return Polygon(np.stack([1.3 * radius * np.cos(angle), radius * np.sin(angle)], axis=1))


@pytest.mark.parametrize("turn_deg", [0.0, 33.0, 90.0, 178.0, 261.0])
@pytest.mark.parametrize("seed", [1, 2])
def test_a_hide_turned_and_shifted_is_laid_back_to_a_tenth(seed: int, turn_deg: float) -> None:
    hide = blob(seed)
    moved = translate(rotate(hide, turn_deg, origin=(0, 0)), 310.0, -95.0)
    match = match_outlines(moved, hide)
    back = affine_transform(moved, match.affine)
    assert back.hausdorff_distance(hide) < 0.5
    assert match.off_mm < 0.3
    assert match.twin_off_mm > 10


def test_edges_that_differ_are_told_by_how_much() -> None:
    turn_deg = 47.0
    hide = blob(3)
    moved = rotate(blob(3, wobble_mm=1.5), turn_deg, origin=(0, 0))
    match = match_outlines(moved, hide)
    back = affine_transform(rotate(hide, turn_deg, origin=(0, 0)), match.affine)
    assert back.hausdorff_distance(hide) < 1.5
    assert 1.0 < match.off_mm < 4.0


def test_what_can_lie_in_two_ways_is_told() -> None:
    match = match_outlines(box(0, 0, 900, 400), box(0, 0, 900, 400))
    assert match.off_mm < 0.1
    assert match.twin_off_mm < 0.5


def test_another_hide_does_not_fit() -> None:
    assert match_outlines(blob(5), blob(6)).off_mm > 15
    assert match_outlines(Point(0, 0).buffer(300), blob(1)).off_mm > 15

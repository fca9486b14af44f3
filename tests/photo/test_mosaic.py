"""Photographs of parts of a hide laid together: each place is where it is, and edges are known."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from shapely import Point, contains_xy

from estimator.photo.base.mosaic import lay_together, shown_area
from estimator.photo.base.picture import Picture, Pixels
from estimator.photo.base.view import View
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, overlapping_scenes


@cache
def scenes() -> tuple[Scene, ...]:
    spec = SceneSpec(seed=5, megapixels=0.8, pages=3, sheets=(), shadow=0.0, clutter=0)
    return tuple(overlapping_scenes(spec, count=3, overlap=0.45, fill=0.93))


def together(scale: float = 2.0) -> tuple[Picture, View]:
    left, bottom, right, top = (round(side) for side in scenes()[0].outline.buffer(30).bounds)
    bounds = (
        left,
        bottom,
        left + 2.0 * ((right - left) // 2),
        bottom + 2.0 * ((top - bottom) // 2),
    )
    pictures = [scene.picture for scene in scenes()]
    return lay_together(pictures, [scene.view for scene in scenes()], bounds, scale)


def test_no_part_shows_the_whole_hide_and_all_together_do() -> None:
    hide = scenes()[0].outline
    for scene in scenes():
        assert not shown_area([scene.picture], [scene.view]).covers(hide)
    pictures = [scene.picture for scene in scenes()]
    whole = shown_area(pictures, [scene.view for scene in scenes()])
    assert whole.covers(hide.buffer(5))


def test_leather_is_told_from_floor_where_its_true_edge_is() -> None:
    picture, view = together()
    hide = scenes()[0].outline
    height, width = picture.pixels.shape[:2]
    columns, rows = np.meshgrid(np.arange(width), np.arange(height))
    spots = view.to_plane(np.column_stack([columns.ravel(), rows.ravel()]).astype(float))
    lab = picture.pixels.reshape(-1, 3).astype(float)
    warm = lab[:, 2] - lab[:, 0]
    ring = hide.exterior
    inner = contains_xy(ring.buffer(14).intersection(hide.buffer(-4)), *spots.T)
    outer = contains_xy(ring.buffer(14).difference(hide.buffer(4)), *spots.T)
    assert np.percentile(warm[inner], 3) > np.percentile(warm[outer], 97)


def test_its_view_has_no_perspective_and_its_own_scale() -> None:
    _, view = together(2.0)
    spots = np.array([[0.0, 0.0], [100.0, 0.0], [0.0, 100.0]])
    seen = view.to_picture(spots)
    assert seen[1] - seen[0] == pytest.approx([50.0, 0.0])
    assert seen[2] - seen[0] == pytest.approx([0.0, -50.0])
    assert view.to_plane(seen) == pytest.approx(spots, abs=1e-6)


def test_what_no_photo_shows_is_white_and_known() -> None:
    scene = scenes()[0]
    area = shown_area([scene.picture], [scene.view])
    x, y = area.bounds[2] + 50.0, (area.bounds[1] + area.bounds[3]) / 2
    assert not area.covers(Point(x, y))
    picture, _ = lay_together([scene.picture], [scene.view], (x, y, x + 40, y + 40), 2.0)
    assert (picture.pixels == 255).all()


def test_one_place_is_the_mean_of_none_but_the_better_picture_near_its_middle() -> None:
    scene = scenes()[0]
    grey: Pixels = np.full_like(scene.pixels, 90)
    dark = replace(scene.picture, pixels=grey)
    shifted = View(
        homography=scene.view.homography @ np.array([[1.0, 0, 400.0], [0, 1.0, 0], [0, 0, 1.0]]),
        lens=scene.view.lens,
    )
    middle = scene.view.to_plane(np.asarray([scene.picture.size_px], dtype=float) / 2)[0]
    bounds = (middle[0] - 4, middle[1] - 4, middle[0] + 4, middle[1] + 4)
    mixed, _ = lay_together([scene.picture, dark], [scene.view, shifted], bounds, 2.0)
    alone, _ = lay_together([scene.picture], [scene.view], bounds, 2.0)
    assert np.abs(mixed.pixels.astype(int) - alone.pixels).mean() < 4


def test_nothing_cannot_be_laid_together() -> None:
    with pytest.raises(ValueError, match="no photograph"):
        lay_together([], [], (0, 0, 10, 10), 1.0)

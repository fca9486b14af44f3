"""The benchmark's scores see what is wrong, and nothing else."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon, affinity

from estimator.photo.base.view import View
from tests.photo.scene_scores import flaw_score, on_true_plane, outline_score, view_errors_mm
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, hide_scene

HERE = np.zeros((1, 2))


@pytest.fixture(scope="module")
def scene() -> Scene:
    return hide_scene(SceneSpec(seed=5, megapixels=0.2, clutter=0, k1=0.05, tilt_deg=20))


def _in_other_axes(view: View, turn_deg: float, x: float, y: float, scale: float) -> View:
    """The same view with its plane's axes turned, shifted and its scale wrong."""
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    back = np.array([[c, -s, x], [s, c, y], [0, 0, 1]]) @ np.diag([1 / scale, 1 / scale, 1])
    return replace(view, homography=view.homography @ back)


def _there(shape: Polygon, truth: View, other: View) -> Polygon:
    ring = np.asarray(shape.exterior.coords)[:-1]
    return Polygon(other.to_plane(truth.to_picture(ring)))


def test_where_a_map_lies_does_not_count_but_its_scale_does(scene: Scene) -> None:
    moved = _in_other_axes(scene.view, 133.0, 200.0, -90.0, 1.0)
    found = on_true_plane(_there(scene.outline, scene.view, moved), moved, scene)
    score = outline_score(found, scene.outline, HERE)
    assert score.errors_mm.max() < 0.01
    assert score.area_share == pytest.approx(0, abs=1e-6)
    larger = _in_other_axes(scene.view, 133.0, 200.0, -90.0, 1.01)
    found = on_true_plane(_there(scene.outline, scene.view, larger), larger, scene)
    score = outline_score(found, scene.outline, HERE)
    assert score.area_share == pytest.approx(1.01**2 - 1, abs=1e-4)
    assert score.errors_mm.max() > 2


def test_an_error_at_one_place_is_gross_wherever_it_is(scene: Scene) -> None:
    spot = scene.outline.exterior.interpolate(500)
    for wrong in (
        scene.outline.union(spot.buffer(35)),
        scene.outline.difference(spot.buffer(35)),
        affinity.scale(scene.outline, 1.02, 1.0),
    ):
        assert isinstance(wrong, Polygon)
        assert outline_score(wrong, scene.outline, HERE).is_gross
    close = scene.outline.buffer(1.0)
    assert isinstance(close, Polygon)
    assert not outline_score(close, scene.outline, HERE).is_gross


def test_errors_are_told_by_distance_from_the_sheet(scene: Scene) -> None:
    grown = scene.outline.buffer(2.0)
    assert isinstance(grown, Polygon)
    score = outline_score(grown, scene.outline, HERE)
    assert sum(len(ring) for ring in score.by_ring.values()) < len(score.errors_mm)
    assert np.median(np.concatenate(list(score.by_ring.values()))) == pytest.approx(2.0, abs=0.05)


def test_flaws_found_missed_and_imagined_are_counted(scene: Scene) -> None:
    dark = [flaw for flaw in scene.flaws if flaw.group == "dark"]
    elsewhere = Polygon([(-30, -30), (-20, -30), (-20, -20), (-30, -20)])
    score = flaw_score([dark[0].outline, elsewhere], scene)
    assert score.there["dark"] == len(dark) == 3
    assert score.found == {"dark": 1}
    assert score.false == 1
    assert score.overlaps == pytest.approx((1.0,))
    assert flaw_score([], scene).found == {}


def test_a_view_is_compared_either_way_round(scene: Scene) -> None:
    half_turn = _in_other_axes(scene.view, 180.0, 0.0, 0.0, 1.0)
    assert view_errors_mm(half_turn, scene)[1].max() < 1e-6
    shifted = _in_other_axes(scene.view, 180.0, 3.0, 4.0, 1.0)
    assert view_errors_mm(shifted, scene)[1] == pytest.approx(5.0, abs=1e-6)

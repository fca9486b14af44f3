"""The outline of the leather on rendered photographs: true to a millimetre, or refused."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon, distance, points

from estimator.errors import InputError
from estimator.photo.leather.find import FoundLeather, find_leather
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec, random_spec
from tests.photo.scenes import Scene, hide_scene


def found(scene: Scene) -> FoundLeather:
    return find_leather(scene.picture, scene.view, [sheet.corners_px for sheet in scene.sheets])


def errors_mm(truth: Polygon, outline: Polygon) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Distances of the true edge from the found one and back, every 2 mm."""
    there = points(np.asarray(truth.exterior.segmentize(2.0).coords))
    back = points(np.asarray(outline.exterior.segmentize(2.0).coords))
    away = [distance(there, outline.exterior), distance(back, truth.exterior)]
    return np.concatenate(away).astype(np.float64)


@pytest.mark.parametrize("seed", [1000, 1001])
def test_an_ordinary_hide_is_outlined_to_a_millimetre(seed: int) -> None:
    scene = hide_scene(random_spec(seed))
    leather = found(scene)
    errors = errors_mm(scene.outline, leather.outline)
    assert np.percentile(errors, 95) < 1.2
    assert errors.max() < 4
    assert abs(leather.outline.area / scene.outline.area - 1) < 0.003
    assert 0.2 < leather.expected_error_mm < 2.0
    assert leather.outline.is_valid
    assert len(leather.covered) == 1


def test_dark_leather_on_a_dark_floor_is_outlined() -> None:
    scene = hide_scene(random_spec(1010, leather="black", floor="dark-planks"))
    errors = errors_mm(scene.outline, found(scene).outline)
    assert np.percentile(errors, 95) < 2


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"fill": 1.15}, "reaches the border"),
        ({"second_hide": True}, "reaches the border"),
        ({"leather": "black", "floor": "black"}, "looks like it|over the edge|reaches"),
        ({"leather": "natural", "floor": "natural"}, "looks like it|look alike|reaches"),
    ],
    ids=["cut", "two", "black on black", "natural on natural"],
)
def test_what_cannot_be_outlined_is_refused(wrong: dict[str, object], told: str) -> None:
    scene = hide_scene(random_spec(1020, **wrong))
    with pytest.raises(InputError, match=told) as refused:
        found(scene)
    fault = refused.value.faults[0]
    assert fault.file == "scene-1020.jpg"
    assert fault.remedy


def test_another_hide_of_its_colour_is_seen_by_the_line_between() -> None:
    scene = hide_scene(random_spec(77, second_hide=True, fill=0.6))
    with pytest.raises(InputError, match="a line runs across the leather"):
        found(scene)


def test_an_offcut_of_its_colour_is_seen_by_its_corners_and_its_seam() -> None:
    scene = hide_scene(random_spec(64, touching=3, clutter=10))
    with pytest.raises(InputError, match="seems to touch the leather in the upper left"):
        found(scene)


@pytest.mark.parametrize(
    ("seed", "fixed", "place"),
    [
        (249, {"touching": 3}, "the lower left"),
        (72, {"touching": 3, "clutter": 10}, "the middle right"),
        (782, {"second_hide": True, "fill": 0.42}, "the middle"),
    ],
    ids=["a seam round a leg", "one corner only", "no seam but a waist"],
)
def test_things_of_its_colour_are_seen_by_faint_signs(
    seed: int, fixed: dict[str, object], place: str
) -> None:
    sheets = {} if seed == 72 else {"sheets": (SheetSpec(),)}
    scene = hide_scene(random_spec(seed, **sheets, **fixed))
    with pytest.raises(InputError, match=f"seems to touch the leather in {place}"):
        found(scene)


@pytest.mark.parametrize("seed", [4, 1221])
def test_a_hide_with_hollow_corners_and_nothing_beside_it_is_not_refused(seed: int) -> None:
    sheets = {"sheets": (SheetSpec(),)} if seed == 1221 else {}
    scene = hide_scene(random_spec(seed, **sheets))
    assert errors_mm(scene.outline, found(scene).outline).max() < 4


def test_the_expected_error_grows_with_the_blur() -> None:
    told, true = [], []
    for blur_px in (0.7, 2.5, 4.0):
        scene = hide_scene(random_spec(21, sheets=(SheetSpec(),), blur_px=blur_px))
        leather = found(scene)
        told.append(leather.expected_error_mm)
        true.append(float(np.percentile(errors_mm(scene.outline, leather.outline), 95)))
    assert told[0] < 1.2
    assert told[0] < told[1] < told[2]
    assert all(expected > error for expected, error in zip(told, true, strict=True))


@pytest.mark.parametrize("seed", [1060, 1061])
def test_things_that_touch_the_hide_do_not_become_leather(seed: int) -> None:
    scene = hide_scene(random_spec(seed, touching=2, leather="natural", floor="tiles"))
    try:
        leather = found(scene)
    except InputError as refused:
        told = str(refused)
    else:
        told = "" if errors_mm(scene.outline, leather.outline).max() < 15 else "a gross failure"
    assert told == "" or "seems to touch" in told or "looks like it" in told


def test_a_sheet_beside_the_leather_is_told_apart_from_one_on_it() -> None:
    scene = hide_scene(replace(random_spec(1030, leather="russet", floor="tiles"), fill=0.7))
    x0, y0, _, _ = scene.outline.bounds
    beside = Polygon([(x0, y0 - 90), (x0 + 60, y0 - 90), (x0 + 60, y0 - 50), (x0, y0 - 50)])
    corners = scene.view.to_picture(np.asarray(beside.exterior.coords)[:-1])
    leather = find_leather(
        scene.picture, scene.view, [corners, *(sheet.corners_px for sheet in scene.sheets)]
    )
    assert [round(each.area) for each in leather.beside] == [2400]
    assert len(leather.covered) == 1


def test_a_sheet_over_the_edge_is_refused() -> None:
    scene = hide_scene(SceneSpec(seed=1040))
    middle = np.asarray(scene.outline.exterior.coords)[0]
    over = middle + np.array([[-80, -60], [80, -60], [80, 60], [-80, 60]])
    with pytest.raises(InputError, match="over the edge"):
        find_leather(scene.picture, scene.view, [scene.view.to_picture(over)])


def test_no_sheet_is_a_mistake_of_the_caller() -> None:
    scene = hide_scene(SceneSpec(seed=1050, sheets=(SheetSpec(),)))
    with pytest.raises(ValueError, match="covers_px"):
        find_leather(scene.picture, scene.view, [])


def test_leather_larger_than_any_hide_is_refused_with_its_size() -> None:
    scene = hide_scene(random_spec(1001))
    wide = replace(scene.view, homography=scene.view.homography @ np.diag([0.25, 0.25, 1.0]))
    with pytest.raises(InputError, match=r"4\.\d m long .* --sheet"):
        find_leather(scene.picture, wide, [sheet.corners_px for sheet in scene.sheets])

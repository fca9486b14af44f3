"""From photograph files to hides: with a sheet, marker pages, measured points, a second photo."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from shapely import distance, points

from estimator.errors import InputError
from estimator.photo.camera.sheet_sizes import A4
from estimator.photo.leather.seen import SeenHide
from estimator.photo.look import LookOptions, hide_in_photos
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, hide_scene, overlapping_scenes, write_jpeg

SPEC = SceneSpec(seed=4, megapixels=2.0, floor="grey-planks", tilt_deg=12.0, clutter=0)
LAID_ANEW = replace(SPEC, sheets=(SheetSpec(place="end"),), azimuth_deg=120.0, tilt_deg=8.0)
BARE = replace(SPEC, sheets=())
WITH_PAGE = replace(SPEC, sheets=(), pages=1)


@cache
def scene(spec: SceneSpec = SPEC) -> Scene:
    return hide_scene(spec)


def look(folder: Path, scenes: Sequence[Scene], asked: LookOptions) -> SeenHide:
    photos = [folder / f"photo-{place}.jpg" for place in range(len(scenes))]
    for photo, each in zip(photos, scenes, strict=True):
        write_jpeg(each, photo)
    return hide_in_photos(photos, asked, on_step=lambda told: None)


def off_mm(seen: SeenHide, true: Scene) -> float:
    """How far the outline found is from the true one at 95 of 100 places, mm.

    Compared where both are seen: nothing tells which way round a sheet was laid.
    """
    own = np.asarray(seen.outline.exterior.segmentize(5.0).coords)
    ring = true.view.to_plane(seen.view.to_picture(own))

    return float(np.percentile(distance(points(ring), true.outline.exterior), 95))


def test_a_sheet_on_the_hide_is_enough(tmp_path: Path) -> None:
    steps: list[str] = []
    write_jpeg(scene(), tmp_path / "one.jpg")
    seen = hide_in_photos([tmp_path / "one.jpg"], LookOptions(size=A4), on_step=steps.append)
    assert off_mm(seen, scene()) < seen.expected_error_mm
    assert seen.outline.area == pytest.approx(scene().outline.area, rel=0.01)
    assert len(seen.covered) == 1
    assert max(one.expected_error_mm for one in seen.stretches) >= seen.expected_error_mm
    assert all(one.expected_error_mm and one.expected_error_mm < 15 for one in seen.flaws)
    assert steps[0].startswith("reading ")
    assert len(steps) == 4


def test_a_photo_worse_than_asked_for_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"photo-0.jpg: the outline may be off by .* than 2 mm"):
        look(tmp_path, [scene()], LookOptions(size=A4, most_error_mm=2.0))


def test_a_marker_page_takes_the_place_of_the_sheet_and_is_better(tmp_path: Path) -> None:
    page = look(tmp_path, [scene(WITH_PAGE)], LookOptions(size=A4))
    sheet = look(tmp_path, [scene()], LookOptions(size=A4))
    assert page.expected_error_mm < 0.6 * sheet.expected_error_mm
    assert off_mm(page, scene(WITH_PAGE)) < page.expected_error_mm
    (covered,) = page.covered
    assert covered.area == pytest.approx(297.0 * 215.9, rel=0.01)


def test_measured_points_take_the_place_of_the_sheet(tmp_path: Path) -> None:
    true = scene(BARE)
    left, bottom, right, top = true.outline.bounds
    points = [
        (left + x * (right - left), bottom + y * (top - bottom))
        for x, y in ((0.25, 0.55), (0.75, 0.55), (0.7, 0.8), (0.3, 0.8))
    ]
    px = true.view.to_picture(np.array(points))
    asked = LookOptions(
        size=A4,
        points_px=[(float(x), float(y)) for x, y in px],
        points_mm=points,
        most_error_mm=40.0,
    )
    seen = look(tmp_path, [true], asked)
    assert seen.covered == ()
    assert off_mm(seen, true) < max(seen.expected_error_mm, 3.0)
    beyond = replace(asked, points_px=[(-50.0, 9.0), *asked.points_px[1:]])
    with pytest.raises(InputError, match="lies outside the photo"):
        look(tmp_path, [true], beyond)


def test_a_second_photo_with_the_sheet_moved_clears_what_it_hid(tmp_path: Path) -> None:
    asked = LookOptions(size=A4, most_error_mm=15.0)
    both = look(tmp_path, [scene(), scene(LAID_ANEW)], asked)
    assert both.covered == ()
    (patch,) = both.patches
    assert patch.area.area == pytest.approx(297.0 * 210.0, rel=0.01)
    assert patch.picture.source.name == "photo-1.jpg"


def test_a_photo_of_another_hide_is_refused(tmp_path: Path) -> None:
    other = scene(replace(SPEC, seed=6))
    with pytest.raises(InputError, match=r"photo-1.jpg: does not show the same hide"):
        look(tmp_path, [scene(), other], LookOptions(size=A4, most_error_mm=15.0))


@cache
def parts() -> tuple[Scene, ...]:
    spec = replace(SPEC, sheets=(), pages=3, shadow=0.1, megapixels=1.5)
    return tuple(overlapping_scenes(spec, count=3, overlap=0.5, fill=0.92))


def test_parts_are_joined_by_the_marker_pages_they_share(tmp_path: Path) -> None:
    seen = look(tmp_path, parts(), LookOptions(size=A4))
    true = parts()[0]
    assert seen.outline.area == pytest.approx(true.outline.area, rel=0.007)
    assert seen.expected_error_mm < 6
    assert len(seen.covered) == 3
    assert len(seen.flaws) >= 2


def test_parts_that_leave_an_edge_out_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        look(tmp_path, parts()[:2], LookOptions(size=A4))

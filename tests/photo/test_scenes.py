"""The synthetic photographs show what their truth says."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image as PilImage
from PIL import ImageOps
from shapely import Polygon, affinity, box, contains_xy
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from estimator.photo.base.view import Floats
from tests.photo.scene_blades import BladeScene, BladeSpec, blade_scene, random_blade_spec
from tests.photo.scene_camera import camera
from tests.photo.scene_light import developed
from tests.photo.scene_paint import GAMMA, coverage, paint
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec, random_spec
from tests.photo.scenes import Scene, hide_scene, overlapping_scenes, places, write_jpeg

SMALL = SceneSpec(seed=3, megapixels=0.75, pages=1, shadow=0.1, tilt_deg=25, k1=0.08)
CLEAR = replace(SMALL, noise=0, blur_px=0.7, jpeg_quality=100, clutter=0, shadow=0)


@pytest.fixture(scope="module")
def clear() -> Scene:
    return hide_scene(CLEAR)


def test_covered_shares_are_exact_for_a_turned_square() -> None:
    square = affinity.rotate(box(3.3, 4.1, 17.9, 15.2), 31.0)
    ring = np.asarray(square.exterior.coords)[:-1]
    shares, rows, columns = coverage([ring], (24, 24))
    for y in range(rows.start, rows.stop):
        for x in range(columns.start, columns.stop):
            pixel = box(x - 0.5, y - 0.5, x + 0.5, y + 0.5)
            share = shares[y - rows.start, x - columns.start]
            assert share == pytest.approx(square.intersection(pixel).area, abs=1e-6)


def test_an_area_that_leaves_the_picture_covers_what_is_inside() -> None:
    ring = np.array([(-9.0, -7.0), (5.2, -7.0), (5.2, 40.0), (-9.0, 40.0)])
    shares, rows, columns = coverage([ring], (10, 8))
    assert (rows, columns) == (slice(0, 8), slice(0, 6))
    assert shares.sum() == pytest.approx(8 * 5.7, abs=1e-4)


def test_a_hole_turned_the_other_way_stays_free() -> None:
    outer = np.array([(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)])
    shares, _, _ = coverage([outer, outer[::-1] / 3 + 3], (12, 12))
    assert shares.sum() == pytest.approx(81 - 9, abs=1e-4)


def test_an_edge_after_blur_and_encoding_lies_within_a_twentieth_of_a_pixel() -> None:
    canvas = np.full((60, 80, 3), 0.05, dtype=np.float32)
    edge = np.array([(20.37, -5.0), (90.0, -5.0), (90.0, 70.0), (27.81, 70.0)])
    paint(canvas, [edge], np.full(3, 0.8, np.float32))
    random = np.random.default_rng(1)
    pixels, _ = developed(canvas, random, blur_px=0.8, noise=0, jpeg_quality=98)
    light = (pixels[:, :, 1].astype(np.float64) / 255) ** GAMMA
    low, high = light[:, :8].mean(), light[:, -8:].mean()
    for y in range(5, 55, 7):
        dark_pixels = ((high - light[y]) / (high - low)).sum()
        line = np.interp(y, [-5.0, 70.0], [20.37, 27.81])
        assert dark_pixels - 0.5 == pytest.approx(line, abs=0.05)


@pytest.mark.external
@pytest.mark.parametrize("k1", [-0.1, 0.0, 0.1])
def test_the_camera_agrees_with_a_reference_library(k1: float) -> None:
    """cv2.projectPoints of OpenCV 5.0, its model of lens and perspective."""
    made = camera(
        size_px=(2000, 1500),
        focal_share=0.8,
        k1=k1,
        tilt_deg=33,
        azimuth_deg=70,
        roll_deg=-20,
        aim_mm=(120, -40),
        away_mm=1400,
    )
    random = np.random.default_rng(5)
    places_mm = random.uniform(-500, 500, (60, 2))
    heights = random.uniform(0, 40, 60)
    inner = np.array([[1600, 0, 999.5], [0, 1600, 749.5], [0, 0, 1]], dtype=np.float64)
    spin, _ = cv2.Rodrigues(made.turn)
    shift = -made.turn @ made.place_mm
    bent = np.array([k1, 0, 0, 0, 0], dtype=np.float64)
    space = np.column_stack([places_mm, heights])
    theirs, _ = cv2.projectPoints(space, spin, shift, inner, bent)
    assert np.abs(np.asarray(theirs)[:, 0] - made.seen(places_mm, heights)).max() < 1e-6
    assert np.abs(made.seen(places_mm) - made.view.to_picture(places_mm)).max() < 1e-6


def test_a_camera_straight_above_sees_y_up_and_nothing_mirrored() -> None:
    made = camera(
        size_px=(400, 300),
        focal_share=1.0,
        k1=0.0,
        tilt_deg=0,
        azimuth_deg=0,
        roll_deg=0,
        aim_mm=(0, 0),
        away_mm=1000,
    )
    seen = made.seen(np.array([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]))
    assert seen == pytest.approx(np.array([(199.5, 149.5), (239.5, 149.5), (199.5, 109.5)]))


def test_places_of_pixels_are_true(clear: Scene) -> None:
    x, y = places(clear.camera)
    rows, columns = np.array([0, 3, 400, 700]), np.array([5, 990, 501, 17])
    exact = clear.view.to_plane(np.column_stack([columns, rows]).astype(float))
    found = np.column_stack([x[rows, columns], y[rows, columns]])
    assert np.abs(found - exact).max() < 0.02


def test_the_sheet_gives_the_axes(clear: Scene) -> None:
    wide, high = 148.5, 105.0
    expected = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)])
    assert clear.sheets[0].corners_mm == pytest.approx(expected, abs=1e-6)
    seen = clear.view.to_picture(clear.sheets[0].corners_mm)
    assert clear.sheets[0].corners_px == pytest.approx(seen, abs=1e-6)
    assert clear.outline.buffer(-1).contains(Polygon(clear.sheets[0].corners_mm))


def test_the_sheet_is_where_its_corners_say(clear: Scene) -> None:
    """Half the step in linear light, across the middle of each side."""
    light = (clear.pixels[:, :, 1] / 255) ** GAMMA
    sheet = clear.sheets[0].corners_mm
    for a, b in zip(sheet, np.roll(sheet, -1, axis=0), strict=True):
        for share in (0.3, 0.5, 0.7):
            on_edge = a + share * (b - a)
            outward = np.array([(b - a)[1], -(b - a)[0]]) / np.linalg.norm(b - a)
            assert abs(_half_step_px(clear, light, on_edge, outward)) < 0.12


def _half_step_px(scene: Scene, light: Floats, at_mm: Floats, outward: Floats) -> float:
    """How far from a place the light reaches half of the step, px outward."""
    ends = scene.view.to_picture(np.vstack([at_mm, at_mm + outward]))
    step = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    along = np.linspace(-3, 3, 241)
    line = (ends[0] + along[:, None] * step).astype(np.float32)
    found = np.asarray(cv2.remap(light, line[:, :1], line[:, 1:], cv2.INTER_LINEAR))[:, 0]
    half = (found[:20].mean() + found[-20:].mean()) / 2
    return float(along[np.argmax(found < half)])


@pytest.mark.external
def test_a_reference_library_finds_the_markers_where_they_are(clear: Scene) -> None:
    """cv2.aruco of OpenCV 5.0 reads the tags and their corners in order."""
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    found, numbers, _ = cv2.aruco.ArucoDetector(book, settings).detectMarkers(clear.pixels)
    truth = clear.pages[0].tags_px
    assert {int(n) for n in np.ravel(numbers)} == set(truth)
    for seen, number in zip(found, np.ravel(numbers), strict=True):
        off = np.asarray(seen)[0] - truth[int(number)]
        assert np.abs(off).max() < 0.9  # in pixel values the white spreads over the black
        assert np.abs(off.mean(axis=0)).max() < 0.15


def test_flaws_are_darker_or_brighter_by_what_they_say(clear: Scene) -> None:
    values = clear.pixels.mean(axis=2)
    taken = unary_union([*(f.outline for f in clear.flaws), Polygon(clear.sheets[0].corners_mm)])
    compared = 0
    for flaw in clear.flaws:
        inside = flaw.outline.buffer(-1.5 - 2 * flaw.soft_mm)
        if flaw.group == "hole" or inside.is_empty or inside.area < 60:
            continue
        ring = flaw.outline.buffer(15 + 2 * flaw.soft_mm).difference(
            taken.buffer(3 + 2 * flaw.soft_mm)
        )
        share = _mean_value(clear, values, inside) / _mean_value(clear, values, ring)
        assert share == pytest.approx(flaw.brightness, rel=0.1)
        compared += 1
    assert compared >= 2


def _mean_value(scene: Scene | BladeScene, values: Floats, area: BaseGeometry) -> float:
    x0, y0, x1, y1 = area.bounds
    x, y = (a.ravel() for a in np.meshgrid(np.arange(x0, x1, 0.7), np.arange(y0, y1, 0.7)))
    inside = contains_xy(area, x, y)
    pixels = np.round(scene.view.to_picture(np.column_stack([x, y])[inside])).astype(int)
    return float(values[pixels[:, 1], pixels[:, 0]].mean())


def test_the_same_choices_give_the_same_photograph() -> None:
    first, again = hide_scene(SMALL), hide_scene(SMALL)
    assert np.array_equal(first.pixels, again.pixels)
    assert first.jpeg == again.jpeg
    other = hide_scene(replace(SMALL, seed=4))
    assert not np.array_equal(first.pixels, other.pixels)


def test_the_hide_fills_the_frame_as_asked(clear: Scene) -> None:
    width, height = clear.camera.size_px
    span = np.ptp(clear.outline_px, axis=0) / (width, height)
    assert span.max() == pytest.approx(0.9, abs=0.01)
    assert clear.outline_px.min() > 0
    assert (clear.outline_px.max(axis=0) < (width, height)).all()


def test_a_lifted_corner_is_seen_elsewhere() -> None:
    bent = replace(CLEAR, sheets=(SheetSpec(lifted_mm=30),), pages=0)
    scene = hide_scene(bent)
    moved = scene.sheets[0].corners_px - scene.view.to_picture(scene.sheets[0].corners_mm)
    distance = np.linalg.norm(moved, axis=1)
    assert distance[2] > 3
    assert distance[[0, 1, 3]].max() < 1e-9


def test_overlapping_photographs_show_one_hide_and_a_common_page() -> None:
    spec = replace(SMALL, sheets=(), pages=3, hide_length_mm=1800)
    scenes = overlapping_scenes(spec, count=2)
    assert scenes[0].outline == scenes[1].outline
    seen = [
        {
            number
            for page in scene.pages
            for number, tag in page.tags_px.items()
            if (tag > 5).all() and (tag < np.asarray(scene.camera.size_px) - 5).all()
        }
        for scene in scenes
    ]
    assert seen[0] & seen[1]
    assert seen[0] != seen[1]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_file_is_upright_when_exif_is_obeyed(
    clear: Scene, tmp_path: Path, orientation: int
) -> None:
    path = tmp_path / "photo.jpg"
    write_jpeg(clear, path, exif_orientation=orientation)
    with PilImage.open(path) as file:
        assert file.getexif()[0x0112] == orientation
        assert file.getexif().get_ifd(0x8769)[0xA405] == 28
        upright = np.asarray(ImageOps.exif_transpose(file))[:, :, ::-1]
    assert upright.shape == clear.pixels.shape
    assert orientation != 1 or path.read_bytes().endswith(clear.jpeg[2:])
    assert np.abs(upright.astype(int) - clear.pixels).mean() < 1.5


def test_leather_and_floor_of_chance_can_be_told_apart() -> None:
    for seed in range(20):
        spec = random_spec(seed, floor="planks")
        assert spec.floor == "planks"
        assert spec.leather not in {"natural"}


def test_a_blade_lies_where_its_truth_says() -> None:
    spec = BladeSpec(seed=2, shape="grafting", noise=0, blur_px=0.5, jpeg_quality=98, gloss=0)
    scene = blade_scene(replace(spec, handle="black"))
    values = scene.pixels.mean(axis=2)
    paper = box(-148, -104, 148, 104).difference(scene.blade.union(scene.handle).buffer(12))
    steel = _mean_value(scene, values, scene.blade.buffer(-1.5))
    assert steel < 0.9 * _mean_value(scene, values, paper)
    assert _mean_value(scene, values, scene.handle.buffer(-1.5)) < 0.4 * steel
    assert scene.own.area == pytest.approx(scene.blade.area)
    assert scene.length_mm == pytest.approx(scene.own.bounds[2])


def test_a_handle_may_reach_over_the_edge_of_the_sheet() -> None:
    scene = blade_scene(BladeSpec(seed=3, megapixels=0.75, over_mm=40, turn_deg=0))
    assert scene.handle.bounds[0] == pytest.approx(-148.5 - 40, abs=0.01)
    assert box(-148.5, -105, 148.5, 105).contains(scene.blade)


def test_blades_of_chance_differ_and_repeat() -> None:
    first, again = (blade_scene(random_blade_spec(7, megapixels=0.75)) for _ in range(2))
    assert np.array_equal(first.pixels, again.pixels)
    assert random_blade_spec(7) != random_blade_spec(8)

"""A knife on a sheet: measured, or refused with what to do."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from shapely import Polygon, unary_union

from estimator.errors import InputError
from estimator.photo.blade.axis import BladeAxes, Side
from estimator.photo.blade.height import camera_place, lift_of
from estimator.photo.blade.measure import FoundBlade, KnifeFacts, find_blade
from estimator.photo.camera.sheet_sizes import A4
from tests.photo.scene_blades import BladeScene, blade_scene, random_blade_spec

SPEC = random_blade_spec(1007, gloss=0.3, raised_mm=0.0, handle="wood")


@cache
def knife() -> BladeScene:
    """An ordinary photograph of an ordinary knife."""
    return blade_scene(SPEC)


@cache
def found() -> FoundBlade:
    """What is measured in it."""
    return measured(knife())


def measured(scene: BladeScene, **changed: object) -> FoundBlade:
    """Measure with the true view, as if the blade were thin and lay flat."""
    knife = KnifeFacts(edge=Side(scene.edge_faces), spine_mm=0.01, lift_mm=0.0)
    return find_blade(scene.picture, scene.view, A4, replace(knife, **changed))  # type: ignore[arg-type]  # mixed keywords


def refused(scene: BladeScene, **changed: object) -> str:
    """Why a photograph is refused, with its remedy."""
    with pytest.raises(InputError) as raised:
        measured(scene, **changed)
    (fault,) = raised.value.faults
    assert fault.file == str(scene.picture.source)
    assert fault.remedy
    return fault.problem


def width_mm(shape: Polygon, at_mm: float) -> float:
    """Width across the x axis."""
    strip = Polygon([(at_mm, -99), (at_mm + 1e-3, -99), (at_mm + 1e-3, 99), (at_mm, 99)])
    _, low, _, high = shape.intersection(strip).bounds
    return float(high - low)


def test_length_and_widths_are_measured_within_the_stated_error() -> None:
    scene, blade = knife(), found()
    true = blade.axes.to_blade(scene.blade)
    heel = blade.axes.to_blade(scene.handle)
    length = true.bounds[2] - (true.bounds[0] + heel.bounds[2]) / 2
    assert blade.length_mm == pytest.approx(length, abs=0.5)
    assert blade.length_error_mm < 1.0
    places = [station.at_mm for station in blade.stations]
    assert places == pytest.approx([10, 20, 30, 40, 50, 60, blade.length_mm - 0.5])
    for station in blade.stations[:-1]:
        width = width_mm(true, blade.outline.bounds[2] - station.at_mm)
        assert station.width_mm == pytest.approx(width, abs=0.3)
    assert blade.width_error_mm < 1.0


def test_axes_have_the_tip_right_the_edge_down_and_the_handle_at_zero() -> None:
    left, low, right, high = found().outline.bounds
    assert right == pytest.approx(found().length_mm)
    assert -left == pytest.approx(SPEC.handle_mm, abs=1.5)
    assert abs(low) > abs(high)
    other = {"up": "down", "down": "up", "left": "right", "right": "left"}[knife().edge_faces]
    mirrored = measured(knife(), edge=Side(other)).outline
    assert mirrored.bounds[3] - mirrored.bounds[1] == pytest.approx(high - low, abs=3.0)
    assert not mirrored.equals(found().outline)
    assert mirrored.exterior.is_ccw


def test_points_go_from_the_blade_to_the_picture_and_lie_on_its_outline() -> None:
    blade = found()
    back = blade.view.to_plane(blade.to_picture(np.asarray(blade.outline.exterior.coords)))
    whole = unary_union([knife().blade, knife().handle])
    assert Polygon(back).symmetric_difference(whole).area < 0.02 * whole.area


def test_the_maker_says_where_the_handle_begins() -> None:
    blade = measured(knife(), handle_at_mm=50.0)
    assert blade.length_mm == 50.0
    assert blade.handle is None
    assert blade.outline.bounds[2] == pytest.approx(50.0)
    assert blade.length_error_mm < found().length_error_mm


def test_a_blade_that_is_raised_looks_larger_and_is_reckoned_down() -> None:
    flat, raised = found(), measured(knife(), lift_mm=10.0)
    height = raised.camera.height_mm
    assert raised.length_mm == pytest.approx(flat.length_mm * (1 - 10.0 / height), rel=2e-3)
    assert raised.length_error_mm > flat.length_error_mm * 0.9


def test_a_handle_that_holds_the_blade_up_must_be_told() -> None:
    assert "holds the blade up" in refused(knife(), lift_mm=None)
    blade = measured(knife(), lift_mm=None, handle_mm=18.0, spine_mm=3.0)
    assert (blade.lift.low_mm, blade.lift.high_mm) == (1.5, 9.0)
    assert blade.length_error_mm > found().length_error_mm + 0.3


def test_lift_follows_from_what_is_known() -> None:
    flat = lift_of(spine_mm=3.0, handle_mm=18.0, lift_mm=None, handle_on_sheet=False)
    assert flat is not None
    assert (flat.low_mm, flat.high_mm) == (0.0, 3.0)
    told = lift_of(spine_mm=3.0, handle_mm=None, lift_mm=0.2, handle_on_sheet=True)
    assert told is not None
    assert (told.low_mm, told.middle_mm, told.high_mm) == (0.0, 0.2, 0.7)


def test_the_camera_is_where_it_was() -> None:
    place = camera_place(knife().view)
    here = np.array([[10.0, 20.0], [-100.0, 60.0], [40.0, -80.0]])
    seen = knife().camera.seen(here, 7.0)  # by the renderer's own projection
    lowered = place.true_places(knife().view.to_plane(seen), 7.0)
    assert lowered == pytest.approx(here, abs=0.05)
    assert place.seen_places(lowered, 7.0) == pytest.approx(knife().view.to_plane(seen))


def test_axes_and_plane_undo_each_other() -> None:
    points = np.array([[3.0, 4.0], [-20.0, 7.0], [0.0, -9.0]])
    for flipped in (False, True):
        lies = BladeAxes(turn_rad=0.7, flipped=flipped, shift_mm=(5.0, -2.0))
        assert lies.to_plane(lies.to_axes(points)) == pytest.approx(points)
        carried = lies.to_blade(Polygon(points))
        assert carried.equals(Polygon(lies.to_axes(points)))
        assert carried.exterior.is_ccw


def small(**changed: object) -> BladeScene:
    """The same knife in a smaller photograph."""
    return blade_scene(replace(SPEC, megapixels=2.0, **changed))  # type: ignore[arg-type]  # mixed keywords


def test_a_handle_may_hang_over_only_if_that_is_told() -> None:
    over = small(over_mm=30.0)
    assert "reaches over the edge" in refused(over)
    blade = measured(over, may_overhang=True)
    assert blade.is_cut
    true = blade.axes.to_blade(over.blade)
    assert blade.outline.bounds[2] == pytest.approx(true.bounds[2], abs=0.8)
    assert blade.whole_mm < blade.length_mm + SPEC.handle_mm - 25.0


@pytest.mark.parametrize(
    ("make", "reason"),
    [
        (lambda: small(second_thing=True), "several things"),
        (lambda: small(fill=0.35), "too small"),
        (lambda: small(blur_px=5.0), "blurred|no knife"),
        (lambda: small(gloss=1.0, seed=8, shape="foraging"), "as bright as the paper|no knife"),
    ],
)
def test_what_cannot_be_measured_is_refused(make: Callable[[], BladeScene], reason: str) -> None:
    problem = refused(make())
    assert any(each in problem for each in reason.split("|")), problem


def test_bare_paper_holds_no_knife() -> None:
    scene = knife()
    low, high = scene.view.to_picture(np.array([[-140.0, 95.0], [140.0, -95.0]])).astype(int)
    blank = scene.pixels.copy()
    blank[low[1] : high[1], low[0] : high[0]] = 228
    picture = replace(scene.picture, pixels=blank)
    told = KnifeFacts(edge=Side.DOWN, spine_mm=2.0)
    with pytest.raises(InputError, match="no knife"):
        find_blade(picture, scene.view, A4, told)

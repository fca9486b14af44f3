"""Sheets of paper in rendered photographs: found to a fraction of a pixel, or refused."""

from functools import lru_cache

import cv2
import numpy as np
import pytest

from estimator.errors import InputError
from estimator.photo.camera.fitting import fit_view
from estimator.photo.camera.sheet_sizes import A4, A5, LETTER, SheetSize
from estimator.photo.camera.targets import FoundSheet
from estimator.photo.scale.edges import corner_between, find_side, light_of
from estimator.photo.scale.shadow import without_shadow
from estimator.photo.scale.sheets import find_sheet, find_sheets
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, TrueSheet, hide_scene


@lru_cache(maxsize=4)
def scene(**choices: object) -> Scene:
    return hide_scene(SceneSpec(**({"seed": 3, "leather": "russet", "megapixels": 2.0} | choices)))  # type: ignore[arg-type]  # mixed keywords


def corner_error_px(found: FoundSheet, true: TrueSheet) -> float:
    """The largest, whichever of the two ways round the sheet was taken."""
    return min(
        float(
            np.linalg.norm(np.roll(true.corners_px, turn, axis=0) - found.corners_px, axis=1).max()
        )
        for turn in (0, 2)
    )


def refusal(of: Scene, size: SheetSize = A4) -> str:
    with pytest.raises(InputError) as caught:
        fit_view(of.picture, sheets=[find_sheet(of.picture, size)])
    (fault,) = caught.value.faults
    assert fault.remedy
    assert fault.file == str(of.picture.source)
    return fault.problem


@pytest.mark.parametrize(
    "choices",
    [
        {},
        {"tilt_deg": 35.0, "k1": 0.1},
        {"leather": "natural", "floor": "planks", "shadow": 0.35, "k1": -0.1},
        {"leather": "black", "floor": "pale-carpet"},
        {"noise": 5.0, "jpeg_quality": 70},
        {"sheets": (SheetSpec(dirty=True, printed=True, place="end"),)},
    ],
    ids=["plain", "tilted", "natural", "black", "noisy", "printed"],
)
def test_corners_are_found_to_a_fraction_of_a_pixel(choices: dict[str, object]) -> None:
    made = scene(**choices)
    assert corner_error_px(find_sheet(made.picture, A4), made.sheets[0]) < 0.45


def test_a_letter_sheet_is_found_and_lies_as_the_plane_has_it() -> None:
    made = scene(sheets=(SheetSpec(name="letter"),))
    found = find_sheet(made.picture, LETTER)
    assert corner_error_px(found, made.sheets[0]) < 0.3
    first, second = found.corners_px[:2]
    assert second[0] > first[0]  # its x axis runs to the right in the picture
    way = np.roll(found.corners_px, -1, axis=0) - found.corners_px
    turns = way[:, 0] * np.roll(way[:, 1], -1) - way[:, 1] * np.roll(way[:, 0], -1)
    assert (turns < 0).all()  # counter-clockwise as seen, since y runs down in the picture
    view = fit_view(made.picture, sheets=[found]).view
    assert view.to_picture(found.corners_mm) == pytest.approx(found.corners_px, abs=0.5)


def test_all_sheets_that_were_stated_are_found() -> None:
    made = scene(sheets=(SheetSpec(), SheetSpec(place="end")))
    found = find_sheets(made.picture, A4, 2)
    errors = [min(corner_error_px(one, true) for true in made.sheets) for one in found]
    assert max(errors) < 0.3
    assert "2 sheets like A4" in refusal(made)


def test_a_sheet_too_few_is_refused() -> None:
    with pytest.raises(InputError, match="1 of 2 sheets"):
        find_sheets(scene().picture, A4, 2)


@pytest.mark.parametrize(
    ("sheet", "told"),
    [
        (SheetSpec(lifted_mm=30.0), "does not lie flat"),
        (SheetSpec(lifted_mm=10.0), "does not lie flat"),
        (SheetSpec(place="cut"), "cut by the"),
        (SheetSpec(size_mm=(40.0, 28.0)), "no sheet of A4|too small"),
    ],
    ids=["bent", "a little bent", "cut", "tiny"],
)
def test_what_cannot_be_measured_from_is_refused(sheet: SheetSpec, told: str) -> None:
    made = scene(sheets=(sheet,), clutter=0, seed=4)
    assert any(part in refusal(made) for part in told.split("|"))


def test_no_sheet_is_refused() -> None:
    assert refusal(scene(sheets=(), clutter=0)).startswith(
        ("no sheet of A4", "no whole sheet of A4")
    )


def test_a_shaken_picture_is_refused() -> None:
    assert "blurred" in refusal(scene(blur_px=5.0, clutter=0))


def test_another_sheet_than_stated_is_refused_and_named() -> None:
    plain = scene(clutter=0)
    told = refusal(plain, LETTER)
    assert "not the shape of Letter" in told
    assert "looks like A4" in told
    assert "looks like Letter" in refusal(scene(sheets=(SheetSpec(name="letter"),), clutter=0))


def test_sheets_of_one_shape_but_another_size_leave_doubt() -> None:
    """An A5 beside an A4 has its very shape; nothing in the picture says which is the A4."""
    a5 = SheetSpec(name="a5", size_mm=(A5.width_mm, A5.height_mm), place="end")
    assert "2 sheets like A4" in refusal(scene(sheets=(SheetSpec(), a5), clutter=0))


def test_an_edge_is_found_where_light_is_at_half() -> None:
    """A straight edge through the middle of a white square's pixels, blurred and coded."""
    ramp = np.clip(np.arange(80)[None] - 30.3, 0, 1)  # white from x = 30.8 on, by area of pixels
    light = 0.1 + 0.8 * np.repeat(ramp, 90, axis=0)
    coded = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    pixels = np.repeat(np.rint(coded * 255).astype(np.uint8)[:, :, None], 3, axis=2)
    side = find_side(light_of(pixels), np.array([31.0, 5.0]), np.array([31.0, 85.0]), 8.0)
    assert side is not None
    assert side.points_px[:, 0] == pytest.approx(30.8, abs=0.05)
    assert side.within_px < 0.05


@pytest.mark.parametrize("depth", [0.0, 0.3, 0.6])
def test_the_shadow_beside_a_sheet_does_not_move_its_edge(depth: float) -> None:
    """A sheet on pale leather; beside its edges, at 20 and 100.0 px, light falls short."""
    fine = np.arange(0, 120, 0.05) - 0.475  # places in tenths of pixels, centres at whole numbers
    outside = np.maximum(19.5 - fine, fine - 99.5)
    across = np.maximum.outer(outside, outside)[::20]
    leather = 0.45 * (1 - depth * np.exp(-np.maximum(across, 0) / 1.2))
    light = np.where(across < 0, 0.75, leather)
    light = np.asarray(cv2.GaussianBlur(light, (0, 0), sigmaX=16.0, sigmaY=0.8))
    light = light.reshape(120, 120, 20).mean(axis=2).astype(np.float32)
    ring = np.array([[20.0, 99.0], [99.0, 99.0], [99.0, 20.0], [20.0, 20.0]])
    found = [find_side(light, ring[k], ring[(k + 1) % 4], 6.0) for k in range(4)]
    seen = [side for side in found if side is not None]
    assert len(seen) == 4
    left = without_shadow(light, seen)[3].points_px[:, 0]
    assert left == pytest.approx(19.5, abs=0.1)
    if depth:
        assert abs(seen[3].points_px[:, 0].mean() - 19.5) > 0.12


def test_a_side_covered_in_part_is_still_a_line() -> None:
    light = np.full((200, 60), 0.1, dtype=np.float32)
    light[:, 30:] = 0.9
    light[60:100] = 0.3  # a blade across
    side = find_side(light, np.array([30.0, 5.0]), np.array([30.0, 195.0]), 8.0)
    assert side is not None
    assert side.seen_share < 0.9
    assert side.points_px[:, 0] == pytest.approx(29.5, abs=0.1)


def test_no_edge_is_no_side() -> None:
    plain = np.full((100, 100), 0.5, dtype=np.float32)
    assert find_side(plain, np.array([50.0, 10.0]), np.array([50.0, 90.0]), 8.0) is None


def test_a_corner_lies_where_curves_meet() -> None:
    light = np.full((120, 120), 0.1, dtype=np.float32)
    light[20:100, 20:100] = 0.9
    ring = np.array([[20.0, 99.0], [99.0, 99.0], [99.0, 20.0], [20.0, 20.0]])
    sides = [find_side(light, ring[k], ring[(k + 1) % 4], 6.0) for k in range(4)]
    first, second = sides[0], sides[1]
    assert first is not None
    assert second is not None
    assert corner_between(first, second) == pytest.approx([99.5, 99.5], abs=0.1)

"""A sample of the accuracy benchmark, with bounds that hold with room on its seeds."""

from pathlib import Path

import pytest

from estimator.photo.camera.sheet_sizes import A4
from estimator.photo.look import LookOptions
from tests.benchmarks.photo_results import Row, blade_row, hide_row
from tests.benchmarks.photo_runs import run_blade, run_hide
from tests.photo.scene_blades import BladeSpec, blade_scene, random_blade_spec
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec, random_spec
from tests.photo.scenes import hide_scene, write_jpeg

PLAIN = (SheetSpec(),)

HIDES = {
    "tilted 35 degrees": random_spec(1040, sheets=PLAIN, tilt_deg=35.0),
    "a lens of k1 = 0.1": random_spec(1096, sheets=PLAIN, k1=0.1),
    "nearly black leather": random_spec(1583, sheets=PLAIN, leather="black"),
}

NOT_HIDES = {
    "cut by the frame": random_spec(1600, sheets=PLAIN, off_share=0.15),
    "a bent sheet": random_spec(1700, sheets=(SheetSpec(lifted_mm=30.0),)),
}


def _found(spec: SceneSpec, folder: Path) -> Row:
    scene = hide_scene(spec)
    path = folder / "photo.jpg"
    write_jpeg(scene, path)
    return hide_row(scene, run_hide(path, LookOptions(size=A4)))


@pytest.mark.parametrize("spec", HIDES.values(), ids=HIDES)
def test_a_hide_is_found_true_to_two_millimetres(spec: SceneSpec, tmp_path: Path) -> None:
    row = _found(spec, tmp_path)
    assert row["outcome"] == "found", row["refused"]
    assert row["p95_mm"] < 2.5
    assert row["most_mm"] < 5
    assert abs(row["area_share"]) < 0.007
    assert row["view_within_share"] > 0.9
    flaws = row["flaws"]
    assert flaws["found"].get("dark", 0) + flaws["found"].get("hole", 0) >= 4
    assert flaws["false"] <= 1


@pytest.mark.parametrize("spec", NOT_HIDES.values(), ids=NOT_HIDES)
def test_what_would_come_out_wrong_is_refused(spec: SceneSpec, tmp_path: Path) -> None:
    assert _found(spec, tmp_path)["outcome"] == "refused"


@pytest.mark.parametrize("spec", [random_blade_spec(2020, shape="grafting")], ids=["grafting"])
def test_a_blade_is_found_true_to_half_a_millimetre(spec: BladeSpec, tmp_path: Path) -> None:
    scene = blade_scene(spec)
    path = tmp_path / "blade.jpg"
    path.write_bytes(scene.jpeg)
    run = run_blade(path, "a4", scene.edge_faces, round(2 * spec.raised_mm) / 2)
    row = blade_row(scene, run)
    assert row["outcome"] == "found", row["refused"]
    assert abs(row["length_off_mm"]) < 0.5
    assert max(row["widths_off_mm"]) < 0.6

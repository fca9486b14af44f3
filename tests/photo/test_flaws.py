"""Flaws proposed on rendered photographs: found, named, and little imagined."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon, unary_union

from estimator.hide.flaw_kinds import SPOIL_OF_KIND
from estimator.photo.leather.find import FoundLeather
from estimator.photo.leather.flaw_looks import Look, flaw_from_look
from estimator.photo.leather.flaws import propose_flaws
from estimator.photo.leather.seen import SeenFlaw
from tests.photo.scene_scores import flaw_score
from tests.photo.scene_spec import random_spec
from tests.photo.scenes import Scene, hide_scene


def proposed(scene: Scene) -> tuple[SeenFlaw, ...]:
    leather = FoundLeather(
        outline=scene.outline,
        expected_error_mm=1.0,
        weak=(),
        covered=tuple(Polygon(sheet.corners_mm) for sheet in scene.sheets),
    )
    return propose_flaws(scene.picture, scene.view, leather)


@pytest.mark.parametrize("seed", [1100, 1101])
def test_dark_faint_and_open_flaws_are_proposed_and_little_else(seed: int) -> None:
    scene = hide_scene(random_spec(seed, shadow=0.35))
    flaws = proposed(scene)
    score = flaw_score([flaw.outline for flaw in flaws], scene)
    assert {score.there[group] - score.found[group] for group in ("dark", "faint", "hole")} == {0}
    assert score.false <= 1
    assert np.median(score.overlaps) > 0.8
    assert [flaw.confidence for flaw in flaws] == sorted(
        (flaw.confidence for flaw in flaws), reverse=True
    )


def test_proposals_lie_on_leather_that_is_seen_and_have_kinds_of_the_trade() -> None:
    scene = hide_scene(random_spec(1110, dark_flaws=6))
    flaws = proposed(scene)
    assert len(flaws) >= 6
    sheets = unary_union([Polygon(sheet.corners_mm) for sheet in scene.sheets])
    for flaw in flaws:
        assert flaw.kind in SPOIL_OF_KIND
        assert flaw.outline.is_valid
        assert flaw.outline.area >= 15
        assert 0 < flaw.confidence < 1
        assert scene.outline.buffer(0.01).contains(flaw.outline)
        assert not sheets.intersects(flaw.outline)


def test_dark_flaws_are_surer_than_faint_ones() -> None:
    scene = hide_scene(random_spec(1120, dark_flaws=4, faint_flaws=4, wrinkles=0.2))
    flaws = proposed(scene)
    sure: dict[str, list[float]] = {"dark": [], "faint": []}
    for true in scene.flaws:
        over = [flaw.confidence for flaw in flaws if flaw.outline.intersects(true.outline)]
        if true.group in sure:
            sure[true.group].append(max(over, default=0.0))
    assert min(sure["dark"]) > max(sure["faint"])


def test_leather_without_flaws_under_a_shadow_has_none() -> None:
    plain = {"dark_flaws": 0, "faint_flaws": 0, "bleached": 0, "holes": 0, "shadow": 0.35}
    scene = hide_scene(random_spec(1130, **plain))
    assert len(proposed(scene)) <= 1


SHAPE = Polygon([(0, 0), (30, 0), (30, 8), (0, 8)])
LOOK = Look(
    ring_px=np.zeros((3, 2), np.int32),
    area_mm2=240.0,
    step=-0.5,
    tint=0.0,
    grain=0.01,
    edge_mm=3.0,
    floor_tint_off=0.3,
    floor_tint_spread=0.01,
    floor_step=0.0,
)


@pytest.mark.parametrize(
    ("look", "shape", "kind"),
    [
        (LOOK, SHAPE, "scar"),
        (LOOK, Polygon([(0, 0), (16, 0), (16, 15), (0, 15)]), "stain"),
        (replace(LOOK, floor_tint_off=0.01, tint=0.2), SHAPE, "hole"),
        (replace(LOOK, step=0.3, floor_tint_off=0.01), SHAPE, "hole"),
        (replace(LOOK, step=0.2, tint=0.05), SHAPE, "sun-fade"),
        (replace(LOOK, step=0.01, tint=0.25), SHAPE, "uneven-colour"),
    ],
    ids=["long", "round", "floor's colour", "light and sharp", "lighter", "colour alone"],
)
def test_a_place_is_named_by_its_looks(look: Look, shape: Polygon, kind: str) -> None:
    flaw = flaw_from_look(look, shape)
    assert flaw is not None
    assert flaw.kind == kind


@pytest.mark.parametrize(
    ("look", "shape"),
    [
        (replace(LOOK, edge_mm=20.0), SHAPE),
        (replace(LOOK, step=-0.06, edge_mm=8.0, tint=0.02), SHAPE),
        (LOOK, Polygon([(0, 0), (3, 0), (3, 3), (0, 3)])),
        (replace(LOOK, step=-0.03, grain=0.02), SHAPE),
        (replace(LOOK, step=-0.01, tint=0.12), SHAPE),
    ],
    ids=["shadow", "unevenness", "speck", "grain", "block of an encoder"],
)
def test_what_is_no_flaw_is_not_proposed(look: Look, shape: Polygon) -> None:
    assert flaw_from_look(look, shape) is None

"""Conditions under which the accuracy is measured, each with its scenes.

Seeds from 1000 on: nothing was tuned on them.
"""

from collections.abc import Callable
from typing import Any

from tests.photo.scene_blades import BladeSpec, random_blade_spec
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec, random_spec

FIRST_SEED = 1000

MIDDLE = (SheetSpec(),)
TWO = (SheetSpec(place="anywhere"), SheetSpec(place="anywhere"))
WORN = (SheetSpec(dirty=True, printed=True),)
OFF_SIZE = (SheetSpec(size_mm=(297.9, 209.2)),)
DARK = ("brown", "dark", "black")


def _varied(seeds: range, **fixed: Any) -> list[SceneSpec]:
    return [random_spec(seed, **fixed) for seed in seeds]


def hide_cases(first: int = FIRST_SEED, each: int = 4) -> dict[str, list[SceneSpec]]:
    """Give the conditions under which a hide is to be found.

    Parameters
    ----------
    first : int
        First seed; every condition takes its own.
    each : int
        Scenes of a condition.
    """
    plain: dict[str, Any] = {"sheets": MIDDLE}
    conditions: dict[str, dict[str, Any]] = {
        "tilt 0": {"tilt_deg": 0.0},
        "tilt 22": {"tilt_deg": 22.0},
        "tilt 35": {"tilt_deg": 35.0},
        "k1 +0.05": {"k1": 0.05},
        "k1 -0.05": {"k1": -0.05},
        "k1 +0.1": {"k1": 0.1},
        "k1 -0.1": {"k1": -0.1},
        "k1 +0.1, two sheets": {"k1": 0.1, "sheets": TWO},
        "k1 -0.1, marker page": {"k1": -0.1, "sheets": (), "pages": 1},
        "sheet at one end": {"sheets": (SheetSpec(place="end"),)},
        "noise doubled, JPEG 70": {"noise": 4.0, "jpeg_quality": 70},
        "12 MP": {"megapixels": 12.0},
        "much clutter": {"clutter": 14},
        "things touch the hide": {"touching": 3},
        "deep wrinkles, uneven colour": {"wrinkles": 2.0, "fade": 0.12},
        "sheet worn, shadow 35 %": {"sheets": WORN, "shadow": 0.35},
        "file tells no focal length": {"tells_focal": False},
        "paper curls up to 1 mm": {"sheets": (SheetSpec(curl_mm=1.0),)},
        "paper curls up to 3 mm": {"sheets": (SheetSpec(curl_mm=3.0),)},
        "half sheet on the floor": {"half_sheet": True, "clutter": 2},
        "Letter": {"sheets": (SheetSpec(name="letter"),)},
        "paper 0.9 mm off": {"sheets": OFF_SIZE},
        "2 m, one marker page": {"hide_length_mm": 2000.0, "sheets": (), "pages": 1},
        "2 m, marker page, 12 MP": {
            "hide_length_mm": 2000.0,
            "sheets": (),
            "pages": 1,
            "megapixels": 12.0,
        },
        "2 m, three marker pages": {"hide_length_mm": 2000.0, "sheets": (), "pages": 3},
    }
    cases = {}
    for place, (name, fixed) in enumerate(conditions.items()):
        seeds = range(first + 19 * place, first + 19 * place + each)
        cases[name] = _varied(seeds, **{**plain, **fixed})
    seeds = range(first + 580, first + 580 + each)
    cases["dark leather"] = [
        random_spec(seed, **plain, leather=DARK[k % 3]) for k, seed in enumerate(seeds)
    ]
    return cases


def bad_cases(first: int = FIRST_SEED, each: int = 3) -> dict[str, list[SceneSpec]]:
    """Give scenes that must be refused."""
    conditions: dict[str, dict[str, Any]] = {
        "hide cut by the frame": {"off_share": 0.15},
        "hide cut a little": {"fill": 1.03},
        "no sheet": {"sheets": ()},
        "sheet on the floor": {"sheets": (SheetSpec(place="floor"),), "fill": 0.6},
        "sheet cut by the frame": {"sheets": (SheetSpec(place="cut"),), "fill": 0.98},
        "corner lifted 30 mm": {"sheets": (SheetSpec(lifted_mm=30.0),)},
        "corner lifted 12 mm": {"sheets": (SheetSpec(lifted_mm=12.0),)},
        "sheet of 74 x 52 mm": {"sheets": (SheetSpec(name="74x52", size_mm=(74.0, 52.0)),)},
        "blurred": {"blur_px": 6.0},
        "another hide overlaps": {"second_hide": True, "fill": 0.42},
        "Letter called A4": {"sheets": (SheetSpec(name="a4", size_mm=(279.4, 215.9)),)},
    }
    cases = {}
    for place, (name, fixed) in enumerate(conditions.items()):
        seeds = range(first + 600 + 20 * place, first + 600 + 20 * place + each)
        cases[name] = _varied(seeds, **{"sheets": MIDDLE, **fixed})
    seeds = range(first + 900, first + 900 + each)
    skins = ("natural", "brown", "russet")
    cases["floor of the leather's colour"] = [
        random_spec(seed, sheets=MIDDLE, leather=skins[k % 3], floor=skins[k % 3])
        for k, seed in enumerate(seeds)
    ]
    return cases


def joined_cases(first: int = FIRST_SEED, each: int = 4) -> dict[str, list[SceneSpec]]:
    """Give hides to be photographed in parts, with pages of markers."""
    seeds = range(first + 950, first + 950 + each)
    return {
        "2 m, four marker pages": _varied(seeds, hide_length_mm=2000.0, sheets=(), pages=4),
    }


def blade_cases(first: int = FIRST_SEED, each: int = 4) -> dict[str, list[BladeSpec]]:
    """Give the conditions under which a blade is to be found."""
    conditions: dict[str, dict[str, Any]] = {
        "as it comes": {},
        "grafting": {"shape": "grafting"},
        "foraging": {"shape": "foraging"},
        "bright steel": {"gloss": 0.9},
        "tilt 20": {"tilt_deg": 20.0},
        "paper curls up to 1 mm": {"sheet": SheetSpec(curl_mm=1.0)},
        "k1 +0.1": {"k1": 0.1},
        "k1 -0.1": {"k1": -0.1},
        "shadow 35 %": {"shadow": 0.35},
        "12 MP": {"megapixels": 12.0},
        "flat on the sheet": {"raised_mm": 0.0},
    }
    return _blades(conditions, first + 1000, each)


def bad_blade_cases(first: int = FIRST_SEED, each: int = 3) -> dict[str, list[BladeSpec]]:
    """Give scenes of blades that must be refused."""
    conditions: dict[str, dict[str, Any]] = {
        "handle over the edge, not said": {"over_mm": 45.0, "turn_deg": 4.0},
        "two things on the sheet": {"second_thing": True},
        "blurred": {"blur_px": 7.0},
        "corner lifted 25 mm": {"sheet": SheetSpec(lifted_mm=25.0)},
        "sheet cut by the frame": {"fill": 1.05},
    }
    return _blades(conditions, first + 1600, each)


def _blades(
    conditions: dict[str, dict[str, Any]], first: int, each: int
) -> dict[str, list[BladeSpec]]:
    make: Callable[..., BladeSpec] = random_blade_spec
    return {
        name: [make(seed, **fixed) for seed in range(first + 20 * k, first + 20 * k + each)]
        for k, (name, fixed) in enumerate(conditions.items())
    }

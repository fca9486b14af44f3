"""The JSON that scripts rely on."""

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest
from shapely import Polygon

from estimator.geometry.pose import Pose
from estimator.report.json_output.payload import payload, ring
from estimator.report.json_output.schema import quote_schema
from estimator.workshop.estimate import Estimate
from tests.report.sample import make_estimate

PUBLISHED = Path(__file__).parents[2] / "data" / "schemas" / "quote.schema.json"


def test_payload_fulfils_the_published_schema(estimate: Estimate) -> None:
    schema = json.loads(PUBLISHED.read_text(encoding="utf-8"))
    told = json.loads(json.dumps(payload(estimate), allow_nan=False))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(told, schema)


def test_published_schema_is_the_one_the_program_prints() -> None:
    assert json.loads(PUBLISHED.read_text(encoding="utf-8")) == quote_schema()


def test_schema_refuses_an_unknown_key_and_a_float_amount(estimate: Estimate) -> None:
    told = payload(estimate)
    with pytest.raises(jsonschema.ValidationError, match="margin"):
        jsonschema.validate({**told, "margin": 1}, quote_schema())
    with pytest.raises(jsonschema.ValidationError, match="not of type 'string'"):
        jsonschema.validate({**told, "price": {**told["price"], "net": 412.0}}, quote_schema())


def test_keys_are_those_of_the_contract(estimate: Estimate) -> None:
    told = payload(estimate)
    assert set(told) == {
        "schema_version",
        "order",
        "layout",
        "takeoff",
        "cost",
        "price",
        "pricing",
        "rule_of_thumb",
        "schedule",
        "checks",
        "cautions",
    }
    hide = told["layout"]["hides"][0]
    assert set(hide) == {
        "hide",
        "outline",
        "flaws",
        "area_mm2",
        "charged_mm2",
        "used_share",
        "consumed_mm2",
        "yield",
        "placements",
        "offcuts",
    }
    assert set(hide["placements"][0]) == {
        "part",
        "copy",
        "outline",
        "regions",
        "x_mm",
        "y_mm",
        "rotation_deg",
        "mirrored",
    }


def test_no_piece_is_lost_between_layout_and_payload(estimate: Estimate) -> None:
    told = payload(estimate)["layout"]
    laid = [place for hide in told["hides"] for place in hide["placements"]]
    assert len(laid) == len(estimate.layout.placements)
    names = [(place["part"], place["copy"]) for place in laid]
    assert len(set(names)) == len(names)


def test_areas_and_yield_follow_from_the_outlines(estimate: Estimate) -> None:
    for hide in payload(estimate)["layout"]["hides"]:
        laid = sum(Polygon(place["outline"]).area for place in hide["placements"])
        assert laid / hide["consumed_mm2"] == pytest.approx(hide["yield"])
        assert Polygon(hide["outline"]).area == pytest.approx(hide["area_mm2"])


def test_regions_lie_in_their_piece_and_tell_their_needs(estimate: Estimate) -> None:
    laid = [place for hide in payload(estimate)["layout"]["hides"] for place in hide["placements"]]
    body = next(place for place in laid if place["part"] == "body")
    assert [region["needs"] for region in body["regions"]] == [["show"], ["load"]]
    for place in laid:
        whole = Polygon(place["outline"]).buffer(1e-6)
        assert all(whole.covers(Polygon(region["outline"])) for region in place["regions"])


def test_mirrored_copies_are_told_and_numbered_after_the_plain_ones(estimate: Estimate) -> None:
    laid = [place for hide in payload(estimate)["layout"]["hides"] for place in hide["placements"]]
    ears = [place for place in laid if place["part"] == "retention ear"]
    assert sorted(place["copy"] for place in ears if not place["mirrored"]) == [1, 2]
    assert sorted(place["copy"] for place in ears if place["mirrored"]) == [5, 6, 7]


def test_money_is_text_with_all_its_digits() -> None:
    made = make_estimate()
    told = payload(made)
    assert told["price"]["gross"] == "490.28"
    assert Decimal(told["cost"]["total"]) == made.cost.total
    assert told["cost"]["lines"][0]["rate"] == "0.00039"


def test_a_hole_in_the_leather_is_told_as_unusable(estimate: Estimate) -> None:
    side, offcut = estimate.order.hides
    holed = offcut.outline.difference(Polygon([(20, 120), (40, 120), (40, 140), (20, 140)]))
    assert isinstance(holed, Polygon)
    assert holed.interiors
    order = replace(estimate.order, hides=(side, replace(offcut, outline=holed)))
    told = payload(make_estimate(order=order))["layout"]["hides"][1]["flaws"]
    assert [(flaw["kind"], flaw["spoil"]) for flaw in told] == [("hole", "unusable")]


def test_rings_are_counter_clockwise_without_the_first_point_again() -> None:
    clockwise = Polygon([(0, 0), (0, 1), (2, 1), (2, 0)])
    assert ring(clockwise) == [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]


def test_a_placement_takes_the_drawn_part_to_where_it_lies(estimate: Estimate) -> None:
    parts = {part.name: part.outline for part in estimate.order.lines[0].pattern.parts}
    placements = [
        each for hide in payload(estimate)["layout"]["hides"] for each in hide["placements"]
    ]
    for told in placements:
        pose = Pose(
            x_mm=told["x_mm"],
            y_mm=told["y_mm"],
            rotation_deg=told["rotation_deg"],
            mirrored=told["mirrored"],
        )
        laid = Polygon(told["outline"])
        assert pose.of(parts[told["part"]]).symmetric_difference(laid).area < 1e-6 * laid.area


def test_the_search_is_told_so_that_it_can_be_repeated() -> None:
    plain = make_estimate()
    odd = replace(plain.layout, seed=7, moves=12, refused=("body 1 and welt 2 overlap",))
    told = payload(make_estimate(layout=odd))["layout"]
    assert (told["seed"], told["moves"]) == (7, 12)
    assert told["refused"] == ["body 1 and welt 2 overlap"]

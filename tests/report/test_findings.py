"""Findings in words: every one that orders bring, in the units of the reader, alike as one."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from shapely import LineString, Polygon, box

from estimator.errors import Check, Level, Place, finding
from estimator.facts import Statement, statement
from estimator.geometry.pose import Pose
from estimator.hide.hides import FlawState, Tannage
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.problem import Reason, Unplaced
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.parts import Belt, Face, Mate, Pattern, Seat
from estimator.pattern.parts import PartKind as Kind
from estimator.pattern.tools import USUAL_TOOLS
from estimator.quality import Spoil
from estimator.report.text.findings import notice, notices, why_left_over
from estimator.report.text.messages import text
from estimator.units import Units
from estimator.workshop.estimate import estimate
from estimator.workshop.order.order import Order
from estimator.workshop.order.reader import read_order
from tests import shop
from tests.report.test_messages import METRIC
from tests.wording import message

DEMO = Path(__file__).parents[2] / "data" / "demo" / "order.toml"
NAME = "the 40 mm strap"
FOLD = LineString([(0, 60), (180, 60)])


def _crooked() -> Pattern:
    """A folded sheath with something wrong in every rule that one pattern can break."""
    outline = (
        box(0, 0, 180, 124)
        .union(box(180, 20, 200, 21))
        .difference(box(40, 80, 42.5, 115))
        .difference(box(90, 90, 130, 91))
        .difference(Polygon([(150, 130), (156, 130), (153, 115)]))
    )
    assert isinstance(outline, Polygon)
    body = shop.part("body", outline, kind=Kind.BODY, fold_lines=(FOLD,), dyed=frozenset(Face))
    narrow = shop.part(
        "welt", box(0, 0, 180, 5), kind=Kind.WELT, seat=Seat(part="body", pose=Pose())
    )
    beside = replace(narrow, name="beside", seat=Seat(part="body", pose=Pose(y_mm=53)))
    loose = replace(narrow, name="loose welt", seat=None)
    loop = shop.part("loop", box(0, 0, 60, 20), kind=Kind.LOOP,
                     seat=Seat(part="body", pose=Pose(x_mm=20, y_mm=70)))  # fmt: skip
    strip = shop.part("strip", box(0, 0, 90, 20))
    layers = ("body", "welt", "beside", "loose welt", "body")
    seams = (
        shop.seam("edge", LineString([(4, 2), (176, 2)]), layers, thread=""),
        shop.seam("off", LineString([(4, 30), (230, 30)]), ("body", "strip", "strip")),
        shop.seam("thick", LineString([(10, 50), (60, 50)]), ("body",) * 14),
        shop.seam("a", LineString([(25, 72), (25, 88)]), ("loop", "body"), part="body"),
        shop.seam("b", LineString([(60, 72), (60, 88)]), ("loop", "body"), part="body"),
        shop.seam("miss", LineString([(90, 30), (98.5, 30), (98.5, 40)]), ("body", "loop"),
                  corner_mm=1.0, pitch_mm=5.3),
        shop.seam("mated", LineString([(20, 40), (100, 40)]), ("body", "strip"),
                  mates=(Mate(part="strip", path=LineString([(4, 18), (88, 18)])),)),
    )  # fmt: skip
    return shop.pattern(
        body, narrow, beside, loose, loop, strip, shop.part(NAME, box(0, 0, 30, 30)),
        seams=seams, belt=Belt(width_mm=40.0, thickness_mm=4.0), wet_formed=True,
    )  # fmt: skip


def _troubled() -> Order:
    """An order with something wrong in leather, prices and dates."""
    seen = replace(shop.flaw(box(10, 10, 60, 60), Spoil.COSMETIC), state=FlawState.PROPOSED)
    under = shop.flaw(box(400, 100, 500, 200), Spoil.UNUSABLE, kind="not-seen")
    hides = (
        shop.hide("side 9", box(0, 0, 600, 300), seen, under, stamped_area_mm2=2e5,
                  price_paid=Decimal(0), tannage=Tannage.CHROME),
        shop.hide("thin", box(0, 0, 900, 400), thickness_min_mm=1.0, thickness_max_mm=1.4),
        shop.hide("huge", box(0, 0, 3000, 3000)),
    )  # fmt: skip
    large = shop.part("large", shop.rectangle(5000.0, 40.0))
    thick = shop.part("thick", box(0, 0, 90, 20), thickness_min_mm=5.0, thickness_max_mm=5.5)
    return shop.order(
        shop.line(_crooked(), 9),
        shop.line(shop.pattern(large, thick, name="odd")),
        hides=hides,
        due=date(2026, 12, 1),
    )


def _found(asked: Order) -> tuple[Check, ...]:
    done = estimate(asked, settings=Settings(), budget=Moves(1), start=date(2026, 12, 1))
    return (*done.checks, *pattern_checks(asked.lines[0].pattern, USUAL_TOOLS))


def test_every_finding_of_an_order_is_worded_in_the_reader_s_units() -> None:
    checks = {*_found(read_order(DEMO)), *_found(_troubled())}
    assert len({check.code for check in checks}) >= 25
    for check in checks:
        for units in Units:
            told = notice(check, units)
            assert told.message
            assert told.remedy
            assert "{" not in told.message + told.remedy
        plain = (told.message + told.remedy).replace(NAME, "")
        assert re.findall(METRIC, plain) == [], plain  # imperial comes last


def test_a_name_of_the_maker_is_never_converted() -> None:
    told = {each.code: message(each, Units.IMPERIAL) for each in _found(_troubled())}
    assert NAME in told["part-not-attached"]


@pytest.mark.parametrize(
    ("said", "metric", "imperial"),
    [
        (
            statement("stitch-uneven", pattern="p", seam="s", stitches_mm=(3.1, 3.3), pitch_mm=4.0),
            "stitches of 3.1 mm and 3.3 mm instead of 4 mm",
            "stitches of 0.122 in and 0.13 in instead of 0.157 in",
        ),
        (
            statement("belt-section", width_mm=40.0, thickness_mm=4.0),
            "40 x 4 mm",
            "1.57 x 0.157 in",
        ),
        (statement("drafted-seam-moved", seam="s", off_mm=1460.0), "1,460.0 mm", "57.5 in"),
        (
            statement("thread-size", item="x", diameter_mm=0.4, is_thin=True, low_mm=0.6,
                      high_mm=1.0, basis="b"),
            "0.60 to 1.00 mm",
            "0.0236 to 0.0394 in",
        ),
        (
            statement("hide-misfit", hide="h", low_mm=3.175, high_mm=3.571875, misfit="thin"),
            "3.2-3.6 mm, too thin",
            "8-9 oz, too thin",
        ),
    ],
)  # fmt: skip
def test_figures_that_share_a_unit_are_converted_together(
    said: Statement, metric: str, imperial: str
) -> None:
    assert metric in text(said, Units.METRIC)
    assert imperial in text(said, Units.IMPERIAL)


def test_a_limit_keeps_the_digits_that_the_maker_gave() -> None:
    near = finding(Level.WARNING, "stitch-near-edge", pattern="p", seam="s", part="body",
                   gap_mm=2.04, kept_mm=3.175)  # fmt: skip
    assert message(near).endswith("within 2.0 mm of the edge of body; the shop keeps 3.175 mm")


def test_findings_of_one_level_and_code_are_one_notice() -> None:
    here, there = (Place(part="body", points=((x, 0.0),)) for x in (1.0, 2.0))
    loose = [
        finding(Level.STOP, "part-not-attached", pattern=name, parts=("tab",), places=(place,))
        for name, place in (("reed", here), ("sedge", there), ("reed", here))
    ]
    low = finding(Level.NOTE, "low-yield", hide="side", yield_share=0.2)
    stop, note = notices((low, *loose), Units.METRIC)
    assert (stop.level, stop.code, note.code) == (Level.STOP, "part-not-attached", "low-yield")
    assert stop.message == (
        "reed: no seam, hardware or join attaches tab to the body; "
        "sedge: no seam, hardware or join attaches tab to the body"
    )
    assert stop.remedy.count("[[join]]") == 1
    assert stop.places == (here, there)


@pytest.mark.parametrize("reason", Reason)
def test_every_reason_why_parts_are_left_over_has_its_own_words(reason: Reason) -> None:
    others = {why(each) for each in Reason if each is not reason}
    assert why(reason) not in others
    assert "sheet" not in why(reason)


def why(reason: Reason) -> str:
    return why_left_over(Unplaced(piece="body", copies=1, reason=reason), Units.METRIC)

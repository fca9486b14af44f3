"""Hides from photographs in an order: proposals are kept clear of and told about."""

from dataclasses import replace

import pytest
from shapely import box

from estimator.errors import Level
from estimator.hide.hides import FlawState
from estimator.quality import Spoil
from estimator.workshop.findings.checks import order_checks
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem
from tests import shop
from tests.wording import message, remedy

STAIN = replace(
    shop.flaw(box(10, 10, 60, 60), Spoil.COSMETIC, kind="stain"), state=FlawState.PROPOSED
)
SHEET = shop.flaw(box(400, 200, 697, 410), Spoil.UNUSABLE, kind="not-seen")


def ordered(*flaws: object) -> Order:
    body = shop.part("body", shop.rectangle(100.0, 60.0))
    side = shop.hide("side-09", box(0, 0, 1000, 500), *flaws)  # type: ignore[arg-type]
    line = replace(shop.line(shop.pattern(body)), finish_hides=frozenset({"stain"}))
    return shop.order(line, hides=(side,))


def test_a_proposal_is_unusable_to_the_layout_until_it_is_confirmed() -> None:
    (sheet,) = nesting_problem(ordered(STAIN)).sheets
    assert sheet.blemishes[0].spoil is Spoil.UNUSABLE
    known = replace(STAIN, state=FlawState.CONFIRMED)
    (sheet,) = nesting_problem(ordered(known)).sheets
    assert sheet.blemishes[0].spoil is Spoil.COSMETIC


@pytest.mark.parametrize(("count", "told"), [(1, "1 flaw proposed"), (2, "2 flaws proposed")])
def test_proposals_nobody_has_looked_at_are_noted_with_the_command(count: int, told: str) -> None:
    flaws = [replace(STAIN, number=number) for number in range(count)]
    (check,) = [c for c in order_checks(ordered(*flaws)) if c.code == "flaws-proposed"]
    assert check.level is Level.NOTE
    assert f"side-09 has {told}" in message(check)
    assert "estimator hide confirm" in remedy(check)


def test_leather_under_a_sheet_is_noted_until_it_is_said_to_be_sound() -> None:
    (check,) = [c for c in order_checks(ordered(SHEET)) if c.code == "leather-not-seen"]
    assert message(check).startswith("1 place on side-09")
    assert "--clean-sheet" in remedy(check)
    codes = {c.code for c in order_checks(ordered())}
    assert not codes & {"flaws-proposed", "leather-not-seen"}

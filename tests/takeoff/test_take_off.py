"""The whole take-off, and the leather in it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.takeoff.lines import LineToMake, part_thickness_mm
from estimator.takeoff.materials.leather import (
    Charge,
    carried_shares,
    gross_mm2,
    leather_quantities,
    sheath_share_mm2,
    yield_share,
)
from estimator.takeoff.take_off import hardware_quantities, take_off
from estimator.takeoff.use import DEFAULT_USE_RATES
from tests.shop import hide, pattern, rectangle
from tests.takeoff.sheath_samples import BODY, line, sheet_use
from tests.wording import said

SIDE = hide("H-07", rectangle(1000, 500))
OFFCUT = hide("O-12", rectangle(400, 300), is_offcut=True)
SPARE = hide("H-08", rectangle(1000, 500))
USES = (
    sheet_use("H-07", area_mm2=500_000, pieces_mm2=140_000, consumed_mm2=200_000),
    sheet_use("O-12", area_mm2=120_000, pieces_mm2=60_000, consumed_mm2=120_000),
    sheet_use("H-08", area_mm2=500_000, pieces_mm2=0, consumed_mm2=0),
)


def test_everything_is_taken_off_once() -> None:
    result = take_off(
        lines=(line(2), line(1, name="grafting", wet_formed=True)),
        hides=(SIDE, OFFCUT, SPARE),
        taken=USES,
        thickness_mm={("pruning", "body"): 3.2},
        rates=DEFAULT_USE_RATES,
    )
    items = [said(row.name) for row in result.quantities]
    assert len(items) == len(set(items))
    for item in (
        "leather H-07",
        "leather O-12",
        "leather, yield",
        "waxed thread",
        "contact cement",
        "brown dye",
        "finish oil",
        "beeswax",
        "line snap",
        "holes",
        "labour",
        "waiting",
    ):
        assert item in items
    assert all(said(row.basis) and row.sources for row in result.quantities)
    assert all(row.low <= row.quantity <= row.high for row in result.quantities)
    assert {name.split("/")[0] for step in result.steps for name in step.attaches} == {
        "pruning",
        "grafting",
    }


def test_leather_is_paid_by_the_share_used_up_and_net_is_a_fact() -> None:
    # all of it is worth the same: H-07 keeps 30 of 50 dm2, O-12 nothing of 12 dm2
    rows = {said(row.name): row for row in leather_quantities((SIDE, OFFCUT, SPARE), USES)}
    assert rows["leather H-07"].quantity == 20.0
    assert rows["leather H-07"].is_priced
    assert rows["leather H-07, net"].quantity == 14.0
    assert rows["leather H-07, yield"].quantity == pytest.approx(0.7)
    assert not rows["leather H-07, net"].is_priced
    assert rows["leather, consumed"].quantity == 32.0
    assert rows["leather, charged"].quantity == 32.0
    assert rows["leather, yield"].quantity == pytest.approx(20 / 32)
    priced = [row.quantity for row in rows.values() if row.is_priced]
    assert sum(priced) == 32.0


def test_what_is_charged_is_not_what_is_consumed() -> None:
    # worth 43.2 dm2 before; the offcut of 30 dm2 is worth 32.4 of them, so a quarter is used up
    (use, *_) = USES
    use = replace(use, worth_before_mm2=432_000.0, offcut_worths_mm2=(324_000.0,))
    rows = {said(row.name): row for row in leather_quantities((SIDE,), (use,))}
    assert rows["leather H-07"].quantity == pytest.approx(12.5)
    assert said(rows["leather H-07"].basis) == (
        "hide 50.00 dm2 x share used up 0.250: worth 43.20 dm2 before, 32.40 dm2 after"
    )
    assert rows["leather, charged"].quantity == pytest.approx(12.5)
    assert rows["leather, consumed"].quantity == 20.0
    assert rows["leather H-07, yield"].quantity == pytest.approx(0.7)
    assert carried_shares(use, Charge.USED_UP) == (0.75,)
    assert carried_shares(use, Charge.WHOLE_HIDE) == (0.0,)


def test_leather_without_worth_is_used_up_by_the_first_cut() -> None:
    (use, *_) = USES
    use = replace(use, worth_before_mm2=0.0, offcut_worths_mm2=(0.0,))
    (row, *_) = leather_quantities((SIDE,), (use,))
    assert row.quantity == 50.0
    assert "nothing of it is worth keeping" in said(row.basis)


def test_a_hide_that_is_not_cut_is_not_listed() -> None:
    items = [said(row.name) for row in leather_quantities((SIDE, SPARE), USES)]
    assert not any("H-08" in item for item in items)
    assert leather_quantities((SPARE,), USES) == ()


@given(net=st.floats(1.0, 1e6), share=st.floats(0.05, 1.0))
def test_yield_and_gross_invert_each_other(net: float, share: float) -> None:
    gross = gross_mm2(net_mm2=net, yield_share=share)
    assert gross >= net
    assert yield_share(net_mm2=net, consumed_mm2=gross) == pytest.approx(share)


@pytest.mark.parametrize("share", [0.0, -0.1, 1.1])
def test_an_impossible_yield_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="yield_share"):
        gross_mm2(net_mm2=1.0, yield_share=share)


def test_negative_areas_have_no_yield() -> None:
    with pytest.raises(ValueError, match="net_mm2"):
        yield_share(net_mm2=-1.0, consumed_mm2=1.0)
    assert yield_share(net_mm2=0.0, consumed_mm2=0.0) == 0.0


def test_hardware_is_counted_over_the_batch() -> None:
    (row,) = hardware_quantities([line(3), line(2, name="foraging")])
    assert (row.item, row.quantity, row.low, row.high) == ("line snap", 10, 10, 10)
    assert said(row.basis) == "pruning: 3 x 2; foraging: 2 x 2"


def test_thickness_falls_back_to_what_the_part_asks_for() -> None:
    made = LineToMake(key="j", pattern=pattern(BODY), quantity=1)
    assert part_thickness_mm(made, BODY, {}) == 3.25
    assert part_thickness_mm(made, BODY, {("j", "body"): 3.0}) == 3.0


def test_a_job_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="below 1"):
        LineToMake(key="j", pattern=pattern(BODY), quantity=0)


def test_leather_is_shared_over_the_sheaths_by_their_area() -> None:
    two, one = line(2), line(1, name="grafting")
    net = sum(part.outline.area for part in two.pattern.parts)
    use = sheet_use("H-07", area_mm2=500_000, pieces_mm2=3 * net, consumed_mm2=200_000)
    rows = {said(row.name): row for row in leather_quantities((SIDE,), (use,), (two, one))}
    shares = [rows["leather, per sheath pruning"], rows["leather, per sheath grafting"]]
    assert [row.quantity for row in shares] == pytest.approx([20 / 3, 20 / 3])
    assert not any(row.is_priced for row in shares)


def test_shares_are_not_told_where_parts_found_no_place() -> None:
    rows = {said(row.name) for row in leather_quantities((SIDE,), USES, (line(2),))}
    assert not any("per sheath" in item for item in rows)


@given(nets=st.lists(st.floats(1.0, 1e5), min_size=1, max_size=6), consumed=st.floats(0.0, 1e6))
def test_shares_of_all_sheaths_are_what_the_batch_consumes(
    nets: list[float], consumed: float
) -> None:
    shares = [
        sheath_share_mm2(consumed_mm2=consumed, own_net_mm2=net, net_mm2=sum(nets)) for net in nets
    ]
    assert sum(shares) == pytest.approx(consumed)


def test_a_share_of_more_than_all_is_refused() -> None:
    with pytest.raises(ValueError, match="own"):
        sheath_share_mm2(consumed_mm2=10.0, own_net_mm2=3.0, net_mm2=2.0)


def test_a_shop_may_charge_whole_hides() -> None:
    rows = {
        said(row.name): row
        for row in leather_quantities((SIDE, OFFCUT), USES, charge=Charge.WHOLE_HIDE)
    }
    assert rows["leather H-07"].quantity == 50.0
    assert rows["leather O-12"].quantity == 12.0
    assert "offcuts of 30.00 dm2 are kept" in said(rows["leather H-07"].basis)
    assert rows["leather, charged"].quantity == 62.0
    assert rows["leather, consumed"].quantity == 32.0

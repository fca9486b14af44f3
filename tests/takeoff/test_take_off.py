"""The whole take-off, and the leather in it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.takeoff.jobs import part_thickness_mm
from estimator.takeoff.leather import gross_mm2, leather_quantities, yield_share
from estimator.takeoff.take_off import Job, hardware_quantities, take_off
from estimator.takeoff.use import default_use_rates
from tests.shop import hide, pattern, rectangle
from tests.takeoff.sheath_samples import BODY, job, sheet_use

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
        jobs=(job(2), job(1, name="grafting", wet_formed=True)),
        hides=(SIDE, OFFCUT, SPARE),
        uses=USES,
        thickness_mm={("pruning", "body"): 3.2},
        use=default_use_rates(),
    )
    items = [row.item for row in result.quantities]
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
    assert all(row.basis and row.source for row in result.quantities)
    assert all(row.low <= row.quantity <= row.high for row in result.quantities)
    assert {name.split("/")[0] for step in result.steps for name in step.attaches} == {
        "pruning",
        "grafting",
    }


def test_leather_is_paid_as_consumed_and_net_is_a_fact() -> None:
    rows = {row.item: row for row in leather_quantities((SIDE, OFFCUT, SPARE), USES)}
    assert rows["leather H-07"].quantity == 20.0
    assert rows["leather H-07"].is_priced
    assert rows["leather H-07, net"].quantity == 14.0
    assert rows["leather H-07, yield"].quantity == pytest.approx(0.7)
    assert not rows["leather H-07, net"].is_priced
    assert rows["leather, consumed"].quantity == 32.0
    assert rows["leather, yield"].quantity == pytest.approx(20 / 32)
    priced = [row.quantity for row in rows.values() if row.is_priced]
    assert sum(priced) == 32.0


def test_a_hide_that_is_not_cut_is_not_listed() -> None:
    items = [row.item for row in leather_quantities((SIDE, SPARE), USES)]
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
    (row,) = hardware_quantities([job(3), job(2, name="foraging")])
    assert (row.item, row.quantity, row.low, row.high) == ("line snap", 10, 10, 10)
    assert row.basis == "pruning: 3 x 2; foraging: 2 x 2"


def test_thickness_falls_back_to_what_the_part_asks_for() -> None:
    made = Job(key="j", pattern=pattern(BODY), quantity=1)
    assert part_thickness_mm(made, BODY, {}) == 3.25
    assert part_thickness_mm(made, BODY, {("j", "body"): 3.0}) == 3.0


def test_a_job_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="below 1"):
        Job(key="j", pattern=pattern(BODY), quantity=0)

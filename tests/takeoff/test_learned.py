"""A take-off corrected by the shop's own jobs."""

import pytest

from estimator.facts import statement
from estimator.takeoff.learned import Learned, with_learned
from estimator.takeoff.quantity import Quantity, Spread, Step, TakeOff
from estimator.units import Unit
from tests.wording import said

GIVEN = statement("set-up", setup_min=100.0)
FACTOR = Spread(low=0.9, expected=1.2, high=1.6, sources=("source-own-jobs",))
TAKEOFF = TakeOff(
    quantities=(
        Quantity(
            item="labour",
            quantity=100.0,
            unit=Unit.MIN,
            low=50.0,
            high=300.0,
            basis=GIVEN,
            sources=("source-own",),
            is_priced=True,
        ),
        Quantity(
            item="labour",
            quantity=100.0,
            unit=Unit.MIN,
            low=50.0,
            high=300.0,
            basis=GIVEN,
            sources=("source-own",),
            is_priced=False,
        ),
        Quantity(
            item="dye",
            quantity=10.0,
            unit=Unit.ML,
            low=5.0,
            high=20.0,
            basis=GIVEN,
            sources=("source-own",),
            is_priced=True,
        ),
    ),
    steps=(
        Step(
            name=statement("step-cut"),
            labour_min=100.0,
            waiting_min=5.0,
            basis=GIVEN,
            sources=("source-own",),
            attaches=(),
        ),
        Step(
            name=statement("step-oil"),
            labour_min=0.0,
            waiting_min=60.0,
            basis=GIVEN,
            sources=("source-own",),
            attaches=(),
        ),
    ),
)


def test_expected_and_range_follow_the_jobs() -> None:
    made = with_learned(TAKEOFF, [Learned(item="labour", factor=FACTOR, jobs=7)])
    labour, fact, dye = made.quantities
    assert (labour.low, labour.quantity, labour.high) == pytest.approx((90.0, 120.0, 160.0))
    assert labour.basis == statement("learned", basis=GIVEN, factor=1.2, jobs=7)
    assert said(labour.basis) == "(set-up 100 min) x 1.2, learned from 7 jobs"
    assert labour.sources == ("source-own", "source-own-jobs")
    assert (fact, dye) == TAKEOFF.quantities[1:]
    assert [(step.labour_min, step.waiting_min) for step in made.steps] == [
        (pytest.approx(120.0), 5.0),
        (0.0, 60.0),
    ]


def test_a_material_leaves_the_steps_alone() -> None:
    made = with_learned(TAKEOFF, [Learned(item="dye", factor=FACTOR, jobs=1)])
    assert made.steps == TAKEOFF.steps
    assert made.quantities[2].quantity == pytest.approx(12.0)
    assert said(made.quantities[2].basis).endswith("learned from 1 job")


def test_nothing_learned_changes_nothing() -> None:
    assert with_learned(TAKEOFF, ()) is TAKEOFF
    with pytest.raises(ValueError, match="not positive"):
        Learned(item="dye", factor=Spread(low=0, expected=1, high=1, sources=()), jobs=1)

"""An estimate as a revision, and a price book that knows the shelf."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.errors import Level, finding
from estimator.stock.shelf import Balance
from estimator.units import Unit
from estimator.workshop.recording import revision_from, with_shelf
from tests.report.sample import make_estimate
from tests.shop import prices


def balance(on_hand: str, promised: str = "0", value: str = "20", unit: Unit = Unit.M) -> Balance:
    return Balance(
        item="waxed thread",
        unit=unit,
        on_hand=Decimal(on_hand),
        promised=Decimal(promised),
        value=Decimal(value),
        expires_on=date(2027, 1, 1),
    )


def test_a_revision_holds_price_promise_and_what_is_cut() -> None:
    made = make_estimate()
    revision = revision_from(made, {"a": 1}, learned={"labour": 1.25})
    assert revision.net == made.price.net
    assert revision.promise_date == made.schedule.promise_date
    assert revision.stops >= len(made.layout.unplaced) > 0
    assert [lot.tag for lot in revision.leather] == [
        use.sheet for use in made.uses if use.consumed_mm2
    ]
    items = {item.item: item for item in revision.items}
    consumed = sum(use.consumed_mm2 for use in made.uses) / 10_000
    assert abs(float(items["leather"].quantity) - consumed) < 1e-9
    assert not items["leather"].is_material
    for item in revision.items:
        assert item.low <= item.quantity <= item.high
        assert item.learned_factor == (1.25 if item.item == "labour" else 1.0)


def test_findings_of_one_kind_count_as_one_stop() -> None:
    made = make_estimate(
        checks=tuple(finding(Level.STOP, "missing-price", item=item) for item in ("hemp", "stud"))
    )
    left = len(made.layout.unplaced)
    assert revision_from(made, {}).stops == 1 + left
    assert revision_from(replace(made, checks=()), {}).stops == left


def test_the_shelf_stands_in_the_price_book_at_its_average_price() -> None:
    book = with_shelf(prices(), [balance("100", "40")], own={"waxed thread": Decimal(10)})
    rate = book.prices.rate("waxed thread")
    assert rate is not None
    assert rate.on_hand == 70.0
    (lot,) = rate.lots
    assert (lot.price, lot.pack_quantity, lot.left) == (Decimal(20), 100.0, 70.0)


def test_more_promised_than_there_is_leaves_nothing_free() -> None:
    rate = with_shelf(prices(), [balance("100", "140")], own={}).prices.rate("waxed thread")
    assert rate is not None
    assert (rate.on_hand, rate.lots) == (0.0, ())


def test_what_was_found_without_a_price_counts_at_the_books() -> None:
    rate = with_shelf(prices(), [balance("100", value="0")], own={}).prices.rate("waxed thread")
    assert rate is not None
    assert (rate.on_hand, rate.lots) == (100.0, ())


def test_what_is_counted_otherwise_stays_as_in_the_book() -> None:
    other = replace(balance("100"), unit=Unit.G)
    assert with_shelf(prices(), [other], own={}) == prices()
    assert with_shelf(prices(), [], own={}) == prices()
    loose = replace(balance("0", "5"), is_kept=False)
    assert with_shelf(prices(), [loose], own={}) == prices()

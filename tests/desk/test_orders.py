"""Orders worked out on a shop's folder, with nobody at a terminal."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import pytest

from estimator.desk.batches import work_out_batches
from estimator.desk.comparing import compare
from estimator.desk.looking import MOST_MOVES, count_sheaths
from estimator.desk.orders import Keeping, quote
from estimator.desk.shop import Shop
from estimator.desk.working import Observed, Work
from estimator.errors import Fault, InputError
from estimator.hide.reader import read_hide
from estimator.nesting.effort import Effort
from estimator.nesting.engine.settings import Budget, Moves
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather
from estimator.workshop.estimate import Estimate
from tests.writing.small_shop import make_shop, write_order

START = date(2026, 11, 2)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    write_order(make_shop(tmp_path / "shop"), quantity=2)
    return Shop(folder=tmp_path / "shop")


def quick() -> Work:
    return Work(start=START, effort=Effort.QUICK)


def test_a_quote_is_a_record_and_nothing_is_printed(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    done = quote(shop, shop.folder / "order.toml", quick(), explain="thread")
    assert done.written.folder == shop.folder / "2026-030-estimate"
    assert all((done.written.folder / name).is_file() for name in done.written.files)
    assert done.estimate.start == START
    assert "thread" in done.explained
    printed = capsys.readouterr()
    assert printed.out + printed.err == ""


def test_who_looks_on_is_told_and_may_stop(shop: Shop) -> None:
    calls: list[object] = []

    @contextmanager
    def watch(budget: Budget) -> Iterator[Observed]:
        budget.stop()
        yield budget, calls.append

    work = Work(start=START, watch=watch, on_effort=lambda *efforts: calls.append(efforts))
    done = quote(shop, shop.folder / "order.toml", work)
    assert work.is_stopped
    assert calls[0] == (Effort.NORMAL, None)
    assert "quote.pdf" in done.written.files
    assert work.whole_estimate(done.estimate.order) is None


def test_an_estimate_that_cannot_be_kept_leaves_no_file(shop: Shop) -> None:
    def refuse() -> None:
        raise InputError(Fault(problem="the records are full", remedy=""))

    @contextmanager
    def keep(done: Estimate) -> Iterator[Keeping]:
        yield Keeping(settle=refuse, recorded="never")

    before = sorted(shop.folder.rglob("*"))
    with pytest.raises(InputError, match="the records are full"):
        quote(shop, shop.folder / "order.toml", quick(), keep=keep)
    assert sorted(shop.folder.rglob("*")) == before


def test_counts_come_as_they_are_made(shop: Shop) -> None:
    calls: list[object] = []
    counts = count_sheaths(
        shop.read_order(shop.folder / "order.toml"),
        Moves(MOST_MOVES),
        effort=Effort.QUICK,
        seed=1,
        on_step=calls.append,
        on_count=lambda key, sheaths: calls.append((key, sheaths)),
    )
    key, sheaths = next(counts)
    assert calls == [f"counting {key}", (key, sheaths)]
    assert sheaths > 2


@pytest.mark.parametrize(
    ("choices", "keys"),
    [
        ({"quantities": "1,two,0"}, [("quantities",), ("quantities",)]),
        ({"quantities": "1", "paid_once": "-3"}, [("paid_once",)]),
        ({"quantities": "1", "price_each": "."}, [("price_each",)]),
        ({"quantities": "1", "line": "stra"}, [("line",)]),
        ({"quantities": "1", "chart": Path("curve.pdf")}, [("chart",)]),
    ],
)
def test_a_choice_that_cannot_be_used_is_named(
    shop: Shop, choices: dict[str, object], keys: list[tuple[str, ...]]
) -> None:
    with pytest.raises(InputError) as caught:
        work_out_batches(shop, shop.folder / "order.toml", quick(), **choices)  # type: ignore[arg-type]  # mixed keywords
    assert [fault.key for fault in caught.value.faults] == keys


def test_a_fault_of_a_file_has_the_path_of_its_key(shop: Shop) -> None:
    order = shop.folder / "order.toml"
    order.write_text(order.read_text("utf-8").replace("quantity = 2", "quantity = 0"), "utf-8")
    with pytest.raises(InputError) as caught:
        compare(shop, order, quick(), hides=(shop.folder / "bend-3.toml",))
    (fault,) = caught.value.faults
    assert fault.key == ("sheath", 0, "quantity")
    assert "line 9, sheath[1].quantity: 0 is out of range" in str(fault)


def test_leather_on_the_rack_is_offered_to_every_act_on_an_order(shop: Shop) -> None:
    order = shop.folder / "order.toml"
    named = order.read_text("utf-8").replace('map = "bend-3.toml"', 'on_rack = "bend-3"')
    order.write_text(named, "utf-8")
    hide = read_hide(shop.folder / "bend-3.toml")
    with shop.open_records() as records:
        add_leather(records, [LeatherLot(hide=hide, received_on=START)])
    assert quote(shop, order, quick()).estimate.order.hides[0].tag == "bend-3"
    (_, (batch,)) = work_out_batches(shop, order, quick(), quantities="1").made
    assert batch.rows[0].fits
    done = compare(shop, order, quick(), other=order)
    assert done.first.cost.total == done.last.cost.total

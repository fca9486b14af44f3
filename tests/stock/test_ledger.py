"""The ledger: only added to, exact, never below zero, first expiry first, priced by the average."""

import sqlite3
import threading
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import InputError
from estimator.stock.ledger import count, give_back, receive, release, reserve, take
from estimator.stock.shelf import Balance, Kind, balances, movements
from estimator.stock.store.database import Records, open_records
from estimator.units import Unit

DAY = date(2026, 11, 2)
CEMENT = "contact cement"


def put(records: Records, quantity: str, cost: str, expires: date | None = None) -> None:
    receive(
        records, CEMENT, Decimal(quantity), Unit.ML, cost=Decimal(cost), on=DAY, expires_on=expires
    )


def used(records: Records, quantity: str, kind: Kind = Kind.USE) -> None:
    take(records, CEMENT, Decimal(quantity), kind, on=DAY)


def balance(records: Records) -> Balance:
    (only,) = balances(records)
    return only


def test_the_price_is_the_moving_weighted_average(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, "100", "10.00")
        put(records, "300", "18.00")
        assert balance(records).unit_price == Decimal("0.07")
        used(records, "100")
        assert (balance(records).on_hand, balance(records).value) == (Decimal(300), Decimal(21))
        put(records, "100", "11.00")
        assert balance(records).unit_price == Decimal("0.08")


def test_the_last_of_it_carries_the_rest_of_the_value(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, "3", "10.00")
        for _ in range(3):
            used(records, "1")
        assert (balance(records).on_hand, balance(records).value) == (Decimal(0), Decimal(0))
        assert balance(records).unit_price is None
        taken = [row.value for row in movements(records, CEMENT) if row.kind is Kind.USE]
        assert sum(taken) == -10


def test_what_expires_first_is_taken_first(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, "100", "10", None)
        put(records, "100", "10", date(2027, 3, 1))
        put(records, "100", "10", date(2027, 1, 1))
        assert balance(records).expires_on == date(2027, 1, 1)
        used(records, "150")
        assert balance(records).expires_on == date(2027, 3, 1)
        used(records, "50", Kind.WASTE)
        assert balance(records).expires_on is None
        assert balance(records).on_hand == 100


def test_a_count_corrects_both_ways(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, "100", "10.00")
        assert count(records, CEMENT, Decimal("90.5"), on=DAY) == Decimal("-9.5")
        assert count(records, CEMENT, Decimal(120), on=DAY, note="found a can") == Decimal("29.5")
        assert count(records, CEMENT, Decimal(120), on=DAY) == 0
        assert balance(records).unit_price == Decimal("0.1")
        assert count(records, CEMENT, Decimal(0), on=DAY) == -120
        assert count(records, CEMENT, Decimal(5), on=DAY) == 5
        assert (balance(records).on_hand, balance(records).value) == (Decimal(5), Decimal(0))


def test_a_ledger_may_begin_with_a_count(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        price = Decimal("0.05")
        count(records, CEMENT, Decimal(90), on=DAY, unit=Unit.ML, unit_price=price)
        assert (balance(records).on_hand, balance(records).value) == (Decimal(90), Decimal("4.5"))
        with pytest.raises(InputError, match="counted in ml"):
            count(records, CEMENT, Decimal(90), on=DAY, unit=Unit.G)
        for name in ("", "x" * 201, "a\nb"):
            with pytest.raises(InputError, match="no name of an item"):
                receive(records, name, Decimal(1), Unit.G, cost=Decimal(1), on=DAY)
        with pytest.raises(InputError, match="broken letters"):
            give_back(records, CEMENT, Decimal(1), on=DAY, job="\udcff")


def test_more_than_there_is_cannot_be_taken_but_can_be_promised(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, "100", "10.00")
        with pytest.raises(InputError, match=r"holds 100 ml .* not 100\.5"):
            used(records, "100.5")
        reserve(records, CEMENT, Decimal(80), Unit.ML, job="14", on=DAY)
        reserve(records, CEMENT, Decimal(50), Unit.ML, job="15", on=DAY)
        assert (balance(records).promised, balance(records).free) == (Decimal(130), Decimal(-30))
        release(records, job="14", on=DAY)
        release(records, job="14", on=DAY)
        assert balance(records).promised == 50
        give_back(records, CEMENT, Decimal(1), on=DAY, job="15")
        assert balance(records).on_hand == 101


def test_wrong_figures_are_refused_and_change_nothing(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        with pytest.raises(InputError, match="stock receive"):
            used(records, "1")
        put(records, "100", "10.00")
        with pytest.raises(InputError, match="counted in ml"):
            receive(records, CEMENT, Decimal(1), Unit.G, cost=Decimal(1), on=DAY)
        with pytest.raises(InputError, match="counted in ml"):
            reserve(records, CEMENT, Decimal(1), Unit.G, job="14", on=DAY)
        with pytest.raises(InputError, match=f'did you mean "{CEMENT}"'):
            take(records, "contact cemet", Decimal(1), Kind.USE, on=DAY)
        for quantity in ("0", "-1", "1e-7", "1e8", "NaN"):
            with pytest.raises(InputError):
                put(records, quantity, "1")
        for faulty in ("-1", "1e-7"):
            with pytest.raises(InputError):
                put(records, "1", faulty)
        with pytest.raises(InputError, match="below zero"):
            count(records, CEMENT, Decimal(-1), on=DAY)
        assert len(movements(records, CEMENT)) == 1


def test_movements_cannot_be_changed_or_deleted(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, "100", "10.00")
        for statement in ("UPDATE movement SET note = 'x'", "DELETE FROM movement"):
            with pytest.raises(sqlite3.IntegrityError, match="only added to"):
                records.run(statement)


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["put", "use", "waste", "count", "reserve", "release", "back"]),
        st.decimals(min_value=Decimal("0.000001"), max_value=1000, places=6),
        st.integers(0, 3),
    ),
    max_size=25,
)


@given(steps=STEPS)
@settings(max_examples=25, deadline=None)
def test_a_balance_is_the_sum_of_its_movements_whatever_happens(
    steps: list[tuple[str, Decimal, int]],
) -> None:
    with open_records(Path(":memory:")) as records:
        put(records, "10", "3.33")
        shelf = Decimal(10)
        for what, amount, number in steps:
            shelf += happen(records, what, amount, number)
        rows = movements(records, CEMENT, most=1000)
        held = balance(records)
        assert held.on_hand == shelf == sum(row.on_hand for row in rows)
        assert held.promised == sum(row.promised for row in rows)
        assert held.value == sum(row.value for row in rows) >= 0
        left = records.rows("SELECT sum(left_millionths) AS total FROM batch")[0]["total"]
        assert Decimal(left) / 1_000_000 == shelf


def happen(records: Records, what: str, amount: Decimal, number: int) -> Decimal:
    """Do one thing, and give by how much the shelf must have changed."""
    before, job = balance(records).on_hand, f"job {number}"
    if what == "put":
        expires = date(2027, 1, 1 + number) if number else None
        put(records, str(amount), "1.234567", expires)
        return amount
    if what in {"use", "waste"}:
        if amount > before:
            with pytest.raises(InputError):
                used(records, str(amount))
            return Decimal(0)
        used(records, str(amount), Kind(what))
        return -amount
    if what == "count":
        return count(records, CEMENT, amount, on=DAY)
    if what == "back":
        give_back(records, CEMENT, amount, on=DAY)
        return amount
    if what == "reserve":
        reserve(records, CEMENT, amount, Unit.ML, job=job, on=DAY)
    else:
        release(records, job=job, on=DAY)
    return Decimal(0)


def test_of_many_who_take_at_once_no_more_is_taken_than_there_is(tmp_path: Path) -> None:
    path = tmp_path / "r"
    with open_records(path) as records:
        put(records, "25", "10.00")
    taken: list[int] = []

    def work() -> None:
        with open_records(path) as records:
            for _ in range(10):
                try:
                    used(records, "1")
                except InputError:
                    continue
                taken.append(1)

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with open_records(path) as records:
        assert len(taken) == 25
        assert balance(records).on_hand == 0

"""What the ledger says: balances and movements as records."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from sqlite3 import Row

from estimator.stock.refusals import unknown_name
from estimator.stock.store.database import Records
from estimator.stock.store.exact import decimal_of
from estimator.units import Unit


class Kind(StrEnum):
    """What a movement does."""

    RECEIVE = "receive"
    RESERVE = "reserve"
    RELEASE = "release"
    USE = "use"
    COUNT = "count"
    WASTE = "waste"
    RETURN = "return"


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What the shelf holds of one item.

    Parameters
    ----------
    item : str
        As in the price book.
    unit : Unit
        What it is counted in.
    on_hand, promised : Decimal
        On the shelf; and promised to accepted jobs, in ``unit``.
    value : Decimal
        What was paid for what is on the shelf.
    expires_on : date or None
        The first expiry among the batches on the shelf.
    is_kept : bool
        Whether the ledger keeps it: it was received or counted at least once. Else all that
        is known is what was promised of it.
    """

    item: str
    unit: Unit
    on_hand: Decimal
    promised: Decimal
    value: Decimal
    expires_on: date | None
    is_kept: bool = True

    @property
    def free(self) -> Decimal:
        """On hand less promised, in ``unit``; below zero where more must be bought."""
        return self.on_hand - self.promised

    @property
    def unit_price(self) -> Decimal | None:
        """Weighted average price of one unit, not rounded; None if the shelf is empty."""
        return self.value / self.on_hand if self.on_hand else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One line of the ledger.

    Parameters
    ----------
    number : int
        Its place.
    item : str
        What moved.
    kind : Kind
        Why.
    on_hand, promised : Decimal
        Changes, in the unit of the item.
    value : Decimal
        Change of what was paid for the shelf.
    job : str
        Reference, or empty.
    day : date
        When.
    note : str
        The maker's remark.
    """

    number: int
    item: str
    kind: Kind
    on_hand: Decimal
    promised: Decimal
    value: Decimal
    job: str
    day: date
    note: str


def balances(records: Records) -> tuple[Balance, ...]:
    """Give what the shelf holds, by name of item."""
    rows = records.rows(
        "SELECT item.*, (SELECT min(expires_on) FROM batch WHERE item = name"
        " AND left_millionths > 0) AS expires_on,"
        " EXISTS (SELECT 1 FROM batch WHERE item = name) AS is_kept FROM item ORDER BY name"
    )
    return tuple(
        Balance(
            item=row["name"],
            unit=Unit(row["unit"]),
            on_hand=decimal_of(row["on_hand_millionths"]),
            promised=decimal_of(row["promised_millionths"]),
            value=decimal_of(row["value_millionths"]),
            expires_on=date.fromisoformat(row["expires_on"]) if row["expires_on"] else None,
            is_kept=bool(row["is_kept"]),
        )
        for row in rows
    )


def movements(records: Records, item: str, *, most: int = 50) -> tuple[Movement, ...]:
    """Give the last movements of an item, newest first.

    Raises
    ------
    InputError
        If the item is unknown.
    """
    item_row(records, item)
    rows = records.rows(
        "SELECT * FROM movement WHERE item = ? ORDER BY number DESC LIMIT ?", (item, most)
    )
    return tuple(
        Movement(
            number=row["number"],
            item=row["item"],
            kind=Kind(row["kind"]),
            on_hand=decimal_of(row["on_hand_millionths"]),
            promised=decimal_of(row["promised_millionths"]),
            value=decimal_of(row["value_millionths"]),
            job=row["job"],
            day=date.fromisoformat(row["day"]),
            note=row["note"],
        )
        for row in rows
    )


def amounts_used(records: Records, job: str) -> dict[str, Decimal]:
    """Give what went off the shelf for a job so far, less what came back, by item."""
    rows = records.rows(
        "SELECT item, -sum(on_hand_millionths) AS amount FROM movement"
        " WHERE job = ? AND job <> '' GROUP BY item",
        (job,),
    )
    return {row["item"]: decimal_of(row["amount"]) for row in rows if row["amount"]}


def amounts_promised(records: Records, job: str) -> dict[str, Decimal]:
    """Give what is promised to a job, by item."""
    rows = records.rows(
        "SELECT item, sum(promised_millionths) AS amount FROM movement"
        " WHERE job = ? AND job <> '' GROUP BY item",
        (job,),
    )
    return {row["item"]: decimal_of(row["amount"]) for row in rows if row["amount"]}


def item_row(records: Records, item: str) -> Row:
    """Give the row of an item.

    Raises
    ------
    InputError
        If the ledger does not know it; with the near one.
    """
    row = records.row("SELECT * FROM item WHERE name = ?", (item,))
    if row is None:
        known = [each["name"] for each in records.rows("SELECT name FROM item ORDER BY name")]
        raise unknown_name(
            f'the ledger knows no "{item}"',
            item,
            known,
            otherwise="put it on the shelf with estimator stock receive",
        )
    return row

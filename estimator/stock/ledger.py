"""The stock ledger: movements are only ever added, and a balance is their sum.

What is taken goes out of the batch that expires first. Its price is the moving weighted
average of the item: all that was paid for what lies on the shelf, over how much lies there;
what is taken carries its share away to the millionth, and the last of it carries the rest.
"""

from datetime import date
from decimal import Decimal
from sqlite3 import Row

from estimator.stock.refusals import refusal
from estimator.stock.shelf import Kind, amounts_promised, item_row
from estimator.stock.store.database import Records, atomic
from estimator.stock.store.exact import decimal_of, millionths, nearest_millionths, rounded_quotient
from estimator.units import Unit

LONGEST_NAME = 200


def receive(
    records: Records,
    item: str,
    quantity: Decimal,
    unit: Unit,
    *,
    cost: Decimal,
    on: date,
    expires_on: date | None = None,
    supplier: str = "",
    note: str = "",
) -> None:
    """Put something on the shelf, as a batch of its own.

    Parameters
    ----------
    records : Records
        Open.
    item : str
        As in the price book; one that is new becomes known by it.
    quantity : Decimal
        More than zero, in ``unit``.
    unit : Unit
        What the item is counted in, always the same.
    cost : Decimal
        Paid for all of it, with its way here.
    on : date
        The day.
    expires_on : date or None
        When it is too old to use.
    supplier, note : str
        Or empty.

    Raises
    ------
    InputError
        If the item is counted in another unit, or a figure is out of range.
    """
    with atomic(records):
        _register(records, item, unit)
        amount = _positive_millionths(quantity, item)
        if cost < 0:
            raise refusal(f"the cost {cost} is below zero", "write what was paid")
        batch = _new_batch(records, item, on=on, expires_on=expires_on, supplier=supplier)
        value = millionths(cost, what="cost")
        _move(records, item, Kind.RECEIVE, batch, amount, value=value, on=on, note=note)


def take(
    records: Records,
    item: str,
    quantity: Decimal,
    kind: Kind,
    *,
    on: date,
    job: str = "",
    note: str = "",
) -> None:
    """Take something off the shelf, from the batch that expires first.

    Parameters
    ----------
    records : Records
        Open.
    item : str
        Known to the ledger.
    quantity : Decimal
        More than zero, in the item's unit.
    kind : Kind
        ``Kind.USE`` or ``Kind.WASTE``.
    on : date
        The day.
    job : str
        What it went into.
    note : str
        Or empty.

    Raises
    ------
    InputError
        If the item is unknown, or the shelf holds less by the records.
    """
    with atomic(records):
        row = item_row(records, item)
        amount = _positive_millionths(quantity, item)
        if amount > row["on_hand_millionths"]:
            has = decimal_of(row["on_hand_millionths"])
            raise refusal(
                f"the shelf holds {has} {row['unit']} of {item} by the records, not {quantity}",
                f'count it first: estimator stock count "{item}" "..."',
            )
        _take(records, row, amount, kind, on=on, job=job, note=note)


def give_back(
    records: Records, item: str, quantity: Decimal, *, on: date, job: str = "", note: str = ""
) -> None:
    """Put back on the shelf what a job did not use after all; it counts at the average price.

    Raises
    ------
    InputError
        If the item is unknown.
    """
    with atomic(records):
        row = item_row(records, item)
        amount = _positive_millionths(quantity, item)
        _put(records, row, amount, Kind.RETURN, on=on, job=job, note=note)


def count(
    records: Records,
    item: str,
    counted: Decimal,
    *,
    on: date,
    note: str = "",
    unit: Unit | None = None,
    unit_price: Decimal = Decimal(0),
) -> Decimal:
    """Set the balance to what was counted on the shelf.

    Parameters
    ----------
    records : Records
        Open.
    item : str
        Known to the ledger, unless ``unit`` says what it is counted in.
    counted : Decimal
        Zero or more, in the item's unit.
    on : date
        The day.
    note : str
        Or empty.
    unit : Unit or None
        Of an item that is new; so a ledger may begin with a count.
    unit_price : Decimal
        What a unit is worth that is found where the records had none; else such a find
        counts at the average price.

    Returns
    -------
    Decimal
        What was found too much (or too little, below zero).

    Raises
    ------
    InputError
        If the item is unknown, or the count is below zero.
    """
    if counted < 0:
        raise refusal(f"a count of {counted} is below zero", "write what lies on the shelf")
    with atomic(records):
        if unit is not None:
            _register(records, item, unit)
        row = item_row(records, item)
        change = millionths(counted, what=item) - row["on_hand_millionths"]
        if change > 0:
            _put(records, row, change, Kind.COUNT, on=on, note=note, unit_price=unit_price)
        elif change < 0:
            _take(records, row, -change, Kind.COUNT, on=on, job="", note=note)
        return decimal_of(change)


def reserve(
    records: Records, item: str, quantity: Decimal, unit: Unit, *, job: str, on: date
) -> None:
    """Promise so much of an item to a job; more may be promised than lies there, and is bought.

    Raises
    ------
    InputError
        If the item is counted in another unit.
    """
    with atomic(records):
        _register(records, item, unit)
        amount = _positive_millionths(quantity, item)
        _move(records, item, Kind.RESERVE, None, 0, promised=amount, on=on, job=job)


def release(records: Records, *, job: str, on: date) -> None:
    """Take back whatever is still promised to a job."""
    with atomic(records):
        for item, amount in amounts_promised(records, job).items():
            promised = -nearest_millionths(amount)
            _move(records, item, Kind.RELEASE, None, 0, promised=promised, on=on, job=job)


def _take(
    records: Records, row: Row, amount: int, kind: Kind, *, on: date, job: str, note: str
) -> None:
    """Take out of the batches, first expiry first, each part with its share of the value."""
    item, on_hand, value = row["name"], row["on_hand_millionths"], row["value_millionths"]
    while amount:
        batch, left = _first_batch(records, item)
        part = min(amount, left)
        share = value if part == on_hand else rounded_quotient(value * part, on_hand)
        _move(records, item, kind, batch, -part, value=-share, on=on, job=job, note=note)
        on_hand, value, amount = on_hand - part, value - share, amount - part


def _put(
    records: Records,
    row: Row,
    amount: int,
    kind: Kind,
    *,
    on: date,
    job: str = "",
    note: str = "",
    unit_price: Decimal = Decimal(0),
) -> None:
    """Put into the batch that expires last, or a new one, at the average price."""
    on_hand, value = row["on_hand_millionths"], row["value_millionths"]
    last = records.row(
        "SELECT number FROM batch WHERE item = ? AND left_millionths > 0"
        " ORDER BY expires_on IS NULL DESC, expires_on DESC, number DESC LIMIT 1",
        (row["name"],),
    )
    batch = last["number"] if last else _new_batch(records, row["name"], on=on)
    found = nearest_millionths(decimal_of(amount) * unit_price)
    worth = rounded_quotient(value * amount, on_hand) if on_hand else found
    _move(records, row["name"], kind, batch, amount, value=worth, on=on, job=job, note=note)


def _register(records: Records, item: str, unit: Unit) -> None:
    """Take an item that is new into the ledger; refuse another unit than it has."""
    row = records.row("SELECT unit FROM item WHERE name = ?", (item,))
    if row is not None and row["unit"] != str(unit):
        raise refusal(
            f"{item} is counted in {row['unit']} by the records, not in {unit}",
            f"write it in {row['unit']}, also in the price book",
        )
    if row is None:
        if not 1 <= len(item) <= LONGEST_NAME or not item.isprintable():
            raise refusal(f'"{item[:20]}" is no name of an item', "write up to 200 letters")
        records.insert("item", {"name": item, "unit": str(unit)})


def _first_batch(records: Records, item: str) -> tuple[int, int]:
    """The batch that expires first of those that hold something; what keeps for ever is last."""
    row = records.rows(
        "SELECT number, left_millionths FROM batch WHERE item = ? AND left_millionths > 0"
        " ORDER BY expires_on IS NULL, expires_on, number LIMIT 1",
        (item,),
    )[0]
    return row["number"], row["left_millionths"]


def _new_batch(
    records: Records, item: str, *, on: date, expires_on: date | None = None, supplier: str = ""
) -> int:
    expiry = expires_on.isoformat() if expires_on else None
    values = {"item": item, "received_on": on.isoformat(), "supplier": supplier}
    return records.insert("batch", values | {"expires_on": expiry})


def _move(
    records: Records,
    item: str,
    kind: Kind,
    batch: int | None,
    amount: int,
    *,
    on: date,
    promised: int = 0,
    value: int = 0,
    job: str = "",
    note: str = "",
) -> None:
    records.insert(
        "movement",
        {
            "item": item,
            "batch": batch,
            "kind": str(kind),
            "on_hand_millionths": amount,
            "promised_millionths": promised,
            "value_millionths": value,
            "job": job,
            "day": on.isoformat(),
            "note": note,
        },
    )


def _positive_millionths(quantity: Decimal, item: str) -> int:
    amount = millionths(quantity, what=f"quantity of {item}")
    if amount <= 0:
        raise refusal(f"{quantity} of {item} is not more than zero", "write a quantity")
    return amount

"""Amounts as people write them for the ledger: by measure, or in packs of the price book."""

import re
from decimal import Decimal

from estimator.costing.money import as_decimal
from estimator.costing.price_book.price_book import Rate
from estimator.measures import parse_pack
from estimator.stock.refusals import refusal
from estimator.stock.store.exact import decimal_of, nearest_millionths
from estimator.units import Unit

_PACKS = re.compile(r"\s*(\d{1,6})\s*packs?\s*", re.ASCII | re.IGNORECASE)


def packs_in(text: str) -> int | None:
    """Read ``2 packs`` as 2; None if it is written otherwise.

    Examples
    --------
    >>> packs_in("2 packs"), packs_in("40 m")
    (2, None)
    """
    match = _PACKS.fullmatch(text)
    return int(match[1]) if match else None


def amount(text: str, rate: Rate | None, *, item: str) -> tuple[Decimal, Unit]:
    """Read an amount to the millionth of its unit.

    Parameters
    ----------
    text : str
        ``40 m``, ``250 ml``, ``3 pieces``; or ``2 packs``, if the price book knows the item.
        Zero is allowed.
    rate : Rate or None
        Of the item.
    item : str
        Its name, for messages.

    Returns
    -------
    tuple of Decimal and Unit
        In m, ml, g, pieces, dm2 or h.

    Raises
    ------
    InputError
        If it cannot be read, is below zero or in another unit than the price book's, or the
        pack is not known.

    Examples
    --------
    >>> amount("2.5 l", None, item="dye")
    (Decimal('2500'), <Unit.ML: 'ml'>)
    """
    packs = packs_in(text)
    if packs is None:
        value, unit = parse_pack(text)
        if value < 0:
            raise refusal(f'"{text}" is below zero', "write what there is")
        if rate is not None and unit is not rate.unit:
            raise refusal(
                f"{item} is counted in {rate.unit} by the price book, not in {unit}",
                f'write it in {rate.unit}, as in "40 {rate.unit}"',
            )
        return decimal_of(nearest_millionths(as_decimal(value))), unit
    if rate is None:
        raise refusal(
            f"how much a pack of {item} holds is not known",
            'write the measure, as in "100 m", or add the item to the price book',
        )
    return decimal_of(nearest_millionths(packs * as_decimal(rate.pack_quantity))), rate.unit


def money(text: str, *, key: str) -> Decimal:
    """Read a sum of money, zero or more.

    Parameters
    ----------
    text : str
        Digits with a point: ``11.80``.
    key : str
        The choice it belongs to, for messages.

    Raises
    ------
    InputError
        If it is none.

    Examples
    --------
    >>> money("11.80", key="cost")
    Decimal('11.80')
    """
    digits = text.strip().replace(".", "", 1)
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 12):
        remedy = 'write digits with a point, as in "11.80"'
        raise refusal(f'"{text}" is no amount of money', remedy, key=key)
    return Decimal(text.strip())

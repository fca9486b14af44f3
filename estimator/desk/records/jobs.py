"""A job from its quote to its end, and what it really took."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.desk.shop import Shop
from estimator.measures import parse_minutes
from estimator.stock import actuals, jobs
from estimator.stock.amounts import amount
from estimator.stock.job_records import (
    JobRecord,
    JobState,
    Revision,
    job_record,
    job_records,
)
from estimator.stock.job_story import JobStory, job_story
from estimator.stock.leather.cutting import charges
from estimator.stock.rates import RateReport, rate_reports
from estimator.stock.shelf import balances
from estimator.stock.store.exact import decimal_of, nearest_millionths
from estimator.takeoff.work.labour import LABOUR_ITEM
from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """A job whose leather and materials are promised to it.

    Parameters
    ----------
    revision : Revision
        What was accepted.
    lacking : tuple of str
        Items of which the shelf holds too little now.
    not_kept : tuple of str
        Items that the stock ledger does not keep.
    """

    revision: Revision
    lacking: tuple[str, ...]
    not_kept: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A job whose leather is cut.

    Parameters
    ----------
    filed : mapping of str to tuple of str
        Tags of the offcuts on the rack again, by the lot they were left of.
    charged : Decimal
        What the job pays for leather.
    currency : str
        ISO 4217 code.
    """

    filed: Mapping[str, tuple[str, ...]]
    charged: Decimal
    currency: str


def accept(shop: Shop, reference: str, *, on: date, force: bool = False) -> Accepted:
    """Accept the last quote of a job; see :func:`estimator.stock.jobs.accept`.

    Parameters
    ----------
    shop : Shop
        With the records.
    reference : str
        The job's.
    on : date
        The day.
    force : bool
        Whether despite a stop or missing parts in the quote.

    Returns
    -------
    Accepted
        What is promised, and what must be bought.

    Raises
    ------
    InputError
        If the job stands otherwise, the quote says stop, or a lot is not free.
    """
    with shop.open_records() as records:
        revision = jobs.accept(records, reference, on=on, force=force)
        materials = {item.item for item in revision.items if item.is_material}
        shelf = {row.item: row for row in balances(records) if row.is_kept}
    return Accepted(
        revision=revision,
        lacking=tuple(item for item in shelf if item in materials and shelf[item].free < 0),
        not_kept=tuple(sorted(materials - shelf.keys())),
    )


def cut(shop: Shop, reference: str, *, on: date) -> Cut:
    """Consume the leather of an accepted job, and put its offcuts on the rack.

    Raises
    ------
    InputError
        If the job is not accepted.
    """
    with shop.open_records() as records:
        filed = jobs.cut(records, reference, on=on)
        charged = sum(charges(records, reference).values(), Decimal(0))
        return Cut(filed=filed, charged=charged, currency=job_record(records, reference).currency)


def finish(shop: Shop, reference: str, *, on: date) -> Mapping[str, Decimal]:
    """End a job that is cut; see :func:`estimator.stock.jobs.finish`.

    Returns
    -------
    mapping of str to Decimal
        What was taken off the shelf, by item.

    Raises
    ------
    InputError
        If the job is not cut, or the shelf holds less.
    """
    with shop.open_records() as records:
        return jobs.finish(records, reference, on=on)


def drop(shop: Shop, reference: str, *, on: date, note: str = "") -> None:
    """End a job unfinished: what was promised to it is free again.

    Raises
    ------
    InputError
        If it is done or dropped already.
    """
    with shop.open_records() as records:
        jobs.drop(records, reference, on=on, note=note)


def log(
    shop: Shop, reference: str, item: str, quantity: str, *, on: date, note: str = ""
) -> tuple[Decimal, Unit]:
    """Log the whole quantity of something that a job took.

    Parameters
    ----------
    shop : Shop
        With the records.
    reference : str
        The job's.
    item : str
        A material, ``labour``, or ``leather``.
    quantity : str
        As people write it: ``23 m``, ``6 h 20 min``, ``41 dm2``.
    on : date
        The day.
    note : str
        In the maker's words.

    Returns
    -------
    tuple of Decimal and Unit
        What is logged; labour in min.

    Raises
    ------
    InputError
        If the quantity cannot be read, or the job takes no such thing.
    """
    if item == LABOUR_ITEM:
        value, unit = decimal_of(nearest_millionths(parse_minutes(quantity))), Unit.MIN
    else:
        value, unit = amount(quantity, None, item=item)
    with shop.open_records() as records:
        actuals.log(records, reference, item, value, unit, on=on, note=note)
    return value, unit


def jobs_of(shop: Shop, *, is_all: bool = False) -> tuple[JobRecord, ...]:
    """List the jobs under way, or all that ever were, by reference."""
    ended = () if is_all else (JobState.DONE, JobState.DROPPED)
    with shop.open_records() as records:
        return job_records(records, states=[state for state in JobState if state not in ended])


def story(shop: Shop, reference: str) -> JobStory:
    """Give what was promised of a job, and what happened.

    Raises
    ------
    InputError
        If there is none, with the near one.
    """
    with shop.open_records() as records:
        return job_story(records, reference)


def rates(shop: Shop) -> tuple[RateReport, ...]:
    """Say how finished jobs differed from the price book, and what is learned from it."""
    with shop.open_records() as records:
        return rate_reports(records)

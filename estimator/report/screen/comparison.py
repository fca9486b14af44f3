"""Two estimates side by side, as tables and as plain values for JSON."""

from datetime import date
from decimal import Decimal
from typing import Any, assert_never

from rich.console import Group, RenderableType
from rich.text import Text

from estimator.costing.variance import favour
from estimator.report.screen.tables import plain_table
from estimator.report.text import amounts, wording
from estimator.units import MM2_PER_DM2, Units
from estimator.workshop.compare import LEFT_OVER, ComparedCost, ComparedFigure, Comparison, Measure


def comparison_tables(
    found: Comparison, *, names: tuple[str, str], currency: str, units: Units
) -> RenderableType:
    """Lay out a comparison for the terminal.

    Parameters
    ----------
    found : Comparison
        Two estimates.
    names : tuple of str
        What the two are called.
    currency : str
        ISO 4217 code.
    units : Units
        What the reader wants.

    Returns
    -------
    rich renderable
        Figures side by side, and why the costs differ.
    """
    figures = plain_table(
        "Side by side",
        *("", *names, "Difference"),
        rows=[
            (
                row.name,
                *(_figure_text(row, value, currency, units) for value in (row.one, row.other)),
                _difference(row, currency, units),
            )
            for row in found.figures
        ],
        right=(1, 2, 3),
    )
    costs = plain_table(
        "\nWhy the cost differs (F favourable, U unfavourable)",
        *("Item", *names, "Difference", "by rate", "by quantity", ""),
        rows=[_cost_cells(cost, currency) for cost in found.costs],
        right=(1, 2, 3, 4, 5),
    )
    return Group(figures, costs, *_notes(found))


def comparison_values(
    found: Comparison, *, names: tuple[str, str], currency: str
) -> dict[str, Any]:
    """Give a comparison as plain values: numbers as numbers, money as strings, days as dates.

    Parameters
    ----------
    found : Comparison
        Two estimates.
    names : tuple of str
        What the two are called.
    currency : str
        ISO 4217 code.

    Returns
    -------
    dict
        ``currency``, ``names``, ``figures`` and ``costs``.
    """
    return {
        "currency": currency,
        "names": list(names),
        "figures": [
            {
                "name": row.name,
                "unit": str(row.measure),
                "one": _value(row, row.one, currency),
                "other": _value(row, row.other, currency),
            }
            for row in found.figures
        ],
        "costs": [
            {
                "item": row.item,
                "one": amounts.amount(row.one, currency),
                "other": amounts.amount(row.other, currency),
                "by_rate": amounts.amount(row.because.price, currency),
                "by_quantity": amounts.amount(
                    row.difference - Decimal(amounts.amount(row.because.price, currency)), currency
                ),
            }
            for row in found.costs
        ],
    }


def _notes(found: Comparison) -> list[RenderableType]:
    """Say that what is not cut is not in its cost."""
    left = next(row for row in found.figures if row.name == LEFT_OVER)
    if not left.one and not left.other:
        return []
    return [Text("\nThe cost lacks the leather for parts that do not fit.", style="bold")]


def _day_of(value: Decimal) -> date:
    """A day from its count."""
    return date.fromordinal(int(value))


def _value(row: ComparedFigure, value: Decimal, currency: str) -> float | int | str:
    """One figure for JSON."""
    match row.measure:
        case Measure.MONEY:
            return amounts.amount(value, currency)
        case Measure.DAY:
            return _day_of(value).isoformat()
        case Measure.COUNT:
            return int(value)
        case Measure.AREA | Measure.SHARE | Measure.TIME:
            return float(value)
        case other:
            assert_never(other)


def _figure_text(row: ComparedFigure, value: Decimal, currency: str, units: Units) -> str:
    match row.measure:
        case Measure.MONEY:
            return amounts.coins(value, currency)
        case Measure.DAY:
            return wording.day(_day_of(value))
        case Measure.AREA:
            return wording.area(float(value) * MM2_PER_DM2, units)
        case Measure.SHARE:
            return wording.share(float(value), digits=3)
        case Measure.TIME:
            return wording.hours(float(value))
        case Measure.COUNT:
            return str(value)
        case other:
            assert_never(other)


def _difference(row: ComparedFigure, currency: str, units: Units) -> str:
    """How much more or less, with its sign; nothing where they are alike."""
    if not row.difference:
        return ""
    if row.measure is Measure.DAY:
        days = int(row.difference)
        return f"{days:+d} {'day' if abs(days) == 1 else 'days'}"
    sign = "+" if row.difference > 0 else "-"
    if row.measure is Measure.SHARE:
        return f"{sign}{abs(float(row.difference)) * 100:.1f} points"
    return f"{sign}{_figure_text(row, abs(row.difference), currency, units)}"


def _cost_cells(cost: ComparedCost, currency: str) -> tuple[str, ...]:
    parts = (cost.difference, cost.because.price, cost.because.quantity)
    return (
        cost.item,
        amounts.coins(cost.one, currency),
        amounts.coins(cost.other, currency),
        *(amounts.signed_coins(part, currency) for part in parts),
        favour(cost.difference),
    )

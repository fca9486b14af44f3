"""Data frames of an estimate, for notebooks."""

from typing import TYPE_CHECKING

from estimator.report.text.messages import text, words
from estimator.workshop.estimate import Estimate

if TYPE_CHECKING:
    import pandas as pd


def takeoff_frame(estimate: Estimate) -> "pd.DataFrame":
    """Give the take-off as a data frame.

    Parameters
    ----------
    estimate : Estimate
        With its take-off.

    Returns
    -------
    pandas.DataFrame
        Columns item, quantity, unit, low, high, basis, source.
    """
    import pandas as pd  # noqa: PLC0415  (slow to load, for notebooks only)

    units = estimate.order.units
    rows = [
        (
            text(row.name, units),
            row.quantity,
            str(row.unit),
            row.low,
            row.high,
            text(row.basis, units),
            words(row.sources, units),
        )
        for row in estimate.takeoff.quantities
    ]
    columns = ("item", "quantity", "unit", "low", "high", "basis", "source")
    return pd.DataFrame(rows, columns=list(columns))


def cost_frame(estimate: Estimate) -> "pd.DataFrame":
    """Give the cost lines as a data frame.

    Parameters
    ----------
    estimate : Estimate
        With its cost sheet.

    Returns
    -------
    pandas.DataFrame
        Columns item, quantity, unit, rate, amount; money is ``Decimal``.
    """
    import pandas as pd  # noqa: PLC0415  (slow to load, for notebooks only)

    units = estimate.order.units
    rows = [
        (text(line.name, units), line.quantity, str(line.unit), line.rate, line.amount)
        for line in estimate.cost.lines
    ]
    return pd.DataFrame(rows, columns=["item", "quantity", "unit", "rate", "amount"])

"""The published form of a price book, with the source of every rate of use in words."""

from typing import Any

from estimator.costing.price_book.reader import PriceBookTable
from estimator.report.text.messages import words
from estimator.takeoff.quantity import Spread
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.units import Units


def price_book_schema() -> dict[str, Any]:
    """Give the JSON Schema of a price book, as published in ``data/schemas``.

    Returns
    -------
    dict
        For ``json.dumps``.
    """
    form = PriceBookTable.model_json_schema()
    for name, rate in form["$defs"]["UseTable"]["properties"].items():
        default = getattr(DEFAULT_USE_RATES, name)
        if isinstance(default, Spread):
            rate["description"] += f": {words(default.sources, Units.METRIC)}"
    return form

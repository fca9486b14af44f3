"""The published forms of the JSON that ``estimator batch`` and ``estimator compare`` print."""

from typing import Any

from estimator.report.json_output.forms import (
    COUNT,
    COUNT_FROM_ZERO,
    CURRENCY,
    DAY,
    DRAFT,
    MONEY,
    SIZE,
    TEXT,
    list_of,
    or_null,
    record,
)
from estimator.workshop.compare import Measure


def batch_schema() -> dict[str, Any]:
    """Give the JSON Schema of :func:`estimator.report.screen.batch.batch_values`.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12. Unknown keys are refused.
    """
    money = or_null({**MONEY, "description": "null where the leather was not enough"})
    row = {
        "quantity": COUNT,
        "complete": {**COUNT_FROM_ZERO, "description": "sheaths that the leather gave"},
        "pieces_added": {**COUNT_FROM_ZERO, "description": "hides beyond those of the order"},
        "leather_dm2": {**SIZE, "description": "consumed: hides less the offcuts kept"},
        "yield": {**SIZE, "description": "parts over consumed leather"},
        "charged_dm2": {**SIZE, "description": "what the batch pays for"},
        "labour_min": SIZE,
        **dict.fromkeys(("cost", "cost_each", "net", "net_each", "gross"), money),
        "promise_date": or_null(DAY),
    }
    break_even = {
        "fixed": MONEY,
        "variable_each": MONEY,
        "brings_each": {**MONEY, "description": "net price less payment fee"},
        "quantity": {
            **or_null(COUNT_FROM_ZERO),
            "description": "least batch that pays for itself; null if none does",
        },
    }
    line = {"line": TEXT, "rows": list_of(row), "break_even": or_null(record(break_even))}
    return {
        "$schema": DRAFT,
        "title": "What `estimator batch --json` prints",
        **record({"currency": CURRENCY, "batches": list_of(line)}),
    }


def compare_schema() -> dict[str, Any]:
    """Give the JSON Schema of :func:`estimator.report.screen.comparison.comparison_values`.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12. Unknown keys are refused.
    """
    value = {"type": ["number", "string"], "description": "money and days as text"}
    figure = {
        "name": TEXT,
        "unit": {"enum": [str(measure) for measure in Measure]},
        "one": value,
        "other": value,
    }
    cost = {
        "item": TEXT,
        "one": MONEY,
        "other": MONEY,
        "by_rate": {**MONEY, "description": "difference of the rates x quantity of the other"},
        "by_quantity": {**MONEY, "description": "what is left of the difference"},
    }
    return {
        "$schema": DRAFT,
        "title": "What `estimator compare --json` prints",
        **record(
            {
                "currency": CURRENCY,
                "names": {"type": "array", "items": TEXT, "minItems": 2, "maxItems": 2},
                "figures": list_of(figure),
                "costs": list_of(cost),
            }
        ),
    }

"""The schedule as plain values, and the published form of them."""

from typing import Any

from estimator.costing.promise import PlannedStep, Schedule
from estimator.report.json_output.forms import DAY, SIZE, TEXT, list_of, record
from estimator.report.text.messages import text, words
from estimator.units import Units

_TEXTS = {"type": "array", "items": TEXT}
_MOMENT = {
    "type": "string",
    "pattern": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$",
    "description": "by the shop's clock",
}


def schedule_values(schedule: Schedule) -> dict[str, Any]:
    """Give a schedule as plain values.

    Parameters
    ----------
    schedule : Schedule
        When each step can be done.

    Returns
    -------
    dict
        Minutes as numbers, days and moments as ISO 8601 text.
    """
    return {
        "labour_min": schedule.labour_min,
        "waiting_min": schedule.waiting_min,
        "start_date": schedule.start_date.isoformat(),
        "finish_date": schedule.finish_date.isoformat(),
        "promise_date": schedule.promise_date.isoformat(),
        "held_up_by": [text(step.name, Units.METRIC) for step in schedule.held_up_by],
        "steps": [_step(row) for row in schedule.planned],
    }


def _step(row: PlannedStep) -> dict[str, Any]:
    step = row.step
    return {
        "name": text(step.name, Units.METRIC),
        "labour_min": step.labour_min,
        "waiting_min": step.waiting_min,
        "wait_for": words((step.wait_for,), Units.METRIC),
        "after": None if step.after is None else [text(one, Units.METRIC) for one in step.after],
        "attaches": list(step.attaches),
        "start": row.start.isoformat(timespec="minutes"),
        "finish": row.finish.isoformat(timespec="minutes"),
        "dry_at": row.dry_at.isoformat(timespec="minutes"),
    }


def schedule_form() -> dict[str, Any]:
    """Give the JSON Schema of :func:`schedule_values`.

    Returns
    -------
    dict
        Unknown keys are refused.
    """
    step = {
        "name": TEXT,
        "labour_min": SIZE,
        "waiting_min": {**SIZE, "description": "afterwards, by the clock; never paid"},
        "wait_for": {**TEXT, "description": "what the waiting is for; empty for none"},
        "after": {
            "anyOf": [_TEXTS, {"type": "null"}],
            "description": "steps that must be done and dry before; null: the step before it",
        },
        "attaches": {**_TEXTS, "description": "parts joined by it, as line/part"},
        "start": _MOMENT,
        "finish": _MOMENT,
        "dry_at": _MOMENT,
    }
    return record(
        {
            "labour_min": SIZE,
            "waiting_min": {**SIZE, "description": "the longest chain of waits"},
            "start_date": DAY,
            "finish_date": {**DAY, "description": "the day of the last labour"},
            "promise_date": DAY,
            "held_up_by": {**_TEXTS, "description": "steps whose waiting decides the date"},
            "steps": {**list_of(step), "description": "in the order in which they are done"},
        }
    )

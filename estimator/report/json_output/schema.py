"""The published form of the JSON that a quote prints."""

from typing import Any

from estimator.costing.cost_lines import CostKind
from estimator.costing.price_book.price_book import PriceMethod, Rounding, WasteOf
from estimator.errors import Level
from estimator.nesting.until_laid import Ending
from estimator.quality import Need, Spoil
from estimator.report.json_output.forms import (
    COUNT,
    CURRENCY,
    DAY,
    DRAFT,
    MONEY,
    NUMBER,
    SIZE,
    TEXT,
    list_of,
    record,
)
from estimator.report.json_output.payload import SCHEMA_VERSION
from estimator.report.json_output.schedule import schedule_form

_OUTLINE = {
    "type": "array",
    "minItems": 3,
    "items": {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2},
    "description": "[x, y] in mm, y up, counter-clockwise, the first point not repeated",
}


def quote_schema() -> dict[str, Any]:
    """Give the JSON Schema of :func:`estimator.report.json_output.payload.payload`.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12. Unknown keys are refused.
    """
    return {
        "$schema": DRAFT,
        "title": "What `estimator quote --json` prints",
        **record(
            {
                "schema_version": {"const": SCHEMA_VERSION},
                "order": record(
                    {
                        "reference": TEXT,
                        "currency": CURRENCY,
                        "due": {"anyOf": [DAY, {"type": "null"}]},
                    }
                ),
                "layout": _layout(),
                "takeoff": list_of(
                    {
                        "item": TEXT,
                        "quantity": NUMBER,
                        "unit": TEXT,
                        "low": NUMBER,
                        "high": NUMBER,
                        "basis": TEXT,
                        "source": TEXT,
                    }
                ),
                "cost": record(
                    {
                        "lines": list_of(
                            {
                                "item": TEXT,
                                "quantity": NUMBER,
                                "unit": TEXT,
                                "rate": MONEY,
                                "amount": MONEY,
                                "kind": {"enum": [str(kind) for kind in CostKind]},
                                "basis": TEXT,
                                "source": TEXT,
                            }
                        ),
                        "total": MONEY,
                    }
                ),
                "price": record(
                    {
                        "net": MONEY,
                        "tax": MONEY,
                        "gross": MONEY,
                        "per_sheath": {
                            **MONEY,
                            "description": "net price of one; the average, where lines differ",
                        },
                        "deposit": MONEY,
                        "balance": MONEY,
                    }
                ),
                "pricing": _pricing(),
                "rule_of_thumb": _rule_of_thumb(),
                "schedule": schedule_form(),
                "checks": list_of(
                    {
                        "level": {"enum": [str(level) for level in Level]},
                        "code": TEXT,
                        "message": TEXT,
                        "remedy": TEXT,
                    }
                ),
                "cautions": {"type": "array", "items": TEXT},
            }
        ),
    }


def _pricing() -> dict[str, Any]:
    shares = ("share", "tax_share", "fee_share", "deposit_share")
    amounts = ("minimum_charge", "round_to", "round_less", "fee_fixed", "fee", "kept")
    return record(
        {
            "method": {"enum": [str(method) for method in PriceMethod]},
            **{name: {**MONEY, "description": "a share, 0.2 means 20 %"} for name in shares},
            **dict.fromkeys(amounts, MONEY),
            "rounding": {"enum": [str(rounding) for rounding in Rounding]},
            "valid_days": COUNT,
            "parts": {
                **list_of({"name": TEXT, "amount": MONEY, "basis": TEXT}),
                "description": "from the cost to the net price, adding up to it",
            },
            "lines": {
                **list_of(
                    {
                        "line": TEXT,
                        "quantity": COUNT,
                        "cost": MONEY,
                        "each": MONEY,
                        "net": MONEY,
                    }
                ),
                "description": "one for each line of the order, adding up to cost and net price",
            },
        }
    )


def _rule_of_thumb() -> dict[str, Any]:
    members = {
        "waste_share": MONEY,
        "waste_of": {
            "enum": [str(of) for of in WasteOf],
            "description": "net: parts x (1 + share); gross: parts / (1 - share)",
        },
        "outside_dm2": {**SIZE, "description": "least rectangles round all parts"},
        "leather_dm2": {**SIZE, "description": "with the waste"},
        "leather": MONEY,
        "total": MONEY,
        "net": MONEY,
        "basis": TEXT,
    }
    return {
        **list_of(members),
        "description": "the shop's own rule first, then its figure taken the other way",
    }


def _layout() -> dict[str, Any]:
    flaw = {
        "kind": TEXT,
        "spoil": {"enum": [str(spoil) for spoil in Spoil]},
        "outline": _OUTLINE,
        "note": TEXT,
        "charged_mm2": {**SIZE, "description": "leather that the job pays for it, at least"},
    }
    region = {
        "needs": {
            "type": "array",
            "items": {"enum": [str(need) for need in Need]},
            "uniqueItems": True,
        },
        "outline": _OUTLINE,
    }
    placement = {
        "part": {
            "type": "string",
            "description": "the part's name; with several order lines, line and part: line/part",
        },
        "copy": {**COUNT, "description": "from 1; mirrored copies count on after the plain ones"},
        "outline": _OUTLINE,
        "regions": list_of(region),
        "x_mm": {**NUMBER, "description": "shift after mirroring and turning about the origin"},
        "y_mm": NUMBER,
        "rotation_deg": {
            **NUMBER,
            "description": "turn against the drawing, counter-clockwise, after any mirroring",
        },
        "mirrored": {"type": "boolean", "description": "cut mirrored against the drawing"},
    }
    hide = {
        "hide": TEXT,
        "outline": _OUTLINE,
        "flaws": list_of(flaw),
        "area_mm2": SIZE,
        "consumed_mm2": {**SIZE, "description": "area cut into, less the offcuts kept"},
        "charged_mm2": {
            **SIZE,
            "description": "area_mm2 x used_share, or the whole hide where the "
            "shop charges that: what the job pays for",
        },
        "used_share": {
            **SIZE,
            "description": "share of the hide's worth that is used up, 0 to 1",
        },
        "yield": {**SIZE, "description": "parts' area / consumed_mm2; 0 if nothing lies on it"},
        "placements": list_of(placement),
        "offcuts": list_of(
            {
                "outline": {**_OUTLINE, "description": "outer edge; the area is less the holes"},
                "holes": {
                    "type": "array",
                    "items": _OUTLINE,
                    "description": "where parts are cut out of it, and the hide's own",
                },
                "area_mm2": SIZE,
                "worth_mm2": {**SIZE, "description": "its worth as area of the best leather"},
            }
        ),
    }
    return record(
        {
            "margins": record({"spacing_mm": SIZE, "edge_mm": SIZE, "flaw_mm": SIZE}),
            "hides": list_of(hide),
            "unplaced": list_of({"part": TEXT, "copies": COUNT, "reason": TEXT}),
            "seed": {"type": "integer", "description": "what the search began with"},
            "moves": {"type": "integer", "description": "moves after which this was found"},
            "refused": {
                "type": "array",
                "items": TEXT,
                "description": "faults of a later layout that was refused; empty unless we erred",
            },
            "search": {
                "enum": [str(ending) for ending in Ending],
                "description": "how the search for room ended",
            },
            "island_saving": {
                "type": ["number", "null"],
                "description": "share of the leather's cost saved by cutting from the middle of "
                "what is left; null where that is not done",
            },
        }
    )

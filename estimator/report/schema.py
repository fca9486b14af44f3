"""The published form of the JSON that a quote prints."""

from typing import Any

from estimator.costing.cost_lines import CostKind
from estimator.costing.price_book import PriceMethod, Rounding, WasteOf
from estimator.errors import Level
from estimator.quality import Need, Spoil
from estimator.report.payload import SCHEMA_VERSION
from estimator.report.schedule_json import schedule_form

_NUMBER = {"type": "number"}
_COUNT = {"type": "integer", "minimum": 1}
_SIZE = {"type": "number", "minimum": 0}
_TEXT = {"type": "string"}
_MONEY = {
    "type": "string",
    "pattern": r"^-?[0-9]+(\.[0-9]+)?$",
    "description": "an amount in the order's currency, as text so that no digit is lost",
}
_DAY = {"type": "string", "format": "date"}
_OUTLINE = {
    "type": "array",
    "minItems": 3,
    "items": {"type": "array", "items": _NUMBER, "minItems": 2, "maxItems": 2},
    "description": "[x, y] in mm, y up, counter-clockwise, the first point not repeated",
}


def quote_schema() -> dict[str, Any]:
    """Give the JSON Schema of :func:`estimator.report.payload.payload`.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12. Unknown keys are refused.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "What `estimator quote --json` prints",
        **_record(
            {
                "schema_version": {"const": SCHEMA_VERSION},
                "order": _record(
                    {
                        "reference": _TEXT,
                        "currency": {"type": "string", "pattern": "^[A-Z]{3}$"},
                        "due": {"anyOf": [_DAY, {"type": "null"}]},
                    }
                ),
                "layout": _layout(),
                "takeoff": _list(
                    {
                        "item": _TEXT,
                        "quantity": _NUMBER,
                        "unit": _TEXT,
                        "low": _NUMBER,
                        "high": _NUMBER,
                        "basis": _TEXT,
                        "source": _TEXT,
                    }
                ),
                "cost": _record(
                    {
                        "lines": _list(
                            {
                                "item": _TEXT,
                                "quantity": _NUMBER,
                                "unit": _TEXT,
                                "rate": _MONEY,
                                "amount": _MONEY,
                                "kind": {"enum": [str(kind) for kind in CostKind]},
                                "basis": _TEXT,
                                "source": _TEXT,
                            }
                        ),
                        "total": _MONEY,
                    }
                ),
                "price": _record(
                    {
                        "net": _MONEY,
                        "tax": _MONEY,
                        "gross": _MONEY,
                        "per_sheath": {
                            **_MONEY,
                            "description": "net price of one; the average, where lines differ",
                        },
                        "deposit": _MONEY,
                        "balance": _MONEY,
                    }
                ),
                "pricing": _pricing(),
                "rule_of_thumb": _rule_of_thumb(),
                "schedule": schedule_form(),
                "checks": _list(
                    {
                        "level": {"enum": [str(level) for level in Level]},
                        "code": _TEXT,
                        "message": _TEXT,
                        "remedy": _TEXT,
                    }
                ),
                "cautions": {"type": "array", "items": _TEXT},
            }
        ),
    }


def _pricing() -> dict[str, Any]:
    """How the cost became the price, for the shop alone."""
    shares = ("share", "tax_share", "fee_share", "deposit_share")
    amounts = ("minimum_charge", "round_to", "round_less", "fee_fixed", "fee", "kept")
    return _record(
        {
            "method": {"enum": [str(method) for method in PriceMethod]},
            **{name: {**_MONEY, "description": "a share, 0.2 means 20 %"} for name in shares},
            **dict.fromkeys(amounts, _MONEY),
            "rounding": {"enum": [str(rounding) for rounding in Rounding]},
            "valid_days": _COUNT,
            "parts": {
                **_list({"name": _TEXT, "amount": _MONEY, "basis": _TEXT}),
                "description": "from the cost to the net price, adding up to it",
            },
            "lines": {
                **_list(
                    {
                        "line": _TEXT,
                        "quantity": _COUNT,
                        "cost": _MONEY,
                        "each": _MONEY,
                        "net": _MONEY,
                    }
                ),
                "description": "one for each line of the order, adding up to cost and net price",
            },
        }
    )


def _rule_of_thumb() -> dict[str, Any]:
    """What the trade's quick method would have said."""
    members = {
        "waste_share": _MONEY,
        "waste_of": {
            "enum": [str(of) for of in WasteOf],
            "description": "net: parts x (1 + share); gross: parts / (1 - share)",
        },
        "outside_dm2": {**_SIZE, "description": "least rectangles round all parts"},
        "leather_dm2": {**_SIZE, "description": "with the waste"},
        "leather": _MONEY,
        "total": _MONEY,
        "net": _MONEY,
        "basis": _TEXT,
    }
    return {
        **_list(members),
        "description": "the shop's own rule first, then its figure taken the other way",
    }


def _layout() -> dict[str, Any]:
    """Margins, hides and what found no place."""
    flaw = {
        "kind": _TEXT,
        "spoil": {"enum": [str(spoil) for spoil in Spoil]},
        "outline": _OUTLINE,
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
        "copy": {**_COUNT, "description": "from 1; mirrored copies count on after the plain ones"},
        "outline": _OUTLINE,
        "regions": _list(region),
        "x_mm": {**_NUMBER, "description": "shift after mirroring and turning about the origin"},
        "y_mm": _NUMBER,
        "rotation_deg": {
            **_NUMBER,
            "description": "turn against the drawing, counter-clockwise, after any mirroring",
        },
        "mirrored": {"type": "boolean", "description": "cut mirrored against the drawing"},
    }
    hide = {
        "hide": _TEXT,
        "outline": _OUTLINE,
        "flaws": _list(flaw),
        "area_mm2": _SIZE,
        "consumed_mm2": {**_SIZE, "description": "area cut into, less the offcuts kept"},
        "yield": {**_SIZE, "description": "parts' area / consumed_mm2; 0 if nothing lies on it"},
        "placements": _list(placement),
        "offcuts": _list(
            {
                "outline": {**_OUTLINE, "description": "outer edge; the area is less any holes"},
                "area_mm2": _SIZE,
            }
        ),
    }
    margins = {"spacing_mm": _SIZE, "edge_mm": _SIZE, "flaw_mm": _SIZE}
    return _record(
        {
            "margins": _record(margins),
            "hides": _list(hide),
            "unplaced": _list({"part": _TEXT, "copies": _COUNT, "reason": _TEXT}),
            "seed": {"type": "integer", "description": "what the search began with"},
            "moves": {"type": "integer", "description": "moves after which this was found"},
            "refused": {
                "type": "array",
                "items": _TEXT,
                "description": "faults of a later layout that was refused; empty unless we erred",
            },
        }
    )


def _record(members: dict[str, Any]) -> dict[str, Any]:
    """An object with exactly these keys."""
    return {
        "type": "object",
        "properties": members,
        "required": list(members),
        "additionalProperties": False,
    }


def _list(members: dict[str, Any]) -> dict[str, Any]:
    """A list of such objects."""
    return {"type": "array", "items": _record(members)}

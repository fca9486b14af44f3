"""An estimate as the JSON object that scripts rely on."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from shapely import Polygon

from estimator.geometry.shapes import size_mm
from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.quality import Need, Spoil
from estimator.report.cuts import Cut, cuts
from estimator.report.json_output.schedule import schedule_values
from estimator.report.text.findings import caution_texts, notices, why_left_over
from estimator.report.text.messages import text, words
from estimator.takeoff.materials.leather import Charge, charged_mm2
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.prepare import part_label, piece_names

SCHEMA_VERSION = 1
"""Raised when a key changes its meaning or goes away."""


def payload(estimate: Estimate) -> dict[str, Any]:
    """Give an estimate as plain values: numbers as numbers, money as strings.

    Parameters
    ----------
    estimate : Estimate
        What was worked out.

    Returns
    -------
    dict
        Ready for ``json.dumps``; its form is
        :func:`estimator.report.json_output.schema.quote_schema`.
        Lengths mm, areas mm2, outlines in the hide's axes, y up.
    """
    order, units = estimate.order, estimate.order.units
    return {
        "schema_version": SCHEMA_VERSION,
        "order": {
            "reference": order.reference,
            "currency": order.book.prices.currency,
            "due": order.due.isoformat() if order.due else None,
        },
        "layout": _layout(estimate),
        "takeoff": [
            {
                "item": text(entry.name, units),
                "quantity": float(entry.quantity),
                "unit": str(entry.unit),
                "low": float(entry.low),
                "high": float(entry.high),
                "basis": text(entry.basis, units),
                "source": words(entry.sources, units),
            }
            for entry in estimate.takeoff.quantities
        ],
        "cost": {
            "lines": [
                {
                    "item": text(line.name, units),
                    "quantity": float(line.quantity),
                    "unit": str(line.unit),
                    "rate": _money(line.rate),
                    "amount": _money(line.amount),
                    "kind": str(line.kind),
                    "basis": text(line.full_basis, units) if line.full_basis else "",
                    "source": text(line.source, units) if line.source else "",
                }
                for line in estimate.cost.lines
            ],
            "total": _money(estimate.cost.total),
        },
        "price": {
            "net": _money(estimate.price.net),
            "tax": _money(estimate.price.tax),
            "gross": _money(estimate.price.gross),
            "per_sheath": _money(estimate.price.per_sheath),
            "deposit": _money(estimate.price.deposit),
            "balance": _money(estimate.price.balance),
        },
        "pricing": _pricing(estimate),
        "rule_of_thumb": [
            {
                "waste_share": _money(row.waste.share),
                "waste_of": str(row.waste.of),
                "outside_dm2": row.outside_dm2,
                "leather_dm2": row.leather_dm2,
                "leather": _money(row.leather),
                "total": _money(row.total),
                "net": _money(row.net),
                "basis": text(row.basis, units),
            }
            for row in estimate.rule_of_thumb
        ],
        "schedule": schedule_values(estimate.schedule),
        "checks": [each.values for each in notices(estimate.checks, estimate.order.units)],
        "cautions": list(caution_texts(estimate)),
    }


def shape_measures(name: str, outline: Polygon) -> dict[str, Any]:
    """Measure one outline.

    Parameters
    ----------
    name : str
        What it is called.
    outline : Polygon
        The cut line, holes included, mm.

    Returns
    -------
    dict
        Name, area, cut length, count of holes, width and height.

    Examples
    --------
    >>> from shapely import box
    >>> shape_measures("strap", box(0, 0, 200, 20))["perimeter_mm"]
    440.0
    """
    width_mm, height_mm = size_mm(outline)
    return {
        "name": name,
        "area_mm2": outline.area,
        "perimeter_mm": outline.length,
        "holes": len(outline.interiors),
        "width_mm": width_mm,
        "height_mm": height_mm,
    }


def _pricing(estimate: Estimate) -> dict[str, Any]:
    """How the cost became the price: the shop's own, not for the customer."""
    price, pricing = estimate.price, estimate.order.book.pricing
    return {
        "method": str(pricing.method),
        "share": _money(pricing.share),
        "minimum_charge": _money(pricing.minimum_charge),
        "round_to": _money(pricing.round_to),
        "rounding": str(pricing.rounding),
        "round_less": _money(pricing.round_less),
        "tax_share": _money(pricing.tax_share),
        "fee_share": _money(pricing.fee_share),
        "fee_fixed": _money(pricing.fee_fixed),
        "deposit_share": _money(pricing.deposit_share),
        "valid_days": estimate.order.book.letterhead.quote_valid_days,
        "fee": _money(price.fee),
        "kept": _money(price.kept),
        "parts": [
            {
                "name": text(part.name, estimate.order.units),
                "amount": _money(part.amount),
                "basis": text(part.basis, estimate.order.units),
            }
            for part in price.parts
        ],
        "lines": [
            {
                "line": line.line,
                "quantity": line.quantity,
                "cost": _money(line.cost),
                "each": _money(line.each),
                "net": _money(line.net),
            }
            for line in price.lines
        ],
    }


def _layout(estimate: Estimate) -> dict[str, Any]:
    """Margins, hides with what lies on them, and what does not fit."""
    margins, order = estimate.problem.margins, estimate.order
    uses = {use.sheet: use for use in estimate.uses}
    every = cuts(estimate)
    names = piece_names(order)
    return {
        "margins": {
            "spacing_mm": margins.spacing_mm,
            "edge_mm": margins.edge_mm,
            "flaw_mm": margins.flaw_mm,
        },
        "hides": [
            _hide(
                hide,
                uses[hide.tag],
                tuple(cut for cut in every if cut.hide == hide.tag),
                {c.number: c.area_mm2 for c in estimate.flaw_costs if c.sheet == hide.tag},
                order.book.leather.charge,
            )
            for hide in order.hides
            if hide.tag in uses
        ],
        "unplaced": [
            {
                "part": part_label(names[left.piece], order),
                "copies": left.copies,
                "reason": why_left_over(left, order.units),
            }
            for left in estimate.layout.unplaced
        ],
        "seed": estimate.layout.seed,
        "moves": estimate.layout.moves,
        "refused": list(estimate.layout.refused),
        "search": str(estimate.ending),
        "island_saving": estimate.layout.island_saving,
    }


def _hide(
    hide: Hide, use: SheetUse, laid: tuple[Cut, ...], costs: Mapping[int, float], charge: Charge
) -> dict[str, Any]:
    """One hide; holes in its outline are told as unusable flaws."""
    flaws = [
        _flaw(flaw.kind, flaw.reckoned_spoil, flaw.outline, flaw.note, costs.get(number, 0.0))
        for number, flaw in enumerate(hide.flaws)
    ]
    gone = [
        _flaw("hole", Spoil.UNUSABLE, Polygon(hole), "", 0.0) for hole in hide.outline.interiors
    ]
    return {
        "hide": hide.tag,
        "outline": ring(hide.outline),
        "flaws": flaws + gone,
        "area_mm2": use.area_mm2,
        "consumed_mm2": use.consumed_mm2,
        "charged_mm2": charged_mm2(use, charge),
        "used_share": use.used_share,
        "yield": use.pieces_mm2 / use.consumed_mm2 if use.consumed_mm2 else 0.0,
        "placements": [_placement(cut) for cut in laid],
        "offcuts": [
            {
                "outline": ring(offcut),
                "holes": [ring(Polygon(hole)) for hole in offcut.interiors],
                "area_mm2": offcut.area,
                "worth_mm2": worth_mm2,
            }
            for offcut, worth_mm2 in zip(use.offcuts, use.offcut_worths_mm2, strict=True)
        ],
    }


def _flaw(kind: str, spoil: Spoil, outline: Polygon, note: str, cost_mm2: float) -> dict[str, Any]:
    """One flaw, and the leather that is charged for it at least."""
    return {
        "kind": kind,
        "spoil": str(spoil),
        "outline": ring(outline),
        "note": note,
        "charged_mm2": cost_mm2,
    }


def _placement(cut: Cut) -> dict[str, Any]:
    return {
        "part": cut.label,
        "copy": cut.copy,
        "outline": ring(cut.outline),
        "regions": [
            {"needs": [str(need) for need in Need if need in needs], "outline": ring(outline)}
            for needs, outline in cut.regions
        ],
        "x_mm": cut.pose.x_mm,
        "y_mm": cut.pose.y_mm,
        "rotation_deg": cut.pose.rotation_deg,
        "mirrored": cut.mirrored,
    }


def ring(outline: Polygon) -> list[list[float]]:
    """Give the outer edge of a polygon as points, counter-clockwise, the first not repeated.

    Parameters
    ----------
    outline : Polygon
        mm.

    Returns
    -------
    list of [x, y]
        mm.

    Examples
    --------
    >>> from shapely import box
    >>> ring(box(0, 0, 2, 1))
    [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]
    """
    points = [[float(x), float(y)] for x, y in outline.exterior.coords[:-1]]
    if not outline.exterior.is_ccw:
        points.reverse()
    first = points.index(min(points))
    return points[first:] + points[:first]


def _money(amount: Decimal) -> str:
    """An amount with all its digits and no exponent."""
    return f"{amount:f}"

"""Batch curves and comparisons as tables, values and a picture."""

from datetime import date
from decimal import Decimal
from io import StringIO

import jsonschema
import pytest
from rich.console import Console, RenderableType
from shapely import box

from estimator.nesting.engine.settings import Moves, Settings
from estimator.report.json_output.batch_schema import batch_schema, compare_schema
from estimator.report.page.fonts import fonts_for
from estimator.report.pictures.batches import chart_bytes, draw_batches
from estimator.report.screen.batch import batch_tables, batch_values
from estimator.report.screen.comparison import comparison_tables, comparison_values
from estimator.units import Units
from estimator.workshop.batch import Batch, batch
from estimator.workshop.compare import compared, with_hides
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order
from tests import shop
from tests.takeoff.sheath_samples import sheath

SIDE = shop.hide("side", box(0, 0, 700, 500))
ORDER = shop.order(shop.line(sheath(), 2), hides=(SIDE,))
FONTS = fonts_for(("pruning",))


def worked_out(asked: Order) -> Estimate:
    return estimate(asked, settings=Settings(), budget=Moves(3), start=date(2026, 11, 30))


@pytest.fixture(scope="module")
def curve() -> Batch:
    """Sizes that fit, and one that does not."""
    return batch(ORDER, ORDER.lines[0], (1, 2, 40), work_out=worked_out)


def printed(shown: RenderableType) -> str:
    held = StringIO()
    Console(file=held, width=100).print(shown)
    return held.getvalue()


def test_the_table_tells_cost_price_and_break_even(curve: Batch) -> None:
    told = printed(batch_tables([curve], currency="EUR", units=Units.METRIC))
    for row in curve.rows[:2]:
        assert f"€{row.price.net:,}" in told
    assert f"fits {curve.rows[2].complete}" in told
    assert "--more-leather" in told
    assert f"a batch of {curve.break_even.quantity}" in told if curve.break_even else False


def test_what_does_not_fit_has_no_money_in_the_values(curve: Batch) -> None:
    values = batch_values([curve], currency="EUR")
    jsonschema.validate(values, batch_schema())
    (one,) = values["batches"]
    small, _, large = one["rows"]
    assert small["cost"] == f"{curve.rows[0].cost}"
    assert large["cost"] is large["net_each"] is large["promise_date"] is None
    assert Decimal(one["break_even"]["fixed"]) > 0


def test_the_chart_is_the_same_again_and_labels_each_point(curve: Batch) -> None:
    first, second = (
        chart_bytes(draw_batches([curve, curve], currency="EUR", fonts=FONTS), "svg", FONTS)
        for _ in range(2)
    )
    assert first == second
    for row in curve.rows[:2]:
        assert first.decode().count(f"€{row.price.per_sheath}") == 2
    assert f"€{curve.rows[2].price.per_sheath}" not in first.decode()
    picture = chart_bytes(draw_batches([curve], currency="EUR", fonts=FONTS), "png", FONTS)
    assert picture.startswith(b"\x89PNG")


def test_no_curve_is_drawn_of_nothing() -> None:
    nothing = Batch(line="pruning", rows=(), break_even=None)
    with pytest.raises(ValueError, match="no batch fits"):
        draw_batches([nothing], currency="EUR", fonts=FONTS)


def test_a_comparison_stands_side_by_side() -> None:
    small = shop.hide("small", box(0, 0, 320, 230), price_paid=Decimal("90.00"))
    one, other = worked_out(ORDER), worked_out(with_hides(ORDER, (small,)))
    found, names = compared(one, other), ("order", "on small")
    told = printed(comparison_tables(found, names=names, currency="EUR", units=Units.IMPERIAL))
    assert "on small" in told
    assert "sq ft" in told
    assert f"€{one.price.net}" in told
    assert ("The cost lacks the leather" in told) == bool(other.layout.unplaced)
    values = comparison_values(found, names=names, currency="EUR")
    jsonschema.validate(values, compare_schema())
    figures = {row["name"]: row for row in values["figures"]}
    assert figures["net price"]["one"] == f"{one.price.net}"
    assert figures["ready"]["other"] == other.schedule.promise_date.isoformat()
    assert figures["sheaths"]["one"] == 2
    for row in values["costs"]:
        reasons = Decimal(row["by_rate"]) + Decimal(row["by_quantity"])
        assert reasons == Decimal(row["other"]) - Decimal(row["one"])

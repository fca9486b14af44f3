"""The batch curve as a picture: cost and price of one sheath over the size of the batch."""

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from estimator.report.page.fonts import Fonts
from estimator.report.page.picture_files import figure_bytes
from estimator.report.page.styles import INK, drawing_style, plain_letters
from estimator.report.text import amounts
from estimator.units import inches_from_mm
from estimator.workshop.batch import Batch

WIDTH_MM, HEIGHT_MM = 170.0, 95.0
"""One curve; each further pattern has a picture of the same size below."""
SMALL_PT = 8.0


def draw_batches(batches: Sequence[Batch], *, currency: str, fonts: Fonts) -> Figure:
    """Draw the curve of each pattern, one below the other.

    Parameters
    ----------
    batches : sequence of Batch
        At least one, each with a size that its leather was enough for.
    currency : str
        ISO 4217 code.
    fonts : Fonts
        That cover the names of the lines.

    Returns
    -------
    Figure
        A full line with dots is the net price of one sheath, a dashed one with squares its
        cost; each point is labelled. Sizes stand as far apart as their logarithms.

    Raises
    ------
    ValueError
        If there is nothing to draw.
    """
    shown = [one for one in batches if any(row.fits for row in one.rows)]
    if not shown:
        raise ValueError("no batch fits on the leather, so there is no curve to draw")
    with drawing_style(fonts):
        figure = Figure(figsize=(inches_from_mm(WIDTH_MM), inches_from_mm(HEIGHT_MM * len(shown))))
        for place, one in enumerate(shown, start=1):
            axes = figure.add_subplot(len(shown), 1, place)
            _draw(axes, one, currency)
            axes.set_title(fonts.printable(f"{one.line}, each, before tax"), fontsize=10)
            plain_letters([axes.title, *axes.texts])
        figure.tight_layout(pad=1.2, h_pad=2.0)
    return figure


def chart_bytes(figure: Figure, form: str, fonts: Fonts) -> bytes:
    """Give a chart as the bytes of a file, the same again each time.

    Parameters
    ----------
    figure : Figure
        The chart.
    form : str
        ``png`` or ``svg``.
    fonts : Fonts
        As for drawing.

    Returns
    -------
    bytes
        Without a time stamp.
    """
    options: dict[str, Any] = {"dpi": 150} if form == "png" else {"metadata": {"Date": None}}
    return figure_bytes(figure, form, fonts, **options)


def _draw(axes: Axes, one: Batch, currency: str) -> None:
    """Net price and cost of one sheath over the size of the batch, each point labelled."""
    rows = [row for row in one.rows if row.fits]
    sizes = [row.quantity for row in rows]
    prices = [float(row.price.per_sheath) for row in rows]
    costs = [float(row.cost_each) for row in rows]
    axes.set_xscale("log")
    axes.plot(sizes, prices, color=INK, marker="o", label="net price")
    axes.plot(sizes, costs, color=INK, marker="s", markerfacecolor="white", linestyle="--",
              label="cost to the shop")  # fmt: skip
    for row, upper, lower in zip(rows, prices, costs, strict=True):
        for value, amount, below in (
            (upper, row.price.per_sheath, False),
            (lower, row.cost_each, True),
        ):
            axes.annotate(
                amounts.coins(amount, currency),
                (row.quantity, value),
                xytext=(-4, -4) if below else (4, 4),
                textcoords="offset points",
                ha="right" if below else "left",
                va="top" if below else "bottom",
                fontsize=SMALL_PT,
            )
    axes.set_xticks(sizes, [str(size) for size in sizes])
    axes.minorticks_off()
    room = 0.18 * max(prices)
    axes.set_ylim(max(0.0, min(costs) - room), max(prices) + room)
    axes.margins(x=0.12)
    axes.set_xlabel("sheaths in the batch", fontsize=SMALL_PT)
    axes.tick_params(labelsize=SMALL_PT)
    axes.spines[["top", "right"]].set_visible(False)
    axes.legend(frameon=False, fontsize=SMALL_PT)

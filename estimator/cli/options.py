"""What several commands share: options, and the examples at the end of their help."""

from collections.abc import Callable
from datetime import date, datetime
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from estimator.desk.shop import Shop

Command = TypeVar("Command", bound=Callable[..., Any])

DATE = click.DateTime(formats=("%Y-%m-%d",))

EFFORT = "estimator.nesting.effort:Effort"
PAPER = "estimator.report.page.paper:Paper"
UNITS = "estimator.units:Units"


def examples(*lines: str) -> str:
    """Write examples so that the help keeps their lines.

    Parameters
    ----------
    *lines : str
        Commands as a user types them.

    Returns
    -------
    str
        For a command's ``epilog``.
    """
    return "\n".join(("\b", "Examples:", *(f"  {line}" for line in lines)))


def record_of(home: str) -> Callable[[click.Context, click.Parameter, str | None], Any]:
    """Make the callback of an option that turns a word into the value it stands for.

    Parameters
    ----------
    home : str
        Module and name of what makes the value, loaded only when the command runs.

    Returns
    -------
    callable
        For ``click.option``; None stays None.
    """

    def value(_context: click.Context, _option: click.Parameter, word: str | None) -> Any:
        module, name = home.split(":")
        return None if word is None else getattr(import_module(module), name)(word)

    return value


def day_or_today(_context: click.Context, _option: click.Parameter, at: datetime | None) -> date:
    """Give the day that was named, or today; the callback of an option."""
    return at.date() if at else today()


def today() -> date:
    """Give the day by the clock of this machine."""
    return datetime.now().astimezone().date()


def _shop(_context: click.Context, _option: click.Parameter, records: Path | None) -> "Shop":
    from estimator.cli.shop import shop_here

    return shop_here(records)


json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print one JSON object and nothing else."
)


seed_option = click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True)


def effort_option(*, default: str = "normal", text: str) -> Callable[[Command], Command]:
    """Give a command the option ``--effort``, with its default and help."""
    return click.option(
        "--effort",
        type=click.Choice(("quick", "normal", "thorough")),
        default=default,
        show_default=True,
        help=text,
        callback=record_of(EFFORT),
    )


def start_option(*, text: str = "Day the work can begin.") -> Callable[[Command], Command]:
    """Give a command the option ``--start``; ``text`` says what day it is."""
    return click.option(
        "--start",
        type=DATE,
        metavar="YYYY-MM-DD",
        help=f"{text}  [default: today]",
        callback=day_or_today,
    )


units_option = click.option(
    "--units",
    type=click.Choice(("metric", "imperial")),
    help="Units to read.",
    callback=record_of(UNITS),
)


metric_option = click.option(
    "--units",
    type=click.Choice(("metric", "imperial")),
    default="metric",
    callback=record_of(UNITS),
)


def paper_option(*, papers: tuple[str, ...] = ("a4", "letter")) -> Callable[[Command], Command]:
    """Give a command the option ``--paper``, of these sizes."""
    return click.option(
        "--paper",
        type=click.Choice(papers),
        default="a4",
        show_default=True,
        callback=record_of(PAPER),
    )


records_option = click.option(
    "--records",
    "shop",
    type=click.Path(path_type=Path),
    help="File of the shop's records.  [default: records.sqlite beside prices.toml, or what "
    "ESTIMATOR_RECORDS names]",
    callback=_shop,
)


day_option = click.option(
    "--on",
    type=DATE,
    metavar="YYYY-MM-DD",
    help="The day.  [default: today]",
    callback=day_or_today,
)

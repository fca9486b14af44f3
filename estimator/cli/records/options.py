"""Options of the commands on records: which file, which day."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.options import DATE, Command, day

if TYPE_CHECKING:
    from estimator.desk.shop import Shop


def records_option(command: Command) -> Command:
    """Give a command the option ``--records``; it is called with the ``shop`` that has them."""
    return click.option(
        "--records",
        "shop",
        type=click.Path(path_type=Path),
        help="File of the shop's records.  [default: records.sqlite beside prices.toml, or what "
        "ESTIMATOR_RECORDS names]",
        callback=_shop,
    )(command)


def _shop(context: click.Context, option: click.Parameter, records: Path | None) -> "Shop":  # noqa: ARG001  (as click calls it)
    from estimator.cli.shop import shop_here

    return shop_here(records)


def day_option(command: Command) -> Command:
    """Give a command the option ``--on``, which is today unless said."""
    return click.option(
        "--on", type=DATE, metavar="YYYY-MM-DD", help="The day.  [default: today]", callback=day
    )(command)

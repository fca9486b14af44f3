"""Commands that look at an order but write nothing: capacity, check."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.options import effort_option, examples, json_option, seed_option
from estimator.cli.screen import print_json, show

if TYPE_CHECKING:
    from estimator.cli.progress import Watched
    from estimator.nesting.effort import Effort


@click.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator capacity order.toml",
        "estimator capacity order.toml --effort quick",
        "estimator capacity order.toml --json",
    ),
)
@click.argument("order", type=click.Path(path_type=Path))
@json_option
@seed_option
@effort_option(text="How long to look for room for one more. Same effort and seed: same count.")
def capacity(order: Path, *, as_json: bool, seed: int, effort: "Effort") -> int:
    """Count the complete sheaths of each pattern that the hides of ORDER yield.

    Each pattern is counted by itself, as if it had all the leather, and printed as soon as
    it is counted. Ctrl-C ends the count and keeps what fits so far.
    """
    import sys
    from functools import partial

    from estimator.cli.progress import print_effort, stoppable
    from estimator.cli.shop import shop_here
    from estimator.desk.looking import MOST_MOVES, count_sheaths
    from estimator.nesting.engine.settings import Moves

    asked = shop_here().read_order(order)
    budget = Moves(MOST_MOVES)
    counted: dict[str, int] = {}
    print_effort(effort, None)
    with stoppable(budget, is_shown=sys.stderr.isatty(), is_endless=True) as watched:
        for key, sheaths in count_sheaths(
            asked,
            watched,
            effort=effort,
            seed=seed,
            on_step=watched.tell,
            on_count=partial(_show_count, watched),
        ):
            counted[key] = sheaths
            if not as_json:
                one = "sheath" if sheaths == 1 else "sheaths"
                click.echo(f"{key}: {sheaths} complete {one}")
    if as_json:
        print_json({"sheaths": counted})
    if budget.stopped:
        click.echo("Stopped: more may fit than was counted so far.", err=True)
        left = ", ".join(line.key for line in asked.lines if line.key not in counted)
        if left:
            click.echo(f"Not counted: {left}.", err=True)
        return STOPPED
    return DONE


def _show_count(watched: "Watched", key: str, sheaths: int) -> None:
    watched.tell(f"{key}: {sheaths} so far")


@click.command(
    no_args_is_help=True,
    epilog=examples("estimator check order.toml", "estimator check ~/orders/2026-014/order.toml"),
)
@click.argument("order", type=click.Path(path_type=Path))
def check(order: Path) -> int:
    """Read ORDER and all its files, and print the checks that need no layout."""
    from estimator.cli.shop import shop_here
    from estimator.errors import Level
    from estimator.report.screen.tables import checks_text
    from estimator.report.text.findings import notices
    from estimator.workshop.findings.checks import order_checks

    asked = shop_here().read_order(order)
    found = order_checks(asked)
    show(checks_text(notices(found, asked.units)))
    return DOES_NOT_FIT if any(one.level is Level.STOP for one in found) else DONE

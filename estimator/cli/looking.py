"""Commands that look and print but write nothing: capacity, check, pattern show, schema."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.listed import Listed, ListedGroup
from estimator.cli.options import effort_option, json_option, seed_option

if TYPE_CHECKING:
    from shapely import Polygon

    from estimator.cli.progress import Watched
    from estimator.drawing.scales import DrawingUnit

MOST_MOVES = 10_000
"""There for Ctrl-C: the count itself decides how many moves each number of sheaths is worth."""

SCHEMA_HOMES = {
    "order": ("estimator.workshop.order.reader", "order_schema"),
    "pattern": ("estimator.pattern.reader", "pattern_schema"),
    "blade": ("estimator.pattern.blade_file.reader", "blade_schema"),
    "hide": ("estimator.hide.reader", "hide_schema"),
    "price-book": ("estimator.report.json_output.price_book_schema", "price_book_schema"),
    "quote": ("estimator.report.json_output.schema", "quote_schema"),
    "batch": ("estimator.report.json_output.batch_schema", "batch_schema"),
    "compare": ("estimator.report.json_output.batch_schema", "compare_schema"),
}
"""Module and function that give each schema, loaded only when it is asked for."""

SCHEMAS = tuple(SCHEMA_HOMES)


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
@effort_option(told="How long to look for room for one more. Same effort and seed: same count.")
def capacity(order: Path, *, as_json: bool, seed: int, effort: str) -> int:
    """Count the complete sheaths of each pattern that the hides of ORDER yield.

    Each pattern is counted by itself, as if it had all the leather, and printed as soon as
    it is counted. Ctrl-C ends the count and keeps what fits so far.
    """
    import sys
    from functools import partial

    from estimator.cli.progress import stoppable, tell_of_preparation
    from estimator.cli.records_rack import rack
    from estimator.nesting.capacity import capacity as count
    from estimator.nesting.effort import Effort
    from estimator.nesting.engine.settings import Moves, Settings
    from estimator.workshop.order.prepare import nesting_problem
    from estimator.workshop.order.reader import read_order

    asked = read_order(order, rack=rack)
    problem = nesting_problem(asked)
    budget = Moves(MOST_MOVES)
    counted: dict[str, int] = {}
    if effort != Effort.QUICK:
        tell_of_preparation()
    with stoppable(budget, is_shown=sys.stderr.isatty(), is_endless=True) as watched:
        for line in asked.lines:
            if budget.stopped:
                break
            watched.tell(f"counting {line.key}")
            counted[line.key] = count(
                problem,
                line.key,
                Settings(seed=seed),
                watched,
                effort=Effort(effort),
                on_count=partial(_counted_so_far, watched, line.key),
            )
            if not as_json:
                sheaths = counted[line.key]
                one = "sheath" if sheaths == 1 else "sheaths"
                click.echo(f"{line.key}: {sheaths} complete {one}")
    if as_json:
        _print_json({"sheaths": counted})
    if budget.stopped:
        click.echo("Stopped: more may fit than was counted so far.", err=True)
        left = ", ".join(line.key for line in asked.lines if line.key not in counted)
        if left:
            click.echo(f"Not counted: {left}.", err=True)
        return STOPPED
    return DONE


def _counted_so_far(watched: "Watched", key: str, sheaths: int) -> None:
    """Show a count that may still grow."""
    watched.tell(f"{key}: {sheaths} so far")


@click.command(
    no_args_is_help=True,
    epilog=examples("estimator check order.toml", "estimator check ~/orders/2026-014/order.toml"),
)
@click.argument("order", type=click.Path(path_type=Path))
def check(order: Path) -> int:
    """Read ORDER and all its files, and print the checks that need no layout."""
    from rich.console import Console

    from estimator.cli.records_rack import rack
    from estimator.errors import Level
    from estimator.report.screen.tables import checks_text
    from estimator.report.text.findings import notices
    from estimator.workshop.findings.checks import order_checks
    from estimator.workshop.order.reader import read_order

    asked = read_order(order, rack=rack)
    found = order_checks(asked)
    Console(highlight=False).print(checks_text(notices(found, asked.units)))
    return DOES_NOT_FIT if any(one.level is Level.STOP for one in found) else DONE


@click.group(
    cls=ListedGroup,
    listed={
        "check": Listed(
            "estimator.cli.checking_patterns:check_pattern",
            "Check the pattern in FILE before anything is cut, worst first.",
        ),
        "draft": Listed(
            "estimator.cli.drafting:draft_pattern",
            "Draft a pattern from BLADE, or redraw a drafted pattern.",
        ),
        "export": Listed(
            "estimator.cli.exporting:export",
            "Draw PATTERN in true size, parts side by side, on layers cut, fold, stitch and mark.",
        ),
        "print": Listed(
            "estimator.cli.printing:print_command",
            "Print PATTERN in true size, on pages to be glued together.",
        ),
    },
)
def pattern() -> None:
    """Look at pattern files and drawings."""


@pattern.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator pattern show patterns/pruning.toml",
        "estimator pattern show pruning.svg --json",
        "estimator pattern show pruning.dxf --unit in --units imperial",
    ),
)
@click.argument("drawing", type=click.Path(path_type=Path))
@json_option
@click.option("--units", type=click.Choice(("metric", "imperial")), default="metric")
@click.option(
    "--unit",
    type=click.Choice(("mm", "cm", "in")),
    help="What a drawing is drawn in that does not say so itself.",
)
def show(drawing: Path, *, as_json: bool, units: str, unit: "DrawingUnit | None") -> int:
    """Measure the parts in DRAWING: an SVG, a DXF, or a pattern file."""
    from estimator.report.screen.measures import measured

    parts = _parts(drawing, unit)
    if as_json:
        _print_json(measured(parts))
        return DONE
    from rich.console import Console

    from estimator.report.screen.tables import measures_table
    from estimator.units import Units

    Console(highlight=False).print(measures_table(parts, Units(units)))
    return DONE


def _parts(drawing: Path, unit: "DrawingUnit | None") -> "tuple[tuple[str, Polygon], ...]":
    """Names and outlines of what is in a file, by its ending."""
    from estimator.drawing.reader import SUFFIXES, read_drawing
    from estimator.errors import Fault, InputError
    from estimator.report.screen.measures import parts_drawn

    ending = drawing.suffix.lower()
    if ending in {".toml", ".json"}:
        from estimator.pattern.reader import read_pattern

        return tuple((part.name, part.outline) for part in read_pattern(drawing).parts)
    if ending in SUFFIXES:
        whole = read_drawing(drawing, unit)
        if whole.left_out:
            click.echo(f"Not lines, and left out: {', '.join(whole.left_out)}.", err=True)
        return parts_drawn(whole.paths, file=drawing)
    raise InputError(
        Fault(
            problem=f"files ending in {ending or 'nothing'} are not known",
            remedy="name an SVG or DXF drawing, or a pattern in TOML",
            file=str(drawing),
        )
    )


@click.command(
    no_args_is_help=True,
    epilog=examples("estimator schema order", "estimator schema quote > quote.schema.json"),
)
@click.argument("name", type=click.Choice(SCHEMAS), metavar="|".join(SCHEMAS))
def schema(name: str) -> int:
    """Print the JSON Schema of a file or of the JSON output."""
    _print_json(schema_of(name), indent=2)
    return DONE


def schema_of(name: str) -> dict[str, Any]:
    """Give a published schema.

    Parameters
    ----------
    name : str
        One of ``SCHEMAS``.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12.
    """
    from importlib import import_module

    module, function = SCHEMA_HOMES[name]
    made: dict[str, Any] = getattr(import_module(module), function)()
    return made


def _print_json(values: object, *, indent: int | None = None) -> None:
    """Print one JSON object."""
    import json

    click.echo(json.dumps(values, allow_nan=False, indent=indent))

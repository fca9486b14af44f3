"""``estimator pattern``, and what is measured in a drawing."""

from pathlib import Path
from typing import Any

import click

from estimator.cli import screen
from estimator.cli.exits import DONE
from estimator.cli.listed import Listed, ListedGroup
from estimator.cli.options import examples, json_option, metric_option
from estimator.units import Units


@click.group(
    cls=ListedGroup,
    listed={
        "check": Listed(
            "estimator.cli.patterns.checking:check_pattern",
            "Check the pattern in FILE before anything is cut, worst first.",
        ),
        "draft": Listed(
            "estimator.cli.patterns.drafting:draft_pattern",
            "Draft a pattern from BLADE, or redraw a drafted pattern.",
        ),
        "export": Listed(
            "estimator.cli.patterns.exporting:export",
            "Draw PATTERN in true size, parts side by side, on layers cut, fold, stitch and mark.",
        ),
        "print": Listed(
            "estimator.cli.patterns.printing:print_command",
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
@metric_option
@click.option(
    "--unit",
    type=click.Choice(("mm", "cm", "in")),
    help="What a drawing is drawn in that does not say so itself.",
)
def show(drawing: Path, *, as_json: bool, units: Units, unit: Any) -> int:
    """Measure the parts in DRAWING: an SVG, a DXF, or a pattern file."""
    from estimator.desk.patterns import parts_in
    from estimator.report.screen.measures import measurements
    from estimator.report.screen.tables import measures_table

    parts, left_out = parts_in(drawing, unit)
    if left_out:
        click.echo(f"Not lines, and left out: {', '.join(left_out)}.", err=True)
    if as_json:
        screen.print_json(measurements(parts))
    else:
        screen.show(measures_table(parts, units))
    return DONE

"""The command that measures the parts in a drawing: pattern show."""

from pathlib import Path
from typing import Any

import click

from estimator.cli import screen
from estimator.cli.exits import DONE
from estimator.cli.options import examples, json_option, metric_option
from estimator.units import Units


@click.command(
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

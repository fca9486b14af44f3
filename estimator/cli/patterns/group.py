"""``estimator pattern``, and what is measured in a drawing."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.listed import Listed, ListedGroup
from estimator.cli.options import json_option
from estimator.cli.screen import print_json

if TYPE_CHECKING:
    from shapely import Polygon

    from estimator.drawing.scales import DrawingUnit


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
        print_json(measured(parts))
        return DONE
    from rich.console import Console

    from estimator.report.screen.tables import measures_table
    from estimator.units import Units

    Console(highlight=False).print(measures_table(parts, Units(units)))
    return DONE


def _parts(drawing: Path, unit: "DrawingUnit | None") -> "tuple[tuple[str, Polygon], ...]":
    """Names and outlines of what is in a file, by its ending."""
    from estimator.drawing.reader import SUFFIXES, whole_drawing
    from estimator.errors import Fault, InputError
    from estimator.report.screen.measures import parts_drawn

    ending = drawing.suffix.lower()
    if ending in {".toml", ".json"}:
        from estimator.pattern.reader import read_pattern

        return tuple((part.name, part.outline) for part in read_pattern(drawing).parts)
    if ending in SUFFIXES:
        whole = whole_drawing(drawing, unit)
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

"""``estimator pattern export``: a pattern in true size for a vector editor, a CAD or a cutter."""

from pathlib import Path

import click

from estimator.cli.exits import DONE
from estimator.cli.options import examples
from estimator.cli.screen import print_notes


@click.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator pattern export pruning.toml --out pruning-cut.svg",
        "estimator pattern export pruning.toml --out pruning.dxf --part body --part welt",
    ),
)
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    help="SVG, DXF, PDF or JSON to write, by its ending.",
)
@click.option("--part", "names", metavar="NAME", multiple=True, help="Only this part; repeatable.")
@click.option(
    "--force", is_flag=True, help="Write it all the same; a file that is there is moved aside."
)
def export(pattern: Path, *, out: Path, names: tuple[str, ...], force: bool) -> int:
    """Draw PATTERN in true size, parts side by side, on layers cut, fold, stitch and mark.

    JSON is not a drawing but the pattern itself, for other programs; it can be read again.
    """
    from estimator.desk.patterns import export_pattern

    done = export_pattern(pattern, out=out, names=names, force=force)
    print_notes(done)
    parts, sheet = done.made
    if sheet is None:
        click.echo(f"{out}: the pattern with all its parts, as JSON")
        return DONE
    drawn = "1 part" if len(parts) == 1 else f"{len(parts)} parts"
    click.echo(
        f"{out}: {drawn} in true size on {sheet.width_mm:.0f} × {sheet.height_mm:.0f} mm, "
        f"layers {', '.join(sheet.layers)}"
    )
    return DONE

"""``estimator pattern export``: a pattern in true size for a vector editor, a CAD or a cutter."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE

if TYPE_CHECKING:
    from estimator.pattern.parts import Pattern

ENDINGS = (".svg", ".dxf", ".pdf", ".json")
DRAFT_TABLES = ("blade", "draft")


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
    from estimator.cli.pattern_files import chosen_parts, read_pattern_file
    from estimator.cli.written_files import check_target, write_told

    read = read_pattern_file(pattern)
    parts = chosen_parts(read, names)
    check_target(out, endings=ENDINGS, force=force)
    if out.suffix.lower() == ".json":
        write_told({out: _json(pattern, read, names)})
        click.echo(f"{out}: the pattern with all its parts, as JSON")
        return DONE
    from estimator.report.true_size.export import export_sheet

    sheet = export_sheet(read, parts)
    content: bytes | str
    if out.suffix.lower() == ".svg":
        from estimator.drawing.svg.writer import svg_text

        content = svg_text(sheet)
    elif out.suffix.lower() == ".dxf":
        from estimator.drawing.dxf.writer import dxf_text

        content = dxf_text(sheet)
    else:
        from estimator.report.true_size.export_pdf import export_pdf

        content = export_pdf(sheet)
    write_told({out: content})
    count = len(parts)
    told = "1 part" if count == 1 else f"{count} parts"
    click.echo(
        f"{out}: {told} in true size on {sheet.width_mm:.0f} × {sheet.height_mm:.0f} mm, "
        f"layers {', '.join(sheet.layers)}"
    )
    return DONE


def _json(path: Path, pattern: "Pattern", names: tuple[str, ...]) -> str:
    """The whole pattern as JSON, with the tables of a draft as they stand in its file."""
    from estimator.errors import Fault, InputError
    from estimator.files import read_values
    from estimator.pattern.json_form import pattern_json

    if names:
        problem, remedy = "a pattern as JSON holds all its parts", "leave --part out"
        raise InputError(Fault(problem=problem, remedy=remedy, place="--part"))
    values = read_values(path).values
    return pattern_json(pattern, tables={key: values[key] for key in DRAFT_TABLES if key in values})

"""``estimator pattern print``: a pattern in true size for a home printer."""

from datetime import datetime
from pathlib import Path

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE


@click.command(
    "print",
    no_args_is_help=True,
    epilog=examples(
        "estimator pattern print pruning.toml",
        "estimator pattern print pruning.toml --paper letter --out pruning-letter.pdf",
        "estimator pattern print pruning.toml --hand left",
        'estimator pattern print pruning.toml --part body --part welt --overlap "20 mm"',
    ),
)
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option("--paper", type=click.Choice(("a4", "a3", "letter")), default="a4", show_default=True)
@click.option(
    "--overlap",
    metavar="LENGTH",
    default="15 mm",
    show_default=True,
    help="Band that neighbouring pages share, for the glue.",
)
@click.option(
    "--margin",
    metavar="LENGTH",
    default="10 mm",
    show_default=True,
    help="What your printer leaves white at the edges, or more.",
)
@click.option("--part", "names", metavar="NAME", multiple=True, help="Only this part; repeatable.")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="PDF to write.  [default: beside PATTERN, named after it and the paper]",
)
@click.option(
    "--hand",
    type=click.Choice(("right", "left")),
    help="Mirror it for this hand.  [default: as PATTERN is drawn]",
)
@click.option("--units", type=click.Choice(("metric", "imperial")), default="metric")
@click.option(
    "--date",
    "day",
    type=click.DateTime(formats=("%Y-%m-%d",)),
    metavar="YYYY-MM-DD",
    help="Printed on every page.  [default: today]",
)
@click.option(
    "--force", is_flag=True, help="Write it all the same; a file that is there is moved aside."
)
def print_command(
    pattern: Path,
    *,
    paper: str,
    overlap: str,
    margin: str,
    names: tuple[str, ...],
    out: Path | None,
    hand: str | None,
    units: str,
    day: datetime | None,
    force: bool,
) -> int:
    """Print PATTERN in true size, on pages to be glued together.

    Page 1 tells how, and maps the others. Print it first and measure its test square.
    """
    from estimator.cli.screen import write_told
    from estimator.desk.patterns import chosen_parts, read_pattern_file
    from estimator.desk.targets import check_target, is_file_unedited, is_unedited_pdf

    read = read_pattern_file(pattern)
    parts = chosen_parts(read, names)
    overlap_mm, margin_mm = _lengths_mm(overlap, margin)
    target = out or pattern.with_name(f"{pattern.stem}-{paper}.pdf")
    check_target(target, endings=(".pdf",), force=force or is_file_unedited(target))
    # matplotlib loads here, after the input proved usable
    from estimator.pattern.parts import Hand
    from estimator.report.page.paper import Paper
    from estimator.report.true_size.pages import print_pattern
    from estimator.units import Units

    printed = print_pattern(
        read,
        parts,
        paper=Paper(paper),
        made_on=(day or datetime.now().astimezone()).date(),
        overlap_mm=overlap_mm,
        margin_mm=margin_mm,
        units=Units(units),
        hand=Hand(hand) if hand else None,
    )
    write_told({target: printed.content}, is_ours=is_unedited_pdf)
    click.echo(f"{target}: {printed.pages} pages, the first one a map")
    click.echo("Print page 1 at 100 % and measure its square, 50 mm both ways, before the rest.")
    if printed.warning:
        click.echo(f"Warning: {printed.warning}", err=True)
    return DONE


def _lengths_mm(overlap: str, margin: str) -> tuple[float, float]:
    """Overlap and margin in mm; all faults at once."""
    from estimator.errors import Fault, InputError
    from estimator.measures import parse_length_mm

    lengths, faults = [], []
    for place, text in (("--overlap", overlap), ("--margin", margin)):
        try:
            lengths.append(parse_length_mm(text))
        except InputError as error:
            faults += [
                Fault(problem=fault.problem, remedy=fault.remedy, place=place)
                for fault in error.faults
            ]
    if faults:
        raise InputError(*faults)
    return lengths[0], lengths[1]

"""The command that checks one pattern and shows where it is wrong: pattern check."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DOES_NOT_FIT, DONE
from estimator.cli.options import PICTURES, json_option
from estimator.errors import Fault, InputError, Level, worst_first

if TYPE_CHECKING:
    from estimator.pattern.parts import Pattern
    from estimator.pattern.tools import Tools
    from estimator.report.text.findings import Notice


@click.command(
    "check",
    no_args_is_help=True,
    epilog=examples(
        "estimator pattern check patterns/pruning.toml",
        "estimator pattern check pruning.toml --out pruning-checked.png",
        'estimator pattern check pruning.toml --prices prices.toml --belt "45 mm"',
    ),
)
@click.argument("file", type=click.Path(path_type=Path))
@json_option
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Write a picture that circles each place, as .png or .svg.",
)
@click.option(
    "--force",
    is_flag=True,
    help="Write the picture all the same; a file that is there is moved aside.",
)
@click.option("--prices", type=click.Path(path_type=Path), help="Price book with your tools.")
@click.option("--belt", help='Width of the belt it goes on, such as "45 mm".')
def check_pattern(
    file: Path,
    *,
    as_json: bool,
    out: Path | None,
    force: bool,
    prices: Path | None,
    belt: str | None,
) -> int:
    """Check the pattern in FILE before anything is cut, worst first.

    Without --prices the usual tools are assumed: tines of 8.5 mm, an awl of 44 mm, and 3 mm
    of leather on either side of a seam.
    """
    from estimator.cli.written_files import check_target
    from estimator.pattern.checks.findings import pattern_checks
    from estimator.pattern.reader import read_pattern
    from estimator.report.text.findings import notice
    from estimator.units import Units

    if out is not None:
        check_target(out, endings=PICTURES, force=force)
    pattern = _with_belt(read_pattern(file), belt)
    checks = worst_first(pattern_checks(pattern, _tools(prices)))
    found = [notice(check, Units.METRIC) for check in checks]
    if out is not None:
        _write_picture(pattern, found, out)
    if as_json:
        import json

        click.echo(json.dumps({"checks": [_plain(one) for one in found]}, allow_nan=False))
    else:
        _tell(found, out)
    return DOES_NOT_FIT if any(one.level is Level.STOP for one in found) else DONE


def _with_belt(pattern: "Pattern", belt: str | None) -> "Pattern":
    """The pattern, for another belt if one is asked for."""
    if belt is None:
        return pattern
    from dataclasses import replace

    from estimator.measures import parse_length_mm
    from estimator.pattern.belts import with_belt

    try:
        width_mm = parse_length_mm(belt)
    except InputError as error:
        raise InputError(*(replace(fault, place="--belt") for fault in error.faults)) from None
    if width_mm <= 0.0:
        raise InputError(
            Fault(problem=f"the belt is {belt} wide", remedy="write its width", place="--belt")
        )
    return with_belt(pattern, width_mm)


def _tools(prices: Path | None) -> "Tools":
    if prices is None:
        from estimator.pattern.tools import USUAL_TOOLS

        return USUAL_TOOLS
    from estimator.costing.price_book.reader import read_price_book

    return read_price_book(prices).tools


def _write_picture(pattern: "Pattern", found: "Sequence[Notice]", out: Path) -> None:
    from estimator.cli.written_files import write_told
    from estimator.report.page.fonts import fonts_for, missing_note
    from estimator.report.page.picture_files import png, svg
    from estimator.report.pictures.pattern_checks import draw_checks

    texts = [pattern.name, *(part.name for part in pattern.parts)]
    fonts = fonts_for([*texts, *(f"{one.message} {one.remedy}" for one in found)])
    drawn = draw_checks(pattern, found, fonts)
    write_told({out: (svg if out.suffix.lower() == ".svg" else png)(drawn, fonts)})
    if note := missing_note(fonts):
        click.echo(f"Warning: {note}", err=True)


def _plain(one: "Notice") -> dict[str, object]:
    places = [
        {"part": place.part, "points": [[x, y] for x, y in place.points]} for place in one.places
    ]
    return {**one.values, "places": places}


def _tell(found: "Sequence[Notice]", out: Path | None) -> None:
    """Print the findings, numbered as in the picture."""
    from rich.console import Console
    from rich.text import Text

    from estimator.report.screen.tables import checks_text

    console = Console(highlight=False)
    console.print(checks_text(found, is_numbered=True))
    if out is not None:
        console.print(Text(f"Picture: {out}"), soft_wrap=True)

"""The command that checks one pattern and shows where it is wrong: pattern check."""

from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from estimator.cli.exits import DOES_NOT_FIT, DONE
from estimator.cli.options import examples, json_option
from estimator.cli.screen import print_json, print_notes, show
from estimator.errors import Level
from estimator.units import Units


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
def check_pattern(file: Path, *, as_json: bool, out: Path | None, **choices: Any) -> int:
    """Check the pattern in FILE before anything is cut, worst first.

    Without --prices the usual tools are assumed: tines of 8.5 mm, an awl of 44 mm, and 3 mm
    of leather on either side of a seam.
    """
    from estimator.desk import patterns
    from estimator.report.screen.tables import checks_text
    from estimator.report.text.findings import notice

    done = patterns.check_pattern(file, out=out, **choices)
    print_notes(done)
    found = [notice(check, Units.METRIC) for check in done.made]
    if as_json:
        rows = [{**one.values, "places": [asdict(at) for at in one.places]} for one in found]
        print_json({"checks": rows})
    else:
        show(checks_text(found, is_numbered=True))
        if out is not None:
            click.echo(f"Picture: {out}")
    return DOES_NOT_FIT if any(one.level is Level.STOP for one in found) else DONE

"""``estimator pattern print``: a pattern in true size for a home printer."""

from pathlib import Path
from typing import Any

import click

from estimator.cli.exits import DONE
from estimator.cli.options import (
    DATE,
    day_or_today,
    examples,
    metric_option,
    paper_option,
    record_of,
)
from estimator.cli.screen import print_notes


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
@paper_option(papers=("a4", "a3", "letter"))
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
    callback=record_of("estimator.pattern.parts:Hand"),
)
@metric_option
@click.option(
    "--date",
    "made_on",
    type=DATE,
    metavar="YYYY-MM-DD",
    help="Printed on every page.  [default: today]",
    callback=day_or_today,
)
@click.option(
    "--force", is_flag=True, help="Write it all the same; a file that is there is moved aside."
)
def print_command(pattern: Path, **choices: Any) -> int:
    """Print PATTERN in true size, on pages to be glued together.

    Page 1 tells how, and maps the others. Print it first and measure its test square.
    """
    from estimator.desk.patterns import write_true_size

    done = write_true_size(pattern, **choices)
    click.echo(f"{done.files[0]}: {done.made.pages} pages, the first one a map")
    click.echo("Print page 1 at 100 % and measure its square, 50 mm both ways, before the rest.")
    print_notes(done)
    return DONE

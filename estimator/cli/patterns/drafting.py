"""The command that drafts a pattern from a blade."""

from pathlib import Path
from typing import Any

import click

from estimator.cli.exits import DONE
from estimator.cli.options import examples, json_option, metric_option
from estimator.cli.screen import print_json, print_notes, show
from estimator.units import Units


@click.command(
    name="draft",
    no_args_is_help=True,
    epilog=examples(
        "estimator pattern draft blades/pruning-blade.toml --out pruning.toml",
        'estimator pattern draft pruning.toml --leather "4 mm"',
        "estimator pattern draft blades/pruning-blade.toml --json",
    ),
)
@click.argument("blade", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Pattern file to write.")
@click.option("--leather", help="Thickness in place of the one in the file, such as 4 mm.")
@click.option(
    "--force", is_flag=True, help="Write it in any case; a file that is not a draft is moved aside."
)
@json_option
@metric_option
def draft_pattern(blade: Path, *, as_json: bool, units: Units, **choices: Any) -> int:
    """Draft a pattern from BLADE, or redraw a drafted pattern.

    BLADE is a file with the tables [blade] and [draft]. The pattern is written beside it, or to
    --out, and keeps both tables; run on a pattern, the command redraws its parts in place. A
    pattern that was edited since is kept beside the new one.
    """
    from estimator.desk import drafts
    from estimator.report.screen.draft import draft_summary, draft_values

    done = drafts.draft_pattern(blade, **choices)
    print_notes(done)
    made, (file,) = done.made, done.files
    if as_json:
        print_json(draft_values(made, file=str(file)))
        return DONE
    show(draft_summary(made, units))
    click.echo(f"\n{made.pattern.name}, for the {made.pattern.hand} hand, is in {file}")
    return DONE

"""The command that drafts a pattern from a blade."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.options import json_option

if TYPE_CHECKING:
    from estimator.pattern.blade_file.reader import DraftFile
    from estimator.pattern.draft.drafting import Drafted
    from estimator.pattern.parts import Pattern

COMMENT = """\
Drafted by estimator pattern draft. Change [blade] and [draft], then run it on this file
to redraw the parts; a file that was edited by hand is kept beside the new one."""


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
@click.option("--units", type=click.Choice(("metric", "imperial")), default="metric")
def draft_pattern(
    blade: Path, *, out: Path | None, leather: str | None, force: bool, as_json: bool, units: str
) -> int:
    """Draft a pattern from BLADE, or redraw a drafted pattern.

    BLADE is a file with the tables [blade] and [draft]. The pattern is written beside it, or to
    --out, and keeps both tables; run on a pattern, the command redraws its parts in place. A
    pattern that was edited since is kept beside the new one.
    """
    from estimator.cli.screen import write_told
    from estimator.errors import InputError
    from estimator.pattern.blade_file.reader import placed, read_draft
    from estimator.report.screen.drafted import draft_told, draft_values

    asked = read_draft(blade, leather=leather)
    try:
        made, text = _drafted(asked)
    except InputError as error:
        raise InputError(*(placed(asked.file, fault) for fault in error.faults)) from None
    target = out or _target(blade, asked)
    if target.exists() and not force:
        _check_target(target, made.pattern)
    write_told({target: text}, is_ours=_is_unedited)
    if as_json:
        import json

        click.echo(json.dumps(draft_values(made, file=str(target)), allow_nan=False))
        return DONE
    from rich.console import Console

    from estimator.units import Units

    console = Console(highlight=False)
    console.print(draft_told(made, Units(units)))
    click.echo(f"\n{made.pattern.name}, for the {made.pattern.hand} hand, is in {target}")
    return DONE


def _drafted(asked: "DraftFile") -> "tuple[Drafted, str]":
    """The draft, and the text of its pattern file."""
    from estimator.pattern.draft.drafting import drafted
    from estimator.pattern.writer import pattern_text

    made = drafted(asked.draft, name=asked.name, hand=asked.hand, wet_formed=asked.wet_formed)
    tables = {"blade": asked.blade_values, "draft": asked.draft_values}
    return made, pattern_text(made.pattern, comment=COMMENT, tables=tables)


def _is_unedited(path: Path, content: bytes) -> bool:
    """Whether a pattern is, byte for byte, what its own blade and choices give."""
    from estimator.errors import InputError
    from estimator.pattern.blade_file.reader import read_draft

    try:
        return _drafted(read_draft(path))[1].encode("utf-8") == content
    except InputError:
        return False


def _target(blade: Path, asked: "DraftFile") -> Path:
    """Where the pattern goes if nothing is said: in place, or beside the blade."""
    if asked.is_pattern:
        return blade
    return blade.with_name(f"{blade.stem.removesuffix('-blade')}-pattern.toml")


def _check_target(target: Path, fresh: "Pattern") -> None:
    """Refuse to write over what is not a draft, or over parts that a draft does not make."""
    from estimator.errors import Fault, InputError
    from estimator.files import read_toml
    from estimator.pattern.blade_file.tables import DRAFTED_NAMES

    values = read_toml(target).values
    if not {"draft", "part"} <= values.keys():
        raise InputError(
            Fault(
                problem="is there already and is no drafted pattern",
                remedy="name another file with --out, or move it aside with --force",
                file=str(target),
            )
        )
    known = DRAFTED_NAMES | {part.name for part in fresh.parts}
    own = [name for name in _names(values["part"]) if name not in known]
    if own:
        raise InputError(
            Fault(
                problem=f"holds parts that the draft does not make: {', '.join(own)}",
                remedy="name another file with --out, or move them aside with --force",
                file=str(target),
            )
        )


def _names(parts: object) -> list[str]:
    """Names in a list of tables that was not checked yet."""
    tables = parts if isinstance(parts, list) else []
    return [str(each.get("name", "")) for each in tables if isinstance(each, dict)]

"""A pattern drafted from a blade, or drafted again."""

from pathlib import Path

from estimator.desk.targets import Outcome, write
from estimator.errors import Fault, InputError
from estimator.files import read_toml
from estimator.pattern.blade_file.reader import DraftFile, read_draft
from estimator.pattern.blade_file.tables import DRAFTED_NAMES
from estimator.pattern.draft.drafting import Drafted, drafted
from estimator.pattern.parts import Pattern
from estimator.pattern.writer import pattern_text

COMMENT = """\
Drafted by estimator pattern draft. Change [blade] and [draft], then run it on this file
to redraw the parts; a file that was edited by hand is kept beside the new one."""


def draft_pattern(
    blade: Path, *, out: Path | None = None, leather: str | None = None, force: bool = False
) -> Outcome[Drafted]:
    """Draft a pattern from a file with a blade, or redraw a drafted pattern.

    Parameters
    ----------
    blade : Path
        A file with the tables ``[blade]`` and ``[draft]``.
    out : Path or None
        The pattern file; by default beside the blade, or in place of the pattern.
    leather : str or None
        Thickness in place of the one in the file.
    force : bool
        Whether a file that is there and is no draft is moved aside.

    Returns
    -------
    Outcome of Drafted
        The pattern, and what was decided; one that was edited since it was drafted is kept.

    Raises
    ------
    InputError
        If a file or a choice cannot be used, or nothing can be drafted from it.
    """
    asked = read_draft(blade, leather=leather)
    try:
        made, text = _draft_and_text(asked)
    except InputError as error:
        raise InputError(*(asked.file.placed(fault) for fault in error.faults)) from None
    beside = blade.with_name(f"{blade.stem.removesuffix('-blade')}-pattern.toml")
    target = out or (blade if asked.is_pattern else beside)
    if target.exists() and not force:
        _check_target(target, made.pattern)
    return write(made, {target: text}, is_ours=_is_unedited)


def _draft_and_text(asked: DraftFile) -> tuple[Drafted, str]:
    made = drafted(asked.draft, name=asked.name, hand=asked.hand, wet_formed=asked.wet_formed)
    tables = {"blade": asked.blade_values, "draft": asked.draft_values}
    return made, pattern_text(made.pattern, comment=COMMENT, tables=tables)


def _is_unedited(path: Path, content: bytes) -> bool:
    """Whether a pattern is, byte for byte, what its own blade and choices give."""
    try:
        return _draft_and_text(read_draft(path))[1].encode("utf-8") == content
    except InputError:
        return False


def _check_target(target: Path, fresh: Pattern) -> None:
    """Refuse to write over what is not a draft, or over parts that a draft does not make."""
    values = read_toml(target).values
    known = DRAFTED_NAMES | {part.name for part in fresh.parts}
    own = [name for name in _part_names(values.get("part")) if name not in known]
    if not {"draft", "part"} <= values.keys():
        problem = "is there already and is no drafted pattern"
        remedy = "name another file with --out, or move it aside with --force"
    elif own:
        problem = f"holds parts that the draft does not make: {', '.join(own)}"
        remedy = "name another file with --out, or move them aside with --force"
    else:
        return
    raise InputError(Fault(problem=problem, remedy=remedy, file=str(target)))


def _part_names(parts: object) -> list[str]:
    """Names in a list of tables that was not checked yet."""
    tables = parts if isinstance(parts, list) else []
    return [str(each.get("name", "")) for each in tables if isinstance(each, dict)]

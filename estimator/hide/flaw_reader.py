"""The flaws of a hide map: typed, or as a drawing has them."""

from collections.abc import Sequence
from dataclasses import replace

from pydantic import Field
from shapely import Polygon

from estimator.drawing.paths import Path
from estimator.drawing.reader import ShapeTable, Source
from estimator.errors import Fault, InputError
from estimator.faults import suggestion
from estimator.fields import Choice, Count, Name, Share
from estimator.files import TomlFile
from estimator.hide.flaw_kinds import SPOIL_OF_KIND
from estimator.hide.hides import Flaw, FlawState
from estimator.hide.layers import PROPOSED, drawn_kind, flaw_shapes
from estimator.quality import Spoil


class FlawTable(ShapeTable):
    """A spoiled area of a hide."""

    kind: Name = Field(description="In the trade's words, such as sun-fade, scar, hole.")
    spoil: Choice[Spoil] | None = Field(
        default=None, description="Needed where the kind does not say it."
    )
    note: str = ""
    state: Choice[FlawState] = Field(
        default=FlawState.CONFIRMED,
        description="proposed: found in a photograph, not confirmed yet; "
        "dropped: rejected, no flaw.",
    )
    confidence: Share | None = Field(
        default=None, description="Of a proposal: how sure it is, 0 to 1."
    )
    number: Count | None = Field(default=None, description="As in the picture of the hide.")


def flaws_of(
    file: TomlFile,
    tables: Sequence[FlawTable],
    source: Source,
    outline: Polygon,
    *,
    as_drawn: bool,
) -> tuple[tuple[Flaw, ...], list[Fault]]:
    """Give the flaws of a hide, and what is wrong with them.

    Parameters
    ----------
    file : TomlFile
        The map.
    tables : sequence of FlawTable
        What it says of flaws.
    source : Source
        Its drawing, if it has one.
    outline : Polygon
        Of the hide, mm.
    as_drawn : bool
        Whether the drawing says which flaws there are. What was deleted there is then gone, a
        proposal moved to the layer of flaws is one, and a line without a table is what its
        label says.

    Returns
    -------
    (tuple of Flaw, list of Fault)
        Dropped ones left out.
    """
    flaws: list[Flaw] = []
    faults: list[Fault] = []
    for k, each in enumerate(tables):
        is_drawn = as_drawn and isinstance(each.outline, str)
        if each.state is FlawState.DROPPED or is_drawn:
            continue
        try:
            flaws.append(_flaw(each, each.polygon(source), outline))
        except InputError as error:
            faults += [file.placed(fault, ("flaw", k)) for fault in error.faults]
    if as_drawn:
        drawn, wrong = _drawn_flaws(file, tables, source, outline)
        return (*flaws, *drawn), [*faults, *wrong]
    return tuple(flaws), faults


def _drawn_flaws(
    file: TomlFile, tables: Sequence[FlawTable], source: Source, outline: Polygon
) -> tuple[list[Flaw], list[Fault]]:
    """Give the flaws that the drawing has, each with what its table says of it."""
    named = {each.outline: (k, each) for k, each in enumerate(tables)}
    flaws: list[Flaw] = []
    faults: list[Fault] = []
    for shape in flaw_shapes(source.paths):
        line = shape[0]
        k, known = named.get(line.name) or named.get(line.label) or (-1, _table_of(shape))
        if known.state is FlawState.DROPPED:
            continue
        try:
            area = source.area(shape, line.name or line.label or known.kind)
            if not area.intersects(outline):
                continue
            flaw = _flaw(known, area, outline)
        except InputError as error:
            keys: tuple[str | int, ...] = ("drawing",) if k < 0 else ("flaw", k)
            faults += [file.placed(fault, keys) for fault in error.faults]
            continue
        is_proposal = flaw.state is FlawState.PROPOSED and line.layer == PROPOSED
        state = FlawState.PROPOSED if is_proposal else FlawState.CONFIRMED
        flaws.append(replace(flaw, state=state))
    return flaws, faults


def _table_of(shape: Sequence[Path]) -> FlawTable:
    """What can be said of a line that has no table."""
    kind = drawn_kind(shape)
    return FlawTable(
        kind=kind,
        spoil=SPOIL_OF_KIND.get(kind, Spoil.UNUSABLE),
        outline=shape[0].name or kind,
        state=FlawState.PROPOSED if shape[0].layer == PROPOSED else FlawState.CONFIRMED,
    )


def _flaw(table: FlawTable, shape: Polygon, outline: Polygon) -> Flaw:
    spoil = table.spoil or SPOIL_OF_KIND.get(table.kind)
    if spoil is None:
        raise _refusal(
            f'how far "{table.kind}" spoils the leather is not known',
            f'{suggestion(table.kind, list(SPOIL_OF_KIND))} Or add spoil = "unusable", "weak" or '
            '"cosmetic"',
        )
    if not shape.intersects(outline):
        raise _refusal(f"the {table.kind} lies off the hide", "check where it is measured from")
    return Flaw(
        outline=shape,
        kind=table.kind,
        spoil=spoil,
        note=table.note,
        state=table.state,
        confidence=None if table.confidence is None else float(table.confidence),
        number=table.number or 0,
    )


def _refusal(problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy))

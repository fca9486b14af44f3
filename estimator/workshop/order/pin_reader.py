"""What an order says about ground already decided: parts that stay, areas to keep clear."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pydantic import Field, model_validator

from estimator.drawing.reader import PositionField, ShapeTable, Source
from estimator.errors import Fault, InputError, raise_faults
from estimator.faults import refuse, suggestion
from estimator.fields import Angle, Count, FileModel, Name
from estimator.files import TomlFile
from estimator.geometry.pose import Pose
from estimator.hide.hides import Flaw, Hide
from estimator.nesting.checker import faults as layout_faults
from estimator.nesting.problem import Layout, Placement, Unplaced
from estimator.quality import Spoil
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem, part_label, piece_names

IN_MM = Source(unit="mm")
"""An order has no drawing, and its bare coordinates are mm in the hide's axes."""


class PinnedTable(FileModel):
    """A copy of a part that stays where it is; the rest is laid around it."""

    part: Name = Field(description="As on the cutting plan: line/part, or the part alone.")
    copy_number: Count = Field(alias="copy", description="Which copy, from 1.")
    hide: Name = Field(description="Tag of the hide it lies on.")
    at: PositionField = Field(description="x_mm and y_mm of the placement.")
    turn_deg: Angle = Field(default=0.0, description="rotation_deg of the placement.")
    mirrored: bool = Field(default=False, description="As in the placement.")


class ForbiddenTable(ShapeTable):
    """An area of a hide on which nothing may lie, found after its map was made."""

    hide: Name = Field(description="Tag of the hide.")
    kind: Name = Field(default="forbidden", description="What it is, in the trade's words.")
    note: str = ""

    @model_validator(mode="after")
    def _check_outline(self) -> "ForbiddenTable":
        if isinstance(self.outline, str):
            raise refuse(
                "an order has no drawing to take an outline from", "write [[x, y], [x, y], ...]"
            )
        return self


def add_forbidden_areas(
    file: TomlFile, tables: Sequence[ForbiddenTable], hides: Sequence[Hide]
) -> tuple[tuple[Hide, ...], list[Fault]]:
    """Add forbidden areas to the hides they lie on, as unusable flaws that lower no worth.

    Parameters
    ----------
    file : TomlFile
        The order.
    tables : sequence of ForbiddenTable
        Its forbidden areas.
    hides : sequence of Hide
        As mapped.

    Returns
    -------
    tuple of Hide, list of Fault
        The hides in the same order, and what is wrong with the areas.
    """
    by_tag = {hide.tag: hide for hide in hides}
    faults: list[Fault] = []
    for place, table in enumerate(tables):
        hide = by_tag.get(table.hide)
        if hide is None:
            faults.append(
                _unknown_hide_fault(file, ("forbidden", place, "hide"), table.hide, by_tag)
            )
            continue
        try:
            outline = table.polygon(IN_MM)
        except InputError as error:
            faults += [
                file.fault(("forbidden", place), problem=fault.problem, remedy=fault.remedy)
                for fault in error.faults
            ]
            continue
        if not outline.intersects(hide.outline):
            faults.append(
                file.fault(
                    ("forbidden", place),
                    problem=f"the area lies off the hide {hide.tag}",
                    remedy="measure it in mm from the same corner as the hide's map",
                )
            )
        flaw = Flaw(
            outline=outline,
            kind=table.kind,
            spoil=Spoil.UNUSABLE,
            note=table.note,
            is_forbidden=True,
        )
        by_tag[table.hide] = replace(hide, flaws=(*hide.flaws, flaw))
    return tuple(by_tag[hide.tag] for hide in hides), faults


def pinned_placements(
    file: TomlFile, tables: Sequence[PinnedTable], order: Order
) -> tuple[Placement, ...]:
    """Give the copies that stay where they are.

    Parameters
    ----------
    file : TomlFile
        The order file.
    tables : sequence of PinnedTable
        Its pinned parts.
    order : Order
        With all that is ordered, nothing pinned yet.

    Returns
    -------
    tuple of Placement
        In the order of the file.

    Raises
    ------
    InputError
        If a part, copy or hide is unknown, or they could not lie so: too close, over an edge,
        on a flaw, in a forbidden direction.
    """
    faults: list[Fault] = []
    pins: list[Placement] = []
    for place, table in enumerate(tables):
        found = _placement(file, place, table, order)
        if isinstance(found, Fault):
            faults.append(found)
        else:
            pins.append(found)
    faults = faults or [*_misplaced_faults(file, tuple(pins), order)]
    raise_faults(faults)
    return tuple(pins)


def _placement(file: TomlFile, place: int, table: PinnedTable, order: Order) -> Placement | Fault:
    problem = nesting_problem(order)
    counts = {piece.key: piece.copies for piece in problem.pieces}
    keys: dict[str, list[str]] = {}
    for key, name in piece_names(order).items():
        for label in dict.fromkeys((f"{name.line.key}/{name.part.name}", part_label(name, order))):
            keys.setdefault(label, []).append(key)
    if table.part not in keys:
        return file.fault(
            ("pinned", place, "part"),
            problem=f'there is no part "{table.part}" in this order',
            remedy=suggestion(table.part, list(keys)),
        )
    hides = [hide.tag for hide in order.hides]
    if table.hide not in hides:
        return _unknown_hide_fault(file, ("pinned", place, "hide"), table.hide, hides)
    x_mm, y_mm = IN_MM.point(table.at)
    copy = table.copy_number - 1
    for key in keys[table.part]:
        if copy < counts[key]:
            pose = Pose(x_mm=x_mm, y_mm=y_mm, rotation_deg=table.turn_deg, mirrored=table.mirrored)
            return Placement(piece=key, copy=copy, sheet=table.hide, pose=pose)
        copy -= counts[key]
    most = sum(counts[key] for key in keys[table.part])
    return file.fault(
        ("pinned", place, "copy"),
        problem=f"there is no copy {table.copy_number} of {table.part}",
        remedy=f"the order has {most}: write 1 to {most}",
    )


def _misplaced_faults(file: TomlFile, pins: tuple[Placement, ...], order: Order) -> Iterator[Fault]:
    problem = nesting_problem(order)
    laid = [pin.piece for pin in pins]
    left = tuple(
        Unplaced(piece=piece.key, copies=piece.copies - laid.count(piece.key), reason="")
        for piece in problem.pieces
    )
    alone = Layout(placements=pins, unplaced=left, seed=0, moves=0)
    names = [f"{pin.piece} {pin.copy + 1}" for pin in pins]
    for text in layout_faults(problem, alone):
        named = [n for n, name in enumerate(names) if text.startswith((f"{name}:", f"{name} and"))]
        yield file.fault(
            ("pinned", named[0]) if named else ("pinned",),
            problem=text,
            remedy="copy x_mm, y_mm, rotation_deg and mirrored from estimate.json with all "
            "their digits, or take this pin out",
        )


def _unknown_hide_fault(
    file: TomlFile, keys: tuple[str | int, ...], tag: str, known: Sequence[str] | dict[str, Hide]
) -> Fault:
    return file.fault(
        keys,
        problem=f'no hide of this order has the tag "{tag}"',
        remedy=suggestion(tag, list(known)),
    )

"""An order worked out, and its outputs written into a folder."""

from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from estimator.desk.shop import Shop
from estimator.desk.working import Work
from estimator.errors import Fault, InputError
from estimator.files import note_reads
from estimator.report.folder import Written, outputs, photo_files, write_made
from estimator.report.page.paper import Paper
from estimator.report.papers.quote_picture import Picture
from estimator.report.screen.explain import chosen, explanations, near
from estimator.report.text.file_names import file_name
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order
from estimator.writing.folder import check_folder


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """An estimate about to be kept, together with its files or not at all.

    Parameters
    ----------
    settle : callable
        Called once the files are in their places; if it fails, they are taken back.
    recorded : str
        Under what it is kept then, in a line.
    """

    settle: Callable[[], None]
    recorded: str


KeepQuote: TypeAlias = Callable[[Estimate], AbstractContextManager[Keeping]]
"""Told an estimate before its files are written, it keeps it together with them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quoted:
    """An order that was worked out and written.

    Parameters
    ----------
    estimate : Estimate
        What came of it.
    written : Written
        Its folder, the files in it, and warnings about them.
    explained : str
        Where the figures come from that were asked for, a line each.
    recorded : str
        Under what the records keep it; empty if they do not.
    """

    estimate: Estimate
    written: Written
    explained: str = ""
    recorded: str = ""


def quote(
    shop: Shop,
    path: Path,
    work: Work,
    *,
    out: Path | None = None,
    units: Units | None = None,
    paper: Paper = Paper.A4,
    picture: Picture = Picture.NONE,
    has_photos: bool = True,
    explain: str | None = None,
    force: bool = False,
    prepare: Callable[[Order], Order] | None = None,
    keep: KeepQuote | None = None,
    also_reads: tuple[Path, ...] = (),
) -> Quoted:
    """Work an order out, and write its outputs: all of them, or nothing.

    Parameters
    ----------
    shop : Shop
        Gives leather that the order names by its tag.
    path : Path
        The order file.
    work : Work
        How long to look for a layout, and from which day.
    out : Path or None
        Folder to write into; by default one beside the order, named after its reference.
    units : Units or None
        What people read; by default the order's.
    paper, picture, has_photos
        See :func:`estimator.report.folder.write_outputs`.
    explain : str or None
        The figure to explain, or ``all``.
    force : bool
        Whether to write into a folder that was not made so.
    prepare : callable, optional
        Changes the order before it is worked out.
    keep : callable, optional
        Keeps the estimate together with its files.
    also_reads : tuple of Path
        Files that are read besides those the order names.

    Returns
    -------
    Quoted
        The estimate and its files; whether the search was stopped is in ``work``.

    Raises
    ------
    InputError
        If a file or a choice cannot be used; nothing is written then.
    """
    with note_reads() as noted:
        order = shop.read_order(path)
    order = replace(order, units=units or order.units)
    order = prepare(order) if prepare else order
    folder = out or path.parent / f"{file_name(order.reference)}-estimate"
    reads = (*sorted(noted), *photo_files(order), *also_reads)
    check_folder(folder, reference=order.reference, force=force, reads=reads)
    done = work.estimate(order)
    explained = _explanation(done, explain) if explain else ""
    made = outputs(done, paper=paper, units=order.units, picture=picture, has_photos=has_photos)
    with keep(done) if keep else nullcontext() as keeping:
        written = write_made(
            made,
            folder,
            reference=order.reference,
            force=force,
            reads=reads,
            settle=keeping.settle if keeping else None,
        )
    recorded = keeping.recorded if keeping else ""
    return Quoted(estimate=done, written=written, explained=explained, recorded=recorded)


def _explanation(done: Estimate, asked: str) -> str:
    explained = explanations(done, done.order.units)
    items = chosen(list(explained), asked)
    if not items:
        names = near(list(explained), asked)
        remedy = f"did you mean {' or '.join(names)}?" if names else "--explain all lists them"
        raise InputError(
            Fault(problem=f"there is no item {asked!r}", remedy=remedy, key=("explain",))
        )
    return "\n".join("\n  ".join((item, *explained[item])) for item in items)

"""All outputs of an estimate, made and written into one folder."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from matplotlib.figure import Figure

from estimator.hide.hides import Hide
from estimator.pattern.parts import Face
from estimator.report.cuts import cutting_hides
from estimator.report.json_output.payload import payload
from estimator.report.page.fonts import Fonts, fonts_for, missing_note
from estimator.report.page.paper import Paper
from estimator.report.page.picture_files import PRINT_DPI, png, svg
from estimator.report.papers.cost import cost_pdf, cost_texts
from estimator.report.papers.cutting_plan import plan_pdf, plan_texts
from estimator.report.papers.job_sheet import job_sheet_pdf, job_texts
from estimator.report.papers.quote import quote_pdf, quote_texts
from estimator.report.papers.quote_picture import Picture
from estimator.report.pictures.layout import draw_plan
from estimator.report.pictures.photo_beneath import lighten_photos
from estimator.report.pictures.timeline import draw_timeline
from estimator.report.spreadsheet import shopping_csv
from estimator.report.text.file_names import file_name
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order
from estimator.writing.folder import check_folder, write_folder
from estimator.writing.swap import Kept


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """Outputs that are made and not written yet.

    Parameters
    ----------
    contents : mapping of str to bytes
        By file name, the most wanted first.
    warnings : tuple of str
        What the reader should know about them.
    """

    contents: Mapping[str, bytes]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written.

    Parameters
    ----------
    folder : Path
        Where.
    files : tuple of str
        Names in it, the most wanted first.
    warnings : tuple of str
        What the reader should know about them.
    """

    folder: Path
    files: tuple[str, ...]
    warnings: tuple[str, ...]


def write_outputs(
    estimate: Estimate,
    folder: Path,
    *,
    paper: Paper,
    units: Units,
    force: bool = False,
    picture: Picture = Picture.NONE,
    has_photos: bool = True,
) -> Written:
    """Write every output of an estimate.

    A folder written before keeps what others put there, and what they changed: an edited file
    that is in the way is moved aside. If anything fails, all stays as it was.

    Parameters
    ----------
    estimate : Estimate
        What was worked out.
    folder : Path
        Where to.
    paper : Paper
        Size of printed pages.
    units : Units
        What the reader wants.
    force : bool
        Whether to write into a folder that was not made here.
    picture : Picture
        What is drawn on the quote.
    has_photos : bool
        Whether photographs of hides are shown beneath their layouts.

    Returns
    -------
    Written
        The folder, its files, and warnings.

    Raises
    ------
    InputError
        If the folder may not be written into, or cannot.
    """
    reads = photo_files(estimate.order)
    check_folder(folder, reference=estimate.order.reference, force=force, reads=reads)
    made = outputs(estimate, paper=paper, units=units, picture=picture, has_photos=has_photos)
    return write_made(made, folder, reference=estimate.order.reference, force=force, reads=reads)


def write_made(
    made: Made,
    folder: Path,
    *,
    reference: str,
    force: bool = False,
    reads: Iterable[Path] = (),
    settle: Callable[[], None] | None = None,
) -> Written:
    """Write outputs that are made; see :func:`estimator.writing.folder.write_folder`.

    Returns
    -------
    Written
        With a warning about each file that was moved aside.

    Raises
    ------
    InputError
        If the folder may not be written into, or cannot; nothing has changed then.
    """
    kept = write_folder(
        folder, made.contents, reference=reference, force=force, reads=reads, settle=settle
    )
    return Written(
        folder=folder, files=tuple(made.contents), warnings=(*made.warnings, *_kept_note(kept))
    )


def photo_files(order: Order) -> tuple[Path, ...]:
    """Give the photographs that the layouts of an order are drawn on."""
    return tuple(hide.photo.file for hide in order.hides if hide.photo)


def _kept_note(kept: tuple[Kept, ...]) -> tuple[str, ...]:
    if not kept:
        return ()
    moves = ", ".join(f"{each.path.name} as {each.aside.name}" for each in kept)
    return (f"not as this command left them, so moved aside and kept: {moves}",)


def outputs(
    estimate: Estimate, *, paper: Paper, units: Units, picture: Picture, has_photos: bool
) -> Made:
    """Make every file of an estimate; parameters as in :func:`write_outputs`.

    Returns
    -------
    Made
        Nothing is written yet.
    """
    fonts = fonts_for(
        [
            *quote_texts(estimate),
            *job_texts(estimate),
            *plan_texts(estimate),
            *cost_texts(estimate),
        ]
    )
    hides = {hide.tag: hide for hide in estimate.order.hides}
    cut = [hides[tag] for tag in cutting_hides(estimate)]
    photos, lost_note = lighten_photos(cut if has_photos else ())
    pictures = {
        (hide.tag, face): draw_plan(
            estimate,
            hide,
            face=face,
            paper=paper,
            units=units,
            fonts=fonts,
            photo=photos.get(hide.tag),
        )
        for hide in cut
        for face in Face
    }
    timeline = _timeline(estimate, fonts)
    contents: dict[str, bytes | str] = {
        "quote.pdf": quote_pdf(estimate, paper=paper, units=units, fonts=fonts, picture=picture),
        "job-sheet.pdf": job_sheet_pdf(
            estimate,
            paper=paper,
            units=units,
            fonts=fonts,
            timeline=png(timeline, fonts, dpi=PRINT_DPI) if timeline else None,
        ),
        "cutting-plan.pdf": plan_pdf(estimate, pictures, paper=paper, units=units, fonts=fonts),
        "cost-sheet.pdf": cost_pdf(estimate, paper=paper, units=units, fonts=fonts),
        "shopping-list.csv": shopping_csv(estimate),
    }
    names = _picture_names(cut)
    for (tag, face), figure in pictures.items():
        name = f"plan-{names[tag]}" if face is Face.GRAIN else f"plan-{names[tag]}-flesh-side"
        contents[f"{name}.png"] = png(figure, fonts)
        contents[f"{name}.svg"] = svg(figure, fonts)
    if timeline:
        contents["timeline.png"] = png(timeline, fonts)
        contents["timeline.svg"] = svg(timeline, fonts)
    contents["estimate.json"] = json.dumps(payload(estimate), ensure_ascii=False) + "\n"
    return Made(
        contents={
            name: content.encode("utf-8") if isinstance(content, str) else content
            for name, content in contents.items()
        },
        warnings=tuple(note for note in (missing_note(fonts), lost_note) if note),
    )


def _timeline(estimate: Estimate, fonts: Fonts) -> Figure | None:
    """The schedule as a picture, if it says when each step is done."""
    if not estimate.schedule.planned:
        return None
    return draw_timeline(estimate.schedule, estimate.order.book.calendar, fonts=fonts)


def _picture_names(hides: list[Hide]) -> dict[str, str]:
    """File names of hides, numbered where two tags give one that some disk holds for the same."""
    names: dict[str, str] = {}
    for hide in hides:
        name, count = file_name(hide.tag), 1
        while name.casefold() in {taken.casefold() for taken in names.values()}:
            count += 1
            name = f"{file_name(hide.tag)}-{count}"
        names[hide.tag] = name
    return names

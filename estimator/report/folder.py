"""All outputs of an estimate in one folder: complete, or not there at all."""

import json
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

from matplotlib.figure import Figure

from estimator.errors import Fault, InputError
from estimator.files import write_atomically
from estimator.hide.hides import Hide
from estimator.pattern.parts import Face
from estimator.report.cost_pages import cost_pdf, cost_texts
from estimator.report.cuts import cutting_hides
from estimator.report.fonts import Fonts, fonts_for, missing_note
from estimator.report.job_sheet import job_sheet_pdf, job_texts
from estimator.report.outputs import MARKER, check_folder, file_name
from estimator.report.paper import Paper
from estimator.report.payload import payload
from estimator.report.plan import draw_plan
from estimator.report.plan_files import PRINT_DPI, png, svg
from estimator.report.plan_pages import plan_pdf, plan_texts
from estimator.report.plan_photo import photos_beneath
from estimator.report.quote_pages import quote_pdf, quote_texts
from estimator.report.quote_picture import Picture
from estimator.report.tables import shopping_csv
from estimator.report.timeline import draw_timeline
from estimator.workshop.estimate import Estimate
from estimator.workshop.order import Units


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

    They are written beside the folder first and moved into place at the end,
    so a reader sees the old files or the new ones, never half of them.

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
        Whether to replace a folder that was not made here.
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
        If the folder may not be replaced or cannot be written.
    """
    check_folder(folder, force=force)
    contents, warnings = _contents(
        estimate, paper=paper, units=units, picture=picture, has_photos=has_photos
    )
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        try:
            for name, content in contents.items():
                write_atomically(made / name, content)
            made.chmod(0o755)
            _put_in_place(made, folder)
        finally:
            shutil.rmtree(made, ignore_errors=True)
    except OSError as error:
        raise InputError(
            Fault(
                problem=f"{folder} cannot be written: {error.strerror}",
                remedy="name another folder with --out",
                place="--out",
            )
        ) from None
    names = tuple(name for name in contents if name != MARKER)
    return Written(folder=folder, files=names, warnings=warnings)


def _put_in_place(made: Path, folder: Path) -> None:
    """Swap the new folder for the old one, and put the old one back if that fails."""
    if not folder.exists():
        made.rename(folder)
        return
    old = made.with_name(made.name + "-old")
    folder.rename(old)
    try:
        made.rename(folder)
    except OSError:
        old.rename(folder)
        raise
    shutil.rmtree(old)


def _contents(
    estimate: Estimate, *, paper: Paper, units: Units, picture: Picture, has_photos: bool
) -> tuple[dict[str, bytes | str], tuple[str, ...]]:
    """Every file by name, and warnings."""
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
    photos, lost_note = photos_beneath(cut if has_photos else ())
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
    contents[MARKER] = "made by: estimator quote\n"
    return contents, tuple(note for note in (missing_note(fonts), lost_note) if note)


def _timeline(estimate: Estimate, fonts: Fonts) -> Figure | None:
    """The schedule as a picture, if it says when each step is done."""
    if not estimate.schedule.planned:
        return None
    return draw_timeline(estimate.schedule, estimate.order.prices.calendar, fonts=fonts)


def _picture_names(hides: list[Hide]) -> dict[str, str]:
    """File names of hides, numbered where two tags give the same one."""
    names: dict[str, str] = {}
    for hide in hides:
        name, count = file_name(hide.tag), 1
        while name in names.values():
            count += 1
            name = f"{file_name(hide.tag)}-{count}"
        names[hide.tag] = name
    return names

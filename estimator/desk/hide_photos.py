"""A hide map from photographs, its proposals confirmed, and pages that give photographs a scale."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

from estimator.desk.choices import read_choices
from estimator.desk.targets import Outcome, check_target, is_file_unedited, is_unedited_pdf, write
from estimator.errors import Fault, InputError
from estimator.files import read_toml
from estimator.hide.confirming import Confirmation, ConfirmedMap, confirm_map
from estimator.hide.facts_reader import hide_facts
from estimator.hide.hides import Hide
from estimator.hide.reader import read_hide
from estimator.measures import parse_angle_deg, parse_length_mm
from estimator.photo.camera.sheet_sizes import sheet_size
from estimator.photo.look import LookOptions, hide_in_photos
from estimator.report.page.paper import Paper
from estimator.report.photos.hide import PhotographedHide, file_names, hide_from_photo
from estimator.report.true_size.marker_page import marker_pages

Points = tuple[tuple[float, float], ...]


def map_photographed_hide(
    photos: Sequence[Path],
    facts: Mapping[str, object],
    *,
    sheet: str = "a4",
    sheets: int | None = None,
    points: tuple[Points, Points] = ((), ()),
    backbone: str = "0 deg",
    most_error: str = "10 mm",
    least_sure: int = 20,
    out: Path | None = None,
    force: bool = False,
    on_step: Callable[[str], None],
) -> Outcome[PhotographedHide]:
    """Make a hide map, its drawing and two pictures from photographs: all of them, or nothing.

    Parameters
    ----------
    photos : sequence of Path
        Of one hide.
    facts : mapping of str to object
        What cannot be seen; see :func:`estimator.hide.facts_reader.hide_facts`.
    sheet : str
        Size of the paper that lies on the leather: ``a4``, ``letter`` or width by height.
    sheets : int or None
        How many such sheets; by default one, or none where marker pages are seen.
    points : (points in px, points in mm)
        Measured instead of a sheet, both in one order.
    backbone : str
        Angle of the backbone from the sheet's longer side, counter-clockwise.
    most_error : str
        Length by which the outline may be off.
    least_sure : int
        Spots less likely to be flaws are left out, percent.
    out : Path or None
        The map; by default in the folder at hand, named after the tag.
    force : bool
        Whether files that are there are moved aside; a photograph never is.
    on_step : callable
        Told what is being done.

    Returns
    -------
    Outcome of PhotographedHide
        The hide; its map is the first file.

    Raises
    ------
    InputError
        If a photograph or a choice cannot be used.
    """
    known = hide_facts(facts)
    target = out or Path(f"{known.tag}.toml")
    _check_targets(target, photos, force=force)
    read = read_choices(
        backbone=(parse_angle_deg, backbone), most_error=(parse_length_mm, most_error)
    )
    asked = LookOptions(
        size=sheet_size(sheet),
        sheets=sheets,
        points_px=points[0],
        points_mm=points[1],
        backbone_deg=read["backbone"],
        most_error_mm=read["most_error"],
        least_sure=least_sure / 100,
    )
    seen = hide_in_photos(photos, asked, on_step=on_step)
    on_step("drawing it from above")
    made = hide_from_photo(seen, known, folder=target.absolute().parent, name=target.stem)
    return write(made, {target.parent / name: each for name, each in made.files.items()})


def confirm_flaws(hide_map: Path, confirmation: Confirmation) -> Outcome[tuple[Hide, ConfirmedMap]]:
    """Confirm or reject the flaws proposed in a hide map; nothing is written if none is.

    Parameters
    ----------
    hide_map : Path
        The map, changed in its place.
    confirmation : Confirmation
        By somebody who has looked at the leather.

    Returns
    -------
    Outcome of (Hide, ConfirmedMap)
        The hide as it is now, and what was changed.

    Raises
    ------
    InputError
        If the map cannot be read or written, or has no such proposals.
    """
    hide = read_hide(hide_map)
    done = confirm_map(read_toml(hide_map), confirmation)
    if not (
        confirmation.flaws
        or confirmation.drops
        or confirmation.is_rest_confirmed
        or confirmation.is_sheet_clean
    ):
        return Outcome(made=(hide, done))
    outcome = write(done, {hide_map: done.text})
    return Outcome(made=(read_hide(hide_map), done), files=outcome.files, kept=outcome.kept)


def write_marker_pages(
    out: Path, *, count: int, paper: Paper, made_on: date, force: bool = False
) -> Outcome[None]:
    """Write pages to be laid on a hide that is photographed.

    Parameters
    ----------
    out : Path
        The PDF; one of ours is replaced.
    count : int
        How many, all different.
    paper : Paper
        Their size.
    made_on : date
        Printed on every page.
    force : bool
        Whether another file that is there is moved aside.

    Returns
    -------
    Outcome
        The file.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    check_target(out, endings=(".pdf",), force=force or is_file_unedited(out))
    content = marker_pages(range(1, count + 1), paper=paper, made_on=made_on)
    return write(None, {out: content}, is_ours=is_unedited_pdf)


def _check_targets(target: Path, photos: Sequence[Path], *, force: bool) -> None:
    """Refuse a map, or a file beside it, that is there already; a photograph in any case."""
    check_target(target, endings=(".toml",), force=force)
    beside = [target.parent / name for name in file_names(target.stem)]
    there = [path.name for path in beside if path.exists()]
    taken = {path.resolve() for path in beside} & {photo.resolve() for photo in photos}
    if taken or (there and not force):
        lost = sorted(path.name for path in taken) or there
        aside = "" if taken else ", or move them aside with --force"
        raise InputError(
            Fault(
                problem=f"{', '.join(lost)} beside it exists already",
                remedy=f"name another map{aside}",
                key=("out",),
            )
        )

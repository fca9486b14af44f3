"""``estimator hide photo`` and ``estimator hide confirm``: from a photograph to a hide map."""

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.options import json_option, metric_option
from estimator.cli.records_open import print_json, show


@click.command(
    "photo",
    no_args_is_help=True,
    epilog=examples(
        "estimator hide photo side-09.jpg --tag side-09 --thickness '3.2-3.6 mm' --price 145",
        "estimator hide photo side-09.heic --tag side-09 --thickness '8-9 oz' --price 145 "
        "--sheet letter --backbone '15 deg' --out hides/side-09.toml",
    ),
)
@click.argument("photos", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--tag", required=True, help="Its name on the rack.")
@click.option("--thickness", required=True, help="Such as '3.2-3.6 mm' or '8-9 oz'.")
@click.option("--price", required=True, help="What was paid for the whole piece.")
@click.option("--shipping", default="0", help="What shipping cost.")
@click.option(
    "--sheet",
    metavar="a4|letter|WxH",
    default="a4",
    show_default=True,
    help="The sheet of paper that lies flat on the leather.",
)
@click.option(
    "--sheets",
    type=click.IntRange(1, 9),
    help="How many such sheets lie on it; a second one far from the first steadies the measure.  "
    "[default: 1, or none if marker pages are seen]",
)
@click.option(
    "--point",
    "points",
    metavar="PX,PX=MM,MM",
    multiple=True,
    help="Instead of a sheet: a point in the photo, and where it was measured; four or more.",
)
@click.option(
    "--backbone",
    metavar="ANGLE",
    default="0 deg",
    show_default=True,
    help="Direction of the backbone from the sheet's longer side, counter-clockwise.",
)
@click.option(
    "--most-error",
    metavar="LENGTH",
    default="10 mm",
    show_default=True,
    help="Refuse the photo if the outline may be further off than this.",
)
@click.option(
    "--least-sure",
    type=click.IntRange(0, 100),
    metavar="PERCENT",
    default=20,
    show_default=True,
    help="Leave out spots that are less likely to be flaws.",
)
@click.option("--lot", default="", help="Colour lot.")
@click.option(
    "--tannage", type=click.Choice(("vegetable", "chrome", "combination")), default="vegetable"
)
@click.option("--stamp", help="As the tannery stamped it: '22 3' is 22 3/4 square feet.")
@click.option("--offcut", is_flag=True, help="Left over from earlier work, so used up first.")
@click.option(
    "--out", type=click.Path(path_type=Path), help="Map to write.  [default: TAG.toml, here]"
)
@click.option(
    "--force", is_flag=True, help="Write them all the same; files that are there are moved aside."
)
@metric_option
@json_option
def photo_command(
    photos: tuple[Path, ...],
    *,
    tag: str,
    thickness: str,
    price: str,
    shipping: str,
    sheet: str,
    sheets: int | None,
    points: tuple[str, ...],
    backbone: str,
    most_error: str,
    least_sure: int,
    lot: str,
    tannage: str,
    stamp: str | None,
    offcut: bool,
    out: Path | None,
    force: bool,
    units: str,
    as_json: bool,
) -> int:
    """Make a hide map from PHOTOS of a hide with a sheet of paper lying flat on it.

    Writes the map, a drawing to be touched up in any vector editor, the photo as seen straight
    from above, and a picture of what was found. Flaws are proposals until they are confirmed.
    """
    from estimator.cli.photo_options import need_photo_extra, points_measured
    from estimator.cli.written_files import write_told

    need_photo_extra()
    from estimator.hide.facts_reader import hide_facts

    facts = hide_facts(
        {
            "tag": tag,
            "thickness": thickness,
            "price": price,
            "shipping": shipping,
            "lot": lot,
            "tannage": tannage,
            "stamp": stamp,
            "offcut": offcut,
        }
    )
    target = out or Path(f"{facts.tag}.toml")
    _check_targets(target, photos, force=force)
    measured = points_measured(points)
    from estimator.measures import parse_angle_deg, parse_length_mm
    from estimator.photo.camera.sheet_sizes import sheet_size
    from estimator.photo.look import LookOptions, hide_in_photos
    from estimator.report.photos.findings import found_summary
    from estimator.report.photos.hide import hide_from_photo, photo_values
    from estimator.units import Units

    asked = LookOptions(
        size=sheet_size(sheet),
        sheets=sheets,
        points_px=measured[0],
        points_mm=measured[1],
        backbone_deg=_read(parse_angle_deg, backbone, "--backbone"),
        most_error_mm=_read(parse_length_mm, most_error, "--most-error"),
        least_sure=least_sure / 100,
    )
    seen = hide_in_photos(photos, asked, on_step=_tell_step)
    _tell_step("drawing it from above")
    made = hide_from_photo(seen, facts, folder=target.absolute().parent, name=target.stem)
    write_told({target.parent / name: content for name, content in made.files.items()})
    if as_json:
        print_json(photo_values(made))
    else:
        told = found_summary(
            made.hide,
            Units(units),
            seen_area_mm2=made.seen_area_mm2,
            left_out=made.left_out,
            name=str(target.with_suffix("")),
            map_name=str(target),
        )
        show(told)
    return DONE


@click.command(
    "confirm",
    no_args_is_help=True,
    epilog=examples(
        "estimator hide confirm hides/side-09.toml",
        "estimator hide confirm hides/side-09.toml --flaw 2 --flaw 5=healed-scar --drop 3",
        "estimator hide confirm hides/side-09.toml --all --clean-sheet",
    ),
)
@click.argument("hide_map", metavar="MAP", type=click.Path(path_type=Path))
@click.option(
    "--all", "is_all", is_flag=True, help="Confirm all flaws except those rejected with --drop."
)
@click.option(
    "--flaw",
    "flaws",
    metavar="NUMBER[=KIND]",
    multiple=True,
    help="Confirm it, as the kind proposed or as KIND; repeatable.",
)
@click.option(
    "--drop",
    "drops",
    type=int,
    metavar="NUMBER",
    multiple=True,
    help="Reject it: it is not a flaw; repeatable.",
)
@click.option(
    "--clean-sheet", is_flag=True, help="Confirm that the leather under the sheet is sound."
)
@metric_option
@json_option
def confirm_command(
    hide_map: Path,
    *,
    is_all: bool,
    flaws: tuple[str, ...],
    drops: tuple[int, ...],
    clean_sheet: bool,
    units: str,
    as_json: bool,
) -> int:
    """Confirm or reject the flaws proposed in MAP.

    The picture made with the map shows the numbers. Without an option the flaws are listed and
    nothing is changed; otherwise the old map is kept beside the new one.
    """
    from estimator.cli.written_files import write_told
    from estimator.files import read_toml
    from estimator.hide.confirming import Confirmation, confirm_map
    from estimator.hide.reader import read_hide
    from estimator.report.photos.findings import flaw_summary, flaw_values
    from estimator.units import Units

    read_hide(hide_map)
    said = Confirmation(
        flaws=_named(flaws),
        drops=frozenset(drops),
        is_rest_confirmed=is_all,
        is_sheet_clean=clean_sheet,
    )
    done = confirm_map(read_toml(hide_map), said)
    if is_all or flaws or drops or clean_sheet:
        write_told({hide_map: done.text})
    hide = read_hide(hide_map)
    if as_json:
        values = {"confirmed": done.confirmed, "dropped": done.dropped, "cleaned": done.cleaned}
        print_json({"tag": hide.tag, **values, "flaws": flaw_values(hide)})
    else:
        show(flaw_summary(hide, Units(units), done, str(hide_map)))
    return DONE


def _read(parse: Callable[[str], float], text: str, place: str) -> float:
    """Read a measure, and place its fault at the option."""
    from estimator.errors import Fault, InputError

    try:
        return parse(text)
    except InputError as error:
        fault = error.faults[0]
        raise InputError(Fault(problem=fault.problem, remedy=fault.remedy, place=place)) from None


def _named(flaws: tuple[str, ...]) -> Mapping[int, str]:
    """Numbers with their kinds, from NUMBER or NUMBER=KIND."""
    from estimator.errors import Fault, InputError

    named: dict[int, str] = {}
    faults = []
    for text in flaws:
        number, _, kind = text.partition("=")
        if number.strip().isdecimal():
            named[int(number)] = kind.strip()
        else:
            problem, remedy = f'"{text[:40]}" is not a number', "write --flaw 2 or --flaw 2=scar"
            faults.append(Fault(problem=problem, remedy=remedy, place="--flaw"))
    if faults:
        raise InputError(*faults)
    return named


def _check_targets(target: Path, photos: Sequence[Path], *, force: bool) -> None:
    """Refuse a map, or a file beside it, that is there already; a photograph whatever is said."""
    from estimator.cli.written_files import check_target
    from estimator.errors import Fault, InputError
    from estimator.report.photos.hide import file_names

    check_target(target, endings=(".toml",), force=force)
    beside = [target.parent / name for name in file_names(target.stem)]
    there = [path.name for path in beside if path.exists()]
    taken = {path.resolve() for path in beside} & {photo.resolve() for photo in photos}
    if taken or (there and not force):
        lost = sorted(path.name for path in taken) or there
        remedy = (
            "name another map" if taken else "name another map, or move them aside with --force"
        )
        raise InputError(
            Fault(
                problem=f"{', '.join(lost)} beside it exists already",
                remedy=remedy,
                place="--out",
            )
        )


def _tell_step(told: str) -> None:
    """Say on a terminal what takes its time."""
    if sys.stderr.isatty():
        click.echo(f"{told} ...", err=True)

"""``estimator hide photo`` and ``estimator hide confirm``: from a photograph to a hide map."""

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from estimator.cli.exits import DONE
from estimator.cli.options import examples, json_option, metric_option
from estimator.cli.screen import print_json, print_notes, show
from estimator.errors import Fault, raise_faults
from estimator.units import Units

FACTS = ("tag", "thickness", "price", "shipping", "lot", "tannage", "stamp", "offcut")
"""Options that say of the hide what no photograph shows."""


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
    points: tuple[str, ...],
    units: Units,
    as_json: bool,
    **choices: Any,
) -> int:
    """Make a hide map from PHOTOS of a hide with a sheet of paper lying flat on it.

    Writes the map, a drawing to be touched up in any vector editor, the photo as seen straight
    from above, and a picture of what was found. Flaws are proposals until they are confirmed.
    """
    from estimator.cli.hides.photo_options import measured_points, need_photo_extra

    need_photo_extra()
    from estimator.desk.hide_photos import map_photographed_hide
    from estimator.report.photos.flaws import found_summary
    from estimator.report.photos.hide import photo_values

    facts = {name: choices.pop(name) for name in FACTS}
    done = map_photographed_hide(
        photos, facts, points=measured_points(points), on_step=_tell_step, **choices
    )
    print_notes(done)
    made, file = done.made, done.files[0]
    if as_json:
        print_json(photo_values(made))
    else:
        show(
            found_summary(
                made.hide,
                units,
                seen_area_mm2=made.seen_area_mm2,
                left_out=made.left_out,
                name=str(file.with_suffix("")),
                map_name=str(file),
            )
        )
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
    units: Units,
    as_json: bool,
) -> int:
    """Confirm or reject the flaws proposed in MAP.

    The picture made with the map shows the numbers. Without an option the flaws are listed and
    nothing is changed; otherwise the old map is kept beside the new one.
    """
    from estimator.desk.hide_photos import confirm_flaws
    from estimator.hide.confirming import Confirmation
    from estimator.report.photos.flaws import flaw_summary, flaw_values

    confirmation = Confirmation(
        flaws=_numbers(flaws),
        drops=frozenset(drops),
        is_rest_confirmed=is_all,
        is_sheet_clean=clean_sheet,
    )
    outcome = confirm_flaws(hide_map, confirmation)
    print_notes(outcome)
    hide, done = outcome.made
    if as_json:
        values = {"confirmed": done.confirmed, "dropped": done.dropped, "cleaned": done.cleaned}
        print_json({"tag": hide.tag, **values, "flaws": flaw_values(hide)})
    else:
        show(flaw_summary(hide, units, done, str(hide_map)))
    return DONE


def _numbers(flaws: tuple[str, ...]) -> Mapping[int, str]:
    parted = [text.partition("=") for text in flaws]
    raise_faults(
        [
            Fault(
                problem=f'"{text[:40]}" is not a number',
                remedy="write --flaw 2 or --flaw 2=scar",
                key=("flaw",),
            )
            for text, (number, _, _) in zip(flaws, parted, strict=True)
            if not number.strip().isdecimal()
        ]
    )
    return {int(number): kind.strip() for number, _, kind in parted}


def _tell_step(step: str) -> None:
    if sys.stderr.isatty():
        click.echo(f"{step} ...", err=True)

"""``estimator blade photo``: a blade file from a photograph of a knife on a sheet of paper."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.options import json_option
from estimator.cli.records_open import print_json, show

if TYPE_CHECKING:
    from estimator.photo.blade.measure import KnifeFacts

SIDE = click.Choice(("left", "right", "up", "down"))
PICTURE = "-check.png"
"""Behind the blade file's name."""


@click.group(
    "blade",
    epilog=examples(
        "estimator blade photo knife.jpg --edge down --spine-thickness '2.5 mm' "
        "--leather '3-3.5 mm'",
        "estimator blade photo --help",
    ),
)
def blade() -> None:
    """Measure a blade in a photograph."""


@blade.command(
    "photo",
    no_args_is_help=True,
    epilog=examples(
        "estimator blade photo knife.jpg --edge down --spine-thickness '2.5 mm' "
        "--leather '3-3.5 mm'",
        "estimator blade photo knife.heic --sheet letter --edge left --tip up "
        "--spine-thickness '1/8 in' --leather '8-9 oz' --handle-at '3.6 in' --handle-overhangs",
        "estimator pattern draft knife-blade.toml",
    ),
)
@click.argument("photo", type=click.Path(path_type=Path))
@click.option(
    "--sheet",
    metavar="a4|letter|WxH",
    default="a4",
    show_default=True,
    help="The sheet of white paper that the knife lies on.",
)
@click.option("--edge", type=SIDE, help="Where the edge faces in the photo.  [required]")
@click.option("--tip", type=SIDE, help="Where the tip points in the photo.  [default: narrow end]")
@click.option("--spine-thickness", metavar="LENGTH", help="Of the blade.  [required]")
@click.option("--leather", metavar="THICKNESS", help="Of the sheath: '3-3.5 mm'.  [required]")
@click.option("--handle-at", metavar="LENGTH", help="From the tip to where the handle begins.")
@click.option("--handle-thickness", metavar="LENGTH", help="Across the flat of the blade.")
@click.option(
    "--lift",
    metavar="LENGTH",
    help="From the sheet up to the middle of the blade's thickness; what is raised looks larger.",
)
@click.option("--handle-overhangs", is_flag=True, help="The handle may reach over the sheet.")
@click.option("--bevel", metavar="LENGTH", help="How far the bevel reaches up from the edge.")
@click.option("--handle-covered", metavar="LENGTH", help="How much of the handle goes in.")
@click.option("--construction", type=click.Choice(("fold-over", "pouch")), default="fold-over")
@click.option("--belt-width", metavar="LENGTH", help="Adds a loop for such a belt.")
@click.option("--name", help="Of the pattern.  [default: the photo's name]")
@click.option("--hand", type=click.Choice(("right", "left")), default="right", show_default=True)
@click.option(
    "--out", type=click.Path(path_type=Path), help="File to write.  [default: PHOTO-blade.toml]"
)
@click.option(
    "--force", is_flag=True, help="Write them all the same; files that are there are moved aside."
)
@click.option("--units", type=click.Choice(("metric", "imperial")), default="metric")
@json_option
def photo_command(
    photo: Path,
    *,
    sheet: str,
    out: Path | None,
    force: bool,
    units: str,
    as_json: bool,
    handle_overhangs: bool,
    **said: str | None,
) -> int:
    """Make a blade file from PHOTO of a knife on a sheet of white paper.

    Lay the knife flat in the middle, in soft light, and hold the camera straight above it. Writes
    the file for pattern draft, and a picture of what was found beside it.
    """
    from estimator.cli.photo_options import need_photo_extra

    need_photo_extra()
    from estimator.errors import Fault, InputError

    told, lengths = _told(said, may_overhang=handle_overhangs)
    target = out or photo.with_name(f"{photo.stem}-blade.toml")
    drawn = target.with_name(f"{target.stem}{PICTURE}")
    there = [] if force else [each for each in (target, drawn) if each.exists()]
    if there:
        raise InputError(
            *(
                Fault(
                    problem="is there already",
                    remedy="name another file with --out, or move it aside with --force",
                    file=str(each),
                )
                for each in there
            )
        )
    from estimator.cli.written_files import write_told
    from estimator.pattern.blade_file.writer import blade_text
    from estimator.pattern.parts import Hand
    from estimator.photo.blade.measure import blade_in_photo
    from estimator.photo.camera.sheet_sizes import sheet_size
    from estimator.report.page.fonts import fonts_for
    from estimator.report.page.picture_files import png
    from estimator.report.photos.blade import blade_summary, blade_values, draw_blade
    from estimator.units import Units

    size = sheet_size(sheet)
    picture, found = blade_in_photo(photo, size, told)
    _check_covered(lengths.get("handle_covered"), -found.outline.bounds[0])
    name = said["name"] or photo.stem
    text = blade_text(
        found.outline,
        name=name,
        hand=Hand(str(said["hand"])),
        blade={"length": f"{found.length_mm:.2f} mm", **_blade_values(said)},
        draft=_draft_values(said),
        comment=_comment(photo, target, found.length_error_mm, found.width_error_mm),
    )
    fonts = fonts_for([name])
    image = png(
        draw_blade(found, picture, size, fonts=fonts, units=Units(units), title=name), fonts
    )
    write_told({drawn: image, target: text})
    if as_json:
        print_json(blade_values(found, file=str(target), picture=str(drawn)))
        return DONE
    show(blade_summary(found, Units(units)))
    click.echo(f"\nLook at {drawn}; then: estimator pattern draft {target}")
    return DONE


def _told(
    said: dict[str, str | None], *, may_overhang: bool
) -> "tuple[KnifeFacts, dict[str, float]]":
    """Read the options, and tell all that is missing or cannot be read at once."""
    from dataclasses import replace

    from estimator.errors import Fault, InputError
    from estimator.measures import parse_length_mm, parse_thickness_mm
    from estimator.pattern.blades import LONGEST_MM
    from estimator.photo.blade.axis import Side
    from estimator.photo.blade.measure import KnifeFacts

    faults = [
        Fault(problem=f"{what} cannot be seen in a photo", remedy=f"add {example}")
        for key, what, example in (
            ("edge", "which side of the blade is its edge", "--edge left, right, up or down"),
            ("spine_thickness", "the thickness of the blade", "--spine-thickness '2.5 mm'"),
            ("leather", "the thickness of the leather", "--leather '3-3.5 mm'"),
        )
        if said[key] is None
    ]
    lengths: dict[str, float] = {}

    def read(key: str, parse: Callable[[str], Any]) -> Any:
        text = said[key]
        place = f"--{key.replace('_', '-')}"
        try:
            return None if text is None else parse(text)
        except InputError as error:
            faults.extend(replace(fault, place=place) for fault in error.faults)
            return None

    read("leather", parse_thickness_mm)
    for key in (
        *("spine_thickness", "handle_at", "handle_thickness", "lift", "bevel"),
        *("handle_covered", "belt_width"),
    ):
        length = read(key, parse_length_mm)
        if length is None:
            continue
        lengths[key] = length
        is_fine = length >= 0.0 if key in ("lift", "handle_covered") else length > 0.0
        if not is_fine or length > LONGEST_MM:
            problem, place = f"{said[key]} is no such length", f"--{key.replace('_', '-')}"
            remedy = f"write what you measure, at most {LONGEST_MM:g} mm"
            faults.append(Fault(problem=problem, remedy=remedy, place=place))
    if lengths.get("handle_covered", 0.0) > 0.0 and said["handle_thickness"] is None:
        faults.append(
            Fault(
                problem="the handle is covered, and its thickness cannot be seen in a photo",
                remedy="add --handle-thickness",
            )
        )
    if faults:
        raise InputError(*faults)
    told = KnifeFacts(
        edge=Side(str(said["edge"])),
        spine_mm=lengths["spine_thickness"],
        tip=None if said["tip"] is None else Side(str(said["tip"])),
        handle_at_mm=lengths.get("handle_at"),
        handle_mm=lengths.get("handle_thickness"),
        lift_mm=lengths.get("lift"),
        may_overhang=may_overhang,
    )
    return told, lengths


def _check_covered(covered_mm: float | None, seen_mm: float) -> None:
    """Refuse to cover more of the handle than is seen."""
    from estimator.errors import Fault, InputError

    if covered_mm is not None and covered_mm > seen_mm:
        raise InputError(
            Fault(
                problem=f"{covered_mm:g} mm of the handle are covered, and {seen_mm:.1f} mm seen",
                remedy="cover less, or let more of the handle lie on the sheet",
                place="--handle-covered",
            )
        )


def _blade_values(said: dict[str, str | None]) -> dict[str, str]:
    """The table ``[blade]`` as far as the maker told it."""
    keys = ("spine_thickness", "bevel", "handle_thickness")
    return {key: str(said[key]) for key in keys if said[key] is not None}


def _draft_values(said: dict[str, str | None]) -> dict[str, Any]:
    """The table ``[draft]`` as far as the maker told it."""
    values: dict[str, Any] = {"construction": said["construction"], "leather": said["leather"]}
    if said["handle_covered"] is not None:
        values["handle_covered"] = said["handle_covered"]
    if said["belt_width"] is not None:
        values["belt_loop"] = {"belt_width": said["belt_width"]}
    return values


def _comment(photo: Path, target: Path, length_mm: float, width_mm: float) -> str:
    """Where the blade came from, and how true it is."""
    name = "".join(c if c.isprintable() else "?" for c in photo.name)
    file = "".join(c if c.isprintable() else "?" for c in target.name)
    return (
        f"Measured in the photograph {name} by estimator blade photo: its length within\n"
        f"{length_mm:.1f} mm, widths within {width_mm:.1f} mm, 95 of 100. "
        "The tip points right, the edge down.\n"
        f"estimator pattern draft {file}"
    )

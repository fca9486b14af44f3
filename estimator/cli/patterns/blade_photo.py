"""``estimator blade photo``: a blade file from a photograph of a knife on a sheet of paper."""

from pathlib import Path

import click

from estimator.cli.exits import DONE
from estimator.cli.options import examples, json_option, metric_option
from estimator.cli.screen import print_json, print_notes, show
from estimator.units import Units

SIDE = click.Choice(("left", "right", "up", "down"))


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
@metric_option
@json_option
def photo_command(
    photo: Path,
    *,
    sheet: str,
    out: Path | None,
    force: bool,
    units: Units,
    as_json: bool,
    handle_overhangs: bool,
    **choices: str | None,
) -> int:
    """Make a blade file from PHOTO of a knife on a sheet of white paper.

    Lay the knife flat in the middle, in soft light, and hold the camera straight above it. Writes
    the file for pattern draft, and a picture of what was found beside it.
    """
    from estimator.cli.hides.photo_options import need_photo_extra

    need_photo_extra()
    from estimator.desk.blade_photos import measure_blade
    from estimator.report.photos.blade import blade_summary, blade_values

    done = measure_blade(
        photo,
        choices,
        sheet=sheet,
        handle_overhangs=handle_overhangs,
        out=out,
        force=force,
        units=units,
    )
    print_notes(done)
    file, picture = done.files
    if as_json:
        print_json(blade_values(done.made, file=str(file), picture=str(picture)))
        return DONE
    show(blade_summary(done.made, units))
    click.echo(f"\nLook at {picture}; then: estimator pattern draft {file}")
    return DONE

"""``estimator hide markers``: pages to be laid on a hide that is photographed."""

from datetime import datetime
from pathlib import Path

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE


@click.command(
    "markers",
    epilog=examples(
        "estimator hide markers",
        "estimator hide markers --paper letter --pages 3 --out markers-letter.pdf",
    ),
)
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", show_default=True)
@click.option(
    "--pages",
    "count",
    type=click.IntRange(1, 97),
    default=1,
    show_default=True,
    help="How many, all different; more of them make a large hide truer.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("markers.pdf"),
    show_default=True,
    help="PDF to write.",
)
@click.option(
    "--force", is_flag=True, help="Write it all the same; a file that is there is moved aside."
)
def markers_command(*, paper: str, count: int, out: Path, force: bool) -> int:
    """Make marker pages to print, which give a photo of a hide its scale.

    They do more than a plain sheet of paper: their tags are found anywhere in the picture, hold
    the lens better, and tell several photos of one hide how they belong together.
    """
    from estimator.cli.screen import write_told
    from estimator.desk.photo_points import need_photo_extra
    from estimator.desk.targets import check_target, is_file_unedited, is_unedited_pdf

    need_photo_extra()
    check_target(out, endings=(".pdf",), force=force or is_file_unedited(out))
    from estimator.report.page.paper import Paper
    from estimator.report.true_size.marker_page import LINE_MM, marker_pages

    content = marker_pages(
        range(1, count + 1), paper=Paper(paper), made_on=datetime.now().astimezone().date()
    )
    write_told({out: content}, is_ours=is_unedited_pdf)
    click.echo(f"{out}: marker page 1" + (f" to {count}" if count > 1 else ""))
    click.echo(f"Print at 100 % and measure the line in the middle: {LINE_MM:g} mm.")
    return DONE

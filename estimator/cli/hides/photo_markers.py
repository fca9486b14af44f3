"""``estimator hide markers``: pages to be laid on a hide that is photographed."""

from pathlib import Path

import click

from estimator.cli.exits import DONE
from estimator.cli.options import examples, paper_option, today
from estimator.cli.screen import print_notes
from estimator.report.page.paper import Paper


@click.command(
    "markers",
    epilog=examples(
        "estimator hide markers",
        "estimator hide markers --paper letter --pages 3 --out markers-letter.pdf",
    ),
)
@paper_option()
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
def markers_command(*, paper: Paper, count: int, out: Path, force: bool) -> int:
    """Make marker pages to print, which give a photo of a hide its scale.

    They do more than a plain sheet of paper: their tags are found anywhere in the picture, hold
    the lens better, and tell several photos of one hide how they belong together.
    """
    from estimator.cli.hides.photo_options import need_photo_extra

    need_photo_extra()
    from estimator.desk.hide_photos import write_marker_pages
    from estimator.report.true_size.marker_page import LINE_MM

    print_notes(write_marker_pages(out, count=count, paper=paper, made_on=today(), force=force))
    click.echo(f"{out}: marker page 1" + (f" to {count}" if count > 1 else ""))
    click.echo(f"Print at 100 % and measure the line in the middle: {LINE_MM:g} mm.")
    return DONE

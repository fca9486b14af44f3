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
@click.option("--force", is_flag=True, help="Replace a file that was not made by this command.")
def markers_command(*, paper: str, count: int, out: Path, force: bool) -> int:
    """Make marker pages to print, which give a photo of a hide its scale.

    They do more than a plain sheet of paper: their tags are found anywhere in the picture, hold
    the lens better, and tell several photos of one hide how they belong together.
    """
    from estimator.cli.pattern_files import check_target
    from estimator.cli.photo_options import need_photo_extra
    from estimator.files import read_bytes, write_atomically
    from estimator.report.print_file import was_made_here

    need_photo_extra()
    is_ours = out.is_file() and was_made_here(read_bytes(out, limit_bytes=100_000_000))
    check_target(out, endings=(".pdf",), force=force or is_ours)
    from estimator.report.marker_page import LINE_MM, marker_pages
    from estimator.report.paper import Paper

    content = marker_pages(
        range(1, count + 1), paper=Paper(paper), made_on=datetime.now().astimezone().date()
    )
    write_atomically(out, content)
    click.echo(f"{out}: marker page 1" + (f" to {count}" if count > 1 else ""))
    click.echo(f"Print at 100 % and measure the line in the middle: {LINE_MM:g} mm.")
    return DONE

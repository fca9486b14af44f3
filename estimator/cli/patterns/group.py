"""The group ``estimator pattern``."""

import click

from estimator.cli.listed import Listed, ListedGroup


@click.group(
    cls=ListedGroup,
    listed={
        "check": Listed(
            "estimator.cli.patterns.checking:check_pattern",
            "Check the pattern in FILE before anything is cut, worst first.",
        ),
        "draft": Listed(
            "estimator.cli.patterns.drafting:draft_pattern",
            "Draft a pattern from BLADE, or redraw a drafted pattern.",
        ),
        "export": Listed(
            "estimator.cli.patterns.exporting:export",
            "Draw PATTERN in true size, parts side by side, on layers cut, fold, stitch and mark.",
        ),
        "print": Listed(
            "estimator.cli.patterns.printing:print_command",
            "Print PATTERN in true size, on pages to be glued together.",
        ),
        "show": Listed(
            "estimator.cli.patterns.measuring:show",
            "Measure the parts in DRAWING: an SVG, a DXF, or a pattern file.",
        ),
    },
)
def pattern() -> None:
    """Look at pattern files and drawings."""

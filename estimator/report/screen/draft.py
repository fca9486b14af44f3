"""What a draft came to: for scripts as plain values, for the maker in words with the figures."""

from typing import Any

from rich.console import Group
from rich.table import Table
from rich.text import Text

from estimator.facts import statement
from estimator.pattern.draft.bends import Bend
from estimator.pattern.draft.drafting import Drafted
from estimator.report.screen.measures import measurements
from estimator.report.screen.tables import measures_table
from estimator.report.text.messages import text
from estimator.report.text.wording import length
from estimator.units import Units


def draft_values(made: Drafted, *, file: str) -> dict[str, Any]:
    """Give a draft's figures as plain values, the parts as ``pattern show`` gives them.

    Parameters
    ----------
    made : Drafted
        What was drafted.
    file : str
        Where it was written.

    Returns
    -------
    dict
        Lengths in mm.
    """
    draft = made.pattern.draft
    return {
        "pattern": made.pattern.name,
        "file": file,
        "hand": str(made.pattern.hand),
        **measurements([(part.name, part.outline) for part in made.pattern.parts]),
        "seams": [
            {"name": seam.name, "length_mm": seam.path.length, "layers": list(seam.layers)}
            for seam in made.pattern.seams
        ],
        "spine_fold": _bend_values(made.spine_fold),
        "belt_loop_fold": _bend_values(made.loop_fold),
        "girth_clearance_mm": draft.girth_clearance_mm if draft else 0.0,
        "girths": [
            {"at_mm": each.at_mm, "knife_mm": each.knife_mm, "pocket_mm": each.pocket_mm}
            for each in made.girths
        ],
        "tip_radius_mm": made.tip_radius_mm,
    }


def draft_summary(made: Drafted, units: Units) -> Group:
    """Tell a maker what was drafted and why it is as large as it is.

    Parameters
    ----------
    made : Drafted
        What was drafted.
    units : Units
        What the maker reads.

    Returns
    -------
    Group
        To be printed on a terminal.
    """
    parts = [(part.name, part.outline) for part in made.pattern.parts]
    return Group(
        measures_table(parts, units), Text(), _girth_table(made, units), *_why(made, units)
    )


def _girth_table(made: Drafted, units: Units) -> Table:
    """Knife and pocket, place by place."""
    table = Table(title="Round the knife, and round the inside of the pocket", title_justify="left")
    for column in ("From the throat", "Knife", "Pocket", "To spare"):
        table.add_column(column, justify="right")
    for each in made.girths:
        row = (each.at_mm, each.knife_mm, each.pocket_mm, each.pocket_mm - each.knife_mm)
        table.add_row(*(length(value, units) for value in row))
    return table


def _why(made: Drafted, units: Units) -> list[Text]:
    """The rules behind the figures, with their numbers."""
    draft = made.pattern.draft
    lines = [Text()]
    if draft is None:
        return lines
    if made.spine_fold is not None:
        lines.append(Text(f"Fold over the spine: {text(made.spine_fold.formula, units)}."))
    inside = statement(
        "inside-of-pocket",
        construction=draft.construction,
        neutral_axis=draft.neutral_axis_share,
        welts=draft.welts,
        clearance_mm=draft.girth_clearance_mm,
    )
    lines.append(Text(text(inside, units)))
    if made.loop_fold is not None:
        lines.append(Text(f"Fold of the belt loop: {text(made.loop_fold.formula, units)}."))
    if made.spine_fold is not None:
        welt = statement(
            "welt-short-of-fold",
            short_mm=draft.leather_max_mm + draft.drain_gap_mm,
            is_drained=draft.drain_gap_mm > 0.0,
        )
        lines.append(Text(text(welt, units)))
    corners = statement(
        "corners-at-tip",
        radius_mm=made.tip_radius_mm,
        asked_mm=draft.tip_radius_mm,
        is_as_asked=abs(made.tip_radius_mm - draft.tip_radius_mm) < 0.05,
    )
    return [*lines, Text(text(corners, units))]


def _bend_values(bend: Bend | None) -> dict[str, Any] | None:
    if bend is None:
        return None
    return {
        "angle_deg": bend.angle_deg,
        "inside_radius_mm": bend.inside_radius_mm,
        "thickness_mm": bend.thickness_mm,
        "neutral_axis_share": bend.neutral_axis_share,
        "allowance_mm": bend.allowance_mm,
        "formula": text(bend.formula, Units.METRIC),
    }

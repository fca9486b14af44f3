"""The flaws of a photographed hide, in words for the screen and as plain values."""

from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from estimator.hide.confirming import ConfirmedMap
from estimator.hide.flaw_kinds import NOT_SEEN
from estimator.hide.hides import FlawState, Hide
from estimator.report.screen.tables import plain_table
from estimator.report.text import wording
from estimator.units import Units


def flaw_values(hide: Hide) -> list[dict[str, Any]]:
    """Give the flaws of a hide as plain values.

    Parameters
    ----------
    hide : Hide
        From a map.

    Returns
    -------
    list of dict
        Lengths mm, areas mm2; places are middles in the hide's axes.
    """
    return [
        {
            "number": flaw.number,
            "kind": flaw.kind,
            "spoil": str(flaw.spoil),
            "state": str(flaw.state),
            "confidence": flaw.confidence,
            "area_mm2": flaw.outline.area,
            "x_mm": flaw.outline.centroid.x,
            "y_mm": flaw.outline.centroid.y,
            "note": flaw.note,
        }
        for flaw in hide.flaws
    ]


def found_summary(
    hide: Hide, units: Units, *, seen_area_mm2: float, left_out: int, name: str, map_name: str
) -> RenderableType:
    """Tell what was found in a photograph, and what to do next.

    Parameters
    ----------
    hide : Hide
        As its map has it.
    units : Units
        What the reader wants.
    seen_area_mm2 : float
        Of the outline as found, mm2.
    left_out : int
        Faint proposals that were not taken up.
    name, map_name : str
        Of the files without their endings, and of the map, with their folder.

    Returns
    -------
    RenderableType
        To be printed.
    """
    error = wording.fine_length(hide.photo.error_mm if hide.photo else 0.0, units)
    lines = [
        f"{hide.tag}: {wording.area(seen_area_mm2, units)}. The outline may be off by {error} at "
        f"95 of 100 places; it is drawn inside by what is expected, which leaves "
        f"{wording.area(hide.outline.area, units)}.",
        f"What was found is drawn in {name}-check.png; look at it before you cut.",
    ]
    if left_out:
        lines.append(f"{left_out} faint spots were left out; a lower --least-sure shows them.")
    return Group(
        *(Text(line) for line in lines),
        _table(hide, units),
        Text(f"Touch up {name}.svg in a vector editor if lines are off. {_next(hide, map_name)}"),
    )


def flaw_summary(hide: Hide, units: Units, done: ConfirmedMap, map_name: str) -> RenderableType:
    """List the flaws of a hide, and what has just become of them.

    Parameters
    ----------
    hide : Hide
        As its map has it now.
    units : Units
        What the reader wants.
    done : ConfirmedMap
        What was confirmed and dropped.
    map_name : str
        With its folder.

    Returns
    -------
    RenderableType
        To be printed.
    """
    lines = [
        f"{what}: {', '.join(map(str, numbers))}"
        for what, numbers in (("Flaws", done.confirmed), ("No flaws", done.dropped))
        if numbers
    ]
    if done.cleaned:
        lines.append("Under the sheet the leather is sound")
    last = _next(hide, map_name) if _is_open(hide) else "All of this hide has been looked at."
    return Group(*(Text(f"{line}.") for line in lines), _table(hide, units), Text(last))


def _table(hide: Hide, units: Units) -> RenderableType:
    if not hide.flaws:
        return Text("No flaws.")
    rows = [
        (
            str(flaw.number or ""),
            flaw.kind,
            "" if flaw.kind == NOT_SEEN else str(flaw.state),
            "" if flaw.confidence is None else wording.share(flaw.confidence),
            wording.part_area(flaw.outline.area, units),
            ", ".join(wording.length(place, units) for place in flaw.outline.centroid.coords[0]),
        )
        for flaw in hide.flaws
    ]
    heads = ("No", "Kind", "State", "Sure", "Area", "At x, y")
    return plain_table("", *heads, rows=rows, right=(0, 3, 4))


def _is_open(hide: Hide) -> bool:
    return any(flaw.state is FlawState.PROPOSED or flaw.kind == NOT_SEEN for flaw in hide.flaws)


def _next(hide: Hide, map_name: str) -> str:
    """Which command settles what is open."""
    if not _is_open(hide):
        return "There is nothing to confirm."
    options = []
    if any(flaw.state is FlawState.PROPOSED for flaw in hide.flaws):
        options.append("--all (or --flaw and --drop with numbers)")
    if any(flaw.kind == NOT_SEEN for flaw in hide.flaws):
        options.append("--clean-sheet")
    return (
        "Until it is confirmed, a layout keeps off all of this: "
        f"estimator hide confirm {map_name} {' '.join(options)}"
    )

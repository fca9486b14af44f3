"""What the quote says of each line of an order, in words a customer knows."""

from estimator.hide.hides import Tannage
from estimator.pattern.parts import PartKind
from estimator.report.text import wording
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import OrderLine
from estimator.workshop.order.prepare import piece_names

TANNED = {
    Tannage.VEGETABLE: "vegetable-tanned",
    Tannage.CHROME: "chrome-tanned",
    Tannage.COMBINATION: "combination-tanned",
}


def line_title(line: OrderLine) -> str:
    """Say what a line makes.

    Parameters
    ----------
    line : OrderLine
        Of the order.

    Returns
    -------
    str
        ``pruning sheath``.
    """
    name = line.pattern.name
    return f"{name} sheath" if "sheath" not in name.lower() else name


def line_details(estimate: Estimate, line: OrderLine, units: Units) -> str:
    """Say how a line is made: the customer's own words, then hand, leather, dye, hardware.

    Parameters
    ----------
    estimate : Estimate
        With its layout, which tells the leather.
    line : OrderLine
        Of the order.
    units : Units
        What the customer reads.

    Returns
    -------
    str
        Two lines of text, or one where nothing was asked for specially.
    """
    pattern = line.pattern
    facts = [f"{line.hand}-handed", _leather(estimate, line, units)]
    if any(part.kind is PartKind.LINING for part in pattern.parts):
        facts.append("lined")
    if any(part.dyed for part in pattern.parts):
        facts.append(estimate.order.book.use.dye_item)
    if pattern.wet_formed:
        facts.append("formed to its knife")
    facts += [f"{piece.count} × {piece.item}" for piece in pattern.hardware]
    if pattern.belt is not None:
        facts.append(f"for a belt of {wording.length(pattern.belt.width_mm, units)}")
    made = ", ".join(fact for fact in facts if fact)
    return "\n".join(filter(None, (", ".join(line.options), made)))


def _leather(estimate: Estimate, line: OrderLine, units: Units) -> str:
    """The leather of the largest part of a line; empty if it does not fit."""
    main = max(line.pattern.parts, key=lambda part: part.outline.area)
    names = piece_names(estimate.order)
    tags = {
        placement.sheet
        for placement in estimate.layout.placements
        if names[placement.piece].line.key == line.key
        and names[placement.piece].part.name == main.name
    }
    hides = [hide for hide in estimate.order.hides if hide.tag in tags]
    if not hides:
        return ""
    thick = wording.thickness(
        low_mm=min(hide.thickness_min_mm for hide in hides),
        high_mm=max(hide.thickness_max_mm for hide in hides),
        units=units,
    )
    tanned = " and ".join(dict.fromkeys(TANNED[hide.tannage] for hide in hides))
    return f"{tanned} leather of {thick}"

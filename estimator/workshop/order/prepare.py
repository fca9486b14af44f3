"""An order made into a nesting problem, and the names back again."""

from dataclasses import dataclass
from math import isclose

from estimator.hide.hides import Hide
from estimator.nesting.problem import (
    Blemish,
    Grade,
    Mirror,
    Objective,
    Piece,
    Problem,
    Sheet,
    Turn,
    Zone,
)
from estimator.pattern.parts import Part, Stretch
from estimator.workshop.order.order import Order, OrderLine

THICKNESS_GRACE_MM = 0.05
"""A sold range may pass a part's range by this much: half the last digit it is written with."""

OFFCUT_WORTH = 0.2
"""The most an offcut weighs against the cheapest whole hide, so that it is used up first."""

POOR_SHARE = 0.5
"""Worth of faded or loose leather beside clean leather: enough to send there what may lie there."""
MIRRORED = " (mirrored)"


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceName:
    """What a piece of the nesting problem is in the shop's words.

    Parameters
    ----------
    line : OrderLine
        The line of the order it is cut for.
    part : Part
        The part of that line's pattern.
    is_mirrored_copy : bool
        Whether it is one of the part's mirrored copies.
    """

    line: OrderLine
    part: Part
    is_mirrored_copy: bool

    @property
    def key(self) -> str:
        """The piece's key in the nesting problem."""
        return f"{self.line.key}/{self.part.name}{MIRRORED if self.is_mirrored_copy else ''}"

    @property
    def per_sheath(self) -> int:
        """Pieces of this kind in one sheath."""
        return self.part.mirrored_copies if self.is_mirrored_copy else self.part.copies


def piece_names(order: Order) -> dict[str, PieceName]:
    """Every piece that the order asks for, by its key in the nesting problem.

    Parameters
    ----------
    order : Order
        What is ordered.

    Returns
    -------
    dict of str to PieceName
        Line by line, in the pattern's order of parts.
    """
    names = [
        PieceName(line=line, part=part, is_mirrored_copy=is_mirrored)
        for line in order.lines
        for part in line.pattern.parts
        for is_mirrored in (False, True)
    ]
    return {name.key: name for name in names if name.per_sheath}


def part_label(name: PieceName, order: Order) -> str:
    """Name a part: by itself in an order of one line, else ``line/part``.

    Parameters
    ----------
    name : PieceName
        The line and the part.
    order : Order
        The whole order.

    Returns
    -------
    str
        A name that is unique in the order.
    """
    if len(order.lines) == 1:
        return name.part.name
    return f"{name.line.key}/{name.part.name}"


def nesting_problem(order: Order) -> Problem:
    """Make the order's parts pieces and its hides sheets.

    Parameters
    ----------
    order : Order
        What is ordered, with its leather and its shop's margins.

    Returns
    -------
    Problem
        Piece keys are ``"<line key>/<part name>"``, with ``" (mirrored)"`` behind it for
        mirrored copies; sheet keys are the hides' tags; a kit is one sheath of a line.
    """
    return Problem(
        pieces=tuple(_piece(name, order.hides) for name in piece_names(order).values()),
        sheets=tuple(
            _sheet(hide, worth) for hide, worth in zip(order.hides, _worths(order), strict=True)
        ),
        margins=order.book.leather.margins,
        keep=order.book.leather.keep,
        objective=Objective.WORTH,
        poor_share=POOR_SHARE,
        pinned=order.pinned,
    )


def fits_thickness(part: Part, hide: Hide) -> bool:
    """Say whether a part may be cut from a hide of this thickness.

    The whole range the hide was sold as must lie within the range the part
    demands, give or take 0.05 mm: any spot of the hide may be the one cut.

    Parameters
    ----------
    part : Part
        With the thickness it demands.
    hide : Hide
        With the thickness it was sold as.

    Returns
    -------
    bool
        True if the leather is neither too thick nor too thin anywhere.
    """
    return (
        hide.thickness_min_mm >= part.thickness_min_mm - THICKNESS_GRACE_MM
        and hide.thickness_max_mm <= part.thickness_max_mm + THICKNESS_GRACE_MM
    )


def turns_along(stretch: Stretch | None, *, is_mirrored: bool) -> tuple[Turn, ...]:
    """Give the allowed turns from the backbone for a part that must follow it.

    A part's direction ``a`` lies along the backbone after a turn of ``-a``, and
    after ``180 - a`` in the opposite sense, which serves as well. Mirroring about
    the y axis, which comes before the turn, makes ``a`` into ``180 - a``, so that a
    mirrored piece is turned by ``a`` or ``180 + a``.

    Parameters
    ----------
    stretch : Stretch or None
        None where any direction will do.
    is_mirrored : bool
        Whether the piece is laid mirrored.

    Returns
    -------
    tuple of Turn
        Ranges from the sheet's axis, degrees.

    Examples
    --------
    >>> turns_along(Stretch(along_deg=90.0, within_deg=15.0), is_mirrored=False)[0]
    Turn(from_deg=-105.0, to_deg=-75.0)
    """
    if stretch is None or stretch.within_deg >= 90.0:
        return (Turn(from_deg=0.0, to_deg=360.0),)
    ahead = stretch.along_deg if is_mirrored else -stretch.along_deg
    return tuple(
        Turn(from_deg=middle - stretch.within_deg, to_deg=middle + stretch.within_deg)
        for middle in (ahead, ahead + 180.0)
    )


def _piece(name: PieceName, hides: tuple[Hide, ...]) -> Piece:
    part, line = name.part, name.line
    mirror = _mirror(name)
    return Piece(
        key=name.key,
        copies=line.quantity * name.per_sheath,
        outline=part.outline,
        zones=tuple(Zone(outline=region.outline, needs=region.needs) for region in part.regions),
        turns=turns_along(part.stretch, is_mirrored=mirror is Mirror.ALWAYS),
        sheets=frozenset(hide.tag for hide in hides if fits_thickness(part, hide)),
        mirror=mirror,
        kit=line.key,
        per_kit=name.per_sheath,
        same_lot=part.same_lot,
        ignores=line.finish_hides,
    )


def _mirror(name: PieceName) -> Mirror:
    """Whether the piece is laid mirrored: for the other hand, as the second of a pair, or at will.

    A part that may be mirrored at will and follows the backbone on a slant would need other
    turns for each hand of it; it is then laid as drawn, which is always right.
    """
    stretch = name.part.stretch
    if name.part.may_mirror and (stretch is None or _is_square(stretch)):
        return Mirror.MAY
    is_other_hand = name.line.hand is not name.line.pattern.hand
    return Mirror.ALWAYS if is_other_hand != name.is_mirrored_copy else Mirror.NEVER


def _is_square(stretch: Stretch) -> bool:
    """Whether drawn and mirrored copies are allowed the same turns."""
    off_square = stretch.along_deg % 90.0
    return (
        isclose(off_square, 0.0, abs_tol=1e-9)
        or isclose(off_square, 90.0)
        or stretch.within_deg >= 90.0
    )


def _sheet(hide: Hide, worth: float) -> Sheet:
    return Sheet(
        key=hide.tag,
        outline=hide.outline,
        blemishes=tuple(
            Blemish(
                outline=flaw.outline,
                spoil=flaw.reckoned_spoil,
                kind=flaw.kind,
                lowers_worth=not flaw.is_forbidden,
            )
            for flaw in hide.flaws
        ),
        axis_deg=hide.backbone_deg,
        worth_per_mm2=worth,
        lot=hide.lot,
        grades=tuple(Grade(outline=zone.outline, share=zone.share) for zone in hide.zones),
    )


def _worths(order: Order) -> list[float]:
    """Weigh each hide by its price per area, against the dearest.

    Leather without a price counts at the mean of what has one: it is not wasted because it
    was a gift. Where offcuts come first, every one weighs well below every whole hide.
    """
    hides = order.hides
    priced = [hide for hide in hides if hide.price_paid]
    if not priced:
        worths = [1.0] * len(hides)
    else:
        paid = float(sum(hide.price_paid for hide in priced))
        mean = paid / sum(hide.outline.area for hide in priced)
        rates = [float(hide.price_paid) / hide.outline.area or mean for hide in hides]
        worths = [rate / max(rates) for rate in rates]
    if not order.book.leather.offcuts_first:
        return worths
    whole = [worth for hide, worth in zip(hides, worths, strict=True) if not hide.is_offcut]
    offcut_share = OFFCUT_WORTH * min(whole, default=1.0)
    return [
        worth * offcut_share if hide.is_offcut else worth
        for hide, worth in zip(hides, worths, strict=True)
    ]

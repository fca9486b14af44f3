"""Leather taken from each hide: net, consumed, the yield that joins them, and what is charged."""

from collections.abc import Sequence
from enum import StrEnum
from typing import assert_never

from estimator.facts import Statement, statement
from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import Aspect, Quantity
from estimator.units import MM2_PER_DM2, Unit

SAME_SHARE = 1e-6
"""Areas that differ by less are the same: the layout moves parts, it does not change them."""
PROVED = ("source-layout",)
LEATHER = "leather"


class Charge(StrEnum):
    """What leather a job pays for."""

    USED_UP = "used up"
    """The share of its worth on the rack that the job uses up of each piece."""
    WHOLE_HIDE = "whole hide"
    """Every piece that is cut into, whatever is left of it: its offcuts carry nothing on."""


def carried_shares(use: SheetUse, charge: Charge) -> tuple[float, ...]:
    """Give the share of a hide's price that each of its offcuts carries on.

    Parameters
    ----------
    use : SheetUse
        What is taken from the hide.
    charge : Charge
        What the job pays for.

    Returns
    -------
    tuple of float
        One for each offcut, 0 to 1, together at most 1; the job pays the rest.
    """
    match charge:
        case Charge.WHOLE_HIDE:
            return (0.0,) * len(use.offcuts)
        case Charge.USED_UP:
            return use.offcut_shares
        case other:
            assert_never(other)


def yield_share(*, net_mm2: float, consumed_mm2: float) -> float:
    """Share of the consumed leather that is in the parts; 0 where nothing is consumed.

    Raises
    ------
    ValueError
        If an area is negative.

    Examples
    --------
    >>> yield_share(net_mm2=70.0, consumed_mm2=100.0)
    0.7
    """
    if net_mm2 < 0 or consumed_mm2 < 0:
        raise ValueError(f"net_mm2 {net_mm2}, consumed_mm2 {consumed_mm2}")
    return net_mm2 / consumed_mm2 if consumed_mm2 else 0.0


def gross_mm2(*, net_mm2: float, yield_share: float) -> float:
    """Leather to have for parts of a net area, mm2: net over yield.

    The yield divides. A waste mark-up on net (net x 1.25) is another rule and
    gives less leather than the same figure taken as a yield (net / 0.75).

    Raises
    ------
    ValueError
        If the yield is not above 0 and at most 1, or the area negative.

    Examples
    --------
    >>> gross_mm2(net_mm2=100.0, yield_share=0.5)
    200.0
    """
    if net_mm2 < 0 or not 0 < yield_share <= 1:
        raise ValueError(f"net_mm2 {net_mm2}, yield_share {yield_share}")
    return net_mm2 / yield_share


def sheath_share_mm2(*, consumed_mm2: float, own_net_mm2: float, net_mm2: float) -> float:
    """Leather that one sheath of a batch takes, mm2: its share of what the batch consumes.

    The waste between the parts belongs to all of them, so it is shared in
    proportion to net area: ``consumed x own net / net of the batch``.

    Parameters
    ----------
    consumed_mm2 : float
        By the batch, mm2; zero or more.
    own_net_mm2, net_mm2 : float
        Area of the sheath's parts, and of all parts of the batch, mm2.

    Returns
    -------
    float
        mm2; the shares of all sheaths add up to what is consumed.

    Raises
    ------
    ValueError
        If an area is negative, or the batch has less than the sheath.

    Notes
    -----
    Source: allocation in proportion to a base, as overhead is applied in job costing; that
    net area is the base is common practice, no source.

    Examples
    --------
    >>> sheath_share_mm2(consumed_mm2=1000.0, own_net_mm2=100.0, net_mm2=800.0)
    125.0
    """
    if min(consumed_mm2, own_net_mm2) < 0 or own_net_mm2 > net_mm2 * (1 + 1e-9):
        raise ValueError(f"consumed {consumed_mm2}, own {own_net_mm2} of {net_mm2} mm2")
    return consumed_mm2 * own_net_mm2 / net_mm2 if net_mm2 else 0.0


def leather_quantities(
    hides: Sequence[Hide],
    taken: Sequence[SheetUse],
    lines: Sequence[LineToMake] = (),
    *,
    charge: Charge = Charge.USED_UP,
) -> tuple[Quantity, ...]:
    """Leather by hide, in all, and per sheath.

    The job pays for the area of each hide by the share of its worth that is used
    up, unless it pays for whole hides. Consumed leather, which is what is cut into
    less the offcuts worth keeping, net area and yield are facts beside it.

    Parameters
    ----------
    hides : sequence of Hide
        The rack.
    taken : sequence of SheetUse
        What the layout takes, by hide tag.
    lines : sequence of LineToMake
        What is made, for the share of one sheath.
    charge : Charge
        What the job pays for.

    Returns
    -------
    tuple of Quantity
        Areas in dm2; hides that are not cut are left out.
    """
    by_tag = {use.sheet: use for use in taken}
    cut = [by_tag[hide.tag] for hide in hides if hide.tag in by_tag and by_tag[hide.tag].is_cut]
    rows: list[Quantity] = []
    for use in cut:
        rows += [
            _charge_row(use, charge),
            _net_row(use.sheet, Aspect.OF_HIDE_NET, use.pieces_mm2),
            _yield_row(use.sheet, Aspect.OF_HIDE_YIELD, use.pieces_mm2, use.consumed_mm2),
        ]
    if cut:
        net_mm2 = sum(use.pieces_mm2 for use in cut)
        consumed_mm2 = sum(use.consumed_mm2 for use in cut)
        rows += [
            _net_row(LEATHER, Aspect.NET, net_mm2),
            _sum_row(Aspect.CONSUMED, _dm2(consumed_mm2)),
            _sum_row(Aspect.CHARGED, sum(row.quantity for row in rows if row.is_priced)),
            _yield_row(LEATHER, Aspect.YIELD, net_mm2, consumed_mm2),
        ]
        rows += _shares(lines, laid_mm2=net_mm2, consumed_mm2=consumed_mm2)
    return tuple(rows)


def _shares(lines: Sequence[LineToMake], *, laid_mm2: float, consumed_mm2: float) -> list[Quantity]:
    """Consumed leather per sheath of each pattern, if all parts found a place."""
    nets = [
        (line, sum(part.pieces * part.outline.area for part in line.pattern.parts))
        for line in lines
    ]
    net_mm2 = sum(line.quantity * net for line, net in nets)
    if abs(net_mm2 - laid_mm2) > SAME_SHARE * net_mm2:
        return []
    rows = []
    for line, net in nets:
        share = sheath_share_mm2(consumed_mm2=consumed_mm2, own_net_mm2=net, net_mm2=net_mm2)
        rows.append(
            _row(
                line.key,
                Aspect.PER_SHEATH,
                _dm2(share),
                statement(
                    "leather-per-sheath",
                    consumed_dm2=_dm2(consumed_mm2),
                    own_dm2=_dm2(net),
                    net_dm2=_dm2(net_mm2),
                ),
            )
        )
    return rows


def _dm2(area_mm2: float) -> float:
    return area_mm2 / MM2_PER_DM2


def _row(
    item: str,
    aspect: Aspect,
    value: float,
    basis: Statement,
    *,
    unit: Unit | str = Unit.DM2,
    is_priced: bool = False,
) -> Quantity:
    """A figure read off the layout, so without a range."""
    return Quantity(
        item=item,
        quantity=value,
        unit=unit,
        low=value,
        high=value,
        basis=basis,
        sources=PROVED,
        is_priced=is_priced,
        aspect=aspect,
    )


def charged_mm2(use: SheetUse, charge: Charge) -> float:
    """Leather of one hide that the job pays for, mm2: the whole of it, or what it uses up."""
    match charge:
        case Charge.WHOLE_HIDE:
            return use.area_mm2 if use.is_cut else use.charged_mm2
        case Charge.USED_UP:
            return use.charged_mm2
        case other:
            assert_never(other)


def _charge_row(use: SheetUse, charge: Charge) -> Quantity:
    area_dm2 = _dm2(use.area_mm2)
    match charge:
        case Charge.WHOLE_HIDE:
            kept = sum(offcut.area for offcut in use.offcuts)
            basis = statement("whole-hide", hide_dm2=area_dm2, kept_dm2=_dm2(kept))
        case Charge.USED_UP if use.worth_before_mm2 > 0.0:
            basis = statement(
                "hide-used-up",
                hide_dm2=area_dm2,
                used=use.used_share,
                before_dm2=_dm2(use.worth_before_mm2),
                after_dm2=_dm2(use.worth_after_mm2),
            )
        case Charge.USED_UP:
            basis = statement("hide-worth-nothing", hide_dm2=area_dm2, used=use.used_share)
        case other:
            assert_never(other)
    return _row(use.sheet, Aspect.OF_HIDE, _dm2(charged_mm2(use, charge)), basis, is_priced=True)


def _sum_row(aspect: Aspect, value_dm2: float) -> Quantity:
    return _row(LEATHER, aspect, value_dm2, statement("sum-over-hides"))


def _net_row(item: str, aspect: Aspect, net_mm2: float) -> Quantity:
    return _row(item, aspect, _dm2(net_mm2), statement("sum-of-outlines"))


def _yield_row(item: str, aspect: Aspect, net_mm2: float, consumed_mm2: float) -> Quantity:
    """Parts over consumed."""
    return _row(
        item,
        aspect,
        yield_share(net_mm2=net_mm2, consumed_mm2=consumed_mm2),
        statement("yield", net_dm2=_dm2(net_mm2), consumed_dm2=_dm2(consumed_mm2)),
        unit="share",
    )

"""Leather taken from each hide: net, consumed, and the yield that joins them."""

from collections.abc import Sequence

from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.quantity import Quantity
from estimator.units import Unit

MM2_PER_DM2 = 10_000
PROVED = "the proved layout"


def leather_item(tag: str) -> str:
    """Name of a hide's leather on take-off and cost sheet."""
    return f"leather {tag}"


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


def leather_quantities(hides: Sequence[Hide], uses: Sequence[SheetUse]) -> tuple[Quantity, ...]:
    """Leather by hide and in all.

    Consumed leather is what is cut into, less the offcuts worth keeping: that
    is what the job pays for. Net area and yield are facts beside it.

    Parameters
    ----------
    hides : sequence of Hide
        The rack.
    uses : sequence of SheetUse
        What the layout takes, by hide tag.

    Returns
    -------
    tuple of Quantity
        Areas in dm2; hides that are not cut are left out.
    """
    by_tag = {use.sheet: use for use in uses}
    cut = [by_tag[hide.tag] for hide in hides if _is_cut(by_tag.get(hide.tag))]
    rows: list[Quantity] = []
    for use in cut:
        rows += [_consumed(use), _net(leather_item(use.sheet), use), _yield(use.sheet, use)]
    if cut:
        whole = SheetUse(
            sheet="",
            area_mm2=sum(use.area_mm2 for use in cut),
            pieces_mm2=sum(use.pieces_mm2 for use in cut),
            consumed_mm2=sum(use.consumed_mm2 for use in cut),
            offcuts=(),
        )
        rows += [_net("leather", whole), _all_consumed(whole), _yield("", whole)]
    return tuple(rows)


def _is_cut(use: SheetUse | None) -> bool:
    """Whether anything is taken from a hide."""
    return use is not None and use.consumed_mm2 > 0


def _dm2(area_mm2: float) -> float:
    """Square decimetres."""
    return area_mm2 / MM2_PER_DM2


def _row(item: str, value: float, unit: Unit | str, basis: str, *, is_priced: bool) -> Quantity:
    """A figure read off the layout, so without a range."""
    return Quantity(
        item=item,
        quantity=value,
        unit=unit,
        low=value,
        high=value,
        basis=basis,
        source=PROVED,
        is_priced=is_priced,
    )


def _consumed(use: SheetUse) -> Quantity:
    """What the job pays for on one hide."""
    kept = use.area_mm2 - use.consumed_mm2
    return _row(
        leather_item(use.sheet),
        _dm2(use.consumed_mm2),
        Unit.DM2,
        f"consumed: hide {_dm2(use.area_mm2):.2f} dm2 - {len(use.offcuts)} "
        f"{'offcut' if len(use.offcuts) == 1 else 'offcuts'} kept {_dm2(kept):.2f} dm2",
        is_priced=True,
    )


def _all_consumed(use: SheetUse) -> Quantity:
    """Consumed leather of all hides."""
    value = _dm2(use.consumed_mm2)
    return _row(
        "leather, consumed", value, Unit.DM2, "sum over the hides cut into", is_priced=False
    )


def _net(name: str, use: SheetUse) -> Quantity:
    """The parts themselves."""
    value = _dm2(use.pieces_mm2)
    return _row(f"{name}, net", value, Unit.DM2, "sum of the parts' outlines", is_priced=False)


def _yield(tag: str, use: SheetUse) -> Quantity:
    """Parts over consumed."""
    share = yield_share(net_mm2=use.pieces_mm2, consumed_mm2=use.consumed_mm2)
    return _row(
        f"{leather_item(tag)}, yield" if tag else "leather, yield",
        share,
        "share",
        f"parts {_dm2(use.pieces_mm2):.2f} dm2 / consumed {_dm2(use.consumed_mm2):.2f} dm2",
        is_priced=False,
    )

"""Leather taken from each hide: net, consumed, and the yield that joins them."""

from collections.abc import Sequence
from enum import StrEnum

from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.jobs import Job
from estimator.takeoff.quantity import Quantity
from estimator.units import Unit

MM2_PER_DM2 = 10_000
SAME_SHARE = 1e-6
"""Areas that differ by less are the same: the layout moves parts, it does not change them."""
PROVED = "the proved layout"


class Charge(StrEnum):
    """What leather a job pays for."""

    CONSUMED = "consumed"
    """What is cut into, less the offcuts worth keeping."""
    WHOLE_HIDE = "whole hide"
    """Every piece that is cut into, whatever is left of it."""


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
    uses: Sequence[SheetUse],
    jobs: Sequence[Job] = (),
    *,
    charge: Charge = Charge.CONSUMED,
) -> tuple[Quantity, ...]:
    """Leather by hide, in all, and per sheath.

    Consumed leather is what is cut into, less the offcuts worth keeping: that
    is what the job pays for, unless it pays for whole hides. Net area and
    yield are facts beside it.

    Parameters
    ----------
    hides : sequence of Hide
        The rack.
    uses : sequence of SheetUse
        What the layout takes, by hide tag.
    jobs : sequence of Job
        What is made, for the share of one sheath.
    charge : Charge
        What the job pays for.

    Returns
    -------
    tuple of Quantity
        Areas in dm2; hides that are not cut are left out.
    """
    by_tag = {use.sheet: use for use in uses}
    cut = [by_tag[hide.tag] for hide in hides if _is_cut(by_tag.get(hide.tag))]
    rows: list[Quantity] = []
    for use in cut:
        rows += [_charged(use, charge), _net(leather_item(use.sheet), use), _yield(use.sheet, use)]
    if cut:
        whole = SheetUse(
            sheet="",
            area_mm2=sum(use.area_mm2 for use in cut),
            pieces_mm2=sum(use.pieces_mm2 for use in cut),
            consumed_mm2=sum(use.consumed_mm2 for use in cut),
            offcuts=(),
            worth_before_mm2=0.0,
            offcut_worths_mm2=(),
        )
        rows += [_net("leather", whole), _all_consumed(whole), _yield("", whole)]
        rows += _shares(jobs, whole)
    return tuple(rows)


def _shares(jobs: Sequence[Job], whole: SheetUse) -> list[Quantity]:
    """Consumed leather per sheath of each pattern, if all parts found a place."""
    nets = [
        (job, sum(part.pieces * part.outline.area for part in job.pattern.parts)) for job in jobs
    ]
    net_mm2 = sum(job.quantity * net for job, net in nets)
    if abs(net_mm2 - whole.pieces_mm2) > SAME_SHARE * net_mm2:
        return []
    rows = []
    for job, net in nets:
        share = sheath_share_mm2(consumed_mm2=whole.consumed_mm2, own_net_mm2=net, net_mm2=net_mm2)
        rows.append(
            _row(
                f"leather, per sheath {job.key}",
                _dm2(share),
                Unit.DM2,
                f"consumed {_dm2(whole.consumed_mm2):.2f} dm2 x its parts {_dm2(net):.2f} dm2 / "
                f"all parts {_dm2(net_mm2):.2f} dm2",
                is_priced=False,
            )
        )
    return rows


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


def _charged(use: SheetUse, charge: Charge) -> Quantity:
    """What the job pays for on one hide."""
    kept = use.area_mm2 - use.consumed_mm2
    if charge is Charge.WHOLE_HIDE:
        return _row(
            leather_item(use.sheet),
            _dm2(use.area_mm2),
            Unit.DM2,
            f"the whole of it, though offcuts of {_dm2(kept):.2f} dm2 are kept",
            is_priced=True,
        )
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

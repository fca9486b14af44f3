"""How long formed leather dries and oiled leather cures: longer if thicker, not in proportion.

The waits for dye and for cement are the same for any thickness: common practice, no source.
"""

from estimator.takeoff.quantity import Spread, distinct

REFERENCE_MM = 3.25
"""Thickness that the waits in the rates are for: the middle of 3 to 3.5 mm, 8 oz leather."""


def drying_min(wait: Spread, *, thickness_mm: float, thickness_share: Spread) -> Spread:
    """Time that leather of a thickness takes to dry or to cure, min of clock time.

    ``wait x (1 + share x (thickness / 3.25 mm - 1))``: a straight line that a
    share of the time rises along. It is never less than the wait's own low
    end, so that thin leather still dries overnight.

    Parameters
    ----------
    wait : Spread
        For leather of 3.25 mm, min.
    thickness_mm : float
        Thickest leather that dries, mm; above zero. The source measured 2 to 4.5 mm.
    thickness_share : Spread
        Share of the time that grows with thickness, 0 to 1.

    Returns
    -------
    Spread
        min.

    Raises
    ------
    ValueError
        If the thickness is not positive.

    Notes
    -----
    Source: drying of chrome-tanned leather of 2.0 to 4.5 mm, abstract at sltc.org (Journal of
    the Society of Leather Technologists and Chemists): times "linearly related, but not
    directly proportional" to thickness. How large the share is, is an assumption; that it
    holds for sheaths of vegetable-tanned leather as well.

    Examples
    --------
    >>> wait = Spread(low=720, expected=1440, high=2880, sources=("source-own",))
    >>> share = Spread(low=0.5, expected=0.75, high=1, sources=("source-own",))
    >>> drying_min(wait, thickness_mm=6.5, thickness_share=share).expected
    2520.0
    """
    if thickness_mm <= 0:
        raise ValueError(f"thickness_mm {thickness_mm} is not positive")
    more = thickness_mm / REFERENCE_MM - 1
    ends = sorted((thickness_share.low * more, thickness_share.high * more))
    low = max(wait.low, wait.low * (1 + ends[0]))
    expected = max(wait.low, wait.expected * (1 + thickness_share.expected * more))
    high = max(wait.low, wait.high * (1 + ends[1]))
    return Spread(
        low=min(low, expected),
        expected=expected,
        high=max(expected, high),
        sources=distinct((wait.sources, thickness_share.sources)) if more else wait.sources,
    )

"""How thick a thread suits a seam: its pitch sets the range, its stack where in it."""

from estimator.takeoff.quantity import Spread
from estimator.takeoff.use import UseRates

STACK_SHARE = 0.08
"""Diameter over stack below which a thread looks and is thin for it, from memory: 0.6 mm to 8 mm
of leather, 0.8 mm to 10 mm, 1 mm above 12 mm."""


def thread_size_mm(*, pitch_mm: float, stack_mm: float, use: UseRates) -> Spread:
    """Diameter of thread that suits a pitch and a stack, mm.

    A thread thicker than about a quarter of the pitch fills the hole and
    crowds its neighbour; a thin one looks lost in a wide pitch: ``pitch x
    (low, usual, high)``. A thick stack asks for a stronger thread, so the low
    end and the usual size are raised to a share of the stack, within what
    the pitch allows.

    Parameters
    ----------
    pitch_mm : float
        Distance between holes, mm; above zero. Used from 2 to 6 mm.
    stack_mm : float
        Leather sewn through, mm; zero or more.
    use : UseRates
        ``thread_over_pitch``.

    Returns
    -------
    Spread
        mm.

    Raises
    ------
    ValueError
        If the pitch is not positive, or the stack negative.

    Notes
    -----
    Source: shares from memory, no source at hand.

    Examples
    --------
    >>> from estimator.takeoff.use import DEFAULT_USE_RATES
    >>> size = thread_size_mm(pitch_mm=4.0, stack_mm=9.75, use=DEFAULT_USE_RATES)
    >>> round(size.expected, 2), size.high
    (0.78, 1.0)
    """
    if pitch_mm <= 0 or stack_mm < 0:
        raise ValueError(f"pitch_mm {pitch_mm}, stack_mm {stack_mm}")
    by_pitch = use.thread_over_pitch.times(pitch_mm)
    least = min(STACK_SHARE * stack_mm, by_pitch.high)
    return Spread(
        low=max(by_pitch.low, least),
        expected=max(by_pitch.expected, least),
        high=by_pitch.high,
        sources=(*by_pitch.sources, "source-stack-share"),
    )

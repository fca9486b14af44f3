"""The geometry of stitches: how much thread one takes of pitch and stack, by hand or machine."""

from estimator.units import MM_PER_INCH


def pitch_mm_from_spi(spi: float) -> float:
    """Exact pitch of so many stitches per inch, mm.

    The label on an iron is a name, not a measure: sold irons differ by 5 to 9 %.

    Raises
    ------
    ValueError
        If ``spi`` is not positive.

    Examples
    --------
    >>> round(pitch_mm_from_spi(6), 3)
    4.233
    """
    if spi <= 0:
        raise ValueError(f"spi {spi} is not positive")
    return float(MM_PER_INCH) / spi


def spi_from_pitch_mm(pitch_mm: float) -> float:
    """Stitches per inch at a pitch in mm; the inverse of :func:`pitch_mm_from_spi`."""
    return pitch_mm_from_spi(pitch_mm)


def saddle_stitch_thread_mm(*, seam_mm: float, pitch_mm: float, stack_mm: float) -> float:
    """Length of thread in a saddle-stitched seam, without tails or backstitches.

    Two needles pass through every hole, so each stitch takes one pitch on
    both faces and the stack twice: ``2 * (pitch + stack)`` per pitch.

    Parameters
    ----------
    seam_mm : float
        Length of the stitch path, mm; zero or more.
    pitch_mm : float
        Distance between holes, mm; more than zero.
    stack_mm : float
        Total thickness of the leather sewn through, mm; zero or more.

    Returns
    -------
    float
        Thread length, mm.

    Raises
    ------
    ValueError
        If ``pitch_mm`` is not positive, or a length is negative.

    Notes
    -----
    Source: geometry of the stitch, derived above. The published formula for
    lockstitch type 301 (``2 + 2TS`` per unit) is the same number.

    Examples
    --------
    >>> saddle_stitch_thread_mm(seam_mm=300.0, pitch_mm=4.0, stack_mm=12.0)
    2400.0
    """
    if pitch_mm <= 0:
        raise ValueError(f"pitch_mm {pitch_mm} is not positive")
    if seam_mm < 0 or stack_mm < 0:
        raise ValueError(f"seam_mm {seam_mm} and stack_mm {stack_mm} must be zero or more")
    return 2 * seam_mm * (1 + stack_mm / pitch_mm)


def lockstitch_thread_mm(
    *, seam_mm: float, pitch_mm: float, stack_mm: float, interlock_share: float = 0.5
) -> tuple[float, float]:
    """Needle and bobbin thread of a machine's lockstitch, mm, without ends.

    The two threads meet inside the leather. On its own face each lies one
    pitch per stitch, and goes down to where they meet and back: the needle
    thread ``pitch + 2 * share * stack``, the bobbin thread
    ``pitch + 2 * (1 - share) * stack`` per stitch. Together ``2 + 2 * stack /
    pitch`` per seam length, as much as a saddle stitch.

    Parameters
    ----------
    seam_mm : float
        Length of the stitch path, mm; zero or more.
    pitch_mm : float
        Length of a stitch, mm; more than zero.
    stack_mm : float
        Total thickness of the leather sewn through, mm; zero or more.
    interlock_share : float
        How deep the threads meet, share of the stack from the needle's face, 0
        to 1; a balanced stitch meets in the middle.

    Returns
    -------
    tuple of float
        Needle thread and bobbin thread, mm.

    Raises
    ------
    ValueError
        If ``pitch_mm`` is not positive, a length is negative, or the share not from 0 to 1.

    Notes
    -----
    Source: geometry of stitch type 301 of ISO 4915; the sum is the published formula
    ``2 + 2TS`` per unit.

    Examples
    --------
    >>> lockstitch_thread_mm(seam_mm=300.0, pitch_mm=4.0, stack_mm=12.0)
    (1200.0, 1200.0)
    """
    if not 0 <= interlock_share <= 1:
        raise ValueError(f"interlock_share {interlock_share} is not from 0 to 1")
    both = saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=pitch_mm, stack_mm=stack_mm)
    crossing = both - 2 * seam_mm
    return seam_mm + interlock_share * crossing, seam_mm + (1 - interlock_share) * crossing


def backstitch_thread_mm(*, backstitches: int, pitch_mm: float, stack_mm: float) -> float:
    """Thread of the stitches sewn twice, mm: another ``2 * (pitch + stack)`` each.

    Parameters
    ----------
    backstitches : int
        Stitches sewn twice, both ends together; zero or more.
    pitch_mm, stack_mm : float
        As for :func:`saddle_stitch_thread_mm`, mm.

    Returns
    -------
    float
        Thread length, mm.

    Raises
    ------
    ValueError
        As :func:`saddle_stitch_thread_mm`.

    Notes
    -----
    Source: geometry of the stitch.
    """
    return saddle_stitch_thread_mm(
        seam_mm=backstitches * pitch_mm, pitch_mm=pitch_mm, stack_mm=stack_mm
    )

"""The belt a sheath goes on: as named in the pattern, in its draft, or in the order."""

from dataclasses import replace

from estimator.pattern.parts import Belt, Pattern

BELT_THICKNESS_MM = 4.0
"""Of a belt that is given by its width alone: the usual single thickness of belt leather. Common
practice, no source."""


def belt_of(pattern: Pattern) -> Belt | None:
    """Give the belt named in a pattern, or the one its loop was drafted for.

    Parameters
    ----------
    pattern : Pattern
        With its draft, if it has one.

    Returns
    -------
    Belt or None
        None if neither says.
    """
    drafted = pattern.draft.belt_loop if pattern.draft else None
    if pattern.belt is not None or drafted is None:
        return pattern.belt
    return Belt(width_mm=drafted.belt_width_mm, thickness_mm=drafted.belt_thickness_mm)


def with_belt(pattern: Pattern, width_mm: float) -> Pattern:
    """Give a pattern for a belt of another width.

    Parameters
    ----------
    pattern : Pattern
        Of any belt or none.
    width_mm : float
        mm, above zero.

    Returns
    -------
    Pattern
        The same parts; the belt as thick as the one it was for, or of ``BELT_THICKNESS_MM``.

    Examples
    --------
    >>> from estimator.pattern.parts import Hand
    >>> bare = Pattern(
    ...     name="slip", hand=Hand.RIGHT, parts=(), seams=(), hardware=(), joins=(),
    ...     wet_formed=False,
    ... )
    >>> with_belt(bare, 45.0).belt
    Belt(width_mm=45.0, thickness_mm=4.0)
    """
    known = belt_of(pattern)
    thickness_mm = BELT_THICKNESS_MM if known is None else known.thickness_mm
    return replace(pattern, belt=Belt(width_mm=width_mm, thickness_mm=thickness_mm))

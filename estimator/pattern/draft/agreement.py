"""Whether the parts of a drafted pattern still are what its parameters give."""

from collections.abc import Iterator

from estimator.errors import Check, InputError, Level, finding
from estimator.facts import Fact, statement
from estimator.pattern.draft.drafting import drafted
from estimator.pattern.parts import Pattern

AGREE_MM = 0.1
"""Lines nearer than this are the same line: a draft is exact to a tenth of a millimetre."""


def draft_checks(pattern: Pattern) -> tuple[Check, ...]:
    """Tell what of a drafted pattern no longer follows from its blade and choices.

    Parts that the draft does not make are the maker's own and nothing is said of them.

    Parameters
    ----------
    pattern : Pattern
        As read.

    Returns
    -------
    tuple of Check
        One warning, or none; none either if the pattern was not drafted.
    """
    if pattern.draft is None:
        return ()
    try:
        fresh = drafted(
            pattern.draft, name=pattern.name, hand=pattern.hand, wet_formed=pattern.wet_formed
        ).pattern
    except InputError as error:
        changes: tuple[Fact, ...] = tuple(fault.problem for fault in error.faults)
    else:
        changes = tuple(_differences(pattern, fresh))
    if not changes:
        return ()
    return (finding(Level.WARNING, "draft-out-of-date", pattern=pattern.name, changes=changes),)


def _differences(pattern: Pattern, fresh: Pattern) -> Iterator[Fact]:
    parts = {part.name: part for part in pattern.parts}
    for part in fresh.parts:
        known = parts.get(part.name)
        if known is None:
            yield statement("drafted-part-missing", part=part.name)
            continue
        off_mm = known.outline.boundary.hausdorff_distance(part.outline.boundary)
        if off_mm > AGREE_MM:
            yield statement("drafted-part-moved", part=part.name, off_mm=off_mm)
        was = (known.thickness_min_mm, known.thickness_max_mm)
        now = (part.thickness_min_mm, part.thickness_max_mm)
        if max(abs(a - b) for a, b in zip(was, now, strict=True)) > 1e-6:
            yield statement(
                "drafted-leather-changed",
                part=part.name,
                was_low_mm=was[0],
                was_high_mm=was[1],
                low_mm=now[0],
                high_mm=now[1],
            )
        if (known.copies, known.mirrored_copies) != (part.copies, part.mirrored_copies):
            yield statement(
                "drafted-copies-changed", part=part.name, was=known.pieces, now=part.pieces
            )
    seams = {seam.name: seam for seam in pattern.seams}
    for seam in fresh.seams:
        sewn = seams.get(seam.name)
        if sewn is None:
            yield statement("drafted-seam-missing", seam=seam.name)
        elif (off_mm := sewn.path.hausdorff_distance(seam.path)) > AGREE_MM:
            yield statement("drafted-seam-moved", seam=seam.name, off_mm=off_mm)

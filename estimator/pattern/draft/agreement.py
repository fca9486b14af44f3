"""Whether the parts of a drafted pattern still are what its parameters give."""

from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, InputError, Level
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
        told = [fault.problem for fault in error.faults]
    else:
        told = [*_differences(pattern, fresh)]
    if not told:
        return ()
    return (
        Check(
            level=Level.WARNING,
            code="draft-out-of-date",
            message=f"{pattern.name}: parts no longer follow from [blade] and [draft]: "
            + "; ".join(told),
            remedy="redraw them with estimator pattern draft, or take [blade] and [draft] out "
            "if the parts were changed on purpose",
        ),
    )


def _differences(pattern: Pattern, fresh: Pattern) -> Iterator[str]:
    """What differs from a fresh draft, part by part and seam by seam."""
    parts = {part.name: part for part in pattern.parts}
    for part in fresh.parts:
        known = parts.get(part.name)
        if known is None:
            yield f"{part.name} is missing"
            continue
        yield from _moved(part.name, known.outline.boundary, part.outline.boundary)
        was = (known.thickness_min_mm, known.thickness_max_mm)
        now = (part.thickness_min_mm, part.thickness_max_mm)
        if max(abs(a - b) for a, b in zip(was, now, strict=True)) > 1e-6:
            yield f"{part.name} is of {_range(*was)} leather instead of {_range(*now)}"
        if (known.copies, known.mirrored_copies) != (part.copies, part.mirrored_copies):
            yield f"{part.name} is cut {known.pieces} times instead of {part.pieces}"
    seams = {seam.name: seam for seam in pattern.seams}
    for seam in fresh.seams:
        sewn = seams.get(seam.name)
        if sewn is None:
            yield f"seam {seam.name} is missing"
        else:
            yield from _moved(f"seam {seam.name}", sewn.path, seam.path)


def _moved(name: str, was: BaseGeometry, now: BaseGeometry) -> Iterator[str]:
    """Say how far a line is off."""
    off_mm = was.hausdorff_distance(now)
    if off_mm > AGREE_MM:
        yield f"{name} is off by {off_mm:.1f} mm"


def _range(low_mm: float, high_mm: float) -> str:
    return f"{low_mm:g} mm" if low_mm == high_mm else f"{low_mm:.4g}-{high_mm:.4g} mm"

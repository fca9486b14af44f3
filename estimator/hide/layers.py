"""The layers of a drawing that holds a hide with its flaws, and what lies on them."""

from collections.abc import Iterator, Sequence

from estimator.drawing.paths import Path
from estimator.hide.flaw_kinds import NOT_SEEN, SPOIL_OF_KIND

PHOTO = "photo"
OUTLINE = "outline"
BACKBONE = "backbone"
FLAWS = "flaws"
PROPOSED = "proposed"
COVERED = NOT_SEEN
FLAW_LAYERS = (FLAWS, PROPOSED, COVERED)
"""What lies on these is a flaw, whether or not the map has a table for it."""
LAYERS = (OUTLINE, *FLAW_LAYERS, BACKBONE)

UNNAMED_KIND = "drawn"
"""Of a line on a layer of flaws that nobody has said anything of; it is unusable."""


def flaw_shapes(lines: Sequence[Path]) -> Iterator[tuple[Path, ...]]:
    """Give what is drawn on the layers of flaws.

    Parameters
    ----------
    lines : sequence of Path
        Of a drawing, in its order.

    Yields
    ------
    tuple of Path
        One shape: lines of one identifier that follow each other; a line without one is a
        shape by itself.
    """
    held: list[Path] = []
    for line in lines:
        if line.layer not in FLAW_LAYERS:
            continue
        if held and not (line.name and line.name == held[0].name and line.layer == held[0].layer):
            yield tuple(held)
            held = []
        held.append(line)
    if held:
        yield tuple(held)


def drawn_kind(shape: Sequence[Path]) -> str:
    """Say what kind of flaw a shape is that has no table in the map.

    Parameters
    ----------
    shape : sequence of Path
        One shape of a layer of flaws.

    Returns
    -------
    str
        Its label or its identifier if that is a kind of flaw; what lies on the layer
        ``not-seen`` has not been seen; else ``drawn``.

    Examples
    --------
    >>> drawn_kind([Path(layer="flaws", name="path12", closed=True, points=(), label="hole")])
    'hole'
    """
    line = shape[0]
    for name in (line.label, line.name):
        if name in SPOIL_OF_KIND:
            return name
    return NOT_SEEN if line.layer == COVERED else UNNAMED_KIND

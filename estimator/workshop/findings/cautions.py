"""Safety notes that concern a job, by what it uses. They give no verdict on any sheath."""

from collections.abc import Collection
from enum import StrEnum
from typing import assert_never

from estimator.hide.hides import Hide, Tannage
from estimator.pattern.parts import Pattern
from estimator.workshop.order.order import Order


class Caution(StrEnum):
    """One safety note; its text stands with the messages of the report."""

    KNIFE_AND_AWL = "caution-knife-and-awl"
    CEMENT = "caution-cement"
    DYE = "caution-dye"
    SANDING = "caution-sanding"
    WET_FORMING = "caution-wet-forming"
    RETENTION = "caution-retention"
    CHROME = "caution-chrome"
    CHROME_AND_SKIN = "caution-chrome-and-skin"
    LAW = "caution-law"


def cautions(order: Order, *, hides_used: Collection[str]) -> tuple[Caution, ...]:
    """Give the safety notes that concern a job.

    Parameters
    ----------
    order : Order
        What is made.
    hides_used : collection of str
        Tags of the hides that parts are cut from.

    Returns
    -------
    tuple of Caution
        In the order of the work; the general ones always.

    Notes
    -----
    Sources: dust, IARC Monograph 100C (2012); chromium VI, Regulation (EU) 301/2014; the rest
    is common practice and safety data sheets, to which the notes defer.
    """
    patterns = [line.pattern for line in order.lines]
    chrome = any(_holds_chrome(hide) for hide in order.hides if hide.tag in hides_used)
    notes = [
        (Caution.KNIFE_AND_AWL, True),
        (Caution.CEMENT, any(_is_glued(pattern) for pattern in patterns)),
        (Caution.DYE, any(part.dyed for pattern in patterns for part in pattern.parts)),
        (Caution.SANDING, any(_is_sanded(pattern) for pattern in patterns)),
        (Caution.WET_FORMING, any(pattern.wet_formed for pattern in patterns)),
        (Caution.RETENTION, True),
        (Caution.CHROME, chrome),
        (Caution.CHROME_AND_SKIN, chrome),
        (Caution.LAW, True),
    ]
    return tuple(note for note, concerns in notes if concerns)


def _holds_chrome(hide: Hide) -> bool:
    match hide.tannage:
        case Tannage.CHROME | Tannage.COMBINATION:
            return True
        case Tannage.VEGETABLE:
            return False
        case other:
            assert_never(other)


def _is_glued(pattern: Pattern) -> bool:
    return any(seam.glue_width_mm > 0.0 for seam in pattern.seams) or any(
        join.glue_mm2 > 0.0 for join in pattern.joins
    )


def _is_sanded(pattern: Pattern) -> bool:
    """Whether edges are sanded: all that are finished, and every closed stack."""
    return any(part.finish_edges for part in pattern.parts) or any(
        len(seam.layers) > 2 for seam in pattern.seams
    )

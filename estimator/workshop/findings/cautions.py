"""Safety notes that concern a job, by what it uses. They give no verdict on any sheath."""

from collections.abc import Collection
from typing import assert_never

from estimator.hide.hides import Hide, Tannage
from estimator.pattern.parts import Pattern
from estimator.workshop.order.records import Order

KNIFE_AND_AWL = (
    "Cut away from the holding hand and never towards the body; wear a cut-resistant glove on "
    "the holding hand. An awl strikes through: keep the hand out of its way, and do not force it."
)
SANDING = (
    "Leather dust harms the nose and lungs, and work with it is classed as a cause of cancer "
    "(IARC Monograph 100C, 2012): sand with extraction and wear a dust mask."
)
CEMENT = (
    "Contact cement gives off vapour that burns and may harm nerves: no flame or spark, open the "
    "windows, keep it off the skin, and follow the supplier's safety data sheet. Water-borne "
    "cement is not harmless either."
)
DYE = (
    "Alcohol dye and finish burn and dry out the skin: ventilate, wear gloves, and keep soaked "
    "rags apart in a closed metal bin."
)
WET_FORMING = (
    "Before wet forming, oil the customer's knife and wrap it in film: wet leather rusts steel. "
    "Secure the edge, and dry the sheath slowly, away from strong heat."
)
RETENTION = (
    "A sheath formed too tight can lock a blade in, one too loose drops it. Try the hold upside "
    "down over a soft surface, and see that the welt keeps the edge off the thread."
)
CHROME = (
    "Chrome-tanned leather and its salts can stain or corrode steel and bluing; do not store a "
    "blade in it."
)
CHROME_AND_SKIN = (
    "Leather that touches the skin must hold less than 3 mg/kg of chromium VI where Regulation "
    "(EU) 301/2014 applies; ask the tannery for its test."
)
LAW = (
    "Laws on carrying and selling knives differ from place to place and change; local codes and "
    "licensed practice come first. This estimate says nothing about whether a sheath is safe to "
    "carry: the maker tests each one."
)


def cautions(order: Order, *, hides_used: Collection[str]) -> tuple[str, ...]:
    """Give the safety notes that concern a job.

    Parameters
    ----------
    order : Order
        What is made.
    hides_used : collection of str
        Tags of the hides that parts are cut from.

    Returns
    -------
    tuple of str
        In the order of the work; the general ones always.

    Notes
    -----
    Sources: dust, IARC Monograph 100C (2012); chromium VI, Regulation (EU) 301/2014; the rest
    is common practice and safety data sheets, to which the notes defer.
    """
    patterns = [line.pattern for line in order.lines]
    chrome = any(_holds_chrome(hide) for hide in order.hides if hide.tag in hides_used)
    notes = [
        (KNIFE_AND_AWL, True),
        (CEMENT, any(_is_glued(pattern) for pattern in patterns)),
        (DYE, any(part.dyed for pattern in patterns for part in pattern.parts)),
        (SANDING, any(_is_sanded(pattern) for pattern in patterns)),
        (WET_FORMING, any(pattern.wet_formed for pattern in patterns)),
        (RETENTION, True),
        (CHROME, chrome),
        (CHROME_AND_SKIN, chrome),
        (LAW, True),
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
    """Whether any cement is used."""
    return any(seam.glue_width_mm > 0.0 for seam in pattern.seams) or any(
        join.glue_mm2 > 0.0 for join in pattern.joins
    )


def _is_sanded(pattern: Pattern) -> bool:
    """Whether edges are sanded: all that are finished, and every closed stack."""
    return any(part.finish_edges for part in pattern.parts) or any(
        len(seam.layers) > 2 for seam in pattern.seams
    )

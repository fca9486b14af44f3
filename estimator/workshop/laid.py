"""What leather each part was laid on, as far as its use of materials depends on it."""

from estimator.hide.hides import Tannage
from estimator.nesting.problem import Layout
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import piece_names

THIRSTIEST = (Tannage.VEGETABLE, Tannage.COMBINATION, Tannage.CHROME)
"""The first takes the most dye and oil."""


def laid_tannage(order: Order, layout: Layout) -> dict[tuple[str, str], Tannage]:
    """Tannage of each part by the leather it was laid on.

    Parameters
    ----------
    order : Order
        With its hides.
    layout : Layout
        Where everything lies.

    Returns
    -------
    dict of (str, str) to Tannage
        By line key and part name; where copies lie on several hides, the one that takes most
        dye. Parts that do not fit are missing.
    """
    names = piece_names(order)
    hides = {hide.tag: hide for hide in order.hides}
    found: dict[tuple[str, str], list[Tannage]] = {}
    for placement in layout.placements:
        name = names[placement.piece]
        key = name.line.key, name.part.name
        found.setdefault(key, []).append(hides[placement.sheet].tannage)
    return {key: min(kinds, key=THIRSTIEST.index) for key, kinds in found.items()}

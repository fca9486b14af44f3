"""What a maker says of a hide on the command line, checked as a hide map is."""

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from estimator.fields import Choice, FileModel, Money, Name, Stamp, ThicknessRange, read_model
from estimator.files import TomlFile
from estimator.hide.hides import HideFacts, Tannage


class FactsTable(FileModel):
    """The options of a command, by their names."""

    tag: Name
    thickness: ThicknessRange
    price: Money
    shipping: Money = Decimal(0)
    lot: str = ""
    tannage: Choice[Tannage] = Tannage.VEGETABLE
    stamp: Stamp | None = None
    offcut: bool = False


def hide_facts(options: Mapping[str, object]) -> HideFacts:
    """Read what is said of a hide.

    Parameters
    ----------
    options : mapping of str to object
        Text by the names of options without their dashes; truths for flags; None for those
        that were not given.

    Returns
    -------
    HideFacts
        Checked.

    Raises
    ------
    InputError
        With every fault, each with the option's name as its key.

    Examples
    --------
    >>> hide_facts({"tag": "side-09", "thickness": "3.2-3.6 mm", "price": "145"}).price_paid
    Decimal('145')
    """
    values = {name: value for name, value in options.items() if value is not None}
    table = read_model(FactsTable, TomlFile(path=Path(), name="", text="", values=values))
    return HideFacts(
        tag=table.tag,
        thickness_min_mm=table.thickness[0],
        thickness_max_mm=table.thickness[1],
        price_paid=table.price + table.shipping,
        shipping_paid=table.shipping,
        tannage=table.tannage,
        lot=table.lot,
        stamped_area_mm2=table.stamp,
        is_offcut=table.offcut,
    )

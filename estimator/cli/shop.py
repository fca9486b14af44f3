"""The shop that a command is run in."""

import os
from pathlib import Path

from estimator.desk.shop import Shop
from estimator.stock.store.where import VARIABLE


def shop_here(records: Path | None = None) -> Shop:
    """Give the shop of the folder that the command runs in.

    Parameters
    ----------
    records : Path or None
        The file that ``--records`` names; else ``ESTIMATOR_RECORDS`` may name it.

    Returns
    -------
    Shop
        Nothing is looked for yet.
    """
    named = os.environ.get(VARIABLE)
    return Shop(folder=Path.cwd(), records=records or (Path(named) if named else None))

"""Where the records lie: as told, else beside the price book."""

from collections.abc import Mapping
from pathlib import Path

from estimator.errors import Fault, InputError

VARIABLE = "ESTIMATOR_RECORDS"
FILE_NAME = "records.sqlite"
BOOK_NAME = "prices.toml"


def records_path(
    told: Path | None, environment: Mapping[str, str], *, here: Path, book: Path | None = None
) -> Path:
    """Say which file holds the records.

    Parameters
    ----------
    told : Path or None
        What the option ``--records`` says.
    environment : mapping of str to str
        Of the process; ``ESTIMATOR_RECORDS`` comes after the option.
    here : Path
        The folder the command runs in.
    book : Path or None
        The price book, if an order named it.

    Returns
    -------
    Path
        The option, the variable, ``records.sqlite`` beside the price book, or beside
        ``prices.toml`` (or records already there) in this folder or one above it.

    Raises
    ------
    InputError
        If nothing tells where the shop's folder is.
    """
    if told is not None:
        return told
    if environment.get(VARIABLE):
        return Path(environment[VARIABLE])
    if book is not None:
        return book.parent / FILE_NAME
    for folder in (here, *here.parents):
        if (folder / FILE_NAME).is_file() or (folder / BOOK_NAME).is_file():
            return folder / FILE_NAME
    raise InputError(
        Fault(
            problem=f"no {BOOK_NAME} is in this folder or above it, so the shop's folder is "
            "not known",
            remedy=f"run this in the shop's folder, or name a file with --records or {VARIABLE}",
            place="--records",
        )
    )

"""What a maker types beside a choice, read with every fault at its place."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from estimator.errors import Fault, InputError, raise_faults


def read_choices(
    *faults: Fault, **texts: tuple[Callable[[str], Any], str | None]
) -> dict[str, Any]:
    """Read texts, and tell all that cannot be read at once.

    Parameters
    ----------
    *faults : Fault
        Found already.
    **texts : (callable, str or None)
        By choice: what reads its text, and the text; None for a choice that is left open.

    Returns
    -------
    dict of str to Any
        What was read, by choice; those left open are missing.

    Raises
    ------
    InputError
        With ``faults``, and those of every text that cannot be read.
    """
    found = list(faults)
    read: dict[str, Any] = {}
    for key, (parse, text) in texts.items():
        try:
            read |= {} if text is None else {key: parse(text)}
        except InputError as error:
            found += [replace(fault, key=(key,)) for fault in error.faults]
    raise_faults(found)
    return read

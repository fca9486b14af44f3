"""Refusals in one line, and near names for unknown ones."""

from collections.abc import Sequence
from difflib import get_close_matches

from estimator.errors import Fault, InputError


def refusal(problem: str, remedy: str, *, key: str = "") -> InputError:
    """Make the error for one thing that cannot be done.

    Parameters
    ----------
    problem, remedy : str
        What is wrong, and what to do instead.
    key : str
        The choice that is at fault, if it is one: ``cost``.

    Returns
    -------
    InputError
        To be raised.
    """
    return InputError(Fault(problem=problem, remedy=remedy, key=(key,) if key else ()))


def unknown_name(problem: str, word: str, known: Sequence[str], *, otherwise: str) -> InputError:
    """Make the error for a name that is not in the records.

    Parameters
    ----------
    problem : str
        What is wrong.
    word : str
        What was written.
    known : sequence of str
        What could be written.
    otherwise : str
        What to do where no known name is near.

    Returns
    -------
    InputError
        To be raised.
    """
    close = get_close_matches(word, known, n=1, cutoff=0.6)
    return refusal(problem, f'did you mean "{close[0]}"?' if close else otherwise)

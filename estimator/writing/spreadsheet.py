"""Text in a CSV file that no spreadsheet takes for a formula."""

import re

_SIGNS = "=+@−＝＋－＠﹦﹢﹣﹫-"
"""A spreadsheet takes text that begins so for a formula; some take wide and small ones too."""
_BLANK = r"\s\x00-\x1f\x7f\u200b-\u200d\u2060\ufeff"
"""What may stand unseen before a sign."""
_BEFORE = re.compile(rf"((?:\A[,;|:{_BLANK}]*|[;\t\r\n][{_BLANK}]*)'*)(?=[{_SIGNS}])")
"""Where a formula may begin: at the start, or where a tab, semicolon or line end cuts a cell."""
_CUT = re.compile(r"\A('*)(?=[\t\r\n])")
"""The start of text that some programs take for the end of a cell."""


def guard(text: str) -> str:
    """Keep text from being taken for a formula, so that it can be read back.

    Parameters
    ----------
    text : str
        Anything a maker wrote.

    Returns
    -------
    str
        With one more apostrophe before each sign that might begin a formula.

    Examples
    --------
    >>> guard("=1+1"), guard("'=1+1"), guard("side-07")
    ("'=1+1", "''=1+1", 'side-07')
    >>> guard("; =1+1"), guard("note;=1+1"), guard("4 - 2, -3")
    ("; '=1+1", "note;'=1+1", '4 - 2, -3')
    """
    return _CUT.sub(r"\1'", _BEFORE.sub(r"\1'", text))


def unguard(text: str) -> str:
    """Give text as it was before it was guarded.

    Parameters
    ----------
    text : str
        From ``guard``, or written by hand.

    Returns
    -------
    str
        With one apostrophe less at each of those places that has any.

    Examples
    --------
    >>> unguard("'=1+1"), unguard("'tis"), unguard("=1+1")
    ('=1+1', "'tis", '=1+1')
    """
    return _BEFORE.sub(_without_guard, _CUT.sub(_without_guard, text))


def _without_guard(before: re.Match[str]) -> str:
    return before[1].removesuffix("'")

"""Names of files and folders made of any text."""

import re


def file_name(text: str) -> str:
    """Make a name for a file or folder of any text.

    Parameters
    ----------
    text : str
        A reference or a tag.

    Returns
    -------
    str
        Letters, digits, points and hyphens; never empty, never hidden.

    Examples
    --------
    >>> file_name("2026/014 B"), file_name("../x"), file_name("***")
    ('2026-014-B', 'x', 'order')
    """
    return re.sub(r"[^\w.]+", "-", text).strip("-._") or "order"

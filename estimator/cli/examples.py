"""The examples at the end of each command's help."""


def examples(*lines: str) -> str:
    """Write examples so that the help keeps their lines.

    Parameters
    ----------
    *lines : str
        Commands as a user types them.

    Returns
    -------
    str
        For a command's ``epilog``.
    """
    return "\n".join(("\b", "Examples:", *(f"  {line}" for line in lines)))

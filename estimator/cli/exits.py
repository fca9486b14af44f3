"""Exit codes."""

DONE = 0
DOES_NOT_FIT = 1
"""Done, but something does not fit or a check says stop."""
BAD_INPUT = 2
OUR_FAULT = 70
STOPPED = 130

"""``python -m estimator`` and the ``estimator`` command."""

import gc
import sys


def main() -> None:
    """Run the command line and leave with its exit code."""
    from estimator.cli.main import run

    code = run(sys.argv[1:])
    gc.freeze()  # else all that was loaded is searched through once more, only to be dropped
    sys.exit(code)


if __name__ == "__main__":
    main()

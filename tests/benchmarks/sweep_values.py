"""Put every wrong value in place of every value of the demo's files: nothing may end in 70.

Run as ``python tests/benchmarks/sweep_values.py [SHARE]``; SHARE of all replacements is tried,
evenly spread (1 if left out).
"""

import contextlib
import io
import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests.wrong_values import ended, swaps, workshop


def main() -> int:
    """Try them all, print what ended wrongly and how many ended how."""
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    counted: Counter[int] = Counter()
    with tempfile.TemporaryDirectory() as scratch:
        folder = workshop(Path(scratch) / "shop")
        for count, swap in enumerate(swaps(folder)):
            if int(count * share) == int((count + 1) * share):
                continue
            told, out = io.StringIO(), io.StringIO()
            with contextlib.redirect_stderr(told), contextlib.redirect_stdout(out):
                code = ended(folder, swap)
            counted[code] += 1
            clear = code in {0, 1} or told.getvalue().startswith("Error: ")
            if code not in {0, 1, 2} or not clear or "Traceback" in told.getvalue():
                print(code, swap, told.getvalue()[:400].strip(), flush=True)
    print(dict(counted))
    return int(bool(set(counted) - {0, 1, 2}))


if __name__ == "__main__":
    sys.exit(main())

"""Many leftovers at random, with needles and rings that nearly touch: nothing raised or lost.

Prints what went wrong as it happens, and one JSON line of counts; exits with 1 if anything did.
"""

import argparse
import sys
import warnings
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.nesting.offcuts import worth_keeping
from tests.benchmarks.cases import finish
from tests.nesting.leftovers import leftover, wrong


def main() -> None:
    """Try leftovers first, first + 1, and so on."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--leftovers", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0, help="number of the first leftover (0)")
    options = parser.parse_args()
    counts: Counter[str] = Counter()
    warnings.simplefilter("error")
    for number in range(options.first, options.first + options.leftovers):
        asked = leftover(Random(number))
        try:
            kept = worth_keeping(asked.rest, asked.sheet, keep=asked.keep, axis_deg=asked.axis_deg)
            found = wrong(asked, kept, Random(number))
            counts["kept"] += len(kept)
        except Exception as error:
            counts["raised"] += 1
            found = [f"{type(error).__name__}: {error}"]
        counts["wrong"] += bool(found)
        for each in found:
            print(f"leftover {number}: {each}", flush=True)
    counted = {key: counts[key] for key in ("kept", "raised", "wrong")}
    finish(None, {}, {"leftovers": options.leftovers, **counted})
    sys.exit(1 if counts["wrong"] else 0)


if __name__ == "__main__":
    main()

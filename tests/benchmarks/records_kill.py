"""Kill writers of the records at random moments, again and again, and look at what they left.

Prints one JSON line: kills, changes reported as saved, those that were saved without a
report, and what was wrong (nothing, or the script ends with 1). All writers share one
file, so that each finds what the one before left.
"""

import argparse
import json
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.stock.killing import kill_once


def main() -> int:
    """Run the kills."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--early-share", type=float, default=0.2)
    options = parser.parse_args()
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "records.sqlite"
        results = [
            kill_once(
                path,
                label=f"writer {number}",
                seed=options.seed * 100_000 + number,
                is_early=number % 100 < options.early_share * 100,
            )
            for number in range(options.kills)
        ]
    wrong = [result for result in results if not result.is_sound]
    told = {
        "kills": len(results),
        "reported": sum(result.reported for result in results),
        "saved_without_report": sum(result.kept - result.reported for result in results),
        "killed_before_any_report": sum(result.reported == 0 for result in results),
        "wrong": [str(result) for result in wrong],
        "seconds": round(time.monotonic() - begun, 1),
    }
    print(json.dumps(told))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

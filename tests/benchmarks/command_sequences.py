"""Run random sequences of commands, deeds of the maker, and troubles, and look after each step.

Every byte that was not made by the commands, or that was reported as saved, must be found after
each step, and exit codes must tell the truth. Prints one JSON line: how the commands ended, which
deeds and troubles there were, and what was wrong (nothing, or the script ends with 1); to the
error output, the steps of each sequence that went wrong.
"""

import argparse
import json
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.writing.sequences import run_sequence


def main() -> int:
    """Run the sequences."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sequences", type=int, default=2000)
    parser.add_argument("--from", dest="first", type=int, default=1, metavar="SEED")
    options = parser.parse_args()
    begun, begun_cpu = time.monotonic(), time.process_time()
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as home:
        for seed in range(options.first, options.first + options.sequences):
            folder = Path(home) / str(seed)
            result = run_sequence(folder, seed)
            counts += result.counts
            wrong += [f"seed {seed}: {each}" for each in result.findings]
            if result.findings:
                print(f"seed {seed}", *result.done, sep="\n  ", file=sys.stderr)
            shutil.rmtree(folder)
    told = {
        "sequences": options.sequences,
        "first_seed": options.first,
        **{
            kind: {
                name.partition(": ")[2]: count
                for name, count in sorted(counts.items())
                if name.startswith(f"{kind}: ")
            }
            for kind in ("command", "deed", "trouble")
        },
        "wrong": wrong,
        "seconds": round(time.monotonic() - begun, 1),
        "cpu_seconds": round(time.process_time() - begun_cpu, 1),
    }
    print(json.dumps(told))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

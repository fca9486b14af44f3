"""Flip, truncate and zero records files, read each by every command, and restore over it.

Prints one JSON line: how the reading commands ended, how many files looked foreign, and
what was wrong (nothing, or the script ends with 1): another exit code than 0, 1 of a check
and 2, a file that could not be restored over, or bytes that were not kept.
"""

import argparse
import json
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.stock.damaging import damage_once, sound_shop


def main() -> int:
    """Damage the files."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    begun = time.monotonic()
    codes: dict[str, Counter[int]] = {}
    kinds: Counter[str] = Counter()
    foreign = sound = 0
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        backup = sound_shop(Path(folder))
        for number in range(options.files):
            seed = options.seed * 1_000_000 + number
            result = damage_once(backup, Path(folder) / str(number), seed=seed)
            kinds[result.kind] += 1
            foreign += result.is_foreign
            sound += not any(result.codes.values())
            for command, code in result.codes.items():
                codes.setdefault(command, Counter())[code] += 1
            wrong += [f"seed {seed} ({result.kind}): {each}" for each in result.complaints]
    told = {
        "files": dict(kinds),
        "every_command_ended_with_0": sound,
        "looked_foreign": foreign,
        "exit_codes": {command: dict(sorted(ends.items())) for command, ends in codes.items()},
        "wrong": wrong,
        "seconds": round(time.monotonic() - begun, 1),
    }
    print(json.dumps(told))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

"""Run every command that writes files on a disk that fills at each of its writes in turn.

First with writers that answer "no space left" at the n-th step, once or from then on, for every n
that the command reaches; then, where a small file system in memory may be mounted, on one with
less and less room. Each command is run for the first time, and again after the maker edited what
it wrote. It must end with 2 and everything as it was, or do its work and keep what was there.
Prints one JSON line, and ends with 1 if anything is wrong.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from functools import partial
from io import StringIO
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.writing.disk_full import COMMANDS, ONCE, Filled, Shop, full_at, told_of

ROOM_BYTES = 64_000_000
PAGE_BYTES = 4096
MOST_STEPS = 400


def at_each_step(shop: Shop) -> list[Filled]:
    """The disk is full at the n-th step, for every n."""
    results = []
    for stays in (True, False):
        for number in range(1, MOST_STEPS):
            filled = shop.run_on(partial(full_at, number, stays=stays))
            if not filled.was_met:
                break
            results.append(filled)
    return results


def with_less_room(shop: Shop, mount: Path, sizes: int) -> list[Filled]:
    """The disk has less and less room, from what is needed down to nothing."""
    before = used(mount)
    needs = [shop.run_on(partial(filled_up, mount, None))]
    need = max(used(mount) - before, 4 * PAGE_BYTES)
    rooms = sorted({need * step // sizes // PAGE_BYTES * PAGE_BYTES for step in range(sizes)})
    return needs + [shop.run_on(partial(filled_up, mount, room)) for room in rooms]


def used(mount: Path) -> int:
    """Bytes used on a file system."""
    told = os.statvfs(mount)
    return (told.f_blocks - told.f_bfree) * told.f_frsize


@contextmanager
def filled_up(mount: Path, room: int | None) -> Iterator[Callable[[], bool]]:
    """A file system with so much room left."""
    filler = mount / "filler"
    if room is not None:
        told = os.statvfs(mount)
        with filler.open("xb") as stream:
            os.posix_fallocate(stream.fileno(), 0, told.f_bavail * told.f_frsize - room)
    try:
        yield lambda: room is not None
    finally:
        filler.unlink(missing_ok=True)


@contextmanager
def mounted(home: Path) -> Iterator[Path | None]:
    """A small file system in memory, if it may be mounted."""
    mount = home / "mount"
    mount.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", f"size={ROOM_BYTES}", "none", str(mount)]
    done = subprocess.run(words, check=False, capture_output=True).returncode == 0
    try:
        yield mount if done else None
    finally:
        if done:
            subprocess.run(["umount", "-l", str(mount)], check=True)


def main() -> int:
    """Run all commands."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", type=int, default=12)
    parser.add_argument("--only", nargs="*", default=list(COMMANDS))
    options = parser.parse_args()
    begun = time.monotonic()
    steps: dict[str, list[Filled]] = {}
    rooms: dict[str, list[Filled]] = {}
    with tempfile.TemporaryDirectory() as folder, mounted(Path(folder)) as mount:
        for name in options.only:
            for is_again in (False, True) if name not in ONCE else (False,):
                told = f"{name}, again" if is_again else name
                with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
                    shop = Shop(Path(folder) / told, name, is_again=is_again)
                    steps[told] = at_each_step(shop)
                    if mount:
                        shop = Shop(mount / told, name, is_again=is_again)
                        rooms[told] = with_less_room(shop, mount, options.sizes)
    every = [each for runs in (*steps.values(), *rooms.values()) for each in runs]
    wrong = [each for each in every if each.findings]
    result = {
        "steps": told_of(steps),
        "rooms": told_of(rooms),
        "runs": len(every),
        "met": sum(each.was_met for each in every),
        "wrong": [str(each) for each in wrong[:20]],
        "seconds": round(time.monotonic() - begun, 1),
    }
    print(json.dumps(result))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

"""Runs that are cut short while they write a folder of outputs, and what must hold afterwards.

Run as a module it writes one set of files with :func:`estimator.writing.folder.write_folder`.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from random import Random
from signal import SIGTERM, Signals

from estimator.writing.folder import write_folder
from estimator.writing.marker import MARKER, UNDER_WAY, read_marker
from estimator.writing.signals import end_as_interrupt

ROOT = Path(__file__).parents[2]
REFERENCE = "2026-030"
SLOW_S = 0.004
"""Waited before and after each step on the disk, so that moments between steps are met."""
PATIENCE_S = 60.0


@dataclass(frozen=True, slots=True)
class CutShort:
    """What came of one run that was cut short.

    Parameters
    ----------
    was_between : bool
        Whether it ended between the first file put in its place and the marker.
    was_over : bool
        Whether it had ended by itself before.
    findings : tuple of str
        What is wrong; must be empty.
    """

    was_between: bool
    was_over: bool
    findings: tuple[str, ...]


def version(number: int) -> dict[str, bytes]:
    """A set of outputs that differs from the one before in every file, and in their names."""
    names = [f"file-{each}.txt" for each in range(12)] + [f"plan-{number % 3}.svg"]
    return {name: f"{name} of version {number}\n".encode() * 400 for name in names}


@contextmanager
def slowed(seconds: float = SLOW_S) -> Iterator[None]:
    """Let every step on the disk take its time."""
    former: list[tuple[object, str, object]] = []
    steps: tuple[tuple[object, str], ...] = (
        *((os, name) for name in ("fsync", "link")),
        *((Path, name) for name in ("replace", "unlink")),
    )
    for home, name in steps:
        real = getattr(home, name)
        former.append((home, name, real))
        setattr(home, name, _slow(real, seconds))
    try:
        yield
    finally:
        for home, name, act in former:
            setattr(home, name, act)


def _slow(act: Callable[..., object], seconds: float) -> Callable[..., object]:
    def acting(*given: object, **more: object) -> object:
        time.sleep(seconds)
        done = act(*given, **more)
        time.sleep(seconds)
        return done

    return acting


def is_between(folder: Path, before: Mapping[str, str]) -> bool:
    """Whether a set is mixed: some files are in their places, and the marker is not."""
    record, marker = read_marker(folder / UNDER_WAY), read_marker(folder / MARKER)
    if record is None or (marker is not None and marker.token == record.token):
        return False
    return any(
        hashed(folder / name) in hashes - {before.get(name, "")}
        for name, hashes in record.hashes.items()
    )


def hashed(path: Path) -> str:
    """SHA-256 of a file, or nothing if there is none."""
    try:
        return sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def hashes_in(folder: Path) -> dict[str, str]:
    """Hashes of all files in a folder and below it."""
    return {
        str(path.relative_to(folder)): hashed(path) for path in folder.rglob("*") if path.is_file()
    }


def leftovers(folder: Path) -> list[str]:
    """Hidden names in a folder and beside it, the marker apart."""
    names = [*os.listdir(folder), *os.listdir(folder.parent)]  # noqa: PTH208  # hidden ones, too
    return sorted(name for name in names if name.startswith(".") and name != MARKER)


def maker_at_work(folder: Path, random: Random, number: int) -> set[str]:
    """Put a note beside the outputs, and often edit one; gives the hashes of what was written."""
    written = set()
    for name, chance in (("note.txt", 0.5), ("photos/hide.jpg", 0.2), ("quote.pdf", 0.5)):
        path = folder / (name if name != "quote.pdf" else _some_output(folder, random))
        if random.random() < chance:
            path.parent.mkdir(exist_ok=True)
            content = f"the maker's own, {number} {name} {random.random()}\n"
            if not path.exists() or path.name not in {"note.txt", "hide.jpg"}:
                path.write_text(content, encoding="utf-8")
                written.add(hashed(path))
    return written


def _some_output(folder: Path, random: Random) -> str:
    mark = read_marker(folder / MARKER)
    return random.choice(sorted(mark.hashes)) if mark and mark.hashes else "notes-of-mine.txt"


def findings_after(
    folder: Path, *, own: set[str], before: Mapping[str, str], number: Signals
) -> list[str]:
    """What is wrong right after a run was cut short."""
    wrong = []
    if before and not folder.is_dir():
        return ["the folder is gone"]
    there = set(hashes_in(folder).values()) if folder.is_dir() else set()
    wrong += [f"lost: {each}" for each in own - there]
    if number is SIGTERM and folder.is_dir():
        wrong += [f"left by a terminate: {name}" for name in leftovers(folder)]
        if is_between(folder, before):
            wrong.append("mixed by a terminate")
    return wrong


def findings_when_finished(
    folder: Path, wanted: Mapping[str, bytes], *, own: set[str]
) -> list[str]:
    """What is wrong after the next run."""
    there = hashes_in(folder)
    wrong = [f"lost: {each}" for each in own - set(there.values())]
    wrong += [f"left: {name}" for name in leftovers(folder)]
    made = {name: sha256(content).hexdigest() for name, content in wanted.items()}
    wrong += [f"not written: {name}" for name, digest in made.items() if there.get(name) != digest]
    mark = read_marker(folder / MARKER)
    if mark is None or mark.hashes != {name: frozenset({digest}) for name, digest in made.items()}:
        wrong.append("the marker does not tell what is there")
    others = {name: digest for name, digest in there.items() if name not in made and name != MARKER}
    wrong += [
        f"no longer made, and left: {name}" for name, digest in others.items() if digest not in own
    ]
    return wrong


def await_between(folder: Path, before: Mapping[str, str], is_over: Callable[[], bool]) -> None:
    """Wait until some file is in its place, and the marker is not."""
    until = time.monotonic() + PATIENCE_S
    while not (is_between(folder, before) or is_over()) and time.monotonic() < until:
        time.sleep(0.001)


def cut_short_once(
    folder: Path, number: int, random: Random, how: Signals, *, in_between: bool
) -> CutShort:
    """Start a run on a folder written before, end it at some moment, and look."""
    write_folder(folder, version(3 * number), reference=REFERENCE)
    own = maker_at_work(folder, random, number)
    before = hashes_in(folder)
    command = [sys.executable, "-m", "tests.writing.cut_short", str(folder), str(3 * number + 1)]
    with subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as running:
        assert running.stdout is not None
        running.stdout.readline()
        if in_between:
            await_between(folder, before, lambda: running.poll() is not None)
        time.sleep(random.uniform(0.0, 0.1 if in_between else 0.45))
        was_over = running.poll() is not None
        os.kill(running.pid, how)
        running.wait(PATIENCE_S)
    was_between = is_between(folder, before)
    wrong = findings_after(folder, own=own, before=before, number=how)
    wanted = version(3 * number + 2)
    write_folder(folder, wanted, reference=REFERENCE)
    wrong += findings_when_finished(folder, wanted, own=own)
    return CutShort(was_between, was_over, tuple(wrong))


if __name__ == "__main__":
    with slowed(), end_as_interrupt():
        sys.stdout.write("begun\n")
        sys.stdout.flush()
        write_folder(Path(sys.argv[1]), version(int(sys.argv[2])), reference=REFERENCE)
        time.sleep(PATIENCE_S)

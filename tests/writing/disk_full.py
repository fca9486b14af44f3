"""Every command that writes files, on a disk that is full at one write or another.

Slow work (layouts, papers, what is seen in photographs) is done once for each command; reading
and writing is done each time.
"""

import errno
import importlib
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

from estimator.cli.main import run
from estimator.stock.store.database import open_records
from estimator.writing.marker import MARKER, is_plain
from tests.photo.scene_blades import blade_scene, random_blade_spec
from tests.report.photo_sample import seen
from tests.writing.small_shop import make_shop

QUICK = ("--effort", "quick", "--start", "2026-11-02")
BLADE = ("--spine-thickness", "2.5 mm", "--leather", "3-3.5 mm", "--lift", "0 mm")
COMMANDS: dict[str, tuple[str, ...]] = {
    "quote": ("quote", "order.toml", *QUICK, "--quiet"),
    "job quote": ("job", "quote", "order.toml", *QUICK, "--quiet"),
    "demo": ("demo", "my-first-try", "--json"),
    "batch": ("batch", "order.toml", "--quantities", "1,2", "--chart", "batches.png"),
    "reorder": ("reorder", "--out", "to-buy.pdf", "--on", "2026-11-02"),
    "hide show": ("hide", "show", "bend-3", "--map", "kept.toml"),
    "hide photo": (
        *("hide", "photo", "side.jpg", "--tag", "side-09", "--thickness", "3.2-3.6 mm"),
        *("--price", "145"),
    ),
    "hide confirm": ("hide", "confirm", "bend-3.toml", "--all"),
    "hide markers": ("hide", "markers", "--out", "markers.pdf"),
    "blade photo": ("blade", "photo", "knife.jpg", *BLADE),
    "pattern draft": ("pattern", "draft", "pruning-blade.toml"),
    "pattern print": ("pattern", "print", "strap.toml", "--date", "2026-11-02"),
    "pattern export": ("pattern", "export", "strap.toml", "--out", "strap.dxf"),
    "pattern check": ("pattern", "check", "strap.toml", "--out", "found.png"),
    "records export": ("records", "export", "tables"),
}
ONCE = {"demo", "hide confirm"}
"""Not run again on what they wrote: they have no option for it, and need none."""


@dataclass(frozen=True, slots=True)
class Filled:
    """What came of one run.

    Parameters
    ----------
    code : int
        Of its end.
    was_met : bool
        Whether the disk was full at all.
    findings : tuple of str
        What is wrong; must be empty.
    """

    code: int
    was_met: bool
    findings: tuple[str, ...]


class Shop:
    """A shop for one command, in a state that is made anew for each run.

    Parameters
    ----------
    folder : Path
        Of its own; must not exist.
    name : str
        Of the command.
    is_again : bool
        Whether the command was run before, and the maker edited what it wrote.
    """

    def __init__(self, folder: Path, name: str, *, is_again: bool) -> None:
        self.name = name
        self._home = folder
        self._state = folder.with_name(folder.name + "-state")
        with made_once():
            make_shop(folder)
            self._run("hide", "add", "bend-3.toml")
            (folder / "side.jpg").write_bytes(b"photo")
            if name == "blade photo":
                (folder / "knife.jpg").write_bytes(knife().jpeg)
            if is_again:
                known = files_in(folder)
                self.run_command()
                self._edit(known)
        shutil.copytree(folder, self._state, symlinks=True)
        self.is_again = is_again

    def run_command(self, *, force: bool = False) -> int:
        """Run the command in the shop."""
        words = COMMANDS[self.name]
        if self.name == "blade photo":
            words = (*words, "--edge", knife().edge_faces)
        return self._run(*words, *(("--force",) if force else ()))

    def put_back(self) -> None:
        """Make the shop as it was."""
        shutil.rmtree(self._home)
        shutil.copytree(self._state, self._home, symlinks=True)

    def run_on(self, full: "Callable[[], Any]") -> Filled:
        """Run the command on a disk that is full at some time, and look at what is left."""
        self.put_back()
        before, quotes = files_in(self._home), quotes_in(self._home)
        with made_once(), full() as met:
            code = self.run_command(force=self.is_again)
            was_met = met()
        after = files_in(self._home)
        wrong = [
            f"lost: {name}"
            for name, held in before.items()
            if held not in after.values() and not name.endswith(MARKER)
        ]
        wrong += [f"left: {name}" for name in hidden_in(self._home)]
        if code == 2:
            changed = {n for n in {*before, *after} if before.get(n) != after.get(n)}
            wrong += [f"changed, and ended with 2: {name}" for name in sorted(changed)]
            if quotes_in(self._home) != quotes:
                wrong.append("recorded, and ended with 2")
        elif code not in {0, 1}:
            wrong.append(f"ended with {code}")
        elif self.name == "job quote" and quotes_in(self._home) != quotes + 1:
            wrong.append("not recorded, and ended with 0")
        return Filled(code, was_met, tuple(wrong))

    def _run(self, *words: str) -> int:
        former = Path.cwd()
        os.chdir(self._home)
        try:
            return run(words)
        finally:
            os.chdir(former)

    def _edit(self, known: Mapping[str, bytes]) -> None:
        """Change all that the command wrote, a bit."""
        for name in files_in(self._home).keys() - known.keys():
            if is_plain(Path(name).name):
                with (self._home / name).open("ab") as stream:
                    stream.write(b"\n")


def files_in(folder: Path) -> dict[str, bytes]:
    """All files but those of the records, whose bytes change with every opening."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith("records.sqlite")
    }


def hidden_in(folder: Path) -> list[str]:
    """Hidden names, the marker apart."""
    names = [path.name for path in folder.rglob("*")]
    return [name for name in names if name.startswith(".") and name != MARKER]


def quotes_in(folder: Path) -> int:
    """Revisions in the records."""
    with open_records(folder / "records.sqlite") as records:
        return int(records.rows("SELECT count(*) FROM revision")[0][0])


@contextmanager
def full_at(number: int, *, stays: bool) -> Iterator[Callable[[], bool]]:
    """A disk that is full at the n-th write, or from then on; gives whether it came to that.

    Once only, it may be any step that fails; from then on, renames still succeed, as they do
    where no room is left for content.
    """
    count = 0

    def failing(act: Callable[..., Any], *, needs_room: bool) -> Callable[..., Any]:
        def acting(*given: Any, **more: Any) -> Any:
            nonlocal count
            count += 1
            if count == number or (stays and needs_room and count > number):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return act(*given, **more)

        return acting

    with ExitStack() as patches:
        for home, name in ((os, "fsync"), (os, "link"), (os, "write"), (Path, "mkdir")):
            act = failing(getattr(home, name), needs_room=True)
            patches.enter_context(patch.object(home, name, act))
        act = failing(Path.replace, needs_room=False)
        patches.enter_context(patch.object(Path, "replace", act))
        yield lambda: count >= number


_made: dict[object, Any] = {}


def once(act: Callable[..., Any], key: Callable[..., object]) -> Callable[..., Any]:
    """The same action, done once for each key."""

    def acting(*given: Any, **more: Any) -> Any:
        call = (act, key(*given, **more))
        if call not in _made:
            _made[call] = act(*given, **more)
        return _made[call]

    return acting


@contextmanager
def made_once() -> Iterator[None]:
    """Let slow work be done once, and photographs be seen as they truly are."""

    def see(photos: object, asked: Any, **others: object) -> Any:
        return replace(seen(), backbone_deg=asked.backbone_deg)

    with ExitStack() as patches:
        for module, name, key in (
            ("estimator.desk.working", "estimate", lambda order, **_: order.reference),
            ("estimator.desk.orders", "outputs", lambda made, **_: made.order.reference),
            ("estimator.desk.blade_photos", "blade_in_photo", lambda *_: "knife"),
            ("estimator.desk.batches", "chart_bytes", lambda *_: "chart"),
            ("estimator.desk.hide_photos", "marker_pages", lambda *_, **__: "pages"),
            ("estimator.desk.hide_photos", "hide_from_photo", lambda *_, **__: "hide"),
        ):
            home = importlib.import_module(module)
            patches.enter_context(patch.object(home, name, once(getattr(home, name), key)))
        photos = importlib.import_module("estimator.desk.hide_photos")
        patches.enter_context(patch.object(photos, "hide_in_photos", see))
        yield


def knife() -> Any:
    """A knife on a sheet, photographed."""
    if "knife" not in _made:
        _made["knife"] = blade_scene(
            random_blade_spec(1007, gloss=0.3, raised_mm=0.0, handle="wood")
        )
    return _made["knife"]


def told_of(results: Mapping[str, list[Filled]]) -> dict[str, dict[str, int]]:
    """How many runs met a full disk, and how they ended, by command."""
    return {
        name: {
            "met": sum(result.was_met for result in runs),
            "ended_2": sum(result.code == 2 for result in runs),
            "wrong": sum(bool(result.findings) for result in runs),
        }
        for name, runs in results.items()
    }

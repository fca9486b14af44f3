"""What the maker does between commands: writes, edits, moves, damages, unplugs."""

import json
import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from random import Random

from estimator.writing.marker import MARKER
from tests.writing.small_shop import write_order

OUTS = ("2026-030-estimate", "linked", "out", "in/linked/deep")
"""Folders that are named with --out; the second is a link to the drive."""
DRIVE = "drive"
UNPLUGGED = "drive in a drawer"


class Maker:
    """Somebody who works in a shop; what he does is drawn by lot.

    Parameters
    ----------
    home : Path
        Above the shop; the drive is beside it.
    random : Random
        The lot.
    seed : int
        Decides which folder is written to most, and by its rest what he is at: papers, records,
        or everything.
    """

    def __init__(self, home: Path, random: Random, seed: int) -> None:
        self.home = home
        self.shop = home / "shop"
        self.records = self.shop / "records.sqlite"
        self.random = random
        self.seed = seed
        self.theme = ("papers", "records", "everything")[seed % 3]
        self._count = 0

    def act(self) -> str:
        """Do something, and say what."""
        deed = self.random.choice(self._deeds())
        with suppress(OSError, ValueError, sqlite3.Error):
            deed()
        return deed.__name__

    def _deeds(self) -> list[Callable[[], None]]:
        papers = [
            *(self.note, self.edit, self.edit_output, self.edit_output, self.change_order),
            *(self.photos, self.harm_marker, self.in_the_way, self.delete, self.move),
            *(self.unplug, self.link_file),
        ]
        records = [self.table, self.harm_records, self.harm_records, self.move_records, self.unplug]
        if self.theme == "everything":
            return [*papers, *records, self.edit, self.change_hide]
        return papers if self.theme == "papers" else records

    def note(self) -> None:
        """Write a note somewhere, often beside outputs."""
        folder = self._folder()
        name = self.random.choice(("note.txt", "quote.pdf", "to-buy.csv", "my.toml", "list.dxf"))
        if not (folder / name).exists():
            (folder / name).write_text(self._new("note"), encoding="utf-8")

    def edit(self) -> None:
        """Change a file, mostly one that a command wrote."""
        path = self._file()
        if path.suffix in {".toml", ".csv"} or self.random.random() < 0.7:
            path.write_bytes(path.read_bytes() + f"\n# {self._new('edit')}\n".encode())
        else:
            path.write_text(self._new("all anew"), encoding="utf-8")

    def edit_output(self) -> None:
        """Change what a quote has written."""
        usual = self.shop / OUTS[self.seed % len(OUTS)]
        there = sorted(each for each in usual.glob("[!.]*") if each.is_file())
        if there:
            path = self.random.choice(there)
            path.write_bytes(path.read_bytes() + f"\n# {self._new('edit')}\n".encode())

    def photos(self) -> None:
        """Put a folder of photographs beside outputs."""
        folder = self._folder() / "photos"
        folder.mkdir(exist_ok=True)
        (folder / f"{self._count}.jpg").write_bytes(self._new("photo").encode())

    def table(self) -> None:
        """Write a table to be imported, sound or not."""
        folder = self.shop / "tables"
        folder.mkdir(exist_ok=True)
        head = "name,unit" if self.random.random() < 0.7 else "name,unit,colour"
        (folder / "item.csv").write_text(f"{head}\n{self._new('dye')},ml\n", encoding="utf-8")

    def change_order(self) -> None:
        """Order another number, so that other outputs are made."""
        write_order(self.shop, quantity=self.random.randint(1, 3))

    def change_hide(self) -> None:
        """Write a remark into a hide map."""
        path = self.shop / "bend-3.toml"
        path.write_text(f"{path.read_text()}\n# {self._new('remark')}\n", encoding="utf-8")

    def harm_marker(self) -> None:
        """Break the marker of an output folder, take it away, or let it name other places."""
        marker = self.shop / self.random.choice(OUTS[:3]) / MARKER
        kind = self.random.randrange(4)
        if kind == 0:
            marker.unlink()
        elif kind == 1:
            marker.write_bytes(marker.read_bytes()[: self.random.randint(0, 200)])
        elif kind == 2:
            values = json.loads(marker.read_text(encoding="utf-8"))
            values["files"] = {name: [] for name in ("../note.txt", "photos/0.jpg", "note.txt")}
            marker.write_text(json.dumps(values), encoding="utf-8")
        else:
            marker.write_text('{"files": ["quote.pdf", "note.txt"]}', encoding="utf-8")

    def in_the_way(self) -> None:
        """Put a folder where a file is to be written, or a link."""
        path = self._folder() / self.random.choice(("quote.pdf", "cost.txt", "kept.toml"))
        if not os.path.lexists(path):
            if self.random.random() < 0.5:
                path.mkdir()
                (path / "inside.txt").write_text(self._new("inside"), encoding="utf-8")
            else:
                path.symlink_to(self.random.choice(("nowhere", "note.txt")))

    def link_file(self) -> None:
        """Keep a file on the drive, and a link to it in its place."""
        path = self._file()
        there = self.home / DRIVE / f"{self._count} {path.name}"
        self._count += 1
        if there.parent.is_dir() and not path.is_symlink():
            shutil.move(path, there)
            path.symlink_to(there)

    def delete(self) -> None:
        """Throw a file away, or a folder of outputs."""
        if self.random.random() < 0.8:
            self._file().unlink()
        else:
            folder = self.shop / self.random.choice((OUTS[0], "out", "tables"))
            if folder.is_dir():
                shutil.rmtree(folder)

    def move(self) -> None:
        """Give a folder of outputs another name."""
        folder = self.shop / self.random.choice((OUTS[0], "out"))
        folder.rename(folder.with_name(f"{folder.name} {self._new('old')}"))

    def unplug(self) -> None:
        """Take the drive away, or bring it back."""
        drive, drawer = self.home / DRIVE, self.home / UNPLUGGED
        if drawer.is_dir() and not drive.exists():
            drawer.rename(drive)
        elif not drawer.exists():
            drive.rename(drawer)

    def move_records(self) -> None:
        """Keep the records on the drive, and a link to them in the shop."""
        there = self.home / DRIVE / "shop.sqlite"
        if self.records.is_file() and not self.records.is_symlink() and not there.exists():
            for behind in ("-wal", "-journal", ""):
                each = Path(f"{self.records}{behind}")
                if each.exists() and there.parent.is_dir():
                    shutil.move(each, f"{there}{behind}")
            if there.exists():
                self.records.symlink_to(there)

    def harm_records(self) -> None:
        """Put something else in the place of the records, or nothing."""
        kind = self.random.choice(("garbage", "truncated", "empty", "other", "newer", "gone"))
        raw = self.records.read_bytes()
        for behind in ("-wal", "-shm", "-journal"):
            Path(f"{self.records.resolve()}{behind}").unlink(missing_ok=True)
        if kind == "truncated":
            self.records.write_bytes(raw[: self.random.randrange(len(raw) // 2)])
        elif kind == "newer":
            with closing(sqlite3.connect(self.records)) as records:
                records.execute("PRAGMA user_version = 9")
        elif kind == "other":
            self.records.unlink()
            with closing(sqlite3.connect(self.records)) as other, other:
                other.execute("CREATE TABLE addresses (name TEXT)")
                other.execute("INSERT INTO addresses VALUES (?)", (self._new("address"),))
        elif kind == "gone":
            self.records.unlink()
        else:
            text = self._new("garbage") if kind == "garbage" else ""
            self.records.write_text(text, encoding="utf-8")

    def _new(self, what: str) -> str:
        self._count += 1
        return f"{what} {self._count} of the maker's"

    def _folder(self) -> Path:
        return self.shop / self.random.choice((*OUTS[:3], "."))

    def _file(self) -> Path:
        """Some visible file, not one of the records or of what orders need."""
        needed = {"order.toml", "prices.toml", "strap.toml", "other.toml"}
        there = sorted(
            path
            for path in self.shop.rglob("*")
            if path.is_file()
            and not path.name.startswith(".")
            and path.name not in needed
            and ".sqlite" not in path.name
        )
        if not there:
            raise FileNotFoundError
        return self.random.choice(there)

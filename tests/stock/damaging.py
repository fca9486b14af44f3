"""Records that were damaged: what each command makes of them, and how they are restored over."""

import contextlib
import io
import shutil
from dataclasses import dataclass
from pathlib import Path
from random import Random

from estimator.cli.main import run
from estimator.kept import kept_of
from estimator.stock.store.backups import back_up
from estimator.stock.store.database import open_records
from tests.stock.record_samples import THREAD, month

READING = (
    ("hide", "list", "--all", "--json"),
    ("hide", "show", "seen"),
    ("stock", "list"),
    ("stock", "list", THREAD),
    ("job", "list", "--all"),
    ("job", "show", "14"),
    ("job", "show", "15", "--json"),
    ("job", "rates"),
    ("reorder",),
    ("records", "check"),
    ("records", "export", "tables"),
    ("records", "backup", "again.sqlite"),
)
"""The commands that read records, with words that suit the sample."""

PRICES = Path(__file__).parents[2] / "data" / "demo" / "prices.toml"
KINDS = ("flipped", "truncated", "zeroed")
HEADER_BYTES = 100
REWRITTEN = (*range(18, 20), *range(24, 32), *range(40, 44), *range(92, HEADER_BYTES))
"""Where the header counts writes, pages and changes of tables, and names the kind of journal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Damaged:
    """What came of one damaged file.

    Parameters
    ----------
    kind : str
        One of ``KINDS``.
    codes : dict of str to int
        Exit code by reading command.
    is_foreign : bool
        Whether it was refused as another program's, or as newer.
    complaints : tuple of str
        What should not be; must be empty.
    """

    kind: str
    codes: dict[str, int]
    is_foreign: bool
    complaints: tuple[str, ...]


def sound_shop(folder: Path) -> Path:
    """Make a shop with something in every table, and give the backup of its records."""
    backup = folder / "good.sqlite"
    with open_records(folder / "first.sqlite") as records:
        month(records)
        back_up(records, backup)
    return backup


def damage_once(backup: Path, folder: Path, *, seed: int) -> Damaged:
    """Damage a copy of the backup, read it by every command, and restore over it.

    Parameters
    ----------
    backup : Path
        Of sound records.
    folder : Path
        Is made for this one.
    seed : int
        Decides what is damaged, and how.
    """
    kind = KINDS[seed % len(KINDS)]
    harmed = _harmed(backup.read_bytes(), kind, Random(seed))
    folder.mkdir()
    shutil.copy(PRICES, folder)
    path = folder / "records.sqlite"
    path.write_bytes(harmed)
    complaints: list[str] = []
    codes: dict[str, int] = {}
    for words in READING:
        code, text = _run(words, path, folder)
        codes[" ".join(words)] = code
        if code not in {0, 1, 2} or (code == 1 and "check" not in words):
            complaints.append(f"{' '.join(words)} ended with {code}: {text}")
    for behind in ("-wal", "-shm", "-journal"):
        path.with_name(path.name + behind).unlink(missing_ok=True)
    path.write_bytes(harmed)
    is_foreign, more = _restored_over(path, backup, folder)
    complaints += more
    if harmed and not any(is_same(copy.read_bytes(), harmed) for copy in kept_of(path)):
        complaints.append("its bytes are gone")
    return Damaged(kind=kind, codes=codes, is_foreign=is_foreign, complaints=tuple(complaints))


def is_same(copy: bytes, harmed: bytes) -> bool:
    """Say whether a kept copy has every byte, but for what a database rewrites of itself."""
    if copy == harmed:
        return True
    pair = [bytearray(copy), bytearray(harmed)]
    for content in pair:
        for place in REWRITTEN:
            content[place : place + 1] = b"\0"
    return pair[0] == pair[1]


def _restored_over(path: Path, backup: Path, folder: Path) -> tuple[bool, list[str]]:
    """Restore, with the option where the file looks foreign, and look at the outcome."""
    code, text = _run(("records", "restore", str(backup)), path, folder)
    is_foreign = code == 2 and "--replace-unknown" in text
    if is_foreign:
        words = ("records", "restore", str(backup), "--replace-unknown")
        code, text = _run(words, path, folder)
    if code != 0:
        return is_foreign, [f"restore ended with {code}: {text}"]
    code, text = _run(("records", "check"), path, folder)
    return is_foreign, [f"check after the restore ended with {code}: {text}"] * (code != 0)


def _run(words: tuple[str, ...], path: Path, folder: Path) -> tuple[int, str]:
    """Run a command in this process, in the folder; give its code and what it said."""
    said = io.StringIO()
    with (
        contextlib.chdir(folder),
        contextlib.redirect_stdout(said),
        contextlib.redirect_stderr(said),
    ):
        code = run([*words, "--records", str(path)])
    return code, said.getvalue().strip()[-300:]


def _harmed(content: bytes, kind: str, random: Random) -> bytes:
    """Damage a file, often where it says what it is."""
    end = HEADER_BYTES if random.random() < 0.25 else len(content)
    at = random.randrange(end)
    if kind == "truncated":
        return content[:at]
    harmed = bytearray(content)
    if kind == "zeroed":
        length = random.choice((1, 16, 512, 4096, 20_000))
        harmed[at : at + length] = bytes(len(harmed[at : at + length]))
        return bytes(harmed)
    for _ in range(random.choice((1, 1, 2, 8, 64))):
        harmed[random.randrange(end)] ^= 1 << random.randrange(8)
    return bytes(harmed)

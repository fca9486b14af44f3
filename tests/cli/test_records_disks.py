"""Records on disks that cannot be written, that fill up, and records that are damaged or in use."""

import ctypes
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from estimator.cli.main import run
from estimator.kept import kept_of
from estimator.stock.store import copying
from estimator.stock.store.backups import back_up
from estimator.stock.store.database import open_records
from estimator.stock.store.schema import STEPS
from tests.stock.damaging import PRICES, READING, damage_once, sound_shop
from tests.stock.record_samples import month

READ_ONLY_DISK = 30
CAPABILITY_VERSION, MAY_OVERRIDE = 0x20080522, 1 << 1
"""Of capget(2): what lets an administrator write where the rights of a folder forbid it."""


@contextmanager
def only_to_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let nobody write in a folder, not even the administrator, and answer as such a disk does."""
    unlink = Path.unlink

    def refusing(path: Path, *, missing_ok: bool = False) -> None:
        if path.parent == folder:
            raise OSError(READ_ONLY_DISK, "Read-only file system", str(path))
        unlink(path, missing_ok=missing_ok)

    for path in folder.iterdir():
        path.chmod(0o444)
    folder.chmod(0o555)
    header, before = (ctypes.c_uint32 * 2)(CAPABILITY_VERSION, 0), (ctypes.c_uint32 * 6)()
    system = ctypes.CDLL(None)
    assert system.capget(header, before) == 0
    system.capset(header, (ctypes.c_uint32 * 6)(before[0] & ~MAY_OVERRIDE, *before[1:]))
    try:
        with monkeypatch.context() as patched:
            patched.setattr(Path, "unlink", refusing)
            yield
    finally:
        system.capset(header, before)
        folder.chmod(0o755)


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, Path]:
    """A disk with a shop's records, and a place that may be written."""
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    disk, elsewhere = tmp_path / "disk", tmp_path / "elsewhere"
    for folder in (disk, elsewhere):
        folder.mkdir()
        shutil.copy(PRICES, folder)
    monkeypatch.chdir(elsewhere)
    return disk, elsewhere


def logged(path: Path) -> None:
    """Records as a killed program leaves them: all they hold is in the log."""
    other = path.with_name("other.sqlite")
    with open_records(other) as records:
        month(records)
        for behind in ("", "-wal"):
            shutil.copyfile(f"{other}{behind}", f"{path}{behind}")
    assert path.stat().st_size < path.with_name(path.name + "-wal").stat().st_size
    for behind in ("", "-wal", "-shm"):
        other.with_name(other.name + behind).unlink(missing_ok=True)


def plain(path: Path) -> None:
    """Records that nobody uses."""
    with open_records(path) as records:
        month(records)


def backed_up(path: Path) -> None:
    """A backup, opened as it is; it has no log."""
    with open_records(path.with_name("other.sqlite")) as records:
        month(records)
        back_up(records, path)
    path.with_name("other.sqlite").unlink()


@pytest.mark.parametrize("make", [logged, plain, backed_up])
def test_records_on_a_disk_that_cannot_be_written_are_read_and_not_changed(
    folders: tuple[Path, Path],
    make: object,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    disk, elsewhere = folders
    path = disk / "records.sqlite"
    assert callable(make)
    make(path)
    with open_records(elsewhere / "good.sqlite") as records:
        month(records)
    before = {one.name: one.read_bytes() for one in disk.iterdir()}
    shelf = ["--records", str(path)]
    with only_to_read(disk, monkeypatch):
        assert {" ".join(words): run([*words, *shelf]) for words in READING} == {
            " ".join(words): 0 for words in READING
        }
        assert "seen" in capsys.readouterr().out
        for words in (
            ["hide", "retire", "seen"],
            ["stock", "use", "waxed thread", "1 m"],
            ["records", "restore", "good.sqlite"],
            ["records", "import", "tables"],
            ["records", "backup"],
            ["records", "export", str(disk / "tables")],
        ):
            assert run([*words, *shelf]) == 2, words
            assert "disk" in capsys.readouterr().err
    assert {one.name: one.read_bytes() for one in disk.iterdir()} == before
    with open_records(elsewhere / "again.sqlite") as records:
        assert records.rows("SELECT count(*) FROM leather")[0][0] > 3


def test_a_log_is_found_through_a_link_too(
    folders: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    disk, elsewhere = folders
    logged(disk / "shop.sqlite")
    link = elsewhere / "records.sqlite"
    link.symlink_to(disk / "shop.sqlite")
    with only_to_read(disk, monkeypatch):
        assert run(["hide", "list", "--records", str(link)]) == 0
        assert "seen" in capsys.readouterr().out
        assert run(["records", "restore", str(link), "--records", "new.sqlite"]) == 0
    assert run(["hide", "show", "seen", "--records", "new.sqlite"]) == 0


def test_older_records_on_a_disk_that_cannot_be_written_are_read(
    folders: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    disk = folders[0]
    path = disk / "records.sqlite"
    with open_records(path, steps=STEPS[:1]):
        pass
    before = path.read_bytes()
    with only_to_read(disk, monkeypatch):
        assert run(["stock", "list", "--records", str(path)]) == 0
    assert "The shelf is empty" in capsys.readouterr().out
    assert path.read_bytes() == before


def test_a_full_disk_stops_a_restore_and_nothing_is_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Full at each of its steps in turn."""
    path = tmp_path / "records.sqlite"
    plain(path)
    with open_records(tmp_path / "good.sqlite"):
        pass
    command = ["records", "restore", str(tmp_path / "good.sqlite"), "--records", str(path)]
    before = {one.name for one in tmp_path.iterdir()}
    for harm in (None, b"lost" * 3000):
        if harm:
            path.write_bytes(harm)
        for module, name in (
            ("estimator.stock.store.copying.shutil", "copyfile"),
            ("estimator.stock.store.copying", "flush"),
            ("estimator.kept.os", "link"),
        ):
            with monkeypatch.context() as patched:
                patched.setattr(f"{module}.{name}", full)
                if name == "link":
                    patched.setattr("estimator.kept.os.open", full)
                assert run(command) == 2, name
            assert "No space left" in capsys.readouterr().err
            if harm:
                assert path.read_bytes() == harm
            else:
                with open_records(path) as records:
                    assert records.rows("SELECT count(*) FROM leather")[0][0] > 3
            for copy in kept_of(path):  # made before the disk was full, and then of the same
                copy.unlink()
            assert {one.name for one in tmp_path.iterdir()} == before


def full(*_: object, **__: object) -> None:
    raise OSError(28, "No space left on device")


def test_records_in_use_are_told_by_every_command_that_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "records.sqlite"
    plain(path)
    monkeypatch.chdir(tmp_path)
    assert run(["records", "backup", "good.sqlite"]) == 0
    assert run(["records", "export", "tables"]) == 0
    monkeypatch.setattr(copying, "BUSY_S", 0.05)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        capsys.readouterr()
        for words in (
            ["hide", "retire", "seen"],
            ["stock", "use", "waxed thread", "1 m"],
            ["job", "cut", "14"],
            ["records", "import", "tables"],
            ["records", "restore", "good.sqlite"],
        ):
            assert run(words) == 2, words
            assert "in use by another program" in capsys.readouterr().err
        other.execute("ROLLBACK")
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute("BEGIN EXCLUSIVE")  # not even readers get in
        for words in (["hide", "list"], ["records", "check"], ["records", "backup", "b.sqlite"]):
            assert run(words) == 2, words
            assert "in use by another program" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("harm", "words"),
    [
        ("UPDATE leather SET outline = x'00'", ["hide", "list"]),
        ("UPDATE leather SET tannage = cast(x'ff' AS TEXT)", ["hide", "show", "seen"]),
        ("UPDATE item SET name = cast(x'ff' AS TEXT) WHERE rowid = 1", ["stock", "list"]),
        ("UPDATE item SET unit = 'x'", ["stock", "list"]),
        ("UPDATE revision SET promise_on = 'soon'", ["job", "show", "14"]),
        ("UPDATE planned_item SET unit = 'x'", ["job", "show", "14"]),
        ("UPDATE planned_offcut SET outline = x'00'", ["records", "export", "tables"]),
        ("DELETE FROM revision", ["job", "show", "14"]),
        ("DROP TABLE movement", ["stock", "list", "waxed thread"]),
        ("PRAGMA user_version = 2", ["hide", "list"]),
    ],
)
def test_damaged_values_are_told_as_damage_with_what_to_do(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    harm: str,
    words: list[str],
) -> None:
    path = tmp_path / "records.sqlite"
    plain(path)
    monkeypatch.chdir(tmp_path)
    with closing(sqlite3.connect(path)) as other:
        for (name,) in other.execute(
            "SELECT name FROM sqlite_schema WHERE type = 'trigger'"
        ).fetchall():
            other.execute(f"DROP TRIGGER {name}")
        other.execute("PRAGMA ignore_check_constraints = ON")
        other.execute(harm)
        other.commit()
    assert run([*words]) == 2
    printed = capsys.readouterr().err
    assert "damaged" in printed
    assert "records restore" in printed
    assert run(["records", "check"]) in {1, 2}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"leather_by_state", b"\xffeather_by_state"),  # the database then says no text
        (b"\0\0\0\4", b"\0\0\0\7"),  # among others, the format of the tables
    ],
)
def test_a_file_that_the_database_cannot_make_out_is_told_and_restored_over(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    old: bytes,
    new: bytes,
) -> None:
    path = tmp_path / "records.sqlite"
    plain(path)
    monkeypatch.chdir(tmp_path)
    assert run(["records", "backup", "good.sqlite"]) == 0
    content = path.read_bytes()
    assert old in content
    first = content[:60].replace(old, new) + content[60:]  # the form stands behind
    harmed = first if first != content else content.replace(old, new)
    path.write_bytes(harmed.replace(b"CREATE INDEX \xff", b"CREATE XNDEX \xff"))
    for words in (["hide", "list"], ["records", "check"]):
        assert run(words) == 2
        assert "damaged" in capsys.readouterr().err
    harmed = path.read_bytes()
    assert run(["records", "restore", "good.sqlite"]) == 0
    assert [copy.read_bytes() for copy in kept_of(path)] == [harmed]


def test_a_fault_of_our_own_is_not_blamed_on_sound_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ValueError("a slip of ours")

    plain(tmp_path / "records.sqlite")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("estimator.stock.upkeep.exchange.table_csv", broken)
    assert run(["records", "export", "tables"]) == 70
    assert "fault of our own" in capsys.readouterr().err


def test_a_sample_of_damaged_files_is_read_or_refused_and_restored_over(tmp_path: Path) -> None:
    backup = sound_shop(tmp_path)
    for seed in range(12):
        result = damage_once(backup, tmp_path / str(seed), seed=seed)
        assert result.complaints == (), seed

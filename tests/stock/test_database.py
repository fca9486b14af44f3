"""The file of the records: made, refused, upgraded, changed whole, copied and put back."""

import shutil
import signal
import sqlite3
import threading
from pathlib import Path

import pytest

from estimator.errors import InputError
from estimator.kept import kept_of
from estimator.stock.store import copying, database, schema
from estimator.stock.store.backups import back_up, damage
from estimator.stock.store.copying import drop_file, scratch_copy
from estimator.stock.store.database import Records, atomic, open_records
from estimator.stock.store.schema import statements
from estimator.stock.store.where import records_path
from estimator.stock.upkeep.restoring import restore
from estimator.writing.signals import end_as_interrupt
from tests.writing.troubles import at_step

FIRST = "CREATE TABLE kept (name TEXT PRIMARY KEY, amount INTEGER NOT NULL) STRICT;"
SECOND = "ALTER TABLE kept ADD COLUMN note TEXT NOT NULL DEFAULT 'none';"
BROKEN = "CREATE TABLE half (x INTEGER) STRICT; INSERT INTO nowhere VALUES (1);"


def add(records: Records, name: str, amount: int = 1) -> None:
    records.run("INSERT INTO kept (name, amount) VALUES (?, ?)", (name, amount))


def twice(records: Records, name: str) -> None:
    add(records, name)
    add(records, name)


def names(path: Path, steps: tuple[str, ...] = (FIRST,)) -> list[str]:
    with open_records(path, steps=steps) as records:
        return [row["name"] for row in records.rows("SELECT name FROM kept ORDER BY name")]


def test_records_need_no_set_up_and_stay(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with open_records(path, steps=(FIRST,)) as records, atomic(records):
        add(records, "thread")
    assert names(path) == ["thread"]


def test_a_change_is_saved_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with open_records(path, steps=(FIRST,)) as records:
        with pytest.raises(sqlite3.IntegrityError), atomic(records):
            twice(records, "thread")
        assert records.rows("SELECT * FROM kept") == []


def test_a_change_within_another_is_whole_by_itself(tmp_path: Path) -> None:
    with open_records(tmp_path / "r", steps=(FIRST,)) as records:
        with atomic(records):
            add(records, "thread")
            with pytest.raises(sqlite3.IntegrityError):
                in_part(records, "dye", "thread")
            with atomic(records):
                add(records, "wax")
        assert [row["name"] for row in records.rows("SELECT name FROM kept")] == ["thread", "wax"]


def in_part(records: Records, *names: str) -> None:
    with atomic(records):
        for name in names:
            add(records, name)


def test_tables_refuse_text_for_a_number(tmp_path: Path) -> None:
    with (
        open_records(tmp_path / "r", steps=(FIRST,)) as records,
        pytest.raises(sqlite3.IntegrityError),
    ):
        records.run("INSERT INTO kept VALUES ('thread', 'many')")


def test_older_records_are_brought_up_to_date_after_a_copy(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with open_records(path, steps=(FIRST,)) as records:
        add(records, "thread", 7)
    with open_records(path, steps=(FIRST, SECOND)) as records:
        assert tuple(records.rows("SELECT * FROM kept")[0]) == ("thread", 7, "none")
    (copy,) = kept_of(path, "form-1")
    assert names(copy) == ["thread"]


def test_a_step_that_fails_leaves_the_records_as_they_were(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with open_records(path, steps=(FIRST,)) as records:
        add(records, "thread")
    with pytest.raises(sqlite3.OperationalError), open_records(path, steps=(FIRST, BROKEN)):
        pass
    assert names(path) == ["thread"]
    with open_records(path, steps=(FIRST,)) as records:
        assert not records.rows("SELECT * FROM sqlite_schema WHERE name = 'half'")


def test_an_upgrade_that_fails_again_keeps_no_second_copy_of_the_same(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"

    def upgrade(times: int) -> None:
        for _ in range(times):
            with pytest.raises(sqlite3.OperationalError), open_records(path, steps=(FIRST, BROKEN)):
                pass

    with open_records(path, steps=(FIRST,)):
        pass
    upgrade(3)
    with open_records(path, steps=(FIRST,)) as records:
        add(records, "thread")
    upgrade(11)
    assert [names(copy) for copy in kept_of(path, "form-1")] == [[], ["thread"]]


def test_newer_records_are_refused_untouched(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with open_records(path, steps=(FIRST, SECOND)):
        pass
    before = path.read_bytes()
    with (
        pytest.raises(InputError, match="newer version of this program"),
        open_records(path, steps=(FIRST,)),
    ):
        pass
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == ["records.sqlite"]


@pytest.mark.parametrize("content", [b"hello", b"x" * 5000, b"SQLite format 3\0" + b"\1" * 500])
def test_another_file_is_refused_untouched(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(InputError), open_records(path):
        pass
    assert path.read_bytes() == content


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "theirs.sqlite"
    theirs = sqlite3.connect(path)
    theirs.execute("CREATE TABLE theirs (x)")
    theirs.commit()
    theirs.close()
    with pytest.raises(InputError, match="another program"), open_records(path):
        pass


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    path = tmp_path / "no" / "records.sqlite"
    with pytest.raises(InputError, match="folder that does not exist"), open_records(path):
        pass


def test_two_who_make_the_file_at_once_both_get_it(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    faults: list[BaseException] = []

    def work(name: str) -> None:
        try:
            for at in range(10):
                with open_records(path, steps=(FIRST,)) as records, atomic(records):
                    add(records, f"{name} {at}")
        except BaseException as error:
            faults.append(error)

    threads = [threading.Thread(target=work, args=(name,)) for name in "abc"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not faults
    assert len(names(path)) == 30


def test_a_backup_is_what_was_saved_and_a_restore_brings_it_back(tmp_path: Path) -> None:
    path, copy = tmp_path / "records.sqlite", tmp_path / "copy.sqlite"
    with open_records(path) as records:
        retire(records, "first")
        back_up(records, copy)
        retire(records, "second")
        restore(path, copy)  # while it is in use
        assert tags(records) == ["first"]
        assert damage(records) == []
        with pytest.raises(InputError, match="already there"):
            back_up(records, copy)
    with open_records(path) as again:
        assert tags(again) == ["first"]
    names = {"records.sqlite", "copy.sqlite", "records.sqlite.kept-1"}
    assert {one.name for one in tmp_path.iterdir()} == names


def retire(records: Records, tag: str) -> None:
    """Put a piece of leather in, by hand."""
    records.run(
        "INSERT INTO leather VALUES (?, 'rack', NULL, x'00', 1.0, 0, 3, 3, 'chrome', '', 0, 0,"
        " NULL, 0, '', '', '', '2026-11-02', NULL, '', '')",
        (tag,),
    )


def tags(records: Records) -> list[str]:
    return [row["tag"] for row in records.rows("SELECT tag FROM leather ORDER BY tag")]


def test_a_damaged_file_is_moved_aside_for_the_backup(tmp_path: Path) -> None:
    path, copy = tmp_path / "records.sqlite", tmp_path / "copy.sqlite"
    with open_records(path) as records:
        retire(records, "first")
        back_up(records, copy)
    path.write_bytes(b"x" * 9000)
    restore(path, copy)
    with open_records(path) as records:
        assert tags(records) == ["first"]
    (kept,) = kept_of(path)
    assert kept.read_bytes() == b"x" * 9000


def test_a_damaged_backup_leaves_the_records_alone(tmp_path: Path) -> None:
    path, copy = tmp_path / "records.sqlite", tmp_path / "copy.sqlite"
    with open_records(path) as records:
        retire(records, "first")
        back_up(records, copy)
    whole = copy.read_bytes()
    copy.write_bytes(whole[:4096] + b"\xee" * (len(whole) - 4096))
    with pytest.raises(InputError):
        restore(path, copy)
    with open_records(path) as records:
        assert tags(records) == ["first"]
    with pytest.raises(InputError, match="does not exist"):
        restore(path, tmp_path / "none")


def test_triggers_stay_whole_when_a_step_is_split() -> None:
    for step in schema.STEPS:
        for statement in statements(step):
            assert sqlite3.complete_statement(statement)


def test_records_that_stay_in_use_are_told_not_traced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "r"
    monkeypatch.setattr(copying, "BUSY_S", 0.05)
    with open_records(path, steps=(FIRST,)) as first, open_records(path, steps=(FIRST,)) as second:
        with (
            atomic(first),
            pytest.raises(InputError, match="in use by another program"),
            atomic(second),
        ):
            pass
        with atomic(second):
            add(second, "thread")
    assert names(path) == ["thread"]


def test_a_file_damaged_within_is_told_with_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "r"
    with open_records(path, steps=(FIRST,)) as records, atomic(records):
        for at in range(2000):
            add(records, f"name {at}")
    whole = path.read_bytes()
    path.write_bytes(whole[:4096] + b"\xee" * (len(whole) - 4096))
    with pytest.raises(InputError, match="records restore"):
        names(path)


def test_a_disk_of_another_machine_gets_no_write_ahead_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def journal() -> str:
        with open_records(tmp_path / "r", steps=(FIRST,)) as records:
            return str(records.rows("PRAGMA journal_mode")[0][0])

    assert journal() == "wal"
    monkeypatch.setattr(database, "_mounts", lambda: f"barn:/shop {tmp_path} nfs4 rw 0 0\n")
    assert journal() == "delete"


def test_records_lie_where_told_or_beside_the_price_book(tmp_path: Path) -> None:
    inner = tmp_path / "orders" / "14"
    inner.mkdir(parents=True)
    option, book = tmp_path / "x.sqlite", tmp_path / "books" / "prices.toml"
    named = {"ESTIMATOR_RECORDS": "y.sqlite"}
    with pytest.raises(InputError, match="shop's folder is not known"):
        records_path(None, {}, here=inner)
    (tmp_path / "prices.toml").write_text("", encoding="utf-8")
    assert records_path(option, named, here=inner, book=book) == option
    assert records_path(None, named, here=inner, book=book) == Path("y.sqlite")
    assert records_path(None, {}, here=inner, book=book) == book.parent / "records.sqlite"
    assert records_path(None, {}, here=inner) == tmp_path / "records.sqlite"


def test_every_form_is_brought_up_to_date_with_what_it_holds(tmp_path: Path) -> None:
    for form in range(1, len(schema.STEPS)):
        path = tmp_path / f"form-{form}"
        with open_records(path, steps=schema.STEPS[:form]) as records:
            retire(records, "first")
        with open_records(path) as records:
            assert tags(records) == ["first"]
            assert damage(records) == []
            assert records.rows("PRAGMA user_version")[0][0] == len(schema.STEPS)


def test_a_copy_is_made_even_if_the_log_goes_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "shop.sqlite"
    real = shutil.copyfile

    def closing_first(source: Path, copy: Path) -> None:
        """Another program closes the records, and its log goes."""
        if source.name.endswith("-wal") and source.exists():
            source.unlink()
        real(source, copy)

    with open_records(path):
        pass
    path.with_name("shop.sqlite-wal").write_bytes(b"")
    monkeypatch.setattr("estimator.stock.store.copying.shutil.copyfile", closing_first)
    with scratch_copy(path) as copy:
        assert copy.read_bytes() == path.read_bytes()


def test_a_terminate_while_our_own_copy_is_cleared_away_leaves_nothing(tmp_path: Path) -> None:
    copy = tmp_path / ".records.sqlite.part"
    for behind in ("", "-journal"):
        copy.with_name(copy.name + behind).write_bytes(b"ours")
    with (
        pytest.raises(KeyboardInterrupt),
        end_as_interrupt(),
        at_step(1, lambda: signal.raise_signal(signal.SIGTERM)),
    ):
        drop_file(copy)
    assert list(tmp_path.iterdir()) == []

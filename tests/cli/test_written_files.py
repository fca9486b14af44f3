"""What commands do with files that are there: refused, or moved aside and told, never lost."""

import errno
import os
import sqlite3
import subprocess
import sys
from pathlib import Path
from signal import SIGTERM
from typing import Any

import pytest

from estimator.cli.main import run
from estimator.desk.records import quoting
from estimator.stock.store import copying, file_faults
from tests.writing.disk_full import hidden_in, made_once, quotes_in
from tests.writing.small_shop import make_shop

QUOTE = ("quote", "order.toml", "--effort", "quick", "--quiet")
OUT = "2026-030-estimate"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = make_shop(tmp_path / "shop")
    monkeypatch.chdir(folder)
    return folder


def held(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_quoting_again_leaves_what_the_maker_put_there(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(QUOTE) == 0
    (shop / OUT / "note.txt").write_text("call on Monday", encoding="utf-8")
    (shop / OUT / "photos").mkdir()
    (shop / OUT / "photos" / "hide.jpg").write_bytes(b"photo")
    (shop / OUT / "shopping-list.csv").write_text("bought already", encoding="utf-8")
    capsys.readouterr()
    assert run([*QUOTE, "--seed", "2"]) == 0
    assert "shopping-list.csv as shopping-list.csv.edited-1" in capsys.readouterr().err
    after = held(shop / OUT)
    assert after["note.txt"] == b"call on Monday"
    assert after["photos/hide.jpg"] == b"photo"
    assert after["shopping-list.csv.edited-1"] == b"bought already"
    assert (
        after["shopping-list.csv"].startswith(b"supplier") or b"item" in after["shopping-list.csv"]
    )


@pytest.mark.parametrize("words", [(), ("--force",)])
@pytest.mark.parametrize("out", [".", "link", "patterns"])
def test_a_folder_that_the_order_is_read_from_is_no_place_for_outputs(
    shop: Path, capsys: pytest.CaptureFixture[str], out: str, words: tuple[str, ...]
) -> None:
    (shop / "link").symlink_to(shop)
    (shop / "patterns").mkdir()
    (shop / "strap.toml").rename(shop / "patterns" / "strap.toml")
    order = (shop / "order.toml").read_text(encoding="utf-8")
    order = order.replace('"strap.toml"', '"patterns/strap.toml"')
    (shop / "order.toml").write_text(order, encoding="utf-8")
    before = held(shop)
    assert run([*QUOTE, "--out", out, *words]) == 2
    assert "which this order is read from" in capsys.readouterr().err
    assert held(shop) == before


def test_outputs_go_through_a_link_to_a_folder(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "usb").mkdir()
    (shop / "out").symlink_to(tmp_path / "usb")
    for seed in ("1", "2"):
        assert run([*QUOTE, "--out", "out", "--seed", seed]) == 0
    assert (shop / "out").is_symlink()
    assert (tmp_path / "usb" / "quote.pdf").read_bytes().startswith(b"%PDF")
    assert hidden_in(tmp_path) == []


def test_orders_whose_references_name_one_folder_do_not_replace_each_other(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for reference in ("2026-014 B", "2026-014-B"):
        text = (shop / "order.toml").read_text(encoding="utf-8")
        text = "\n".join(
            f'reference = "{reference}"' if line.startswith("reference") else line
            for line in text.splitlines()
        )
        (shop / "order.toml").write_text(text, encoding="utf-8")
        code = run(QUOTE)
    assert code == 2
    assert "holds the outputs of order 2026-014 B" in capsys.readouterr().err


def test_records_that_are_locked_leave_no_papers_behind(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(copying, "BUSY_S", 0.1)
    assert run(["hide", "add", "bend-3.toml"]) == 0
    other = sqlite3.connect("records.sqlite", isolation_level=None)
    try:
        other.execute("BEGIN IMMEDIATE")
        assert run(["job", *QUOTE]) == 2
        assert not (shop / OUT).exists()
        other.execute("ROLLBACK")
    finally:
        other.close()
    assert run(["job", *QUOTE]) == 0
    assert quotes_in(shop) == 1


@pytest.mark.parametrize("fault", ["COMMIT", "replace"])
def test_a_job_quote_is_recorded_and_written_or_neither(
    shop: Path, monkeypatch: pytest.MonkeyPatch, fault: str
) -> None:
    with made_once():
        assert run(["job", *QUOTE]) == 0
        (shop / OUT / "quote.pdf").write_bytes(b"with my notes")
        before = held(shop / OUT)

        def fail(*_: object) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

        with monkeypatch.context() as patched:
            if fault == "replace":
                patched.setattr(Path, "replace", fail)
            else:
                patched.setattr(quoting, "atomic", refusing_to_commit)
            assert run(["job", *QUOTE]) == 2
    assert held(shop / OUT) == before
    assert quotes_in(shop) == 1


class refusing_to_commit:  # noqa: N801  (stands for a function)
    """A change of the records that is undone where it should be saved, as on a full disk."""

    def __init__(self, records: Any) -> None:
        self._records = records

    def __enter__(self) -> None:
        self._records.connection.execute("BEGIN IMMEDIATE")

    def __exit__(self, *_: object) -> None:
        self._records.connection.execute("ROLLBACK")
        with file_faults.sqlite_faults(self._records.path):
            error = sqlite3.OperationalError("database or disk is full")
            error.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise error


WRITING: list[tuple[tuple[str, ...], str]] = [
    (("pattern", "check", "strap.toml", "--out", "mine.png"), "mine.png"),
    (("pattern", "export", "strap.toml", "--out", "mine.dxf"), "mine.dxf"),
    (("pattern", "print", "strap.toml"), "strap-a4.pdf"),
    (("hide", "markers", "--out", "mine.pdf"), "mine.pdf"),
    (("hide", "show", "bend-3", "--map", "mine.toml"), "mine.toml"),
    (("reorder", "--out", "mine.csv"), "mine.csv"),
    (("batch", "order.toml", "--quantities", "1", "--chart", "mine.svg"), "mine.svg"),
    (("pattern", "draft", "pruning-blade.toml"), "pruning-pattern.toml"),
    (("records", "export", "."), "job.csv"),
]


@pytest.mark.parametrize(("words", "name"), WRITING)
def test_a_file_that_is_there_is_refused_or_moved_aside(
    shop: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], name: str
) -> None:
    assert run(["hide", "add", "bend-3.toml"]) == 0
    mine = b"# what I wrote\n"
    (shop / name).write_bytes(mine)
    assert run(words) == 2
    assert (shop / name).read_bytes() == mine
    capsys.readouterr()
    assert run([*words, "--force"]) in {0, 1}
    assert f"{name}.edited-1" in capsys.readouterr().err.replace("\n", "")
    assert (shop / f"{name}.edited-1").read_bytes() == mine
    assert (shop / name).read_bytes() != mine
    assert hidden_in(shop) == []


def test_a_page_with_notes_is_not_printed_over(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("pattern", "print", "strap.toml")
    page = shop / "strap-a4.pdf"
    assert run([*words, "--date", "2026-11-02"]) == 0
    assert run([*words, "--date", "2026-11-03"]) == 0  # ours, and as we left it
    noted = page.read_bytes() + b"\n1 0 obj (a note, as a viewer saves it) endobj\n%%EOF\n"
    page.write_bytes(noted)
    assert run(words) == 2
    assert page.read_bytes() == noted
    assert run([*words, "--force"]) == 0
    assert (shop / "strap-a4.pdf.edited-1").read_bytes() == noted


def test_a_draft_drawn_anew_keeps_what_was_edited_and_only_that(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("pattern", "draft", "pruning-blade.toml")
    made = shop / "pruning-pattern.toml"
    assert run(words) == 0
    assert run([*words, "--leather", "4 mm"]) == 0
    assert run(["pattern", "draft", made.name, "--leather", "3 mm"]) == 0
    assert not list(shop.glob("*.edited-*"))
    text = made.read_text("utf-8") + "# I moved the loop\n"
    made.write_text(text, encoding="utf-8")
    assert run(["pattern", "draft", made.name]) == 0
    assert (shop / "pruning-pattern.toml.edited-1").read_text("utf-8") == text
    assert "pruning-pattern.toml.edited-1" in capsys.readouterr().err.replace("\n", "")


def test_a_map_is_kept_as_it_was_before_it_is_confirmed(shop: Path) -> None:
    before = (shop / "bend-3.toml").read_bytes()
    assert run(["hide", "confirm", "bend-3.toml"]) == 0
    assert not (shop / "bend-3.toml.edited-1").exists()
    assert run(["hide", "confirm", "bend-3.toml", "--all"]) == 0
    assert (shop / "bend-3.toml.edited-1").read_bytes() == before


def test_a_demo_that_cannot_be_worked_out_is_taken_away_again(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "replace", fail)
    before = held(shop)
    assert run(["demo", "first"]) == 2
    assert held(shop) == before
    assert not (shop / "first").exists()


SEARCHING = """
import sys, time
from estimator.desk import working
from estimator.cli.main import run

def search(order, **others):
    print("begun", flush=True)
    time.sleep(300)

working.estimate = search
sys.exit(run(sys.argv[1:]))
"""


def test_a_terminate_leaves_nothing_half_done(shop: Path) -> None:
    before = sorted(os.listdir(shop))  # noqa: PTH208  # hidden names count
    command = [sys.executable, "-c", SEARCHING, *QUOTE]
    with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stdout.readline() == b"begun\n"
        running.send_signal(SIGTERM)
        text = running.communicate(timeout=120)[1]
    assert running.returncode == 130
    assert b"half-written" in text
    assert b"Traceback" not in text
    assert sorted(os.listdir(shop)) == before  # noqa: PTH208

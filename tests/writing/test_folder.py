"""An output folder holds what we made and what others put there."""

import errno
import json
import os
from pathlib import Path

import pytest

from estimator.errors import InputError
from estimator.writing import lock
from estimator.writing.folder import check_folder, write_folder
from estimator.writing.lock import lock_folder
from estimator.writing.marker import LOCK, MARKER, UNDER_WAY, read_marker
from estimator.writing.swap import Kept

ORDER = "2026-014"
FIRST = {"quote.pdf": b"quote 1", "plan-a.png": b"plan 1", "estimate.json": b"{1}"}
SECOND = {"quote.pdf": b"quote 2", "plan-b.png": b"plan 2", "estimate.json": b"{1}"}


def write(
    folder: Path, contents: dict[str, bytes], *, force: bool = False, reference: str = ORDER
) -> tuple[Kept, ...]:
    return write_folder(folder, contents, reference=reference, force=force)


def held(folder: Path) -> dict[str, bytes]:
    """All files in a folder by name, without the marker."""
    return {each.name: each.read_bytes() for each in folder.iterdir() if each.name != MARKER}


def test_what_others_put_there_stays_and_ours_is_replaced(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write(out, FIRST)
    (out / "note.txt").write_text("call the customer")
    (out / "photos").mkdir()
    (out / "photos" / "1.jpg").write_bytes(b"photo")
    before = out.stat().st_ino
    assert write(out, SECOND) == ()
    assert (out / "photos" / "1.jpg").read_bytes() == b"photo"
    (out / "photos" / "1.jpg").unlink()
    (out / "photos").rmdir()
    assert held(out) == SECOND | {"note.txt": b"call the customer"}
    assert out.stat().st_ino == before  # the folder itself was never away


def test_an_edited_file_is_moved_aside_and_its_copies_are_never_written_over(
    tmp_path: Path,
) -> None:
    out = tmp_path / "out"
    write(out, FIRST)
    for number in (1, 2):
        (out / "quote.pdf").write_text(f"with my notes {number}")
        (kept,) = write(out, SECOND if number == 1 else FIRST)
        assert kept == Kept(out / "quote.pdf", out / f"quote.pdf.edited-{number}")
        assert kept.aside.read_text() == f"with my notes {number}"
    assert (out / "quote.pdf.edited-1").read_text() == "with my notes 1"
    assert (out / "quote.pdf").read_bytes() == FIRST["quote.pdf"]


def test_what_is_no_longer_made_goes_unless_it_was_edited(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write(out, FIRST | {"plan-c.png": b"plan c"})
    (out / "plan-c.png").write_bytes(b"drawn over")
    write(out, SECOND)
    assert held(out) == SECOND | {"plan-c.png": b"drawn over"}
    (out / "plan-c.png").write_bytes(b"plan c")
    write(out, SECOND)
    assert (out / "plan-c.png").exists()  # it is the maker's by now


@pytest.mark.parametrize(
    "marker", ["made by: estimator quote\n", "", "{", "[1]", '{"files": 3}', "[" * 100_000]
)
def test_a_marker_without_hashes_makes_every_file_count_as_edited(
    tmp_path: Path, marker: str
) -> None:
    out = tmp_path / "out"
    write(out, FIRST)
    (out / MARKER).write_text(marker)
    assert {kept.aside.name for kept in write(out, SECOND)} == {"quote.pdf.edited-1"}
    expected = SECOND | {"plan-a.png": b"plan 1", "quote.pdf.edited-1": b"quote 1"}
    assert held(out) == expected
    assert write(out, FIRST) == ()


def test_names_in_a_marker_that_lead_elsewhere_are_ignored(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write(out, FIRST)
    mine = tmp_path / "prices.toml"
    mine.write_bytes(b"quote 1")
    values = json.loads((out / MARKER).read_text("utf-8"))
    ours = values["files"]["quote.pdf"]
    for name in ("../prices.toml", str(mine), "..\\prices.toml", "..", "", "a\0b"):
        values["files"][name] = ours
    (out / MARKER).write_text(json.dumps(values))
    write(out, {"estimate.json": b"{}"})
    assert mine.read_bytes() == b"quote 1"
    assert held(out) == {"estimate.json": b"{}"}


def test_a_folder_that_was_not_made_here_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "quote.pdf").write_bytes(b"mine")
    (tmp_path / "letter.txt").write_bytes(b"dear")
    with pytest.raises(InputError, match="not made by this command"):
        write(tmp_path, FIRST)
    assert held(tmp_path) == {"quote.pdf": b"mine", "letter.txt": b"dear"}
    (kept,) = write(tmp_path, FIRST, force=True)
    assert held(tmp_path) == FIRST | {"letter.txt": b"dear", kept.aside.name: b"mine"}


@pytest.mark.parametrize("force", [True, False])
@pytest.mark.parametrize("read", ["order.toml", "hides/side.toml"])
def test_a_folder_that_the_order_is_read_from_is_refused(
    tmp_path: Path, read: str, force: bool
) -> None:
    file = tmp_path / "shop" / read
    file.parent.mkdir(parents=True)
    file.write_text("x = 1")
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "shop")
    for folder in (tmp_path / "shop", link, tmp_path / "shop" / "hides" / ".."):
        if folder.exists():
            with pytest.raises(InputError, match="read from"):
                check_folder(folder, reference=ORDER, force=force, reads=[file])
    check_folder(tmp_path / "shop" / "out", reference=ORDER, reads=[file])


def test_a_link_to_a_folder_is_followed_and_stays(tmp_path: Path) -> None:
    (tmp_path / "usb").mkdir()
    link = tmp_path / "out"
    link.symlink_to(tmp_path / "usb")
    for contents in (FIRST, SECOND):
        write(link, contents)
        assert link.is_symlink()
        assert held(tmp_path / "usb") == contents
    assert sorted(os.listdir(tmp_path)) == ["out", "usb"]  # noqa: PTH208


def test_a_link_that_leads_nowhere_is_refused(tmp_path: Path) -> None:
    link = tmp_path / "out"
    link.symlink_to(tmp_path / "not connected")
    with pytest.raises(InputError, match="leads nowhere"):
        write(link, FIRST)
    assert os.listdir(tmp_path) == ["out"]  # noqa: PTH208


def test_a_link_among_our_files_is_moved_aside_as_it_is(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write(out, FIRST)
    (tmp_path / "archive.pdf").write_bytes(b"quote 1")
    (out / "quote.pdf").unlink()
    (out / "quote.pdf").symlink_to(tmp_path / "archive.pdf")
    write(out, SECOND)
    assert (out / "quote.pdf.edited-1").is_symlink()
    assert (tmp_path / "archive.pdf").read_bytes() == b"quote 1"
    assert (out / "quote.pdf").read_bytes() == b"quote 2"


@pytest.mark.parametrize("force", [True, False])
@pytest.mark.parametrize("other", ["2026-014 B", "2026-014-b"])
def test_the_folder_of_another_order_is_refused(tmp_path: Path, other: str, force: bool) -> None:
    write(tmp_path / "out", FIRST, reference="2026-014-B")
    with pytest.raises(InputError, match="holds the outputs of order 2026-014-B"):
        write(tmp_path / "out", SECOND, reference=other, force=force)
    assert held(tmp_path / "out") == FIRST


def test_a_folder_in_the_way_of_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "quote.pdf").mkdir()
    with pytest.raises(InputError, match=r"quote\.pdf: cannot be written"):
        write(tmp_path, FIRST, force=True)
    assert os.listdir(tmp_path) == ["quote.pdf"]  # noqa: PTH208


HELD_OPEN = PermissionError(errno.EACCES, "in use by another program")


@pytest.mark.parametrize("name", [*SECOND, "plan-a.png", MARKER, UNDER_WAY])
def test_a_file_held_open_elsewhere_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """As Windows answers when a viewer shows the file: it cannot be replaced or renamed."""
    out = tmp_path / "out"
    write(out, FIRST)
    (out / "estimate.json").write_bytes(b"edited")
    before = {each.name: each.read_bytes() for each in out.iterdir()}
    real = Path.replace

    def replace(path: Path, target: Path) -> Path:
        if name in {path.name, target.name}:
            raise HELD_OPEN
        return real(path, target)

    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(InputError, match="close it in other programs"):
        write(out, SECOND)
    assert {each.name: each.read_bytes() for each in out.iterdir()} == before


def test_what_cannot_be_settled_is_taken_back(tmp_path: Path) -> None:
    seen = []

    def fail() -> None:
        seen.append(held(tmp_path / "deep" / "out"))
        raise OSError(errno.ENOSPC, "No space left on device")

    for before in ({}, FIRST):
        if before:
            write(tmp_path / "deep" / "out", before)
        with pytest.raises(OSError, match="No space"):
            write_folder(tmp_path / "deep" / "out", SECOND, reference=ORDER, settle=fail)
        assert SECOND.items() <= seen.pop().items()  # all were in place by then
        if before:
            assert held(tmp_path / "deep" / "out") == before
        else:
            assert os.listdir(tmp_path) == []  # noqa: PTH208


def test_a_run_that_was_cut_short_is_finished_by_the_next(tmp_path: Path) -> None:
    """The state in which a kill between two files leaves a folder, made by hand."""
    out = tmp_path / "out"
    write(out, FIRST)
    before = (out / MARKER).read_bytes()
    token = "0123456789abcdef"
    write(out, SECOND)
    final = json.loads((out / MARKER).read_text("utf-8"))
    former = json.loads(before)
    either = {
        name: former["files"].get(name, []) + final["files"].get(name, [])
        for name in {*former["files"], *final["files"]}
    }
    (out / MARKER).write_bytes(before)
    (out / UNDER_WAY).write_text(json.dumps(final | {"files": either, "token": token}))
    (out / LOCK).write_text(token)
    (out / "plan-a.png").write_bytes(FIRST["plan-a.png"])
    (out / f".{token}-3.new.sheath-part").write_bytes(b"half")
    (out / f".{token}-7.old.sheath-part").write_bytes(b"quote 1")
    third = {"quote.pdf": b"quote 3", "plan-b.png": b"plan 3"}
    assert write(out, third) == ()
    assert held(out) == third
    mark = read_marker(out / MARKER)
    assert mark is not None
    assert set(mark.hashes) == set(third)


def test_a_first_run_that_was_cut_short_does_not_bar_the_next(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / LOCK).write_text("0123456789abcdef")
    (out / ".0123456789abcdef-0.new.sheath-part").write_bytes(b"half")
    assert write(out, FIRST) == ()
    assert held(out) == FIRST


def test_two_runs_do_not_mix(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    write(out, FIRST)
    monkeypatch.setattr(lock, "PATIENCE_S", 0.1)
    with lock_folder(out, "f" * 16):
        with pytest.raises(InputError, match="another run is writing"):
            write(out, SECOND)
        assert FIRST.items() <= held(out).items()
    write(out, SECOND)
    assert held(out) == SECOND

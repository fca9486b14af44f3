"""What the maker may have made or edited is never lost, whatever file is written."""

import errno
import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.errors import InputError
from estimator.writing import swap
from estimator.writing.rule import write_files


def names(folder: Path) -> list[str]:
    """All names in a folder, hidden ones too."""
    return sorted(os.listdir(folder))  # noqa: PTH208


def no_links(*_: object, **__: object) -> None:
    """A disk that knows no second names, such as FAT."""
    raise OSError(errno.EPERM, "Operation not permitted")


def test_a_new_file_is_written_and_nothing_lies_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "out.txt"
    assert write_files({path: "größer"}) == ()
    assert path.read_text("utf-8") == "größer"
    assert names(tmp_path) == ["out.txt"]


@pytest.mark.parametrize("has_links", [True, False])
def test_what_is_there_is_kept_under_a_name_that_is_free(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, has_links: bool
) -> None:
    if not has_links:
        monkeypatch.setattr(os, "link", no_links)
    path = tmp_path / "out.txt"
    path.write_text("mine")
    (tmp_path / "out.txt.edited-1").write_text("of long ago")
    (kept,) = write_files({path: "new"})
    assert kept.aside == tmp_path / "out.txt.edited-2"
    assert path.read_text() == "new"
    assert kept.aside.read_text() == "mine"
    assert (tmp_path / "out.txt.edited-1").read_text() == "of long ago"
    assert names(tmp_path) == ["out.txt", "out.txt.edited-1", "out.txt.edited-2"]


def test_the_same_again_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "out.txt"
    path.write_text("same")
    before = path.stat()
    assert write_files({path: "same"}) == ()
    assert (path.stat().st_ino, path.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_ours_and_unedited_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "out.txt"
    path.write_text("ours")
    assert write_files({path: "new"}, is_ours=lambda _, content: content == b"ours") == ()
    assert names(tmp_path) == ["out.txt"]


def test_a_link_is_followed_and_stays(tmp_path: Path) -> None:
    (tmp_path / "usb").mkdir()
    link, target = tmp_path / "out.txt", tmp_path / "usb" / "real.txt"
    target.write_text("mine")
    link.symlink_to(target)
    (kept,) = write_files({link: "new"})
    assert link.is_symlink()
    assert target.read_text() == "new"
    assert kept.aside.read_text() == "mine"
    assert names(tmp_path) == ["out.txt", "usb"]


def test_a_link_that_leads_nowhere_is_refused(tmp_path: Path) -> None:
    link = tmp_path / "out.txt"
    link.symlink_to(tmp_path / "not connected" / "out.txt")
    with pytest.raises(InputError, match="leads nowhere"):
        write_files({link: "new"})
    assert names(tmp_path) == ["out.txt"]


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"no/out\.txt: cannot be written \(No such file"):
        write_files({tmp_path / "no" / "out.txt": "x"})
    write_files({tmp_path / "no" / "more" / "out.txt": "x"}, makes_folder=True)
    assert (tmp_path / "no" / "more" / "out.txt").read_text() == "x"


def test_an_error_without_a_reason_still_says_something(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: int) -> None:
        raise OSError

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(InputError, match=r"out\.txt: cannot be written \(OSError\)"):
        write_files({tmp_path / "out.txt": "x"})
    assert names(tmp_path) == []


def failing_at(number: int, act: Callable[..., object], error: OSError) -> Callable[..., object]:
    """The same action, which fails once it is done for the n-th time."""
    calls = iter(range(1, 1000))

    def acting(*given: object, **more: object) -> object:
        if next(calls) == number:
            raise error
        return act(*given, **more)

    return acting


@pytest.mark.parametrize("number", [1, 2, 3])
@pytest.mark.parametrize("action", ["fsync", "link", "replace"])
def test_several_files_are_written_together_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, action: str, number: int
) -> None:
    before = {}
    for name in ("a", "b", "c"):
        (tmp_path / name).write_text(f"mine {name}")
        before[name] = f"mine {name}"
    error = PermissionError(errno.EACCES, "Permission denied")
    if action == "replace":
        monkeypatch.setattr(Path, "replace", failing_at(number, Path.replace, error))
    else:
        monkeypatch.setattr(os, action, failing_at(number, getattr(os, action), error))
    contents: dict[Path, bytes | str] = {tmp_path / name: f"new {name}" for name in before}
    if action == "link":  # a copy is made instead
        assert len(write_files(contents)) == 3
        assert [(tmp_path / f"{n}.edited-1").read_text() for n in before] == list(before.values())
        return
    with pytest.raises(InputError, match="Permission denied"):
        write_files(contents)
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == before


def test_what_cannot_be_kept_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out.txt"
    path.write_text("mine")
    monkeypatch.setattr(os, "link", no_links)
    real = Path.read_bytes
    monkeypatch.setattr(
        Path, "read_bytes", lambda at: b"spoilt" if "edited" in at.name else real(at)
    )
    with pytest.raises(InputError, match="what was kept of it differs"):
        write_files({path: "new"})
    monkeypatch.undo()
    assert path.read_text() == "mine"
    assert names(tmp_path) == ["out.txt"]


def test_only_our_temporary_files_go_and_only_after_a_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours = ".0123456789abcdef-3.new.sheath-part"
    others = (".film.part", ".out.txt.0123abcd.part", "0123456789abcdef-3.new.sheath-part")
    for name in (ours, *others):
        (tmp_path / name).write_text("x")
    write_files({tmp_path / "out.txt": "1"})
    assert names(tmp_path) == sorted((ours, *others, "out.txt"))
    later = time.time() + swap.LEFT_BEHIND_S + 1
    monkeypatch.setattr(time, "time", lambda: later)
    write_files({tmp_path / "out.txt": "2"}, is_ours=lambda *_: True)
    assert names(tmp_path) == sorted((*others, "out.txt"))

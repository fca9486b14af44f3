"""Reading with care."""

from decimal import Decimal
from pathlib import Path

import pytest

from estimator.errors import InputError
from estimator.files import TomlFile, note_reads, read_bytes, read_toml

TEXT = '''\
# an order
name = "x"          # line 2
[order]
due = 2026-12-18
[order.inner]
a.b = 1.50
[[sheath]]
quantity = 3
outline = [
    [0, 0],
    ["1 cm", 2],   # a = b
]
needs = [
    "show",
]
[[sheath.region]]
shape = { at = [1, 2], width = "3 mm" }
[[sheath.region]]
note = """
[not a header]
x = 1
"""
after = 1
[[sheath]]
quantity = 4
[[sheath.region]]
last = true
'''


def file(tmp_path: Path, text: str | bytes) -> TomlFile:
    path = tmp_path / "order.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_toml(path)


def refused(tmp_path: Path, text: str | bytes) -> str:
    with pytest.raises(InputError) as error:
        file(tmp_path, text)
    assert "order.toml" in str(error.value)
    return str(error.value)


@pytest.mark.parametrize(
    ("keys", "place"),
    [
        (("name",), "line 2, name"),
        (("order",), "line 3, order"),
        (("order", "due"), "line 4, order.due"),
        (("order", "inner", "a", "b"), "line 6, order.inner.a.b"),
        (("sheath", 0), "line 7, sheath[1]"),
        (("sheath", 0, "quantity"), "line 8, sheath[1].quantity"),
        (("sheath", 0, "outline", 1, 0), "line 9, sheath[1].outline[2][1]"),
        (("sheath", 0, "needs"), "line 13, sheath[1].needs"),
        (("sheath", 0, "region", 0), "line 16, sheath[1].region[1]"),
        (("sheath", 0, "region", 0, "shape", "at"), "line 17, sheath[1].region[1].shape.at"),
        (("sheath", 0, "region", 1, "note"), "line 19, sheath[1].region[2].note"),
        (("sheath", 0, "region", 1, "after"), "line 23, sheath[1].region[2].after"),
        (("sheath", 1, "quantity"), "line 25, sheath[2].quantity"),
        (("sheath", 1, "region", 0, "last"), "line 27, sheath[2].region[1].last"),
        (("sheath", 1, "missing"), "line 24, sheath[2].missing"),
        (("nowhere",), "nowhere"),
    ],
)
def test_every_key_has_its_line(tmp_path: Path, keys: tuple[str | int, ...], place: str) -> None:
    assert file(tmp_path, TEXT).place(keys) == place


def test_lines_are_right_with_windows_line_ends_and_a_byte_order_mark(tmp_path: Path) -> None:
    read = file(tmp_path, b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert read.values["name"] == "x"
    assert read.place(("sheath", 1, "quantity")) == "line 25, sheath[2].quantity"


def test_numbers_with_a_point_stay_exact(tmp_path: Path) -> None:
    assert file(tmp_path, "price = 0.10").values["price"] == Decimal("0.10")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a = 1\nb = \n", "line 2"),
        ("a = 1\na = 2\n", "only once"),
        ("[a]\n[a]\n", "only once"),
        ('a = "x', "not valid TOML"),
        ("a = [1, 2", "not valid TOML"),
        ("a = 2026-99-99", "not valid TOML"),
        (b"a = 1\nb = \xff\xfe", "line 2"),
        (b"a = 1\nb = \xff\xfe", "UTF-8"),
        (b"\x00\x01\x02", "not valid TOML"),
        ("a = " + "[" * 5000, "nested"),
        ("a = " + "9" * 5000, "number"),
    ],
)
def test_what_is_no_toml_is_refused_with_its_place(
    tmp_path: Path, text: str | bytes, told: str
) -> None:
    assert told in refused(tmp_path, text)


def test_missing_files_folders_and_devices_are_refused(tmp_path: Path) -> None:
    for path, told in (
        (tmp_path / "no.toml", "does not exist"),
        (tmp_path, "is a folder"),
        (tmp_path / "no" / "such.toml", "does not exist"),
        (Path("/dev/zero"), "no ordinary file"),
        (Path("nul\0byte"), "cannot be read"),
    ):
        with pytest.raises(InputError, match=told):
            read_toml(path)


def test_a_file_through_another_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("x")
    with pytest.raises(InputError, match="does not exist"):
        read_toml(tmp_path / "plain" / "order.toml")


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as stream:
        stream.truncate(200_000_000)
    with pytest.raises(InputError, match="200 MB, more than 20 MB"):
        read_toml(path)


def test_a_file_of_just_the_limit_is_read(tmp_path: Path) -> None:
    path = tmp_path / "some"
    path.write_bytes(b"12345")
    assert read_bytes(path, limit_bytes=5) == b"12345"
    with pytest.raises(InputError, match="too large"):
        read_bytes(path, limit_bytes=4)


def test_what_is_read_is_noted_as_long_as_somebody_asks(tmp_path: Path) -> None:
    path, other = tmp_path / "a.toml", tmp_path / "b.toml"
    path.write_text("x = 1\n")
    other.write_text("x = 1\n")
    with note_reads() as noted:
        read_toml(path)
    read_toml(other)
    assert noted == {path}

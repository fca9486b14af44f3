"""Where keys stand in a TOML file: one pass over the text, against a slow and plain way."""

import tomllib
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import pytest

from estimator import files
from estimator.errors import InputError
from estimator.fields import FileModel, Name, read_model
from estimator.files import TomlFile, read_toml

Key = tuple[str | int, ...]


def plain_statements(text: str) -> Iterator[tuple[int, str]]:
    """A statement ends with the line that makes it valid by itself."""
    lines = text.replace("\r\n", "\n").split("\n")
    start = 0
    for at in range(len(lines)):
        statement = "\n".join(lines[start : at + 1])
        try:
            tomllib.loads(statement, parse_float=Decimal)
        except ValueError:
            continue
        yield start + 1, statement
        start = at + 1


def plain_lines(text: str) -> dict[Key, int]:
    """Path and line of every table and key, by parsing again and again."""
    counts: dict[Key, int] = {}
    table: Key = ()
    found: dict[Key, int] = {}
    for line, statement in plain_statements(text):
        parsed = tomllib.loads(statement, parse_float=Decimal)
        if statement.lstrip().startswith("["):
            table = files._table_path(parsed, counts)
            found[table] = line
        elif parsed:
            found.update((table + path, line) for path in files._leaves(parsed))
    return found


WORDS = ["a", "b-1", "_c", "0", '"two words"', "'x = 1'", '"[h]"', '"q\\"#"', '"é"']
PLAIN = ["1", "-3.50", "true", "2026-12-18", "07:30:00", "inf", "nan", "0x1F", "1_000"]
TEXTS = [
    '""',
    "''",
    '"say \\"x = 1\\" [and] {so} # on"',
    "'C:\\dir\\'",
    '"\\\\"',
    '""""""',
    "''''''",
    '"""\n[not a header]\nx = 1\n"""',
    "'''\n[[nor this]]\ny = '1'\n'''",
    '"""one " two "" three \\""" four"""',
    '"""ends in two quotes"""""',
    "'''ends in one quote''''",
    '"""\n# no remark\n\\\n   joined \\\\"""',
]
REMARKS = ["", "", "", "  # a remark", " # [x] = { \"' }", "\t#"]
BLANKS = ["", "", "\n", "# x = 1\n", "  # [t] ''' \"\"\"\n", "\n\n  \n"]


def value(random: Random, depth: int = 0, *, is_inline: bool = False) -> str:
    """A value; inside an inline table everything but texts stays on one line."""
    kind = random.random()
    if depth > 2 or kind < 0.4:
        return random.choice(PLAIN)
    if kind < 0.65:
        return random.choice(TEXTS)
    items = [value(random, depth + 1, is_inline=is_inline) for _ in range(random.randint(0, 4))]
    if kind < 0.8:
        names = random.sample(WORDS, len(items))
        inside = [f"{name} = {value(random, depth + 1, is_inline=True)}" for name in names]
        return "{ " + ", ".join(inside) + " }"
    if is_inline or random.random() < 0.4:
        return "[" + ", ".join(items) + "]"
    gap = f"{random.choice(REMARKS)}\n{random.choice(BLANKS)}   "
    return "[" + gap + "".join(f"{item},{gap}" for item in items) + "]"


def document(random: Random) -> str:
    """A valid TOML text of many traps."""
    made = ""
    for number in range(random.randint(1, 8)):
        if number:
            name = ".".join(random.sample(WORDS, random.randint(1, 2)))
            made += random.choice(["[{}]", "[[{}]]", " [ {} ]"]).format(name)
            made += random.choice(REMARKS) + "\n"
        for _ in range(random.randint(0, 5)):
            key = random.choice([".", " . "]).join(random.sample(WORDS, random.choice([1, 1, 2])))
            indent, equals = random.choice(["", "  ", "\t"]), random.choice([" = ", "=", "\t=  "])
            made += random.choice(BLANKS)
            made += f"{indent}{key}{equals}{value(random)}{random.choice(REMARKS)}\n"
    made = made.removesuffix("\n") if random.random() < 0.3 else made
    return made.replace("\n", "\r\n") if random.random() < 0.2 else made


def test_one_pass_finds_what_parsing_again_and_again_finds() -> None:
    tried = 0
    for seed in range(4000):
        text = document(Random(seed))
        try:
            tomllib.loads(text)
        except ValueError:  # a key stands twice, mostly
            continue
        tried += 1
        assert dict(files._key_lines(text)) == plain_lines(text), text
    assert tried > 800


def test_the_demo_and_its_lines() -> None:
    texts = [
        path.read_text("utf-8")
        for path in (Path(__file__).parents[1] / "data/demo").rglob("*.toml")
    ]
    assert len(texts) > 5
    for text in texts:
        assert dict(files._key_lines(text)) == plain_lines(text)


def long_text(lines: int) -> str:
    return 'note = """\n' + "x = [1, {\n" * lines + '"""\ncount = "seven"\n'


def long_list(lines: int) -> str:
    return "outline = [\n" + '  [1, 2], ["3 mm", 4],  # [\n' * lines + "]\ncount = 0\n"


def long_table(lines: int) -> str:
    return "".join(f'k{n} = "x"\nd.{n} = [{n}]\n' for n in range(lines // 2)) + "count = 0\n"


def many_tables(lines: int) -> str:
    return '[[t]]\nname = "x"\n' * (lines // 2) + "[end]\ncount = 0\n"


@pytest.mark.parametrize("make", [long_text, long_list, long_table, many_tables])
def test_twice_the_text_takes_twice_the_work(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    work = 0

    def counted(text: str, **options: Any) -> dict[str, Any]:
        nonlocal work
        work += len(text)
        return tomllib.loads(text, **options)

    class Counting:
        loads = staticmethod(counted)

    monkeypatch.setattr(files, "tomllib", Counting)
    spent: list[int] = []
    for lines in (600, 1200):
        text = make(lines)
        table = ("end",) if make is many_tables else ()
        file = TomlFile(path=Path("a"), name="a", text=text, values={})
        last = len(text.splitlines())
        assert file.place((*table, "count")).startswith(f"line {last}, ")
        spent.append(work)
        work = 0
    assert spent[1] <= 2.3 * spent[0]
    assert spent[1] <= len(text)


class Counted(FileModel):
    note: Name | None = None
    count: int


def test_a_fault_after_ten_megabytes_of_text_has_its_line(tmp_path: Path) -> None:
    path = tmp_path / "long.toml"
    path.write_text(long_text(1_000_000), "utf-8")
    with pytest.raises(InputError) as error:
        read_model(Counted, read_toml(path))
    assert [fault.place for fault in error.value.faults] == ["line 1, note", "line 1000003, count"]

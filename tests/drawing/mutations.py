"""Damaged and hostile drawings, made of the corpus by a seed."""

import re
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import NamedTuple

from tests.drawing.bombs import BOMBS, Change, in_svg

CORPUS = Path(__file__).parent / "corpus"
FILES = tuple(sorted(path for path in CORPUS.iterdir() if path.suffix in {".svg", ".dxf"}))
NUMBER = re.compile(rb"-?\d+\.?\d*(?:[eE][+-]?\d+)?")
ODD_NUMBERS = (
    b"nan", b"inf", b"-inf", b"1e308", b"-1e308", b"1e400", b"1e-320", b"-1", b"0", b"-0.0", b"7mm",
    b"99999999999999999999", b"2147483648", b"1,5", b"0x10", b"1_000", b"", b" ", b"1e", b"%",
    b"\xd9\xa3", b"1e9", b"123456789.123456789", b"0.0000001", b"360", b"1000000",
)  # fmt: skip
WORDS = (
    b"use", b"g", b"svg", b"symbol", b"switch", b"style", b"rect", b"path", b"LINE", b"ARC",
    b"SPLINE", b"INSERT", b"ELLIPSE", b"LWPOLYLINE", b"POLYLINE", b"VERTEX", b"SEQEND", b"SECTION",
    b"ENDSEC", b"EOF", b"BLOCK", b"ENDBLK", b"HEADER", b"ENTITIES", b"MESH", b"3DFACE", b"HATCH",
    b"DIMENSION", b"REGION", b"TEXT", b"AC1006", b"AC1009", b"AC1012", b"AC1015", b"AC1032",
    b"display:none", b"<!--", b"]]>", b"&amp;", b"&x;", b"\x00", b"viewBox", b"transform",
)  # fmt: skip


class Damaged(NamedTuple):
    """A drawing that was changed.

    Parameters
    ----------
    name : str
        A file name, with its ending.
    content : bytes
        All of it.
    how : str
        What was done to it.
    is_harmless : bool
        Whether it still means the same.
    """

    name: str
    content: bytes
    how: str
    is_harmless: bool = False


def damaged(seed: int) -> Damaged:
    """Change a drawing of the corpus.

    Parameters
    ----------
    seed : int
        Decides which drawing and how.

    Returns
    -------
    Damaged
        The same for the same seed and corpus.
    """
    random = Random(seed)
    path = random.choice(FILES)
    content, name = path.read_bytes(), path.name
    if random.random() < 0.06:
        change = random.choice(HARMLESS[path.suffix])
        return Damaged(name, change(random, content), change.__name__, is_harmless=True)
    if random.random() < 0.03:
        name = path.stem + random.choice((".svg", ".dxf", ".SVG", ".Dxf"))
    how = [name]
    if random.random() < 0.16:
        bomb = random.choice(BOMBS[path.suffix])
        content = bomb(random, content)
        how.append(bomb.__name__)
    keeps_pairs = random.random() < 0.6
    for _ in range(random.choice((1, 1, 1, 2, 3, 6))):
        head, body, tail = _aimed(random, content)
        is_paired = keeps_pairs and head.endswith(b"ENTITIES")
        change = random.choice(PAIR_CHANGES if is_paired else CHANGES)
        content = head + change(random, body) + tail
        how.append(change.__name__)
    return Damaged(name, content, ", ".join(how))


def _aimed(random: Random, content: bytes) -> tuple[bytes, bytes, bytes]:
    """Split a drawing where most of the damage is to be done: at what draws lines."""
    mark = b"ENTITIES" if b"ENTITIES" in content else b"xmlns:inkscape"
    start = content.find(mark)
    if start < 0 or random.random() < 0.25:
        return b"", content, b""
    start += len(mark)
    end = content.find(b"ENDSEC", start)
    end = len(content) if end < 0 else end
    return content[:start], content[start:end], content[end:]


def _span(random: Random, content: bytes, most: int) -> tuple[int, int]:
    start = random.randrange(len(content) + 1)
    return start, min(len(content), start + random.randint(1, most))


def flip_bytes(random: Random, content: bytes) -> bytes:
    """Other bytes here and there."""
    raw = bytearray(content)
    for _ in range(random.choice((1, 2, 8, 64))):
        if raw:
            raw[random.randrange(len(raw))] = random.randrange(256)
    return bytes(raw)


def cut_out(random: Random, content: bytes) -> bytes:
    """A stretch gone."""
    start, end = _span(random, content, random.choice((2, 40, 1000)))
    return content[:start] + content[end:]


def put_in(random: Random, content: bytes) -> bytes:
    """Noise, or a word, anywhere."""
    start, _ = _span(random, content, 1)
    noise = random.choice((random.randbytes(random.randint(1, 30)), random.choice(WORDS)))
    return content[:start] + noise + content[start:]


def repeat(random: Random, content: bytes) -> bytes:
    """A stretch doubled, or many times over."""
    start, end = _span(random, content, random.choice((20, 400, 4000)))
    return content[:end] + content[start:end] * random.choice((1, 1, 3, 200)) + content[end:]


def truncate(random: Random, content: bytes) -> bytes:
    """Only the beginning."""
    return content[: random.randrange(len(content) + 1)]


def odd_number(random: Random, content: bytes) -> bytes:
    """A number replaced by one that is none, or is absurd."""
    found = list(NUMBER.finditer(content))
    for match in sorted(
        random.sample(found, min(len(found), random.choice((1, 1, 2, 5)))),
        key=lambda each: -each.start(),
    ):
        content = content[: match.start()] + random.choice(ODD_NUMBERS) + content[match.end() :]
    return content


def other_number(random: Random, content: bytes) -> bytes:
    """A number replaced by another one of the same file."""
    found = list(NUMBER.finditer(content))
    if not found:
        return content
    match, other = random.choice(found), random.choice(found)
    return content[: match.start()] + other[0] + content[match.end() :]


def swap_words(random: Random, content: bytes) -> bytes:
    """Two words in each other's place, or one replaced by a word of the trade."""
    found = list(re.finditer(rb"[$\w-]+", content))
    if len(found) < 2:
        return content
    one, two = sorted(random.sample(found, 2), key=lambda each: each.start())
    if random.random() < 0.5:
        return content[: one.start()] + random.choice(WORDS) + content[one.end() :]
    middle = content[one.end() : two.start()]
    return content[: one.start()] + two[0] + middle + one[0] + content[two.end() :]


def double_tag(random: Random, content: bytes) -> bytes:
    """An element or an entity twice."""
    found = list(re.finditer(rb"<[^<>]*>|\n *0\n[^\n]+\n(?: *[1-9]\d*\n[^\n]*\n)*", content))
    if not found:
        return content
    match = random.choice(found)
    return content[: match.end()] + match[0] + content[match.end() :]


def drop_line(random: Random, content: bytes) -> bytes:
    """A line gone."""
    lines = content.splitlines(keepends=True)
    if lines:
        del lines[random.randrange(len(lines))]
    return b"".join(lines)


def other_encoding(random: Random, content: bytes) -> bytes:
    """Written in another encoding than it says."""
    text = content.decode("utf-8", "replace")
    encoding = random.choice(("utf-16", "utf-16-le", "utf-32", "cp500", "utf-8-sig", "utf-7"))
    return text.encode(encoding, "replace")


CHANGES: Sequence[Change] = (
    flip_bytes, cut_out, put_in, repeat, truncate, odd_number, odd_number, odd_number,
    other_number, swap_words, swap_words, double_tag, double_tag, drop_line, other_encoding,
)  # fmt: skip


def _pairs(content: bytes) -> tuple[list[bytes], list[bytes]]:
    """Split what follows the name of a DXF section into group codes and values."""
    # the last code, 0, belongs to the end of the section
    lines = content.split(b"\n")[1:-2]
    return lines[0::2], lines[1::2]


def _together(codes: Sequence[bytes], values: Sequence[bytes]) -> bytes:
    pairs = [b"%s\n%s" % pair for pair in zip(codes, values, strict=False)]
    return b"\n".join([b"", *pairs, b"  0\n"])


def odd_value(random: Random, content: bytes) -> bytes:
    """A value of a DXF that is absurd, under its sound group code."""
    codes, values = _pairs(content)
    for _ in range(random.choice((1, 1, 3))):
        numbers = [k for k, value in enumerate(values) if NUMBER.fullmatch(value.strip())]
        if numbers:
            values[random.choice(numbers)] = random.choice(
                (*ODD_NUMBERS, b"%g" % random.uniform(-200, 200), b"%d" % random.randrange(300))
            )
    return _together(codes, values)


def drop_pair(random: Random, content: bytes) -> bytes:
    """A group code gone with its value."""
    codes, values = _pairs(content)
    if values:
        k = random.randrange(len(values))
        del codes[k], values[k]
    return _together(codes, values)


def double_pair(random: Random, content: bytes) -> bytes:
    """A group code and its value twice, or elsewhere."""
    codes, values = _pairs(content)
    if values:
        k = random.randrange(len(values))
        at = random.choice((k, random.randrange(len(values))))
        codes.insert(at, codes[k])
        values.insert(at, values[k])
    return _together(codes, values)


def other_code(random: Random, content: bytes) -> bytes:
    """A value under another group code."""
    codes, values = _pairs(content)
    if values:
        codes[random.randrange(len(values))] = b"%d" % random.choice(
            (0, 5, 8, 10, 11, 20, 30, 40, 41, 42, 50, 51, 62, 67, 70, 71, 72, 73, 74, 90, 100, 210)
        )
    return _together(codes, values)


def more_pairs(random: Random, content: bytes) -> bytes:
    """A group code that belongs to another kind of entity, or points where there is nothing."""
    codes, values = _pairs(content)
    if values:
        k = random.randrange(len(values))
        code = random.choice((210, 220, 230, 38, 39, 41, 42, 43, 70, 71, 74, 60, 67, 330, 360, 102))
        codes.insert(k, b"%d" % code)
        values.insert(k, random.choice((b"0", b"1", b"-1", b"0.5", b"FFFF", b"{X", b"1e300")))
    return _together(codes, values)


PAIR_CHANGES: Sequence[Change] = (
    odd_value, odd_value, odd_value, drop_pair, double_pair, other_code, more_pairs,
)  # fmt: skip


def other_line_ends(random: Random, content: bytes) -> bytes:
    """Lines that end as elsewhere."""
    if b"\x00" in content or content.startswith(b"AutoCAD Binary"):
        return content
    return content.replace(b"\r\n", b"\n").replace(b"\n", b"\r\n")


def spaces_before(random: Random, content: bytes) -> bytes:
    """Group codes set to the right."""
    if content.startswith(b"AutoCAD Binary"):
        return content
    lines = content.split(b"\n")
    lines[:-1:2] = [line.strip().rjust(6) for line in lines[:-1:2]]
    return b"\n".join(lines)


def remark(random: Random, content: bytes) -> bytes:
    """A remark between elements."""
    if b"\x00" in content:
        return content
    return in_svg(content, b"<!-- <rect width='9' height='9'/> --><desc>remark</desc>")


def group_around(random: Random, content: bytes) -> bytes:
    """A group that moves things there and back."""
    if b"\x00" in content:
        return content
    moved = b'<g transform="translate(3 4) rotate(30)"><g transform="rotate(-30) translate(-3-4)">'
    end = content.index(b">", content.index(b"<svg")) + 1
    return content[:end] + moved + content[end:].replace(b"</svg>\n", b"</g></g></svg>\n")


HARMLESS: dict[str, Sequence[Change]] = {
    ".svg": (other_line_ends, remark, group_around),
    ".dxf": (other_line_ends, spaces_before),
}

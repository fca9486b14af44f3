"""Drawings that ask for more than any drawing should: put into one of the corpus, or instead."""

from collections.abc import Callable, Mapping, Sequence
from random import Random

Change = Callable[[Random, bytes], bytes]


def in_svg(content: bytes, inner: bytes) -> bytes:
    """Put something at the end of a drawing."""
    return content.replace(b"</svg>", inner + b"</svg>", 1)


def use_bomb(random: Random, content: bytes) -> bytes:
    """Uses of uses of uses."""
    width, depth = random.choice(((2, 40), (10, 10), (100, 4), (1, 300)))
    levels = [b'<g id="b0"><rect width="1" height="1"/></g>']
    levels += (
        b'<g id="b%d">%s</g>' % (level, b'<use href="#b%d"/>' % (level - 1) * width)
        for level in range(1, depth)
    )
    return in_svg(content, b"".join(levels))


def circle_of_uses(random: Random, content: bytes) -> bytes:
    """Things that use each other."""
    return in_svg(content, b'<g id="c1"><use href="#c2"/></g><g id="c2"><use href="#c1"/></g>')


def deep_groups(random: Random, content: bytes) -> bytes:
    """Groups in groups."""
    depth = random.choice((90, 120, 250, 300, 30_000))
    return in_svg(content, b"<g>" * depth + b'<rect width="1" height="1"/>' + b"</g>" * depth)


def entity_bomb(random: Random, content: bytes) -> bytes:
    """Entities of entities, or one from outside."""
    levels = b"".join(
        b'<!ENTITY e%d "%s">' % (level, b"&e%d;" % (level - 1) * 10) for level in range(1, 9)
    )
    outside = b'<!ENTITY e0 SYSTEM "file:///etc/hostname">'
    first = random.choice((b'<!ENTITY e0 "0123456789">', outside))
    bomb = b"<!DOCTYPE svg [" + first + levels + b"]>"
    return bomb + in_svg(content, b"<title>&e%d;</title>" % random.choice((0, 3, 8)))


def many_elements(random: Random, content: bytes) -> bytes:
    """More than any pattern has."""
    one = random.choice(
        (b"<g/>", b'<rect width="9" height="9"/>', b'<circle r="9"/>', b'<path d="M0 0h1v1z"/>')
    )
    return in_svg(content, one * random.choice((2500, 19_000, 300_000)))


def long_path(random: Random, content: bytes) -> bytes:
    """Path data without end."""
    step = random.choice((b"h1v1", b"a9 9 0 0 1 1 1", b"c1 2 3 4 5 6", b"t1 1", b"1 1 "))
    times = random.choice((5000, 100_000, 700_000))
    return in_svg(content, b'<path d="M0 0l' + b"1 1" + step * times + b'z"/>')


def style_bomb(random: Random, content: bytes) -> bytes:
    """Style rules without end, over many elements."""
    rule = random.choice((b".a{display:none}", b"g g g>g g{opacity:0}", b"*{visibility:hidden}"))
    sheet = b"<style>" + rule * random.choice((50, 5000)) + b"</style>"
    return in_svg(content, sheet + b'<g><g><rect class="a"/></g></g>' * 5000)


def star(random: Random, content: bytes) -> bytes:
    """An outline that crosses itself many times."""
    points = b" ".join(
        b"%d %d" % (random.randrange(200), random.randrange(200)) for _ in range(2000)
    )
    return in_svg(content, b'<polygon points="' + points + b'"/>')


def _before_end(content: bytes, entities: bytes) -> bytes:
    """Put entities at the end of the section of entities."""
    head, mark, tail = content.partition(b"ENTITIES")
    body, end, rest = tail.partition(b"ENDSEC")
    cut = body.rfind(b"0")
    return head + mark + body[:cut] + entities + body[cut:] + end + rest


def insert_bomb(random: Random, content: bytes) -> bytes:
    """Blocks in blocks in blocks."""
    width, depth = random.choice(((8, 8), (2, 40), (100, 4), (1, 200)))
    blocks = []
    for level in range(depth):
        inner = b"0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n1\n"
        if level:
            inner = b"0\nINSERT\n8\n0\n2\nB%d\n10\n1\n20\n0\n" % (level - 1) * width
        name = b"2\nB%d\n70\n0\n10\n0\n20\n0\n" % level
        blocks.append(b"0\nBLOCK\n8\n0\n" + name + inner + b"0\nENDBLK\n8\n0\n")
    section = b"0\nSECTION\n2\nBLOCKS\n" + b"".join(blocks) + b"0\nENDSEC\n"
    insert = b"0\nINSERT\n8\n0\n2\nB%d\n10\n0\n20\n0\n" % (depth - 1)
    return (
        b"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
        + section + b"0\nSECTION\n2\nENTITIES\n" + insert + b"0\nENDSEC\n0\nEOF\n"
    )  # fmt: skip


def circle_of_blocks(random: Random, content: bytes) -> bytes:
    """Blocks that hold each other."""
    return insert_bomb(Random(3), content).replace(b"CIRCLE\n8\n0\n10", b"INSERT\n2\nB1\n8\n0\n10")


def huge_array(random: Random, content: bytes) -> bytes:
    """An array of a block without end."""
    counts = b"70\n%d\n71\n%d\n44\n1\n45\n1\n" % (random.choice((200, 32767)), 32767)
    bomb = insert_bomb(random, content)
    return bomb.replace(b"0\nENDSEC\n0\nEOF", counts + b"0\nENDSEC\n0\nEOF")


def many_entities(random: Random, content: bytes) -> bytes:
    """More lines than any pattern has, loose or round."""
    one = random.choice((
        b"0\nCIRCLE\n8\nM\n10\n%d\n20\n0\n40\n90000\n",
        b"0\nLINE\n8\nM\n10\n%d\n20\n0\n11\n%d.05\n21\n0\n",
        b"0\nLINE\n8\nM\n10\n0\n20\n0\n11\n%d\n21\n9\n",
    ))  # fmt: skip
    times = random.choice((2500, 15_000))
    whole = b"".join(one.replace(b"%d", b"%d" % k) for k in range(times))
    return _before_end(content, whole)


def long_polyline(random: Random, content: bytes) -> bytes:
    """A polyline of very many corners."""
    corners = random.choice((3000, 200_000))
    bulge = random.choice((b"", b"42\n1\n", b"42\n1e-5\n", b"42\n1e9\n"))
    points = b"".join(b"10\n%d\n20\n%d\n" % (k, k * k % 97) + bulge for k in range(corners))
    return _before_end(content, b"0\nLWPOLYLINE\n8\nM\n90\n%d\n70\n1\n" % corners + points)


def high_spline(random: Random, content: bytes) -> bytes:
    """A spline of absurd degree or many points."""
    degree, count = random.choice(((3, 3000), (25, 400), (400, 500), (0, 3), (2, 2)))
    knots = b"".join(b"40\n%d\n" % k for k in range(count + degree + 1))
    points = b"".join(b"10\n%d\n20\n%d\n30\n0\n" % (k, k % 7 * 90) for k in range(count))
    head = b"0\nSPLINE\n8\nM\n70\n8\n71\n%d\n72\n%d\n73\n%d\n74\n0\n"
    return _before_end(content, head % (degree, count + degree + 1, count) + knots + points)


BOMBS: Mapping[str, Sequence[Change]] = {
    ".svg": (
        use_bomb, circle_of_uses, deep_groups, entity_bomb, many_elements, long_path, style_bomb,
        star,
    ),
    ".dxf": (
        insert_bomb, circle_of_blocks, huge_array, many_entities, long_polyline, high_spline,
    ),
}  # fmt: skip

"""A PDF read back: its words, their boxes, its fonts."""

import re
from io import BytesIO
from typing import Any

import pdfplumber
from pypdf import PdfReader

from estimator.report.page.paper import Paper, paper_mm

EDGE_PT = 15.0
"""Nothing is printed nearer to the edge of the paper."""
TOUCH_PT2 = 1.0
"""Boxes of words that share more than this collide."""


def words(document: bytes) -> str:
    """All text of a document, white space evened."""
    with pdfplumber.open(BytesIO(document)) as pdf:
        return " ".join(" ".join((page.extract_text() or "").split()) for page in pdf.pages)


def pages(document: bytes) -> list[str]:
    """The text of each page."""
    with pdfplumber.open(BytesIO(document)) as pdf:
        return [page.extract_text() or "" for page in pdf.pages]


def collisions(document: bytes) -> list[tuple[str, str]]:
    """Pairs of words that are printed over each other."""
    found = []
    with pdfplumber.open(BytesIO(document)) as pdf:
        for page in pdf.pages:
            boxes = page.extract_words(x_tolerance=1, y_tolerance=1)
            for place, one in enumerate(boxes):
                found += [
                    (one["text"], other["text"])
                    for other in boxes[place + 1 :]
                    if _shared_pt2(one, other) > TOUCH_PT2
                ]
    return found


def _shared_pt2(one: dict[str, Any], other: dict[str, Any]) -> float:
    """Area that two boxes share."""
    wide = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
    high = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
    return float(max(wide, 0.0) * max(high, 0.0))


def strays(document: bytes) -> list[str]:
    """Glyphs that lie outside the printed part of their page."""
    found = []
    with pdfplumber.open(BytesIO(document)) as pdf:
        for page in pdf.pages:
            found += [
                str(glyph["text"])
                for glyph in page.chars
                if glyph["x0"] < EDGE_PT
                or glyph["x1"] > page.width - EDGE_PT
                or glyph["top"] < EDGE_PT
                or glyph["bottom"] > page.height - EDGE_PT
            ]
    return found


def has_size_of(document: bytes, paper: Paper) -> bool:
    """Whether every page is of this paper, either way up, to 0.05 mm."""
    wanted = sorted(paper_mm(paper))
    for page in PdfReader(BytesIO(document)).pages:
        size = sorted(float(side) * 25.4 / 72 for side in page.mediabox[2:])
        if any(abs(a - b) > 0.05 for a, b in zip(size, wanted, strict=True)):
            return False
    return True


def fonts_without_file(document: bytes) -> list[str]:
    """Names of fonts that are not embedded."""
    missing = []
    for page in PdfReader(BytesIO(document)).pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            held = font.get_object()
            inner = held["/DescendantFonts"][0].get_object() if "/DescendantFonts" in held else held
            file = inner["/FontDescriptor"].get_object()
            if "/FontFile2" not in file and "/FontFile3" not in file:
                missing.append(str(inner["/BaseFont"]))
    return missing


def letters_mapped(document: bytes) -> set[str]:
    """Letters that the glyphs in the fonts of a document stand for, by their own tables."""
    letters: set[str] = set()
    for page in PdfReader(BytesIO(document)).pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            table = font.get_object()["/ToUnicode"].get_object().get_data().decode("ascii")
            for block in re.findall(r"beginbfchar(.*?)endbfchar", table, re.S):
                for code in re.findall(r"<\w+>\s*<(\w+)>", block):
                    letters |= set(bytes.fromhex(code).decode("utf-16-be"))
    return letters

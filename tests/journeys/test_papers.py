"""What a shop sends and pins to the bench: quote and job sheet of the demo, in inches on Letter."""

import json
import re
import shutil
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.main import run
from estimator.report.page.paper import Paper
from tests.report.reading import collisions, fonts_without_file, has_size_of, pages, strays, words

pytestmark = pytest.mark.journey

DEMO = Path(__file__).parents[2] / "data" / "demo"
METRIC = re.compile(r"\d (?:mm2?|cm2?|dm2|m2?|ml|g)\b")
CUSTOMERS_WORDS = "belts up to 45 mm"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The outputs of the demo's order."""
    folder = tmp_path_factory.mktemp("papers")
    shutil.copytree(DEMO, folder / "shop")
    options = "--effort quick --start 2026-11-24 --quiet --units imperial --paper letter"
    words_typed = ["quote", str(folder / "shop" / "order.toml"), *options.split()]
    assert run([*words_typed, "--picture", "pattern", "--out", str(folder / "made")]) == 0
    return folder / "made"


def told(made: Path) -> dict[str, Any]:
    """The same as JSON."""
    held: dict[str, Any] = json.loads((made / "estimate.json").read_text(encoding="utf-8"))
    return held


@pytest.mark.parametrize("name", ["quote.pdf", "job-sheet.pdf", "cost-sheet.pdf"])
def test_pages_hold_together(made: Path, name: str) -> None:
    document = (made / name).read_bytes()
    assert has_size_of(document, Paper.LETTER)
    assert collisions(document) == []
    assert strays(document) == []
    assert fonts_without_file(document) == []


@pytest.mark.parametrize("name", ["quote.pdf", "job-sheet.pdf"])
def test_figures_are_in_inches_but_for_the_customers_own_words(made: Path, name: str) -> None:
    text = words((made / name).read_bytes())
    assert CUSTOMERS_WORDS in text
    assert METRIC.findall(text.replace(CUSTOMERS_WORDS, "")) == []


def test_the_quote_is_one_page_and_tells_the_price_of_each_line(made: Path) -> None:
    document = (made / "quote.pdf").read_bytes()
    assert len(pages(document)) == 1
    text = words(document)
    for line in told(made)["pricing"]["lines"]:
        assert f"€{line['each']} €{line['net']}" in text
        assert line["cost"] not in text
    for word in ("The parts", "Terms", "Valid until", "brown dye", "1 × line snap"):
        assert word in text


def test_the_job_sheet_forgets_no_part(made: Path) -> None:
    text = words((made / "job-sheet.pdf").read_bytes())
    pieces = Counter(
        placement["part"]
        for hide in told(made)["layout"]["hides"]
        for placement in hide["placements"]
    )
    assert f"{pieces.total()} pieces in all" in text
    for part in pieces:
        assert part in text, part
    assert "NO STEP ATTACHES IT" not in text
    assert "DOES NOT FIT" not in text
    for title in ("Cost in short", "Seams", "Steps", "Timeline", "Cautions"):
        assert title in text

"""What the README shows of the demo is what the demo says and draws."""

import re
import shutil
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from estimator.cli.main import run

pytestmark = pytest.mark.journey

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
START = "2026-11-25"
"""The day on which the README's demo was run; its promised day follows from it."""
SAMPLE = re.compile(r"^The terminal says.*?^```text\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo workshop with its order worked out as the demo does, and what was said."""
    folder = tmp_path_factory.mktemp("figures") / "shop"
    shutil.copytree(ROOT / "data" / "demo", folder)
    told = StringIO()
    with redirect_stdout(told):
        done = run(["quote", str(folder / "order.toml"), "--effort", "quick", "--start", START])
    assert done == 0
    (folder / "told.txt").write_text(told.getvalue(), encoding="utf-8")
    return folder


def evened(text: str) -> str:
    """A text on one line."""
    return " ".join(text.split())


def test_what_the_terminal_says_is_what_the_demo_says(shop: Path) -> None:
    said = evened((shop / "told.txt").read_text(encoding="utf-8"))
    (sample,) = SAMPLE.findall(README)
    passages = [evened(passage) for passage in re.split(r"\n\n|\.\.\.\n", sample)]
    assert len(passages) == 6
    for passage in passages:
        assert passage in said


def test_the_picture_of_the_layout_is_the_one_that_the_demo_draws(shop: Path) -> None:
    drawn, shown = (
        np.asarray(Image.open(file).convert("L")).astype(int)
        for file in (
            shop / "2026-014-estimate" / "plan-side-07.png",
            ROOT / "data" / "pictures" / "layout.png",
        )
    )
    assert drawn.shape == shown.shape
    assert (abs(drawn - shown) > 60).mean() < 0.002

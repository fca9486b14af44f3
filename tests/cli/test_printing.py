"""``estimator pattern print`` and ``estimator pattern export`` as a user types them."""

import json
import shutil
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo" / "patterns"


@pytest.fixture
def patterns(tmp_path: Path) -> Path:
    """A copy of the demo's patterns."""
    return Path(shutil.copytree(DEMO, tmp_path / "patterns"))


def pages(path: Path) -> int:
    return len(PdfReader(BytesIO(path.read_bytes())).pages)


def test_a_pattern_is_printed_beside_its_file(
    patterns: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["pattern", "print", str(patterns / "pruning.toml")]) == DONE
    made = patterns / "pruning-a4.pdf"
    printed = capsys.readouterr().out
    assert f"{made}: {pages(made)} pages" in printed
    assert "measure its square" in printed


def test_what_was_printed_is_replaced_and_other_files_are_not(
    patterns: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["pattern", "print", str(patterns / "grafting.toml"), "--date", "2026-11-25"]
    assert run(asked) == DONE
    made = patterns / "grafting-a4.pdf"
    first = made.read_bytes()
    assert run(asked) == DONE
    assert made.read_bytes() == first
    for strange in (b"%PDF-1.4\nmy own\n%%EOF", b"", b"notes"):
        made.write_bytes(strange)
        assert run(asked) == BAD_INPUT
        assert made.read_bytes() == strange
        assert "--force" in capsys.readouterr().err
    assert run([*asked, "--force"]) == DONE
    assert made.read_bytes() == first


def test_some_parts_on_other_paper(patterns: Path, tmp_path: Path) -> None:
    out = tmp_path / "some.pdf"
    words = ["pattern", "print", str(patterns / "pruning.toml"), "--out", str(out)]
    assert run([*words, "--paper", "letter", "--part", "welt", "--units", "imperial"]) == DONE
    assert pages(out) == 2
    page = PdfReader(BytesIO(out.read_bytes())).pages[0]
    assert float(page.mediabox.width) == pytest.approx(612.0)
    text = page.extract_text()
    assert "welt" in text
    assert "body" not in text
    assert " oz" in text


def test_a_wider_overlap_takes_more_pages(patterns: Path, tmp_path: Path) -> None:
    counts: list[int] = []
    for overlap, margin in (("8 mm", "7 mm"), ("1 1/2 in", "30 mm")):
        out = tmp_path / f"{len(counts)}.pdf"
        words = ["pattern", "print", str(patterns / "pruning.toml"), "--out", str(out)]
        assert run([*words, "--overlap", overlap, "--margin", margin]) == DONE
        counts.append(pages(out))
    assert counts[0] < counts[1]


@pytest.mark.parametrize("command", ["print", "export"])
def test_faults_are_told_all_at_once_and_nothing_is_written(
    command: str, patterns: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(tmp_path.rglob("*"))
    words = ["pattern", command, str(patterns / "pruning.toml")]
    assert run([*words, "--out", str(tmp_path / "no" / "x.png")]) == BAD_INPUT
    printed = capsys.readouterr().err
    assert "does not end in" in printed
    assert "there is no folder" in printed
    words += ["--out", str(tmp_path / "x.pdf")]
    assert run([*words, "--part", "bdy", "--part", "wlt"]) == BAD_INPUT
    printed = capsys.readouterr().err
    assert 'no part named "bdy"' in printed
    assert 'did you mean "welt"' in printed
    assert run(["pattern", command, str(patterns / "pruning.svg"), *words[3:]]) == BAD_INPUT
    assert "is a drawing" in capsys.readouterr().err
    assert run(["pattern", command, str(patterns / "none.toml"), *words[3:]]) == BAD_INPUT
    assert "does not exist" in capsys.readouterr().err
    assert sorted(tmp_path.rglob("*")) == before


def test_lengths_without_a_unit_and_out_of_range_are_refused(
    patterns: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["pattern", "print", str(patterns / "pruning.toml")]
    assert run([*words, "--overlap", "15", "--margin", "wide"]) == BAD_INPUT
    printed = capsys.readouterr().err
    assert "--overlap" in printed
    assert "--margin" in printed
    assert run([*words, "--overlap", "1 mm", "--margin", "90 mm"]) == BAD_INPUT
    printed = capsys.readouterr().err
    assert "1 mm is no overlap" in printed
    assert "90 mm is no margin" in printed
    assert not list(patterns.glob("*.pdf"))


def test_export_never_replaces_a_drawing_unasked(
    patterns: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source = patterns / "pruning.svg"
    before = source.read_bytes()
    words = ["pattern", "export", str(patterns / "pruning.toml"), "--out", str(source)]
    assert run(words) == BAD_INPUT
    assert source.read_bytes() == before
    assert "--force" in capsys.readouterr().err


@pytest.mark.parametrize("ending", ["svg", "dxf", "pdf"])
def test_export_writes_by_the_ending_and_tells_the_size(
    ending: str, patterns: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"drawn.{ending.upper()}"
    words = ["pattern", "export", str(patterns / "foraging.toml"), "--out", str(out)]
    assert run(words) == DONE
    assert "5 parts in true size" in capsys.readouterr().out
    first = out.read_bytes()
    assert run([*words, "--force"]) == DONE
    assert out.read_bytes() == first
    assert run([*words, "--force", "--part", "strap"]) == DONE
    assert "1 part in true size" in capsys.readouterr().out


def test_an_exported_drawing_shows_the_parts_again(
    patterns: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "drawn.svg"
    assert run(["pattern", "export", str(patterns / "grafting.toml"), "--out", str(out)]) == DONE
    capsys.readouterr()
    assert run(["pattern", "show", str(out), "--json"]) == DONE
    drawn = json.loads(capsys.readouterr().out)["parts"]
    assert run(["pattern", "show", str(patterns / "grafting.toml"), "--json"]) == DONE
    wanted = json.loads(capsys.readouterr().out)["parts"]
    assert len(drawn) == len(wanted)
    for part, same in zip(drawn, wanted, strict=True):
        assert part == pytest.approx(same)

"""``estimator hide markers``."""

from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator.cli.main import run


def test_marker_pages_are_written_and_may_be_written_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "markers.pdf"
    for count in ("2", "3"):
        assert run(["hide", "markers", "--pages", count, "--out", str(out)]) == 0
        assert len(PdfReader(out).pages) == int(count)
    printed = capsys.readouterr().out
    assert "marker page 1 to 3" in printed
    assert "measure the line in the middle: 200 mm" in printed


def test_a_file_of_somebody_else_is_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "letter.pdf"
    out.write_bytes(b"%PDF-1.4 a letter")
    assert run(["hide", "markers", "--out", str(out)]) == 2
    assert "exists already" in capsys.readouterr().err
    assert out.read_bytes() == b"%PDF-1.4 a letter"
    assert run(["hide", "markers", "--out", str(out), "--force", "--paper", "letter"]) == 0


@pytest.mark.parametrize("count", ["0", "98", "many"])
def test_a_number_of_pages_that_cannot_be_is_refused(tmp_path: Path, count: str) -> None:
    out = tmp_path / "markers.pdf"
    assert run(["hide", "markers", "--pages", count, "--out", str(out)]) == 2
    assert not out.exists()


def test_another_ending_is_refused(tmp_path: Path) -> None:
    assert run(["hide", "markers", "--out", str(tmp_path / "markers.png")]) == 2

"""What is said before the search is compiled."""

import pytest

from estimator.cli.progress import print_preparation
from estimator.nesting.engine import compiled


@pytest.mark.parametrize(
    ("is_prepared", "is_kept", "words"),
    [
        (True, True, ""),
        (False, True, "once on this machine"),
        (False, False, "again on every run"),
    ],
)
def test_compiling_is_announced_with_whether_it_comes_back(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    is_prepared: bool,
    is_kept: bool,
    words: str,
) -> None:
    monkeypatch.setattr(compiled, "is_prepared", lambda: is_prepared)
    monkeypatch.setattr(compiled, "is_kept", lambda: is_kept)
    print_preparation()
    printed = capsys.readouterr().err
    assert words in printed
    assert bool(printed) is bool(words)

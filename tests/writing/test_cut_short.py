"""Killed or terminated while it writes, a run loses nothing, and the next one finishes."""

from pathlib import Path
from random import Random
from signal import SIGKILL, SIGTERM, Signals

import pytest

from tests.writing.cut_short import cut_short_once

pytestmark = pytest.mark.slow

MOMENTS = 12


@pytest.mark.parametrize("how", [SIGKILL, SIGTERM])
def test_whenever_a_run_is_cut_short_the_next_one_finishes_the_set(
    tmp_path: Path, how: Signals
) -> None:
    results = [
        cut_short_once(
            tmp_path / str(number) / "out",
            number,
            Random(number),
            how,
            in_between=number % 2 == 0,
        )
        for number in range(MOMENTS)
    ]
    assert [result for result in results if result.findings] == []
    assert not any(result.was_over for result in results)
    if how is SIGKILL:
        assert sum(result.was_between for result in results) >= 2

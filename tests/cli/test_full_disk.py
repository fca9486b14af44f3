"""A disk that is full at any write: exit code 2, and everything as it was."""

from functools import partial
from pathlib import Path

import pytest

from tests.writing.disk_full import COMMANDS, ONCE, Shop, full_at

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("name", COMMANDS)
def test_on_a_full_disk_nothing_is_lost_and_nothing_half_written(tmp_path: Path, name: str) -> None:
    shop = Shop(tmp_path / "shop", name, is_again=name not in ONCE)
    results = [
        shop.run_on(partial(full_at, number, stays=stays))
        for stays, number in ((True, 1), (True, 2), (False, 3), (False, 9))
    ]
    assert [result.findings for result in results if result.findings] == []
    assert results[0].was_met
    assert results[0].code == 2
    assert not shop.run_on(partial(full_at, 10_000, stays=True)).findings

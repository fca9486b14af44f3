"""Signals that ask for the end wait until files are in their places, or undo what was begun."""

import os
import signal
from pathlib import Path

import pytest

from estimator.writing.folder import write_folder
from estimator.writing.signals import end_as_interrupt, hold_signals

ASKING = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]


@pytest.mark.parametrize("number", ASKING)
def test_a_signal_waits_and_is_not_lost(number: signal.Signals) -> None:
    reached = []

    def work() -> None:
        with end_as_interrupt(), hold_signals():
            signal.raise_signal(number)
            reached.append(number)

    signal.signal(signal.SIGINT, signal.default_int_handler)
    with pytest.raises(KeyboardInterrupt):
        work()
    assert reached == [number]


def test_where_nothing_is_done_yet_the_work_can_be_given_up() -> None:
    def work() -> None:
        with hold_signals() as give_way:
            give_way()
            signal.raise_signal(signal.SIGINT)
            give_way()
            pytest.fail("it went on")

    signal.signal(signal.SIGINT, signal.default_int_handler)
    with pytest.raises(KeyboardInterrupt):
        work()


def test_handlers_are_put_back_and_ignored_signals_stay_ignored() -> None:
    before = [signal.getsignal(number) for number in ASKING]
    signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with end_as_interrupt(), hold_signals() as give_way:
            signal.raise_signal(signal.SIGHUP)
            give_way()
    finally:
        signal.signal(signal.SIGHUP, before[-1])
    assert [signal.getsignal(number) for number in ASKING] == before


@pytest.mark.parametrize("at", range(1, 14))
def test_terminated_at_any_write_a_folder_is_as_it_was_or_complete(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    out = tmp_path / "out"
    first, second = {"a": b"1", "b": b"1"}, {"a": b"2", "b": b"2"}
    write_folder(out, first, reference="x")
    calls = iter(range(1, 1000))

    def tick(act: str) -> None:
        real = getattr(os if act != "replace" else Path, act)

        def acting(*given: object, **more: object) -> object:
            done = real(*given, **more)
            if next(calls) == at:
                signal.raise_signal(signal.SIGTERM)
            return done

        monkeypatch.setattr(os if act != "replace" else Path, act, acting)

    for act in ("fsync", "link", "replace"):
        tick(act)
    with end_as_interrupt(), pytest.raises(KeyboardInterrupt):
        write_folder(out, second, reference="x")
    there = {each.name: each.read_bytes() for each in out.iterdir() if each.name[0] != "."}
    assert there == (first if at <= 3 else second)
    hidden = [each.name for each in out.iterdir() if each.name[0] == "."]
    assert hidden == [".sheath-estimate"]

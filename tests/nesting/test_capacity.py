"""How many sets a sheet yields, where the number is known."""

import pytest
from shapely import Point, box

from estimator.nesting.capacity import capacity
from estimator.nesting.effort import Effort
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.problem import Piece, Problem, Sheet
from estimator.quality import Need, Spoil
from tests.nesting.samples import BLOCK, QUARTERS, margins, piece, problem, put, sheet, spot

SIDE = sheet(box(0, 0, 160, 60))


def most(*parts: Piece | Sheet, kit: str = "sheath", spacing_mm: float = 0.0) -> int:
    asked = problem(*parts, distances=margins(spacing_mm=spacing_mm))
    return capacity(asked, kit, Settings(seed=1), Moves(500))


def test_blocks_that_tile_the_sheet_are_all_counted() -> None:
    assert most(piece(), SIDE) == 12
    assert most(piece(), sheet(box(0, 0, 159, 60))) == 9
    assert most(piece(turns=QUARTERS), SIDE) == 12


def test_spacing_takes_its_room() -> None:
    assert most(piece(), SIDE, spacing_mm=0.1) == 6


def test_a_set_counts_only_when_it_is_complete() -> None:
    parts = (piece(), piece("loop", box(0, 0, 40, 10), per_kit=2, copies=2))
    assert most(*parts, SIDE) == 6


def test_the_quantity_asked_for_does_not_matter() -> None:
    assert most(piece(copies=1), SIDE) == most(piece(copies=40), SIDE)


def test_other_sets_and_pins_are_left_out() -> None:
    other = piece("cap", box(0, 0, 160, 60), kit="other")
    asked = problem(piece(), other, SIDE, pinned=(put(piece="cap"),))
    assert capacity(asked, "sheath", Settings(), Moves(500)) == 12
    assert capacity(asked, "other", Settings(), Moves(500)) == 1


def test_several_sheets_count_together() -> None:
    where = ("side", "bend")
    assert most(piece(sheets=where), SIDE, sheet(box(0, 0, 40, 45), key="bend")) == 14


@pytest.mark.parametrize(("needs", "sets"), [((), 12), ((Need.SHOW,), 6)])
def test_a_faded_half_yields_nothing_to_a_piece_that_shows(
    needs: tuple[Need, ...], sets: int
) -> None:
    faded = sheet(box(0, 0, 160, 60), spot(box(80, -1, 161, 61), Spoil.COSMETIC))
    assert most(piece("body", BLOCK, *needs), faded) == sets


def test_a_piece_larger_than_the_sheet_yields_none() -> None:
    assert most(piece("body", box(0, 0, 200, 10)), SIDE) == 0
    assert most(piece("body", box(0, 0, 500, 500)), SIDE) == 0


def test_an_unknown_set_is_an_error() -> None:
    with pytest.raises(KeyError):
        most(piece(), SIDE, kit="sword")


def test_a_stopped_count_ends_with_what_it_has() -> None:
    budget = Moves(500)
    budget.stop()
    asked: Problem = problem(piece(), SIDE)
    assert 0 < capacity(asked, "sheath", Settings(), budget) <= 12


class Counting(Moves):
    """A budget that remembers how much was spent."""

    def __init__(self) -> None:
        super().__init__(5000)
        self.spent = 0

    def spend(self) -> float:
        self.spent += 1
        return super().spend()


ROUND = sheet(Point(0, 0).buffer(75))
"""Of the 29 blocks that its area could hold, some find no room."""


def test_quick_effort_counts_whole_sets_in_one_move() -> None:
    counts, spent = {}, {}
    for effort in (Effort.QUICK, Effort.NORMAL):
        budget = Counting()
        asked = problem(piece(turns=QUARTERS), ROUND)
        counts[effort] = capacity(asked, "sheath", Settings(seed=1), budget, effort=effort)
        spent[effort] = budget.spent
    assert spent[Effort.QUICK] == 1
    assert spent[Effort.NORMAL] > 10
    assert 12 < counts[Effort.QUICK] <= counts[Effort.NORMAL] < 29


def test_quick_effort_knows_of_sets_lots_and_sheets_that_are_too_small() -> None:
    parts = (piece(), piece("loop", box(0, 0, 40, 10), per_kit=2, copies=2))
    for made, sets in (
        ((*parts, SIDE), 6),
        ((piece(), SIDE), 12),
        ((piece("body", box(0, 0, 200, 10)), SIDE), 0),
        ((piece("body", box(0, 0, 500, 500)), SIDE), 0),
    ):
        asked = problem(*made)
        settings = Settings(seed=1)
        assert capacity(asked, "sheath", settings, Moves(9), effort=Effort.QUICK) == sets


def test_a_count_is_told_whenever_it_grows() -> None:
    told: list[int] = []
    asked = problem(piece(turns=QUARTERS), ROUND)
    found = capacity(asked, "sheath", Settings(seed=1), Moves(500), on_count=told.append)
    assert told == sorted(set(told))
    assert told[-1] == found


def test_a_count_that_is_stopped_keeps_what_was_told_last() -> None:
    told: list[int] = []
    budget = Counting()

    def stop(sets: int) -> None:
        told.append(sets)
        budget.stop()

    asked = problem(piece(turns=QUARTERS), ROUND)
    assert capacity(asked, "sheath", Settings(seed=1), budget, on_count=stop) == told[0] > 12
    assert len(told) == budget.spent == 1

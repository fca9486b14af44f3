"""Going on while parts are left over: until they fit, a bound proves they cannot, or the end."""

from dataclasses import replace
from random import Random

import pytest
from shapely import box

from estimator.nesting.checker import faults
from estimator.nesting.effort import Effort, Efforts
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.until_laid import Ending, nest_until_laid
from tests.nesting.samples import UPRIGHT, piece, problem, sheet
from tests.nesting.small_problems import small_problem
from tests.wording import texts

TIGHT = small_problem(Random(133))
"""Two kinds of piece on two sheets: three arrangements leave something over, a search does not."""


def test_what_the_first_search_lays_is_given_as_it_is() -> None:
    asked = problem(piece(copies=2), sheet(box(0, 0, 200, 100)))
    efforts = Efforts(Effort.QUICK, seed=1)
    done = nest_until_laid(asked, efforts.settings, budget=efforts, further=efforts.further)
    assert done.ending is Ending.LAID
    assert efforts.effort is Effort.QUICK
    assert done.layout == nest(asked, efforts.settings, budget=Efforts(Effort.QUICK, seed=1))


def test_what_cannot_fit_is_proved_without_a_longer_search() -> None:
    asked = problem(piece(copies=26), sheet(box(0, 0, 200, 100)))
    efforts = Efforts(Effort.QUICK, seed=1)
    done = nest_until_laid(asked, efforts.settings, budget=efforts, further=efforts.further)
    assert done.ending is Ending.PROVED
    assert [why["wanted_dm2"] for why in done.proof] == pytest.approx([2.08])
    assert efforts.effort is Effort.QUICK


def test_the_search_goes_on_at_the_next_effort_until_all_is_laid() -> None:
    efforts = Efforts(Effort.QUICK, seed=1)
    assert nest(TIGHT, efforts.settings, budget=Efforts(Effort.QUICK, seed=1)).unplaced
    done = nest_until_laid(TIGHT, efforts.settings, budget=efforts, further=efforts.further)
    assert done.ending is Ending.LAID
    assert efforts.effort is Effort.NORMAL
    assert not efforts.is_over  # it ends with the first layout of all pieces
    assert faults(TIGHT, done.layout) == ()


def test_a_part_that_fits_nowhere_does_not_end_the_search_for_the_others() -> None:
    keys = frozenset(each.key for each in TIGHT.sheets)
    giant = replace(piece("giant", box(0, 0, 9000, 9000), turns=UPRIGHT, kit="giant"), sheets=keys)
    asked = replace(TIGHT, pieces=(*TIGHT.pieces, giant))
    efforts = Efforts(Effort.QUICK, seed=1)
    first = nest(asked, efforts.settings, budget=Efforts(Effort.QUICK, seed=1))
    assert {one.piece for one in first.unplaced} > {"giant"}
    done = nest_until_laid(asked, efforts.settings, budget=efforts, further=efforts.further)
    assert [one.piece for one in done.layout.unplaced] == ["giant"]
    assert done.ending is Ending.PROVED
    assert texts(done.proof)[0].startswith("giant is larger")
    assert efforts.effort is Effort.NORMAL


def test_at_the_end_of_all_efforts_nothing_is_claimed() -> None:
    # 2 x 2 blocks of 60 x 60 mm have less area than 140 x 110 mm, and yet only two fit
    asked = problem(
        piece("block", box(0, 0, 60, 60), turns=UPRIGHT, copies=4), sheet(box(0, 0, 140, 110))
    )
    left = iter([Settings(seed=2, is_searching=False)])
    done = nest_until_laid(
        asked,
        Settings(seed=1, is_searching=False),
        budget=Moves(2),
        further=lambda: next(left, None),
    )
    assert done.ending is Ending.SPENT
    assert done.proof == ()
    assert sum(one.copies for one in done.layout.unplaced) == 2


def test_a_stop_ends_it_and_says_so() -> None:
    asked = problem(
        piece("block", box(0, 0, 60, 60), turns=UPRIGHT, copies=4), sheet(box(0, 0, 140, 110))
    )
    budget = Moves(2)
    budget.stop()
    done = nest_until_laid(
        asked,
        Settings(seed=1, is_searching=False),
        budget=budget,
        further=lambda: Settings(seed=1),
    )
    assert done.ending is Ending.STOPPED


def test_efforts_follow_each_other_once() -> None:
    efforts = Efforts(Effort.QUICK, seed=3)
    while efforts.spend() < 1.0:
        pass
    assert efforts.is_over
    longer = efforts.further()
    assert longer is not None
    assert (longer.seed, longer.is_searching, efforts.effort) == (3, True, Effort.NORMAL)
    assert not efforts.is_over
    assert efforts.further() is not None
    assert efforts.further() is None
    assert efforts.effort is Effort.THOROUGH


def test_a_better_first_answer_is_not_given_up_for_a_worse_second_one() -> None:
    asked = problem(
        piece("block", box(0, 0, 60, 60), turns=UPRIGHT, copies=4), sheet(box(0, 0, 140, 110))
    )
    shorter = replace(Settings(seed=1), arrangements=1, is_searching=False)
    left = iter([shorter])
    done = nest_until_laid(
        asked,
        Settings(seed=1, is_searching=False),
        budget=Moves(30),
        further=lambda: next(left, None),
    )
    assert sum(one.copies for one in done.layout.unplaced) == 2

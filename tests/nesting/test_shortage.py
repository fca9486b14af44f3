"""Bounds that prove that not all fits: they refuse what cannot, and nothing that can."""

from random import Random

import pytest
from shapely import box

from estimator.facts import statement
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.shortage import why_not_all
from estimator.quality import Need, Spoil
from tests.nesting.samples import (
    FREE,
    QUARTERS,
    margins,
    piece,
    problem,
    sheet,
    spot,
)
from tests.nesting.small_problems import small_problem
from tests.wording import texts

SIDE = sheet(box(0, 0, 200, 100))


def test_a_grid_that_fits_exactly_is_not_refused() -> None:
    # 5 x 5 blocks of 40 x 20 mm fill 200 x 100 mm to the last millimetre
    assert why_not_all(problem(piece(copies=25), SIDE)) == ()


def test_one_block_more_than_the_area_is_refused() -> None:
    (why,) = why_not_all(problem(piece(copies=26), SIDE))
    # 26 x 8 cm2 = 2.08 dm2 asked of 2.00 dm2
    assert (why["wanted_dm2"], why["found_dm2"]) == pytest.approx((2.08, 2.00))


def test_spacing_counts_half_on_each_side() -> None:
    # four blocks with 3 mm between them take 4 x 40 + 3 x 3 = 169 mm of a row, exactly
    row = sheet(box(0, 0, 169, 20))
    assert why_not_all(problem(piece(copies=4), row, distances=margins(3.0))) == ()
    assert why_not_all(problem(piece(copies=5), row, distances=margins(3.0))) != ()


def test_a_piece_longer_than_the_leather_between_flaws_is_refused_but_not_one_as_long() -> None:
    split = spot(box(100, 0, 110, 100))
    room = sheet(box(0, 0, 210, 100), split)
    (why,) = why_not_all(problem(piece("strap", box(0, 0, 101, 20)), room))
    assert why == statement("piece-over-ground", piece="strap")
    assert why_not_all(problem(piece("strap", box(0, 0, 100, 20)), room)) == ()


def test_a_slanting_piece_is_not_refused_for_its_upright_size() -> None:
    # 210 mm lie slantwise on 200 x 100 mm: its diagonal is 224 mm
    assert why_not_all(problem(piece("strap", box(0, 0, 210, 5), turns=FREE), SIDE)) == ()
    assert why_not_all(problem(piece("strap", box(0, 0, 210, 5), turns=QUARTERS), SIDE)) != ()


def test_parts_that_share_one_sheet_are_counted_together() -> None:
    other = sheet(box(0, 0, 1000, 1000), key="other")
    body = piece("body", copies=13)
    welt = piece("welt", copies=13)
    (told,) = texts(why_not_all(problem(body, welt, SIDE, other)))
    assert told.startswith("the parts that must come from side take 2.08 dm2")
    anywhere = piece("welt", copies=13, sheets=("side", "other"))
    assert why_not_all(problem(body, anywhere, SIDE, other)) == ()


def test_faces_that_show_must_find_clean_leather() -> None:
    half = sheet(box(0, 0, 200, 100), spot(box(0, 0, 100, 100), Spoil.COSMETIC, "sun-fade"))
    shown = piece("body", box(0, 0, 40, 20), Need.SHOW, copies=13)
    # 13 x 8 cm2 = 1.04 dm2 of 1.00 dm2 clean
    (why,) = why_not_all(problem(shown, half))
    assert why["of"] == Need.SHOW
    assert why["wanted_dm2"] == pytest.approx(1.04)
    assert "free of fades" in texts([why])[0]
    hidden = piece("body", box(0, 0, 40, 20), Need.SHOW, copies=13, ignores=("sun-fade",))
    assert why_not_all(problem(hidden, half)) == ()


def test_leather_of_no_use_is_told() -> None:
    assert "no leather" in texts(why_not_all(problem(piece(sheets=("none",)), SIDE)))[0]


@pytest.mark.parametrize("seed", range(40))
def test_nothing_that_was_laid_whole_is_refused(seed: int) -> None:
    asked = small_problem(Random(seed))
    if not nest(asked, Settings(seed=1), budget=Moves(4)).unplaced:
        assert why_not_all(asked) == ()

"""What a cutter prefers decides between layouts that cost much the same."""

from dataclasses import replace

import pytest
from shapely import box, unary_union

from estimator.nesting.engine.course import Course
from estimator.nesting.engine.preference import dislike
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.engine.shapes import Item, Laid
from estimator.nesting.engine.value import Value
from estimator.nesting.nest import nest
from estimator.nesting.problem import Objective, Placement, Problem
from estimator.nesting.score import score, sheets_cost
from estimator.quality import Spoil
from tests.nesting.samples import FREE, QUARTERS, layout, piece, problem, put, sheet, spot


def by_worth(asked: Problem) -> Problem:
    return replace(asked, objective=Objective.WORTH)


BAR = by_worth(
    problem(piece("bar", box(0, 0, 200, 60), copies=2, turns=FREE), sheet(box(0, 0, 1000, 500)))
)


def disliked(*placements: Placement) -> float:
    found = layout(*placements)
    return dislike(BAR, found, score(BAR, found))


def bar(copy: int, x_mm: float, y_mm: float, turn_deg: float = 0.0) -> Placement:
    return put(x_mm, y_mm, turn_deg, piece="bar", copy=copy)


IN_THE_CORNER = (bar(0, 0, 0), bar(1, 0, 60))


@pytest.mark.parametrize(
    "worse",
    [
        (bar(0, 0, 0), bar(1, 0, 300)),
        (bar(0, 0, 0), bar(1, 500, 0)),
        (bar(0, 0, 0), bar(1, 400, 220)),
        (bar(0, 60, 0, 90.0), bar(1, 120, 0, 90.0)),
    ],
    ids=["a bay between", "apart along an edge", "one in the middle", "across the backbone"],
)
def test_a_corner_filled_along_the_backbone_is_liked_best(worse: tuple[Placement, ...]) -> None:
    assert disliked(*IN_THE_CORNER) < disliked(*worse)


def test_one_leftover_is_liked_better_than_two() -> None:
    middle = (bar(0, 500, 0, 90.0), bar(1, 500, 200, 90.0))
    side = (bar(0, 60, 0, 90.0), bar(1, 60, 200, 90.0))
    assert disliked(*side) < disliked(*middle)


def test_nothing_cut_is_nothing_disliked() -> None:
    assert disliked() == 0.0


def test_a_back_is_not_laid_on_a_stain_in_the_middle_of_the_best_leather() -> None:
    # A pouch: the front must show, the back need not; there is one small stain far inside.
    asked = by_worth(
        problem(
            piece("front", box(0, 0, 180, 60), turns=QUARTERS),
            piece("back", box(0, 0, 180, 60), turns=QUARTERS),
            sheet(box(0, 0, 700, 500), spot(box(330, 230, 390, 290), Spoil.COSMETIC, "stain")),
        )
    )
    found = nest(replace(asked, poor_share=0.5), Settings(seed=1), budget=Moves(40))
    (use,) = score(asked, found)
    assert use.islands == ()
    assert found.island_saving is None
    edge = box(0, 0, 700, 500).exterior
    laid = unary_union([p.pose.of(box(0, 0, 180, 60)) for p in found.placements])
    assert laid.distance(edge) < 1.0
    assert laid.buffer(1.0).geom_type == "Polygon"  # side by side, not one here and one there


def test_what_an_island_saves_is_told_against_the_best_layout_without_one() -> None:
    # The middle is worth a tenth of the rest, so that it is cheapest there, rim and all.
    poor = spot(box(200, 150, 500, 350), Spoil.COSMETIC, "stain")
    asked = by_worth(problem(piece("back", box(0, 0, 180, 100)), sheet(box(0, 0, 700, 500), poor)))
    asked = replace(asked, keep=replace(asked.keep, cosmetic_share=0.1))
    course = Course(asked, Settings(seed=1), Moves(1))
    form = course.bank.form(0, mirrored=False)
    shape = course.bank.shape(form, 0.0)
    x_mm, y_mm = course.bank.forms[form].centre

    def at(left_mm: float, low_mm: float) -> list[Laid]:
        return [Laid(Item(0, 0), 0, shape, left_mm + x_mm, low_mm + y_mm)]

    middle, corner = at(260, 200), at(0, 0)
    assert course.layout(middle).island_saving is None  # nothing to compare it with yet
    assert course.value(middle) > Value(0, 0.0, 0.0)
    course.value(at(300, 0))
    course.value(corner)
    costs = [sheets_cost(asked, score(asked, course.layout(laid))) for laid in (middle, corner)]
    saving = course.layout(middle).island_saving
    assert saving == pytest.approx(1 - costs[0] / costs[1])
    assert course.layout(corner).island_saving is None
    assert course.preferred() == middle

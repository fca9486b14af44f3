"""Which layouts are gone on with: none twice, and on as many sets of sheets as can be."""

from estimator.nesting.engine.course import Found, distinct, varied
from estimator.nesting.engine.shapes import Item, Laid
from estimator.nesting.engine.value import Value


def found(cost: float, *sheets: int) -> Found:
    laid = [Laid(Item(0, copy), sheet, 0, 0.0, 0.0) for copy, sheet in enumerate(sheets)]
    return Found(Value(sets_missing=0, area_missing_mm2=0.0, cost=cost), laid)


A1, A2, A3 = found(10.0, 0, 1), found(11.0, 1, 0), found(12.0, 0, 1)
B1, B2 = found(14.0, 2, 2), found(15.0, 2, 2)
C1 = found(20.0, 0, 2)


def test_layouts_of_one_cost_count_once_best_first() -> None:
    assert distinct([B1, A1, found(10.0, 1, 1), A2]) == [A1, A2, B1]
    assert distinct([]) == []


def test_the_best_of_each_set_of_sheets_come_before_all_others() -> None:
    everything = [C1, A3, B2, A1, B1, A2]
    assert varied(everything, 1) == [A1]
    assert varied(everything, 2) == [A1, B1]
    assert varied(everything, 3) == [A1, B1, C1]
    assert varied(everything, 5) == [A1, A2, A3, B1, C1]
    assert varied(everything, 9) == [A1, A2, A3, B1, B2, C1]

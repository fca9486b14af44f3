"""Records of a nesting problem refuse what cannot be meant."""

import pytest
from shapely import Polygon, box

from estimator.nesting.problem import Margins, Piece, Turn
from tests.nesting.samples import margins, piece, sheet, spot


@pytest.mark.parametrize(("copies", "per_kit"), [(0, 1), (-1, 1), (3, 2), (2, 0), (1, 2)])
def test_copies_must_make_whole_sets(copies: int, per_kit: int) -> None:
    with pytest.raises(ValueError, match="per kit"):
        piece(copies=copies, per_kit=per_kit)


def test_a_piece_needs_a_turn() -> None:
    with pytest.raises(ValueError, match="no allowed turn"):
        piece(turns=())


def test_a_range_of_turns_runs_forward() -> None:
    assert Turn(from_deg=-15.0, to_deg=-15.0)
    with pytest.raises(ValueError, match="below"):
        Turn(from_deg=15.0, to_deg=-15.0)


@pytest.mark.parametrize("bad", [(-1.0, 0.0, 0.0), (0.0, -0.1, 0.0), (0.0, 0.0, -5.0)])
def test_margins_are_zero_or_more(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        margins(*bad)
    assert margins() == Margins(spacing_mm=0.0, edge_mm=0.0, flaw_mm=0.0)


def test_a_sheet_without_a_lot_is_a_lot_of_its_own() -> None:
    outline = box(0, 0, 10, 10)
    keys = {
        sheet(outline, key=key, lot=lot).lot_key
        for key, lot in [("side", ""), ("bend", ""), ("A", "A"), ("B", "A")]
    }
    assert len(keys) == 3
    assert sheet(outline, key="A").lot_key != sheet(outline, key="other", lot="A").lot_key


def test_records_are_values() -> None:
    assert isinstance(piece(), Piece)
    assert piece() == piece()
    with pytest.raises(AttributeError):
        piece().copies = 2  # type: ignore[misc]


BOW = Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])


@pytest.mark.parametrize("outline", [BOW, Polygon(), Polygon([(0, 0), (5, 0), (9, 0)])])
def test_an_outline_encloses_ground_without_crossing_itself(outline: Polygon) -> None:
    for make in (piece, sheet):
        with pytest.raises(ValueError, match="outline"):
            make(outline=outline)
    with pytest.raises(ValueError, match="blemish: the outline"):
        spot(outline)

"""Parts that stay where they are, and areas to keep clear, as an order writes them."""

from pathlib import Path

import pytest
from shapely import Point

from estimator.errors import InputError
from estimator.geometry.pose import Pose
from estimator.nesting.checker import faults
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import Placement
from estimator.quality import Spoil
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem
from estimator.workshop.order.reader import read_order

ROOT = Path(__file__).parents[2]

ORDER = """
[order]
reference = "2026-014"
customer = "Three Brooks Community Orchard"
prices = "prices.toml"
[[sheath]]
pattern = "slip.toml"
quantity = 3
[[hide]]
map = "side.toml"
"""
PATTERN = """
name = "slip"
thickness = "3-3.5 mm"
[[part]]
name = "body"
kind = "body"
rectangle = ["200 mm", "120 mm"]
[[part]]
name = "ear"
copies = 2
mirrored_copies = 1
outline = [[0, 0], [60, 0], [0, 40]]
"""
SIDE = """
tag = "side 07"
outline = [[0, 0], [900, 0], [900, 500], [0, 500]]
thickness = "3-3.5 mm"
price_paid = "140.00"
"""
PIN = '[[pinned]]\npart = "body"\ncopy = 2\nhide = "side 07"\nat = [300, "15 cm"]\nturn_deg = 90\n'
CIRCLE = '[[forbidden]]\nhide = "side 07"\ncircle = { at = [50, 50], diameter = "60 mm" }\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a pattern, a hide and the demo's price book."""
    (tmp_path / "slip.toml").write_text(PATTERN, "utf-8")
    (tmp_path / "side.toml").write_text(SIDE, "utf-8")
    book = (ROOT / "data/demo/prices.toml").read_text("utf-8")
    (tmp_path / "prices.toml").write_text(book, "utf-8")
    return tmp_path


def read(folder: Path, text: str) -> Order:
    path = folder / "order.toml"
    path.write_text(ORDER + text, "utf-8")
    return read_order(path)


def refused(folder: Path, text: str) -> str:
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return "\n".join(str(fault) for fault in caught.value.faults)


@pytest.mark.parametrize("label", ["body", "slip/body"])
def test_a_pinned_part_is_a_placement_of_the_problem(folder: Path, label: str) -> None:
    order = read(folder, PIN.replace('"body"', f'"{label}"'))
    pose = Pose(x_mm=300.0, y_mm=150.0, rotation_deg=90.0)
    pin = Placement(piece="slip/body", copy=1, sheet="side 07", pose=pose)
    assert order.pinned == (pin,)
    assert nesting_problem(order).pinned == (pin,)


def test_mirrored_copies_are_counted_on_as_in_the_plan(folder: Path) -> None:
    ear = PIN.replace('"body"', '"ear"') + "mirrored = true\n"
    (pin,) = read(folder, ear.replace("copy = 2", "copy = 8")).pinned
    assert (pin.piece, pin.copy) == ("slip/ear (mirrored)", 1)
    assert "not mirrored" not in refused(folder, ear)
    assert "mirrored against its rule" in refused(folder, ear)
    assert "the order has 9: write 1 to 9" in refused(folder, ear.replace("copy = 2", "copy = 10"))


def test_pinned_parts_stay_exactly_and_the_rest_is_laid_around_them(folder: Path) -> None:
    order = read(folder, PIN + CIRCLE)
    problem = nesting_problem(order)
    layout = nest(problem, Settings(seed=1), budget=Moves(3))
    assert order.pinned[0] in layout.placements
    assert not layout.unplaced
    assert not faults(problem, layout)
    outlines = {piece.key: piece.outline for piece in problem.pieces}
    ground = Point(50, 50).buffer(30)
    assert all(
        placement.pose.of(outlines[placement.piece]).distance(ground) > 2.9
        for placement in layout.placements
    )


def test_a_forbidden_area_is_an_unusable_flaw_of_its_hide(folder: Path) -> None:
    (flaw,) = read(folder, CIRCLE + 'kind = "vein"\nnote = "found at the bench"\n').hides[0].flaws
    assert (flaw.spoil, flaw.kind, flaw.note) == (Spoil.UNUSABLE, "vein", "found at the bench")
    assert flaw.outline.contains(Point(50, 50).buffer(29.9))
    ways = (
        'ellipse = { at = [100, 100], length = "60 mm", width = "20 mm" }',
        'rectangle = { at = ["10 cm", "10 cm"], length = "60 mm", width = "20 mm" }',
        "outline = [[70, 90], [130, 90], [100, 130]]",
    )
    for way in ways:
        hide = read(folder, f'[[forbidden]]\nhide = "side 07"\n{way}\n').hides[0]
        assert hide.flaws[0].kind == "forbidden"
        assert hide.flaws[0].is_forbidden
        assert hide.flaws[0].outline.contains(Point(100, 100))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (PIN.replace('"body"', '"boddy"'), 'did you mean "body"?'),
        (PIN.replace("copy = 2", "copy = 4"), "write 1 to 3"),
        (PIN.replace("copy = 2", "copy = 0"), "pinned[1].copy"),
        (PIN.replace("copy = 2", "coppy = 2"), 'did you mean "copy"?'),
        (PIN.replace('"side 07"', '"side 7"'), 'did you mean "side 07"?'),
        (PIN.replace("at = [300,", "at = [3000,"), "over the edge of side 07"),
        (PIN.replace("at = [300,", "at = [121,"), "from the edge of side 07, wanted 5"),
        (PIN + PIN, "a copy is laid twice"),
        (PIN + PIN.replace("copy = 2", "copy = 1"), "overlap by"),
        (PIN + CIRCLE.replace("[50, 50]", "[250, 200]"), "from forbidden 1 of side 07"),
        (CIRCLE.replace("side 07", "side 8"), "no hide of this order has the tag"),
        (CIRCLE.replace("[50, 50]", "[5000, 50]"), "lies off the hide side 07"),
        ('[[forbidden]]\nhide = "side 07"\n', "the shape is missing"),
        ('[[forbidden]]\nhide = "side 07"\noutline = "x"\n', "an order has no drawing"),
        ('[[forbidden]]\nhide = "side 07"\noutline = [[0, 0], [9, 9], [9, 0], [0, 9]]\n', "cross"),
    ],
)
def test_what_cannot_lie_so_is_told_with_its_place(folder: Path, text: str, told: str) -> None:
    found = refused(folder, text)
    assert told in found
    assert "order.toml: line " in found

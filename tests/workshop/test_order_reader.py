"""Orders are read with all they refer to, and every fault is told at once, with its file."""

import json
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from estimator.errors import InputError
from estimator.files import read_toml
from estimator.hide.hides import Tannage
from estimator.pattern.parts import Hand
from estimator.units import Units
from estimator.workshop.order.reader import order_schema, read_order

ROOT = Path(__file__).parents[2]

ORDER = """
[order]
reference = "2026-014"
customer = "Three Brooks Community Orchard"
prices = "prices.toml"
"""
SHEATH = '[[sheath]]\npattern = "slip.toml"\nquantity = 3\n'
HIDE = '[[hide]]\nmap = "side.toml"\n'
PATTERN = """
name = "slip"
thickness = "3-3.5 mm"
[[part]]
name = "body"
kind = "body"
rectangle = ["200 mm", "120 mm"]
"""
SIDE = """
tag = "side 07"
outline = [[0, 0], [900, 0], [900, 500], [0, 500]]
thickness = "3-3.5 mm"
price_paid = "140.00"
[[flaw]]
kind = "stain"
circle = {at = [100, 100], diameter = "40 mm"}
[[flaw]]
kind = "tide-mark"
spoil = "cosmetic"
circle = {at = [300, 100], diameter = "40 mm"}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a pattern, a hide and the demo's price book."""
    (tmp_path / "slip.toml").write_text(PATTERN, "utf-8")
    (tmp_path / "side.toml").write_text(SIDE, "utf-8")
    book = (ROOT / "data/demo/prices.toml").read_text("utf-8")
    (tmp_path / "prices.toml").write_text(book, "utf-8")
    return tmp_path


def written(folder: Path, text: str) -> Path:
    path = folder / "order.toml"
    path.write_text(text, "utf-8")
    return path


def refused(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_order(written(folder, text))
    return [str(fault) for fault in caught.value.faults]


def test_the_smallest_order_is_read_with_its_files(folder: Path) -> None:
    order = read_order(written(folder, ORDER + SHEATH + HIDE))
    assert (order.reference, order.customer) == ("2026-014", "Three Brooks Community Orchard")
    assert order.due is None
    assert order.units is Units.METRIC
    (line,) = order.lines
    assert (line.key, line.quantity, line.hand) == ("slip", 3, Hand.RIGHT)
    assert line.pattern.part("body").outline.area == pytest.approx(24_000.0)
    (hide,) = order.hides
    assert (hide.tag, hide.tannage) == ("side 07", Tannage.VEGETABLE)
    assert order.book.prices.currency == "EUR"
    assert order.sheaths == 3


def test_everything_an_order_may_say_is_kept(folder: Path) -> None:
    text = (
        ORDER
        + 'due = 2026-12-18\nunits = "imperial"\nhand = "left"\nfinish_hides = ["stain"]\n'
        + SHEATH
        + 'options = ["brown", "long loop"]\n'
        + SHEATH
        + 'hand = "right"\nfinish_hides = ["sun-fade", "tide-mark"]\n'
        + SHEATH
        + "finish_hides = []\n"
        + HIDE
    )
    order = read_order(written(folder, text))
    assert order.due == date(2026, 12, 18)
    assert order.units is Units.IMPERIAL
    assert [line.key for line in order.lines] == ["slip", "slip 2", "slip 3"]
    assert [line.hand for line in order.lines] == [Hand.LEFT, Hand.RIGHT, Hand.LEFT]
    assert [line.finish_hides for line in order.lines] == [
        {"stain"},
        {"sun-fade", "tide-mark"},
        set(),
    ]
    assert order.lines[0].options == ("brown", "long loop")


def test_files_are_looked_for_from_the_orders_folder(
    folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = written(folder, ORDER + SHEATH + HIDE)
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    assert read_order(path).sheaths == 3


def test_all_faults_of_the_order_are_told_at_once_with_their_lines(folder: Path) -> None:
    text = (
        ORDER.replace("customer", "custommer")
        + '[[sheath]]\npattern = "slip.toml"\nquantity = 0\nhand = "lefft"\n'
        + '[[sheath]]\npattern = 7\nquantity = "3"\n'
    )
    told = refused(folder, text)
    assert len(told) == 7
    assert all("order.toml" in fault for fault in told)
    joined = "\n".join(told)
    assert 'line 4, order.custommer: unknown key "custommer"; did you mean "customer"?' in joined
    assert "line 8, sheath[1].quantity" in joined
    assert 'did you mean "left"?' in joined
    assert "sheath[2].pattern: expected text" in joined
    assert "sheath[2].quantity" in joined
    assert "the order offers no leather" in joined


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (ORDER + HIDE, "asks for no sheath"),
        ("sheath = []\n" + ORDER + HIDE, "asks for no sheath"),
        (ORDER + SHEATH, "offers no leather"),
        (SHEATH + HIDE, '"order" is missing'),
        ("", "asks for no sheath"),
        (ORDER + "due = 2026-12-18T08:00:00\n" + SHEATH + HIDE, "time of day"),
        (ORDER + 'due = "2026-12-18"\n' + SHEATH + HIDE, "expected a date"),
        (ORDER.replace("2026-014", "../014") + SHEATH + HIDE, "cannot name a folder"),
        (ORDER.replace("2026-014", "..") + SHEATH + HIDE, "dot"),
        (ORDER.replace("2026-014", " ") + SHEATH + HIDE, "empty"),
        (ORDER + 'finish_hides = ["sun-fad"]\n' + SHEATH + HIDE, 'did you mean "sun-fade"?'),
        (ORDER + SHEATH + 'finish_hides = ["hole"]\n' + HIDE, "more than the looks"),
        (ORDER + SHEATH.replace("= 3", "= 2.5") + HIDE, "whole number"),
        (ORDER + SHEATH.replace("= 3", "= true") + HIDE, "whole number"),
        (ORDER + SHEATH + "colour = 1\n" + HIDE, 'unknown key "colour"'),
        (ORDER + SHEATH + HIDE + HIDE, 'has the tag "side 07"'),
    ],
)
def test_a_fault_is_told_in_plain_words(folder: Path, text: str, told: str) -> None:
    assert told in "\n".join(refused(folder, text))


def test_faults_of_referenced_files_name_those_files_and_come_together(folder: Path) -> None:
    (folder / "side.toml").write_text(SIDE.replace("tag =", "tagg ="), "utf-8")
    (folder / "slip.toml").write_text(PATTERN.replace('"120 mm"', '"0 mm"'), "utf-8")
    (folder / "prices.toml").unlink()
    told = refused(folder, ORDER + SHEATH + SHEATH + HIDE)
    assert sum("prices.toml: does not exist" in fault for fault in told) == 1
    assert sum('did you mean "tag"?' in fault and "side.toml" in fault for fault in told) == 1
    assert sum("slip.toml" in fault for fault in told) == 1
    assert not any("order.toml" in fault for fault in told)


def test_two_hides_of_one_tag_are_refused_where_the_second_is_named(folder: Path) -> None:
    (folder / "other.toml").write_text(SIDE, "utf-8")
    (told,) = refused(folder, ORDER + SHEATH + HIDE + '[[hide]]\nmap = "other.toml"\n')
    assert "line 12, hide[2].map" in told
    assert '"other.toml" has the tag "side 07", as has "side.toml"' in told


def test_names_that_would_be_mixed_up_on_the_plan_are_refused(folder: Path) -> None:
    twice = PATTERN.replace('kind = "body"\n', 'kind = "body"\nmirrored_copies = 1\n') + PATTERN[
        PATTERN.index("[[part]]") :
    ].replace('"body"', '"body (mirrored)"', 1)
    (folder / "slip.toml").write_text(twice, "utf-8")
    assert "same name on the cutting plan" in refused(folder, ORDER + SHEATH + HIDE)[0]


def test_the_published_schema_is_the_readers() -> None:
    published = json.loads((ROOT / "data/schemas/order.schema.json").read_text("utf-8"))
    assert published == order_schema()


def test_the_demo_order_fulfils_the_published_schema() -> None:
    file = read_toml(ROOT / "data/demo/order.toml")
    plain = json.loads(json.dumps(file.values, default=str))
    jsonschema.validate(plain, order_schema())
    assert file.text.startswith("#:schema ../schemas/order.schema.json\n")
    plain["order"]["custommer"] = "x"
    with pytest.raises(jsonschema.ValidationError, match="custommer"):
        jsonschema.validate(plain, order_schema())


def test_a_line_can_name_the_customer_s_belt(folder: Path) -> None:
    text = ORDER + SHEATH + SHEATH.replace("= 3", '= 1\nbelt = "1 1/2 in"') + HIDE
    plain, belted = read_order(written(folder, text)).lines
    assert plain.pattern.belt is None
    assert belted.pattern.belt is not None
    assert belted.pattern.belt.width_mm == pytest.approx(38.1)
    assert belted.pattern.belt.thickness_mm == 4.0


def test_a_belt_as_wide_as_nothing_is_refused(folder: Path) -> None:
    text = ORDER + SHEATH + 'belt = "0 mm"\n' + HIDE
    with pytest.raises(InputError, match=r"sheath\[1\].belt"):
        read_order(written(folder, text))

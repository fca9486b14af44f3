"""Leather an order names: by map, by tag on the rack, or all that suits."""

from pathlib import Path

from shapely import box

from estimator.files import TomlFile
from estimator.hide.hides import Hide
from estimator.workshop.order.offers import hide_faults, offered_hides
from tests.shop import hide

FILE = TomlFile(path=Path("o"), name="o", text="", values={})
SIDE, THIN = (hide(tag, box(0, 0, 9, 9)) for tag in ("side", "thin"))
MAPPED = hide("mapped", box(0, 0, 9, 9))


def offers(
    *asked: tuple[str | None, str | None], rack: tuple[Hide, ...] | None = (SIDE, THIN)
) -> tuple[list[str], list[str]]:
    found, faults = offered_hides(
        FILE, asked, {"map.toml": MAPPED}, lambda: rack, suits=lambda one: one is not THIN
    )
    faults += hide_faults(FILE, found)
    return [offer.hide.tag for offer in found], [str(fault) for fault in faults]


def test_maps_and_tags_may_stand_together() -> None:
    assert offers(("map.toml", None), (None, "thin")) == (["mapped", "thin"], [])


def test_the_star_offers_what_suits_and_nothing_twice() -> None:
    assert offers((None, "*")) == (["side"], [])
    assert offers((None, "side"), (None, "*"))[0] == ["side"]
    assert offers(("map.toml", None), (None, "*"))[0] == ["mapped", "side"]


def test_what_cannot_be_offered_is_told() -> None:
    assert "no records at hand" in offers((None, "side"), rack=None)[1][0]
    assert "did you mean" in offers((None, "sied"))[1][0]
    assert "thickness of any part" in offers((None, "*"), rack=(THIN,))[1][0]
    assert "as has" in offers((None, "side"), (None, "side"))[1][0]
    assert "has the tag" in offers(("map.toml", None), ("map.toml", None))[1][0]


def test_the_rack_is_not_asked_for_maps_alone() -> None:
    def never() -> tuple[Hide, ...]:
        raise AssertionError

    found, faults = offered_hides(
        FILE, [("map.toml", None)], {"map.toml": MAPPED}, never, suits=lambda one: True
    )
    assert [offer.hide for offer in found] == [MAPPED]
    assert faults == []

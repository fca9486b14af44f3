"""What a photograph proposes, in a hide map: kept, told apart, and kept clear of."""

from pathlib import Path

import pytest
from shapely import box

from estimator.errors import InputError
from estimator.hide.hides import Flaw, FlawState, Hide, HidePhoto
from estimator.hide.reader import read_hide
from estimator.hide.writer import hide_text
from estimator.quality import Spoil
from tests import shop

MAP = """\
tag = "side-09"
thickness = "3.2-3.6 mm"
price_paid = "145"
outline = [[0, 0], [1000, 0], [1000, 600], [0, 600]]

[photo]
file = "side-09.jpg"
mm_per_px = 0.5
corner = [-20, "-3 cm"]

[[flaw]]
kind = "stain"
state = "proposed"
confidence = 0.7
number = 4
rectangle = { at = [500, 300], length = "60 mm", width = "40 mm" }

[[flaw]]
kind = "not-seen"
rectangle = { at = [200, 300], length = "297 mm", width = "210 mm" }
"""


def read(folder: Path, text: str) -> Hide:
    (folder / "side-09.toml").write_text(text, "utf-8")
    return read_hide(folder / "side-09.toml")


def test_a_proposal_keeps_its_confidence_and_its_number(tmp_path: Path) -> None:
    proposed, covered = read(tmp_path, MAP).flaws
    assert (proposed.state, proposed.confidence, proposed.number) == (FlawState.PROPOSED, 0.7, 4)
    assert (covered.state, covered.confidence, covered.number) == (FlawState.CONFIRMED, None, 0)


def test_a_layout_keeps_off_a_proposal_whatever_it_may_be(tmp_path: Path) -> None:
    proposed, covered = read(tmp_path, MAP).flaws
    assert (proposed.spoil, proposed.reckoned_spoil) == (Spoil.COSMETIC, Spoil.UNUSABLE)
    assert covered.reckoned_spoil is Spoil.UNUSABLE
    confirmed = read(tmp_path, MAP.replace('"proposed"', '"confirmed"')).flaws[0]
    assert confirmed.reckoned_spoil is Spoil.COSMETIC


def test_the_photo_is_found_beside_the_map_and_lies_where_the_map_says(tmp_path: Path) -> None:
    assert read(tmp_path, MAP).photo == HidePhoto(
        file=(tmp_path / "side-09.jpg").resolve(), mm_per_px=0.5, left_mm=-20.0, bottom_mm=-30.0
    )


def test_a_hide_with_photo_and_proposals_survives_its_file(tmp_path: Path) -> None:
    photo = HidePhoto(file=tmp_path / "a.jpg", mm_per_px=0.25, left_mm=-1.5, bottom_mm=2.0)
    flaw = Flaw(
        outline=box(9, 9, 20, 20),
        kind="scar",
        spoil=Spoil.UNUSABLE,
        note="by the neck",
        state=FlawState.PROPOSED,
        confidence=0.35,
        number=2,
    )
    kept = shop.hide("H", box(0, 0, 100, 100), flaw, photo=photo)
    again = read(tmp_path, hide_text(kept))
    assert again.photo == kept.photo
    (back,) = again.flaws
    assert back.outline.equals(flaw.outline)
    assert (back.state, back.confidence, back.number, back.note) == (
        FlawState.PROPOSED,
        0.35,
        2,
        "by the neck",
    )


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (('"proposed"', '"propossed"'), 'did you mean "proposed"'),
        (("confidence = 0.7", "confidence = 7"), "more than the whole"),
        (("number = 4", "number = 0"), "out of range"),
        (("mm_per_px = 0.5", "mm_per_px = 0"), "no size"),
        (("corner = [-20", 'corner = ["left"'), "corner"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path: Path, change: tuple[str, str], told: str) -> None:
    with pytest.raises(InputError, match=told):
        read(tmp_path, MAP.replace(*change))

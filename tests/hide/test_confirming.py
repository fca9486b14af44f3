"""Proposals are confirmed and dropped in the map's own text, and nothing else is touched."""

from collections.abc import Mapping
from pathlib import Path

import pytest

from estimator.errors import InputError
from estimator.files import read_toml
from estimator.hide.confirming import Confirmation, ConfirmedMap, confirm_map
from estimator.hide.hides import FlawState
from estimator.hide.reader import read_hide
from estimator.quality import Spoil

MAP = """\
# my best side
tag = "side-09"
thickness = "3.2-3.6 mm"
price_paid = "145"                 # with a discount
outline = [
    [0, 0], [1000, 0],
    [1000, 600], [0, 600],         # straight edge
]

[[flaw]]
kind = "stain"
state = "proposed"
confidence = 0.7
number = 2
rectangle = { at = [500, 300], length = "60 mm", width = "40 mm" }

[[flaw]]
kind = "scar"
spoil = "unusable"
state = "proposed"
number = 5
circle = { at = [700, 300], diameter = "20 mm" }

[[flaw]]
kind = "not-seen"
number = 6
rectangle = { at = [200, 300], length = "297 mm", width = "210 mm" }

[[flaw]]
kind = "hole"
circle = { at = [900, 100], diameter = "9 mm" }
"""


def confirm(
    folder: Path,
    *,
    flaws: Mapping[int, str] | None = None,
    drops: tuple[int, ...] = (),
    rest: bool = False,
    clean: bool = False,
) -> ConfirmedMap:
    path = folder / "side-09.toml"
    path.write_text(MAP, "utf-8")
    said = Confirmation(
        flaws=flaws or {}, drops=drops, is_rest_confirmed=rest, is_sheet_clean=clean
    )
    done = confirm_map(read_toml(path), said)
    path.write_text(done.text, "utf-8")
    return done


def states(folder: Path) -> dict[str, FlawState]:
    return {flaw.kind: flaw.state for flaw in read_hide(folder / "side-09.toml").flaws}


def test_a_proposal_is_confirmed_by_its_number_and_another_left(tmp_path: Path) -> None:
    done = confirm(tmp_path, flaws={2: ""})
    assert (done.confirmed, done.dropped, done.cleaned) == ((2,), (), 0)
    assert states(tmp_path) == {
        "stain": FlawState.CONFIRMED,
        "scar": FlawState.PROPOSED,
        "not-seen": FlawState.CONFIRMED,
        "hole": FlawState.CONFIRMED,
    }


def test_all_but_the_dropped_are_confirmed_and_the_sheet_was_clean(tmp_path: Path) -> None:
    done = confirm(tmp_path, drops=(2,), rest=True, clean=True)
    assert (done.confirmed, done.dropped, done.cleaned) == ((5,), (2,), 1)
    assert states(tmp_path) == {"scar": FlawState.CONFIRMED, "hole": FlawState.CONFIRMED}


def test_a_kind_can_be_corrected_and_decides_how_far_it_spoils(tmp_path: Path) -> None:
    confirm(tmp_path, flaws={5: "healed-scar"})
    (scar,) = [f for f in read_hide(tmp_path / "side-09.toml").flaws if f.number == 5]
    assert (scar.kind, scar.spoil, scar.state) == (
        "healed-scar",
        Spoil.COSMETIC,
        FlawState.CONFIRMED,
    )


def test_comments_and_coordinates_stay_as_they_were_written(tmp_path: Path) -> None:
    done = confirm(tmp_path, drops=(2,))
    assert done.text == MAP.replace('"proposed"', '"dropped"', 1)


def test_what_was_dropped_can_be_brought_back(tmp_path: Path) -> None:
    confirm(tmp_path, drops=(2, 5))
    file = read_toml(tmp_path / "side-09.toml")
    again = confirm_map(file, Confirmation(flaws={2: ""}, drops=()))
    assert again.confirmed == (2,)
    assert 'kind = "stain"\nstate = "confirmed"' in again.text


def test_all_that_cannot_be_meant_is_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(InputError) as error:
        confirm(tmp_path, flaws={2: "holle", 9: ""}, drops=(2, 8))
    told = str(error.value)
    assert "flaw: there is no flaw 9" in told
    assert "drop: there is no flaw 8 in this map; it has the numbers 2, 4, 5, 6" in told
    assert "flaw 2 is both confirmed and dropped" in told
    assert 'did you mean "hole"?' in told

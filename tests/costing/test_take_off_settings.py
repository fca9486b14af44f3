"""What a price book says about the take-off."""

from pathlib import Path

import pytest

from estimator.costing.price_book.price_book import PriceBook
from estimator.costing.price_book.reader import read_price_book
from estimator.errors import InputError
from estimator.nesting.problem import COSMETIC_SHARE, RIM_MM, STRIP_RIM_MM, WEAK_SHARE
from estimator.takeoff.materials.leather import Charge
from estimator.takeoff.use import DEFAULT_USE_RATES

BOOK = """\
shop = "Hollow Alder Sheaths"
currency = "EUR"
[labour]
per_hour = 28
[price]
markup_share = 0.40
[tools]
tine_reach_mm = 8.5
awl_reach_mm = 44
"""


def read(folder: Path, text: str) -> PriceBook:
    path = folder / "prices.toml"
    path.write_text(BOOK + text, encoding="utf-8")
    return read_price_book(path)


def test_an_old_book_takes_off_as_before(tmp_path: Path) -> None:
    book = read(tmp_path, "")
    assert book.leather.charge is Charge.USED_UP
    assert book.tools.iron_tines == 4
    assert book.use == DEFAULT_USE_RATES


def test_a_book_of_before_charges_what_is_used_up(tmp_path: Path) -> None:
    assert read(tmp_path, '[leather]\ncharge = "consumed"\n').leather.charge is Charge.USED_UP
    assert read(tmp_path, '[leather]\ncharge = "used up"\n').leather.charge is Charge.USED_UP


def test_a_book_sets_rims_shares_and_offcuts_first(tmp_path: Path) -> None:
    plain = read(tmp_path, "")
    assert plain.leather.offcuts_first
    assert (plain.leather.keep.rim_mm, plain.leather.keep.strip_rim_mm) == (RIM_MM, STRIP_RIM_MM)
    assert (plain.leather.keep.weak_share, plain.leather.keep.cosmetic_share) == (
        WEAK_SHARE,
        COSMETIC_SHARE,
    )
    own = read(
        tmp_path,
        '[leather]\noffcuts_first = false\n[keep]\nrim_mm = "1 cm"\nstrip_rim_mm = 0\n'
        'weak_share = "40 %"\ncosmetic_share = 1\n',
    )
    assert not own.leather.offcuts_first
    assert (own.leather.keep.rim_mm, own.leather.keep.strip_rim_mm) == (10.0, 0.0)
    assert (own.leather.keep.weak_share, own.leather.keep.cosmetic_share) == (0.4, 1.0)


def test_a_book_tells_charge_tines_thread_and_rates(tmp_path: Path) -> None:
    book = read(
        tmp_path,
        'iron_tines = 6\n[leather]\ncharge = "whole hide"\n'
        '[[rate]]\nitem = "waxed thread"\npack = "25 m"\nprice = 9\ndiameter = "0.8 mm"\n'
        '[use]\nglue_faces = 1\nblade_item = "blade"\ndye_before_forming = true\n'
        "damping_share = { low = 0.1, expected = 0.2, high = 0.3 }\n",
    )
    assert book.leather.charge is Charge.WHOLE_HIDE
    assert book.tools.iron_tines == 6
    assert book.prices.rates[0].diameter_mm == 0.8
    assert book.use.glue_faces.expected == 1.0
    assert book.use.blade_item == "blade"
    assert book.use.dye_before_forming
    assert book.use.damping_share.high == 0.3


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("iron_tines = 1", "is an awl"),
        ('[leather]\ncharge = "half"', "charge"),
        ("[leather]\ncharge = 1", "charge"),
        ("[keep]\nweak_share = 1.5", "weak_share"),
        ("[keep]\nrim_mm = -1", "rim_mm"),
        ("[use]\ndamping_share = 1.5", "more than all"),
        ("[use]\ndrying_by_thickness_share = 2", "more than all"),
        ('[use]\ndye_before_forming = "yes"', "dye_before_forming"),
        ('[use]\nblade_item = ""', "blade_item"),
        ("[use]\nedge_passes = -1", "edge_passes"),
        (
            '[[rate]]\nitem = "a"\npack = "25 m"\nprice = 9\nlead_days = 99999',
            "ten years",
        ),
    ],
)
def test_settings_that_cannot_be_meant_are_refused(tmp_path: Path, written: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read(tmp_path, written)

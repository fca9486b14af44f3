"""Coverage of liquids, leather yields and allowances against published pairs."""

from decimal import Decimal

import pint
import pytest

from estimator.costing.cost_lines import landed_rate
from estimator.costing.money import rounded
from estimator.takeoff.leather import gross_mm2, yield_share
from estimator.takeoff.surfaces import bonded_mm2, coating_ml
from estimator.takeoff.use import default_use_rates
from estimator.units import MM2_PER_SQUARE_FOOT, MM_PER_INCH

pytestmark = pytest.mark.external

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()
ML_PER_GALLON = UREG.Quantity(1, "US_liquid_gallon").to("milliliter").magnitude
SQUARE_FOOT = float(MM2_PER_SQUARE_FOOT)


def test_a_film_of_100_micrometres_covers_ten_square_metres_a_litre() -> None:
    # coverage (m2 per l) = 1000 / wet film (um): a litre spread 100 um thick is 10 m2
    litre = coating_ml(area_mm2=10e6, ml_per_m2=100.0, coats=1, faces=1)
    assert litre == pytest.approx(1000.0)


def test_a_us_gallon_at_four_mil_covers_401_square_feet() -> None:
    # 1 US gal = 231 in3 by definition; 231 / 0.004 in / 144 = 401.04 sq ft
    film_mm = 0.004 * float(MM_PER_INCH)
    gallon = coating_ml(area_mm2=401.0417 * SQUARE_FOOT, ml_per_m2=film_mm * 1000, coats=1, faces=1)
    assert gallon == pytest.approx(ML_PER_GALLON, rel=1e-6)
    assert pytest.approx(231 * float(MM_PER_INCH) ** 3 / 1000) == ML_PER_GALLON


def test_published_pair_of_400_square_feet_a_gallon() -> None:
    # a coating maker's support page prints 400 sq ft/gal = 9.8 m2/l
    ml_per_m2 = 1000 / 9.8
    gallon = coating_ml(area_mm2=400 * SQUARE_FOOT, ml_per_m2=ml_per_m2, coats=1, faces=1)
    assert gallon == pytest.approx(ML_PER_GALLON, rel=0.002)


@pytest.mark.parametrize(("ounces", "square_feet"), [(16, 50.0), (32, 100.0), (4, 12.5)])
def test_published_cans_cover_in_proportion(ounces: float, square_feet: float) -> None:
    # same page: pint 50, quart 100, 4 oz 12.5 sq ft
    ml = UREG.Quantity(ounces, "US_fluid_ounce").to("milliliter").magnitude
    rate = ML_PER_GALLON / (400 * SQUARE_FOOT / 1e6)
    used = coating_ml(area_mm2=square_feet * SQUARE_FOOT, ml_per_m2=rate, coats=1, faces=1)
    assert used == pytest.approx(ml)


def test_half_the_coverage_on_rough_faces_is_double_the_amount() -> None:
    # same page: "up to 50 % less" coverage on bare or rough surfaces
    smooth = coating_ml(area_mm2=1e6, ml_per_m2=100.0, coats=1, faces=1)
    rough = coating_ml(area_mm2=1e6, ml_per_m2=100.0, coats=1, faces=1, absorbency_share=1.0)
    assert rough == 2 * smooth


def test_default_cement_lies_in_the_makers_range_for_both_faces() -> None:
    # a European glue maker's instruction: 200 to 300 ml per m2 of joint, both faces coated
    use = default_use_rates()
    both = [
        coating_ml(area_mm2=1e6, ml_per_m2=rate, coats=1, faces=2)
        for rate in (use.glue_ml_per_m2.low, use.glue_ml_per_m2.expected)
    ]
    assert 200.0 <= both[0] <= both[1] <= 300.0


def test_cement_goes_on_the_bonded_band_only_and_on_both_faces() -> None:
    # area x faces: a welt seam of 300 x 10 mm between three layers is two bonds, four faces
    band = bonded_mm2(seam_mm=300.0, glue_width_mm=10.0, layers=3)
    used = coating_ml(area_mm2=band, ml_per_m2=125.0, coats=1, faces=2)
    assert used == pytest.approx(4 * 0.3 * 0.01 * 125.0)


@pytest.mark.parametrize(("share", "printed"), [(0.70, 142.857), (0.50, 200.0)])
def test_gross_leather_is_net_over_yield(share: float, printed: float) -> None:
    # keleenleathers.com, "Leather cutting yield explained": 100 sq ft net at 70 % is 142 sq ft
    # gross, at 50 % it is 200
    gross = gross_mm2(net_mm2=100 * SQUARE_FOOT, yield_share=share) / SQUARE_FOOT
    assert gross == pytest.approx(printed, abs=0.001)
    assert int(gross) in {142, 200}


def test_a_yard_of_cloth_is_18_square_feet_of_hide() -> None:
    # gloverbros.co.uk and others: 13.5 sq ft of 54 in cloth = 18 sq ft of leather: a mark-up
    # of one third, which is a yield of three quarters
    assert gross_mm2(net_mm2=13.5, yield_share=0.75) == pytest.approx(18.0)
    assert yield_share(net_mm2=13.5, consumed_mm2=18.0) == pytest.approx(0.75)


def test_a_waste_mark_up_is_no_yield() -> None:
    # saddlery tables: 90 in2 with "25 % waste" is 112.5 in2; at 75 % yield it would be 120
    assert gross_mm2(net_mm2=90.0, yield_share=1 / 1.25) == pytest.approx(112.5)
    assert gross_mm2(net_mm2=90.0, yield_share=0.75) == pytest.approx(120.0)


def test_price_of_usable_leather() -> None:
    # weaverleathersupply.com, "Maker's guide to pricing leather goods": side 250 + shipping
    # 30 = 280; 22 sq ft at 15 % waste = 18.7 usable; 280 / 18.7 = 14.97
    usable = 22 * (1 - 0.15)
    assert usable == pytest.approx(18.7)
    rate = landed_rate(Decimal(250) + Decimal(30), area=18.7)
    assert rounded(rate, "USD") == Decimal("14.97")

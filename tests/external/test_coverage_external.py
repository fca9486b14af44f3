"""Coverage of liquids, leather yields and allowances against published pairs."""

from decimal import Decimal

import pint
import pytest

from estimator.costing.cost_lines import landed_rate
from estimator.costing.money import round_money
from estimator.takeoff.materials.dye import dye_ml
from estimator.takeoff.materials.leather import gross_mm2, sheath_share_mm2, yield_share
from estimator.takeoff.materials.surfaces import adhesive_ml, bonded_mm2
from estimator.takeoff.quantity import Spread, exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from estimator.units import MM2_PER_SQUARE_FOOT, MM_PER_INCH
from tests.shop import coating_ml

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
    use = DEFAULT_USE_RATES
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
    assert round_money(rate, "USD") == Decimal("14.97")


def test_adhesive_for_a_square_metre_of_joint_is_the_makers_amount() -> None:
    # a European glue maker's instruction: 200 to 300 ml per m2 for two-sided application
    clean = own_use_rates(glue_waste_share=exact_spread(0, "t"))
    joint = adhesive_ml(area_mm2=1e6, use=clean)
    assert 200.0 <= joint.expected <= 300.0
    # the same instruction: 3.3 to 5 m2 of joint per litre
    assert 3.3 <= 1000 / joint.expected <= 5.0


def test_a_second_coat_on_thirsty_faces_lies_in_the_range() -> None:
    # shoe adhesive sheet, scribd 438215434: very absorbent leather gets a priming coat first
    assert adhesive_ml(area_mm2=1e6, use=DEFAULT_USE_RATES).high > 2 * 250.0


def test_paste_glue_on_one_face_takes_150_to_200_grams() -> None:
    # data sheets of white glue, from memory: 150 to 200 g per m2 on one face, at about 1.08 g/ml
    low, high = 150 / 1.08, 200 / 1.08
    paste = own_use_rates(
        glue_faces=exact_spread(1, "t"),
        glue_ml_per_m2=Spread(low=low, expected=(low + high) / 2, high=high, sources=("t",)),
        glue_coats=exact_spread(1, "t"),
        glue_waste_share=exact_spread(0, "t"),
    )
    spread = adhesive_ml(area_mm2=1e6, use=paste)
    assert [spread.low, spread.high] == pytest.approx([low, high])


def test_dye_of_a_square_metre_is_its_wet_film() -> None:
    # coverage (m2 per l) = 1000 / wet film (um), by definition: two coats of 45 um on one face
    sure = own_use_rates(absorbency_share=exact_spread(0, "t"), dye_ml_per_m2=exact_spread(45, "t"))
    dye = dye_ml(area_mm2=1e6, use=sure, factors=(), coats=exact_spread(2, "t"))
    assert dye.expected == pytest.approx(2 * 45.0)
    assert pytest.approx(22.2, abs=0.05) == 1000 / 45


def test_rough_faces_take_up_to_twice_as_much() -> None:
    # a coating maker's support page: coverage is "up to 50 % less" on bare or rough surfaces
    assert DEFAULT_USE_RATES.flesh_factor.high == 1 / (1 - 0.5)


def test_shares_of_a_batch_follow_a_published_allocation() -> None:
    # joint costs by physical measure (open textbooks of cost accounting, from memory): 60,000 for
    # 20,000 and 10,000 units is 40,000 and 20,000
    shares = [
        sheath_share_mm2(consumed_mm2=60_000.0, own_net_mm2=units, net_mm2=30_000.0)
        for units in (20_000.0, 10_000.0)
    ]
    assert shares == [40_000.0, 20_000.0]

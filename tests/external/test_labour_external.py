"""Times and waits against published flat rates, data sheets and standards."""

import pint
import pytest

from estimator.pattern.tools import USUAL_TOOLS
from estimator.takeoff.combine import sum_by_cause
from estimator.takeoff.quantity import Spread, exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.takeoff.work.drying import REFERENCE_MM, drying_min
from estimator.takeoff.work.labour import labour_quantities, timed_steps
from estimator.takeoff.work.tool_passes import Piercing, iron_strikes, piercing
from estimator.units import MM_PER_INCH, MM_PER_OUNCE
from tests.takeoff.sheath_samples import line

pytestmark = pytest.mark.external

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()
USE = DEFAULT_USE_RATES
INCH = float(MM_PER_INCH)
OUNCE = float(MM_PER_OUNCE)


def hours(value: float) -> float:
    return float(UREG.Quantity(value, "hour").to("minute").magnitude)


def test_cutting_lies_between_two_readings_of_the_saddle_makers_sheet() -> None:
    # saddlemakers.org, page id341: two straps of 1.5 x 30 in are cut in 6.25 min; the sheet does
    # not say whether that is for both or for each
    both_m = 2 * 2 * (1.5 + 30) * INCH / 1000
    assert 6.25 / both_m <= USE.cut_min_per_m.expected <= 6.25 / (both_m / 2)


def test_edges_lie_between_two_readings_of_the_saddle_makers_sheet() -> None:
    # the same page: edges, oil and top coat of the two straps take 12.5 min
    both_m = 2 * 2 * (1.5 + 30) * INCH / 1000
    assert 12.5 / both_m <= USE.edge_min_per_m.expected <= 12.5 / (both_m / 2)


def test_the_times_of_a_sheet_add_up_as_printed() -> None:
    # the same page prints 6.25 + 1.75 + 12.50 + 5.50 = 26.00 min; the take-off adds its steps alike
    times = {"cut": 6.25, "punch": 1.75, "edge": 12.50, "sew": 5.50}
    whole = sum_by_cause((name, exact_spread(minutes, "sheet")) for name, minutes in times.items())
    assert (whole.low, whole.expected, whole.high) == (26.0, 26.0, 26.0)


@pytest.mark.parametrize("minutes", [10, 20, 30, 40])
def test_cement_flashes_off_as_long_as_data_sheets_say(minutes: int) -> None:
    # bondrite.co.uk, industrial contact adhesive guide: about 10 min, open over 20; DAP technical
    # bulletin (studylib 18538479): water-borne contact cement dries in 30 to 40 min
    assert USE.cement_open_min.low <= minutes <= USE.cement_open_min.high


def test_a_water_borne_finish_takes_72_hours_to_full_resistance() -> None:
    # pioneerleather.com, FAQ: touch dry in minutes, full chemical resistance in about 72 h
    assert USE.finish_cure_min.high == hours(72)


def test_drying_is_at_least_the_standard_s_conditioning() -> None:
    # ISO 2419 conditions leather for 24 h at least; 48 h before check measurement is a code of
    # practice (both by excerpt)
    assert USE.form_dry_min.expected == hours(24)
    assert USE.form_dry_min.high == hours(48)


def test_waits_are_for_leather_of_eight_to_nine_ounces() -> None:
    # 1 oz of leather is 1/64 in (trade standard): 8 oz 3.175 mm, 9 oz 3.572 mm
    assert pytest.approx(3.175) == 8 * OUNCE
    assert 8 * OUNCE <= REFERENCE_MM <= 9 * OUNCE


@pytest.mark.parametrize("wait", [USE.form_dry_min, USE.finish_cure_min])
def test_drying_is_linear_in_thickness_but_not_proportional(wait: Spread) -> None:
    # sltc.org, abstract on the drying of chrome-tanned leather of 2.0 to 4.5 mm: drying times are
    # "linearly related, but not directly proportional to leather thickness"
    def dried(thickness_mm: float) -> float:
        return drying_min(
            wait,
            thickness_mm=thickness_mm,
            thickness_share=USE.drying_by_thickness_share,
        ).expected

    two, middle, four = dried(2.0), dried(3.25), dried(4.5)
    assert middle - two == pytest.approx(four - middle)
    assert 1 < four / two < 4.5 / 2.0


def test_an_iron_of_n_tines_makes_n_minus_one_stitches() -> None:
    # fineleatherworking.com, "How many stitches per inch": in the same span there is one stitch
    # less than teeth, "because you need two teeth to make one stitch"
    for tines in range(2, 13):
        assert iron_strikes(holes=tines, tines=tines) == 1
        assert iron_strikes(holes=tines + 1, tines=tines) == 2


def test_two_layers_of_six_ounces_are_punched_and_three_of_eight_need_both_sides() -> None:
    # leatherworker.net 6447: hand-stitched sheaths are about 1/2 in thick; bladeforums 220977 and
    # weaverleathersupply.com, "Using a chisel on multiple plies": a chisel does not go through
    # three plies of holster leather well
    assert piercing(stack_mm=2 * 6 * OUNCE, tools=USUAL_TOOLS) is Piercing.ONE_SIDE
    assert piercing(stack_mm=3 * 8 * OUNCE, tools=USUAL_TOOLS) is Piercing.BOTH_SIDES
    assert piercing(stack_mm=INCH / 2, tools=USUAL_TOOLS) is Piercing.BOTH_SIDES


@pytest.mark.parametrize("listed_mm", [44, 51, 57, 65])
def test_listed_awls_go_through_what_no_iron_does(listed_mm: float) -> None:
    # community guide to thread sizes: awl blades of 38 to 65 mm; the usual one is the second
    assert USUAL_TOOLS.awl_reach_mm <= listed_mm
    assert piercing(stack_mm=listed_mm, tools=USUAL_TOOLS) is Piercing.AWL


def test_waiting_of_a_wet_formed_sheath_lasts_days_and_is_not_paid() -> None:
    # makers' threads: dry the formed sheath 24 h or so; 24 to 48 h before oil (common practice)
    labour, waiting = labour_quantities(timed_steps([line(wet_formed=True)], {}, USE))
    assert waiting.quantity >= hours(24) + hours(24)
    assert not waiting.is_priced
    assert labour.quantity < hours(8)

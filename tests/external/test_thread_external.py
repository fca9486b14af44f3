"""Thread and holes against published tables and worked examples.

Lockstitch (ISO 4915 type 301) and saddle stitch have the same geometry: each
stitch shows one pitch on both faces and crosses the stack twice. So textile
worked examples check the saddle stitch as they stand.
"""

import pytest
from shapely import LineString

from estimator.pattern.parts import Seam
from estimator.takeoff.materials.stitch_geometry import (
    lockstitch_thread_mm,
    pitch_mm_from_spi,
    saddle_stitch_thread_mm,
    spi_from_pitch_mm,
)
from estimator.takeoff.materials.thread import (
    thread_by_geometry,
    thread_by_multiplier,
)
from estimator.takeoff.quantity import Spread
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from estimator.units import MM_PER_INCH, MM_PER_OUNCE

pytestmark = pytest.mark.external

INCH = float(MM_PER_INCH)
OUNCE = float(MM_PER_OUNCE)


def flat(value: float) -> Spread:
    return Spread(low=value, expected=value, high=value, sources=("test",))


def ratio(*, stack_mm: float, pitch_mm: float) -> float:
    """Thread over seam length."""
    return saddle_stitch_thread_mm(seam_mm=1.0, pitch_mm=pitch_mm, stack_mm=stack_mm)


def seam_of(length_mm: float) -> Seam:
    return Seam(
        name="s",
        part="a",
        path=LineString([(0, 0), (length_mm, 0)]),
        layers=("a", "b"),
        pitch_mm=4.0,
        glue_width_mm=0.0,
        backstitches=0,
        thread="thread",
    )


def test_lockstitch_worked_example_of_2_2_inches_per_inch() -> None:
    # textilecalculations.com, "Sewing thread consumption", problem 2: type 301,
    # T = 0.01 in, S = 10 per inch -> 2 + 2 x 0.01 x 10 = 2.2
    assert ratio(stack_mm=0.01 * INCH, pitch_mm=INCH / 10) == pytest.approx(2.2)


@pytest.mark.parametrize(
    ("thickness_in", "printed"),
    [(0.055, 4.88), (0.060, 4.96), (0.065, 5.04), (0.070, 5.12), (0.075, 5.20)],
)
def test_thickness_term_of_a_thread_makers_chart(thickness_in: float, printed: float) -> None:
    # Thread maker's bulletin "Estimating thread consumption" (chart of a sewing machine
    # maker), type 401 at 8 stitches per inch. Type 401 has 4 where 301 has 2; the term for
    # crossing the fabric, 2 x thickness x stitches, is the same.
    crossing = ratio(stack_mm=thickness_in * INCH, pitch_mm=INCH / 8) - ratio(
        stack_mm=0.0, pitch_mm=INCH / 8
    )
    assert 4 + crossing == pytest.approx(printed, abs=0.005)


def test_chainstitch_example_shares_the_crossing_term() -> None:
    # textilecalculations.com, problem 1: type 101, T = 0.005 in, S = 9 ->
    # 3 + 2 x 0.005 x 9 = 3.09
    crossing = ratio(stack_mm=0.005 * INCH, pitch_mm=INCH / 9) - 2
    assert 3 + crossing == pytest.approx(3.09)


@pytest.mark.parametrize(
    ("multiplier", "seam_cm", "printed_cm"),
    [(1.3, 100, 130), (4.1, 100, 410), (2.5, 220, 550)],
)
def test_multiplier_worked_examples(multiplier: float, seam_cm: float, printed_cm: float) -> None:
    # apparelscience.com, "Measuring actual thread consumption": 19.5 / 15 cm -> 1.3 and
    # 62.0 / 15 cm -> 4.1 on a seam of 100 cm; stitch ratio example: 220 cm x 2.5 = 550 cm
    use = own_use_rates(thread_multiplier=flat(multiplier))
    assert thread_by_multiplier(seam_cm * 10.0, use).expected == pytest.approx(printed_cm * 10.0)


@pytest.mark.parametrize(
    ("sewn", "printed"),
    [(540.0, 621.0), (6.63, 7.62)],
)
def test_waste_of_15_percent_as_published(sewn: float, printed: float) -> None:
    # apparelscience.com: (130 + 410) cm + 15 % = 621 cm; thread maker's bulletin:
    # 6.63 yd + 15 % = 7.62 yd. A stack of 0 makes the sewn length twice the seam.
    use = own_use_rates(thread_tail_mm=flat(0.0), thread_waste_share=flat(0.15))
    thread = thread_by_geometry(seam_of(sewn / 2), stack_mm=0.0, use=use).expected
    assert thread == pytest.approx(printed, abs=0.006)


def test_needle_and_looper_measured_on_three_inches() -> None:
    # Thread maker's bulletin: 9 in and 8 in of thread in 3 in of seam -> 3 and 2.67; a seam of
    # 42 in = 1.17 yd takes 3.51 + 3.12 = 6.63 yd, as the bulletin rounds its ratios
    seam_yd = round(42 / 36, 2)
    needle = thread_by_multiplier(seam_yd, own_use_rates(thread_multiplier=flat(9 / 3)))
    looper = thread_by_multiplier(seam_yd, own_use_rates(thread_multiplier=flat(round(8 / 3, 2))))
    assert needle.expected == pytest.approx(3.51)
    assert looper.expected == pytest.approx(3.12, abs=0.005)
    assert needle.expected + looper.expected == pytest.approx(6.63, abs=0.005)


@pytest.mark.parametrize(("stack_over_pitch", "times"), [(0.5, 3.0), (1.0, 4.0), (2.0, 6.0)])
def test_ratio_at_simple_stacks_from_first_principles(
    stack_over_pitch: float, times: float
) -> None:
    # 2 x (1 + t/p): the "4 times the seam" of makers' guides is a stack as thick as the pitch
    assert ratio(stack_mm=4.0 * stack_over_pitch, pitch_mm=4.0) == times


def test_three_layers_of_heavy_leather_lie_in_the_published_6_to_8() -> None:
    # "6x to 8x by thickness" is a sheath maker's published rule; three layers of 8.5 oz at
    # 6 stitches per inch are such a sheath
    times = ratio(stack_mm=3 * 8.5 * OUNCE, pitch_mm=pitch_mm_from_spi(6))
    assert 6 <= times <= 8
    assert times == pytest.approx(6.78, abs=0.005)
    rule = DEFAULT_USE_RATES.thread_multiplier
    assert rule.low <= times <= rule.high


@pytest.mark.parametrize(
    ("spi", "printed_mm"),
    [(5, 5.08), (6, 4.233), (7, 3.629), (8, 3.175), (9, 2.822), (10, 2.54), (12, 2.117),
     (14, 1.814)],
)  # fmt: skip
def test_stitches_per_inch_are_exact(spi: int, printed_mm: float) -> None:
    # 25.4 mm to the inch (international yard agreement of 1959)
    assert pitch_mm_from_spi(spi) == pytest.approx(printed_mm, abs=0.0005)
    assert spi_from_pitch_mm(pitch_mm_from_spi(spi)) == pytest.approx(spi)


def test_two_and_a_half_millimetres_are_ten_stitches_per_inch() -> None:
    # two sewing pages print 2.5 mm = 10.16 stitches per inch
    assert spi_from_pitch_mm(2.5) == pytest.approx(10.16)


@pytest.mark.parametrize(
    ("label", "sold_mm"),
    [(5, 5.4), (6, 4.5), (7, 3.9), (8, 3.4), (9, 3.0), (10, 2.7), (12, 2.3), (14, 1.9)],
)
def test_an_iron_s_label_is_a_name_and_not_a_measure(label: int, sold_mm: float) -> None:
    # community guide to thread sizes and stitches per inch: sold irons are wider than their
    # label by 5 to 9 %, which is why seams are given by their pitch
    assert 1.04 < sold_mm / pitch_mm_from_spi(label) < 1.10


@pytest.mark.parametrize(("thickness_in", "spi", "printed"), [(0.01, 10, 2.2)])
def test_needle_and_bobbin_of_a_lockstitch_share_the_published_sum(
    thickness_in: float, spi: int, printed: float
) -> None:
    # textilecalculations.com, problem 2, type 301: 2.2 in per inch for both threads; a balanced
    # stitch meets in the middle of the fabric (ISO 4915, 301), so each takes half
    needle, bobbin = lockstitch_thread_mm(
        seam_mm=1.0, pitch_mm=INCH / spi, stack_mm=thickness_in * INCH
    )
    assert needle + bobbin == pytest.approx(printed)
    assert needle == bobbin == pytest.approx(printed / 2)


def test_published_ratio_of_the_lockstitch_is_a_stack_of_a_quarter_pitch() -> None:
    # stitch ratio tables (apparelscience.com): type 301 takes 2.5 times the seam; in the geometry
    # that is a stack of a quarter of the stitch
    needle, bobbin = lockstitch_thread_mm(seam_mm=220.0, pitch_mm=4.0, stack_mm=1.0)
    assert needle + bobbin == pytest.approx(550.0)


@pytest.mark.parametrize(("ratio_rule", "stack_over_pitch"), [(2.5, 0.25), (4.0, 1.0), (6.0, 2.0)])
def test_rules_of_thumb_are_the_geometry_of_some_stack(
    ratio_rule: float, stack_over_pitch: float
) -> None:
    # bushcraft forum 52578: 2.5 times; two makers' guides: 4 times; HackSpace magazine, "Forge":
    # 6 times for a sheath of 2 mm leather at 4 mm; each is 2 x (1 + t/p) of one stack
    assert ratio(stack_mm=stack_over_pitch * 4.0, pitch_mm=4.0) == ratio_rule
    rule = DEFAULT_USE_RATES.thread_multiplier
    assert rule.low <= ratio_rule <= rule.high


def test_the_magazine_s_sheath_takes_less_than_its_rule() -> None:
    # the same page: 2 mm leather, holes 4 mm apart, 6 times the seam; the geometry of its stack
    # of 4 mm takes 4 times, so the rule leaves a half on top
    assert ratio(stack_mm=4.0, pitch_mm=4.0) * 1.5 == 6.0


def test_a_foot_more_for_the_needles_lies_in_the_tails() -> None:
    # a hand-sewing page: 4 times the seam and one foot more for both needles
    tails = DEFAULT_USE_RATES.thread_tail_mm
    assert 2 * tails.low <= 12 * INCH <= 2 * tails.high
    assert 2 * tails.expected == pytest.approx(12 * INCH, rel=0.02)


def test_waste_of_sewing_rooms_lies_in_the_range() -> None:
    # apparelscience.com: 10 to 15 % wastage
    assert DEFAULT_USE_RATES.thread_waste_share.high == 0.15

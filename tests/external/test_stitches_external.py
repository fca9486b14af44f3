"""Stitch counts against published stitches per length and fence-post arithmetic."""

from math import pi

import pytest
from shapely import LineString, Point

from estimator.pattern.hole_spacing import spacing, stitch_count
from estimator.takeoff.materials.stitch_geometry import saddle_stitch_thread_mm
from estimator.units import MM_PER_INCH

pytestmark = pytest.mark.external

INCH = float(MM_PER_INCH)


@pytest.mark.parametrize(
    ("spi", "printed_mm"),
    [(5, 5.08), (6, 4.233), (7, 3.629), (8, 3.175), (9, 2.822), (10, 2.54), (12, 2.117),
     (14, 1.814)],
)  # fmt: skip
@pytest.mark.parametrize("inches", [1, 6, 10])
def test_a_line_of_whole_inches_has_so_many_stitches_per_inch(
    spi: int, printed_mm: float, inches: int
) -> None:
    # stitches per inch are 25.4 mm over the pitch (international yard agreement of 1959);
    # the pitches are printed to 0.001 mm in conversion tables of two sewing pages
    row = spacing(LineString([(0, 0), (inches * INCH, 0)]), pitch_mm=printed_mm)
    assert row.stitches == spi * inches
    assert len(row.at_mm) == spi * inches + 1
    assert row.pitch_mm == pytest.approx(INCH / spi)
    assert row.pitch_mm == pytest.approx(printed_mm, abs=0.0005)


def test_two_and_a_half_millimetres_are_ten_stitches_to_the_inch() -> None:
    # two sewing pages print 2.5 mm = 10.16 stitches per inch: 1016 on a hundred inches
    assert stitch_count(seam_mm=100 * INCH, pitch_mm=2.5) == 1016


@pytest.mark.parametrize(
    ("label", "sold_mm"),
    [(5, 5.4), (6, 4.5), (7, 3.9), (8, 3.4), (9, 3.0), (10, 2.7), (12, 2.3), (14, 1.9)],
)
def test_sold_irons_give_fewer_stitches_than_their_label_says(label: int, sold_mm: float) -> None:
    # community guide to thread sizes and stitches per inch: irons are spaced 5 to 9 % wider
    # than their label
    sewn = spacing(LineString([(0, 0), (10 * INCH, 0)]), pitch_mm=sold_mm).stitches
    assert 0.90 <= sewn / (10 * label) <= 0.96


@pytest.mark.parametrize(
    ("length_mm", "pitch_mm", "stitches"), [(100.0, 4.0, 25), (102.1, 4.0, 26), (101.9, 4.0, 25)]
)
def test_holes_on_open_and_closed_seams(length_mm: float, pitch_mm: float, stitches: int) -> None:
    # fence-post arithmetic: N stitches have N + 1 holes on a line and N on a loop
    line = spacing(LineString([(0, 0), (length_mm, 0)]), pitch_mm=pitch_mm)
    assert (line.stitches, len(line.at_mm)) == (stitches, stitches + 1)
    ring = Point(0, 0).buffer(length_mm / (2 * pi), quad_segs=500).exterior
    loop = spacing(LineString(ring.coords), pitch_mm=pitch_mm)
    assert (loop.stitches, len(loop.at_mm)) == (stitches, stitches)


def test_thread_of_a_seam_that_comes_out_even_is_the_published_lockstitch_figure() -> None:
    # textilecalculations.com, "Sewing thread consumption", problem 2: type 301, T = 0.01 in,
    # S = 10 per inch -> 2.2 in per inch of seam; laid out over 10 in
    row = spacing(LineString([(0, 0), (10 * INCH, 0)]), pitch_mm=INCH / 10)
    thread = saddle_stitch_thread_mm(
        seam_mm=row.length_mm, pitch_mm=row.pitch_mm, stack_mm=0.01 * INCH
    )
    assert row.stitches == 100
    assert thread / row.length_mm == pytest.approx(2.2)

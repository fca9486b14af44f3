"""Bends, pockets and arcs against published sheet-metal figures and closed forms."""

from math import acos, pi

import pytest
from shapely import Polygon, box

from estimator.geometry.shapes import rounded_rectangle
from estimator.pattern.blades import HandleSection, handle_girth_mm
from estimator.pattern.draft.bends import Bend, folded_girth_mm
from estimator.pattern.draft_choices import Throat
from tests.pattern import draft_samples as samples

pytestmark = pytest.mark.external

NAVY_SHARE = 0.0078 * 180.0 / pi
"""US Navy training manual (tpub.com/air/13-19.htm): allowance = (0.0173 R + 0.0078 T) N for a bend
of N degrees. 0.0173 is pi / 180 cut short, so 0.0078 is K pi / 180 with K = 0.447."""


@pytest.mark.parametrize("angle_deg", [15.0, 45.0, 90.0, 120.0, 180.0])
@pytest.mark.parametrize(("radius", "thickness"), [(0.16, 0.040), (0.125, 0.125), (1.5, 3.0)])
def test_bend_allowance_is_the_navy_formula(
    angle_deg: float, radius: float, thickness: float
) -> None:
    bend = Bend(
        angle_deg=angle_deg,
        inside_radius_mm=radius,
        thickness_mm=thickness,
        neutral_axis_share=NAVY_SHARE,
    )
    navy = (0.0173 * radius + 0.0078 * thickness) * angle_deg
    assert bend.allowance_mm == pytest.approx(navy, rel=0.01)  # it prints three figures


def test_the_faa_handbook_channel_comes_out() -> None:
    """FAA-H-8083-31 chapter 4, figure 4-124, inches: 0.040 sheet, radius 0.16, 90 degrees.

    (0.01743 x 0.16 + 0.0078 x 0.040) x 90 = 0.279, and the channel of 1.00, 2.00, 1.00 in is
    0.8 + 1.6 + 0.8 + 2 x 0.279 in wide on the flat.
    """
    bend = Bend(
        angle_deg=90.0,
        inside_radius_mm=0.16,
        thickness_mm=0.040,
        neutral_axis_share=0.0078 / 0.01743,
    )
    assert bend.allowance_mm == pytest.approx(0.279, abs=0.0006)
    setback = bend.inside_radius_mm + bend.thickness_mm
    flats = (1.00 - setback) + (2.00 - 2.0 * setback) + (1.00 - setback)
    assert flats + 2.0 * bend.allowance_mm == pytest.approx(3.758, abs=0.001)


@pytest.mark.parametrize(("share", "face_mm"), [(0.0, pi * 1.5), (0.5, pi * 3.0), (1.0, pi * 4.5)])
def test_a_fold_of_half_a_turn_lies_between_inside_and_outside_arc(
    share: float, face_mm: float
) -> None:
    bend = Bend(angle_deg=180.0, inside_radius_mm=1.5, thickness_mm=3.0, neutral_axis_share=share)
    assert bend.allowance_mm == pytest.approx(face_mm)


@pytest.mark.parametrize("depth_mm", [25.0, 40.0])
@pytest.mark.parametrize("spine_mm", [1.0, 3.0, 8.0])
@pytest.mark.parametrize("thickness_mm", [2.0, 3.5])
@pytest.mark.parametrize("share", [0.0, 0.447, 0.5, 1.0])
@pytest.mark.parametrize("welts", [1, 2])
def test_the_girth_of_a_folded_pocket_is_that_of_its_cross_section(
    depth_mm: float, spine_mm: float, thickness_mm: float, share: float, welts: int
) -> None:
    """The section is drawn out in arcs and straight lines and measured as a polygon."""
    inside = samples.section(
        depth_mm=depth_mm,
        spine_mm=spine_mm,
        thickness_mm=thickness_mm,
        share=share,
        welts=welts,
    )
    assert inside is not None
    assert inside.is_valid
    girth = folded_girth_mm(
        depth_mm=depth_mm,
        thickness_mm=thickness_mm,
        neutral_axis_share=share,
        welts_mm=welts * thickness_mm,
    )
    assert inside.length == pytest.approx(girth, abs=0.005)


def test_an_oval_handle_has_the_perimeter_of_the_ellipse() -> None:
    """Half the perimeter of an ellipse of 30 by 20 mm is 39.664 mm (complete elliptic integral)."""
    girth = handle_girth_mm(width_mm=30.0, thickness_mm=20.0, section=HandleSection.OVAL)
    assert girth / 2.0 == pytest.approx(39.664, abs=0.0005)
    circle = handle_girth_mm(width_mm=20.0, thickness_mm=20.0, section=HandleSection.OVAL)
    assert circle == pytest.approx(20.0 * pi)
    flat = handle_girth_mm(width_mm=30.0, thickness_mm=0.0, section=HandleSection.OVAL)
    assert flat == pytest.approx(60.0)


def test_corners_at_the_tip_are_arcs_of_the_radius_asked_for() -> None:
    """A quarter circle of radius r takes (1 - pi / 4) r^2 from a square corner."""
    chisel = samples.blade(box(0.0, -24.0, 100.0, 0.0))
    body = samples.pattern(blade=chisel, handle_covered_mm=0.0, tip_radius_mm=16.0).part("body")
    right, top = body.outline.bounds[2:]
    corner = Polygon([(right, 0), (right, top), (right - 16.0, top), (right - 16.0, 0)])
    cut_off = corner.difference(body.outline).area
    assert cut_off == pytest.approx((1.0 - pi / 4.0) * 256.0, abs=1.0)


def test_a_curved_throat_is_a_circular_arc() -> None:
    """The segment of a circle of chord c and height h has area r^2 acos(1 - h/r) - (r - h) c/2."""
    straight = samples.pattern().part("body").outline
    curved = samples.pattern(throat=Throat.CURVED, throat_depth_mm=8.0).part("body").outline
    chord = straight.bounds[3] - straight.bounds[1]
    radius = (chord**2 / 4.0 + 64.0) / 16.0
    segment = radius**2 * acos(1.0 - 8.0 / radius) - (radius - 8.0) * chord / 2.0
    assert straight.area - curved.area == pytest.approx(segment, rel=0.002)


def test_rounded_strips_keep_the_area_of_their_closed_form() -> None:
    """A strip of length a, width b and corner radius r covers a b - (4 - pi) r^2."""
    (loop,) = [
        part for part in samples.pattern(belt_loop=samples.LOOP).parts if part.name == "belt loop"
    ]
    left, bottom, right, top = loop.outline.bounds
    wanted = (right - left) * (top - bottom) - (4.0 - pi) * 16.0  # corners of 4 mm
    assert loop.outline.area == pytest.approx(wanted, abs=0.2)
    assert rounded_rectangle(length_mm=10, width_mm=10, radius_mm=5).area == pytest.approx(
        25.0 * pi, rel=0.002
    )

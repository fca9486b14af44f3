"""Shapes, hides and poses made at random, for properties that must always hold."""

from math import cos, sin, tau

from hypothesis import strategies as st
from shapely import Polygon

from estimator.geometry.pose import Pose
from estimator.geometry.shapes import ellipse, polygon_from_points, rectangle
from estimator.hide.hides import Flaw
from estimator.quality import Spoil

lengths_mm = st.floats(1.0, 500.0)
places_mm = st.floats(-1000.0, 1000.0)
angles_deg = st.floats(-360.0, 360.0)
poses = st.builds(
    Pose, x_mm=places_mm, y_mm=places_mm, rotation_deg=angles_deg, mirrored=st.booleans()
)


@st.composite
def star_outlines(draw: st.DrawFn) -> Polygon:
    """A simple polygon that sees all of its edge from the middle, 3 to 24 corners."""
    radii = draw(st.lists(st.floats(5.0, 300.0), min_size=3, max_size=24))
    start = draw(st.floats(0.0, tau))
    ring = [
        (r * cos(start + tau * k / len(radii)), r * sin(start + tau * k / len(radii)))
        for k, r in enumerate(radii)
    ]
    return polygon_from_points(ring)


@st.composite
def flaws(draw: st.DrawFn) -> Flaw:
    """A round or turned flaw of any degree near the origin."""
    make = draw(st.sampled_from([ellipse, rectangle]))
    outline = make(
        center=(draw(places_mm), draw(places_mm)),
        length_mm=draw(lengths_mm),
        width_mm=draw(lengths_mm),
        turn_deg=draw(angles_deg),
    )
    return Flaw(outline=outline, kind="stain", spoil=draw(st.sampled_from(Spoil)), note="")

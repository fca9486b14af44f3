"""Whatever the pattern, checking it ends, and every finding points at a part that is there."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box

from estimator.geometry.pose import Pose
from estimator.pattern.belts import with_belt
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.parts import PartKind, Pattern, Seat
from estimator.pattern.stitches import stitch_holes, stitch_line
from estimator.pattern.tools import USUAL_TOOLS
from tests import shop
from tests.strategies import poses, star_outlines
from tests.wording import message, remedy

near = st.tuples(st.floats(-200.0, 200.0), st.floats(-200.0, 200.0))


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    """A star for a body with a fold through its middle, a welt and a loop thrown on it."""
    outline: Polygon = draw(star_outlines())
    fold = LineString([(-400.0, 0.0), (400.0, 0.0)])
    body = shop.part("body", outline, kind=PartKind.BODY, fold_lines=(fold,))

    welt = shop.part(
        "welt", draw(star_outlines()), kind=PartKind.WELT, seat=Seat(part="body", pose=Pose())
    )
    loop = shop.part(
        "loop",
        box(0, 0, 90, 25),
        kind=PartKind.LOOP,
        fold_lines=draw(st.sampled_from([(), (LineString([(45, 0), (45, 25)]),)])),
        seat=draw(st.sampled_from([Seat(part="body", pose=draw(poses)), None])),
    )
    seams = [
        shop.seam(
            f"seam {k}",
            LineString(draw(st.lists(near, min_size=2, max_size=6, unique=True))),
            draw(
                st.sampled_from(
                    [("body", "welt", "body"), ("body", "body"), ("loop", "body"), ("loop", "loop")]
                )
            ),
            pitch_mm=draw(st.floats(1.0, 9.0)),
            corner_mm=draw(st.sampled_from([0.0, 0.5, 1.0])),
        )
        for k in range(draw(st.integers(0, 3)))
    ]
    made = shop.pattern(body, welt, loop, seams=tuple(seams))
    return with_belt(made, 40.0) if draw(st.booleans()) else made


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=60)
@given(made=patterns())
def test_checking_ends_and_points_at_parts_that_are_there(made: Pattern) -> None:
    names = {part.name for part in made.parts}
    for check in pattern_checks(made, USUAL_TOOLS):
        assert message(check)
        assert remedy(check)
        assert {place.part for place in check.places} <= names
        assert all(place.points for place in check.places)


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=60)
@given(made=patterns())
def test_holes_to_punch_lie_on_their_part(made: Pattern) -> None:
    for part in made.parts:
        reach = part.outline.buffer(0.1)
        assert all(reach.covers(Point(hole)) for hole in stitch_holes(made, part.name))
    for seam in made.seams:
        line = stitch_line(made, seam)
        assert {len(mate.holes) for mate in line.mates} <= {len(line.holes)}

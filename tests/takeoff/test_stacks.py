"""Leather under each stitch."""

from statistics import mean

import pytest
from shapely import LineString

from estimator.geometry.pose import Pose
from estimator.pattern.parts import PartKind, Seam, Seat
from estimator.takeoff.lines import LineToMake, seam_stack_mm
from estimator.takeoff.materials.stacks import stitch_stacks_mm
from estimator.takeoff.materials.thread import thread_by_geometry, thread_quantities
from estimator.takeoff.use import DEFAULT_USE_RATES
from tests.shop import LOAD, part, pattern, rectangle, seam
from tests.takeoff.sheath_samples import LOOP_SEAM, MAIN, line
from tests.wording import said

USE = DEFAULT_USE_RATES


def half_welted(*, layers: tuple[str, ...] = ("body", "welt", "body")) -> tuple[LineToMake, Seam]:
    """A folded body of 100 mm height whose welt ends half way up its edge."""
    body = part("body", rectangle(120, 100), kind=PartKind.BODY,
                fold_lines=(LineString([(60, 0), (60, 100)]),))  # fmt: skip
    welt = part("welt", rectangle(10, 50), LOAD, kind=PartKind.WELT,
                seat=Seat(part="body", pose=Pose(x_mm=0, y_mm=0)))  # fmt: skip
    edge = seam("edge", LineString([(4, 2), (4, 98)]), layers, backstitches=0)
    return LineToMake(key="j", pattern=pattern(body, welt, seams=(edge,)), quantity=1), edge


def test_a_welt_counts_only_as_far_as_it_reaches() -> None:
    made, edge = half_welted()
    stacks = stitch_stacks_mm(made, edge, {("j", "body"): 3.0, ("j", "welt"): 4.0})
    assert len(stacks) == 24
    assert stacks[0] == pytest.approx(10.0)
    assert stacks[-1] == pytest.approx(6.0)
    assert list(stacks) == sorted(stacks, reverse=True)
    # holes at 2, 6 ... 98 mm; the welt ends at 50, on the thirteenth of them
    assert sum(stack > 6.0 for stack in stacks) == 13


def test_two_layers_of_welt_end_where_one_does() -> None:
    made, edge = half_welted(layers=("body", "welt", "welt", "body"))
    stacks = stitch_stacks_mm(made, edge, {("j", "body"): 3.0, ("j", "welt"): 4.0})
    assert [stacks[0], stacks[-1]] == pytest.approx([14.0, 6.0])


def test_layers_of_unknown_place_count_all_along() -> None:
    for each in (MAIN, LOOP_SEAM):
        stacks = stitch_stacks_mm(line(), each, {})
        assert stacks == pytest.approx([seam_stack_mm(line(), each, {})] * len(stacks))


def test_no_stitch_goes_through_more_than_all_layers() -> None:
    made, edge = half_welted()
    assert max(stitch_stacks_mm(made, edge, {})) <= seam_stack_mm(made, edge, {}) + 1e-9


def test_thread_follows_the_stack_stitch_by_stitch() -> None:
    made, edge = half_welted()
    rows = {said(row.name): row for row in thread_quantities([made], {}, USE)}
    row = rows["waxed thread, by stitch geometry"]
    core = 2 * 96.0 + 2 * sum(stitch_stacks_mm(made, edge, {}))
    assert row.quantity * 1000 == pytest.approx(core + 2 * 150)
    assert "the stack 6.50 to 9.75 mm along the seam" in said(row.basis)
    full = thread_by_geometry(edge, stack_mm=seam_stack_mm(made, edge, {}), use=USE)
    assert row.quantity * 1000 < full.expected
    assert mean(stitch_stacks_mm(made, edge, {})) < seam_stack_mm(made, edge, {})

"""Whatever the blade and the leather: a draft can be cut, holds the blade, and comes out again."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from estimator.pattern.blades import girth_mm
from estimator.pattern.draft.profile import on_knife_mm, stations_mm
from estimator.pattern.draft_choices import Construction, Draft
from estimator.pattern.parts import Hand, PartKind
from estimator.pattern.stitches import stitch_line
from tests.pattern import draft_samples as samples

FOLD_OVERS = samples.drafts(Construction.FOLD_OVER)
POUCHES = samples.drafts(Construction.POUCH)
hands = st.sampled_from(Hand)
often = settings(deadline=None, max_examples=30)
"""A draft takes some 20 ms."""


@often
@given(samples.drafts(), hands)
def test_every_part_is_a_simple_polygon_without_needless_points(draft: Draft, hand: Hand) -> None:
    made = samples.make(draft, hand).pattern
    for part in made.parts:
        assert part.outline.is_valid
        assert part.outline.exterior.is_ccw
        assert not part.outline.interiors
        assert part.outline.area > 50.0
        assert len(part.outline.exterior.coords) < 400
        assert part.outline.simplify(0.001).hausdorff_distance(part.outline) < 0.005


@often
@given(FOLD_OVERS, hands)
def test_a_fold_over_is_symmetric_about_its_fold(draft: Draft, hand: Hand) -> None:
    body = samples.make(draft, hand).pattern.part("body")
    points = set(body.outline.exterior.coords)
    assert points == {(x, 0.0 - y) for x, y in points}
    (fold,) = body.fold_lines
    assert {y for _, y in fold.coords} == {0.0}
    assert body.outline.covers(fold)


@often
@given(FOLD_OVERS, hands)
def test_the_pocket_of_a_fold_over_holds_the_knife_and_the_clearance(
    draft: Draft, hand: Hand
) -> None:
    made = samples.make(draft, hand).pattern
    drawn = 0
    places = [at for at in stations_mm(draft) if at > draft.throat_depth_mm][::11]
    for thickness in {draft.leather_min_mm, draft.leather_max_mm}:
        for at in places:
            depth = samples.depth_mm(made, at)
            wanted = girth_mm(draft.blade, on_knife_mm(draft, at)) + draft.girth_clearance_mm
            inside = samples.section(
                depth_mm=depth,
                spine_mm=draft.blade.spine_thickness_mm,
                thickness_mm=thickness,
                share=draft.neutral_axis_share,
                welts=draft.welts,
            )
            if inside is not None:  # near a shallow tip no such arcs can be drawn
                drawn += 1
                assert inside.length >= wanted - 0.005  # its arcs are drawn as chords
    assert drawn


@often
@given(POUCHES, hands)
def test_the_pocket_of_a_pouch_holds_the_knife_and_the_clearance(draft: Draft, hand: Hand) -> None:
    parts = samples.make(draft, hand).pattern.parts
    for at in [at for at in stations_mm(draft) if at > draft.throat_depth_mm][::11]:
        inside = box(0.0, 0.0, samples.band_mm(parts, at), draft.welts * draft.leather_min_mm)
        wanted = girth_mm(draft.blade, on_knife_mm(draft, at)) + draft.girth_clearance_mm
        assert inside.length >= wanted


@often
@given(samples.drafts(), hands)
def test_the_welt_lies_within_the_seam_margin_of_its_body(draft: Draft, hand: Hand) -> None:
    made = samples.make(draft, hand).pattern
    for welt in (part for part in made.parts if part.kind is PartKind.WELT):
        assert welt.seat is not None
        body = made.part(welt.seat.part).outline
        assert welt.outline.difference(body.buffer(0.01)).area < 0.01
        margin = body.boundary.buffer(draft.welt_width_mm + 0.1)
        hollow = welt.outline.difference(margin).area
        assert hollow <= 0.01
        if draft.construction is Construction.FOLD_OVER:
            fold = made.part("body").fold_lines[0]
            assert welt.outline.distance(fold) == pytest.approx(draft.leather_max_mm, abs=0.011)


@often
@given(samples.drafts(), hands)
def test_holes_are_as_many_on_every_layer_of_the_closing_seam(draft: Draft, hand: Hand) -> None:
    made = samples.make(draft, hand).pattern
    for seam in made.seams:
        line = stitch_line(made, seam)
        assert line.mates
        for mate in line.mates:
            assert len(mate.holes) == len(line.holes)
            assert mate.length_mm == pytest.approx(line.spacing.length_mm, abs=1e-6)
            assert all(mate.is_on_part)


@often
@given(samples.drafts(), hands)
def test_the_stitch_line_keeps_its_distance_from_the_edge(draft: Draft, hand: Hand) -> None:
    made = samples.make(draft, hand).pattern
    for seam in made.seams:
        edge = made.part(seam.part).outline.boundary
        assert seam.path.distance(edge) == pytest.approx(draft.sewing.from_edge_mm, abs=0.1)


@often
@given(samples.drafts(), hands)
def test_the_same_draft_gives_the_same_pattern(draft: Draft, hand: Hand) -> None:
    assert samples.make(draft, hand) == samples.make(draft, hand)


@often
@given(samples.drafts())
def test_the_left_hand_gets_the_mirror_image(draft: Draft) -> None:
    right, left = (samples.make(draft, hand).pattern for hand in (Hand.RIGHT, Hand.LEFT))
    for one, other in zip(right.parts, left.parts, strict=True):
        assert set(one.outline.exterior.coords) == {
            (x, 0.0 - y) for x, y in other.outline.exterior.coords
        }
        assert one.outline.area == pytest.approx(other.outline.area)

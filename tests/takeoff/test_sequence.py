"""The build sequence: a graph without a cycle that attaches every part."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import scale

from estimator.facts import Statement, statement
from estimator.pattern.tools import USUAL_TOOLS
from estimator.report.text.messages import words
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import Step, exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from estimator.takeoff.work.graph import longest_chain, predecessors, tails, without_detours
from estimator.takeoff.work.labour import TimedStep, labour_quantities, timed_steps
from estimator.units import Units
from tests.shop import pattern
from tests.takeoff.random_lines import batches, line_of_sheaths
from tests.takeoff.sheath_samples import line
from tests.wording import said

USE = DEFAULT_USE_RATES


def steps_of(*lines: LineToMake) -> dict[str, TimedStep]:
    return {said(row.step.name): row for row in timed_steps(lines, {}, USE)}


def before(rows: dict[str, TimedStep], name: str) -> set[str]:
    """Every step that must be done before one."""
    found: set[str] = set()
    for direct in map(said, rows[name].step.after or ()):
        found |= {direct} | before(rows, direct)
    return found


@given(lines=batches())
def test_every_batch_gives_a_graph_in_which_all_can_be_done(lines: tuple[LineToMake, ...]) -> None:
    rows = timed_steps(lines, {}, USE)
    steps = [row.step for row in rows]
    assert len({step.name for step in steps}) == len(steps)
    after = predecessors(steps)
    for here, places in enumerate(after):
        assert all(place < here for place in places)
    # all work leads to the final fit, and starts with the cutting
    names = steps_of(*lines)
    assert before(names, "final fit") == set(names) - {"final fit"}
    for name in names:
        assert name == "mark and cut" or "mark and cut" in before(names, name)


@given(lines=batches())
def test_every_part_of_every_batch_is_attached(lines: tuple[LineToMake, ...]) -> None:
    joined = {name for row in timed_steps(lines, {}, USE) for name in row.step.attaches}
    assert joined == {f"{each.key}/{part.name}" for each in lines for part in each.pattern.parts}


@given(lines=batches())
def test_all_figures_of_a_step_have_their_range_basis_and_source(
    lines: tuple[LineToMake, ...],
) -> None:
    for row in timed_steps(lines, {}, USE):
        assert 0 < row.labour.low <= row.labour.expected <= row.labour.high
        assert 0 <= row.waiting.low <= row.waiting.expected <= row.waiting.high
        assert row.step.labour_min == row.labour.expected
        assert bool(row.step.wait_for) == (row.step.waiting_min > 0)
        assert said(row.step.basis)
        assert words(row.step.sources, Units.METRIC)
        assert bool(words((row.step.wait_for,), Units.METRIC)) == bool(row.step.wait_for)


@given(lines=batches())
def test_labour_of_a_batch_is_no_more_than_of_its_lines_one_by_one(
    lines: tuple[LineToMake, ...],
) -> None:
    together, _ = labour_quantities(timed_steps(lines, {}, USE))
    alone = [labour_quantities(timed_steps([each], {}, USE))[0] for each in lines]
    assert together.quantity <= sum(row.quantity for row in alone) + 1e-9


@given(made=line_of_sheaths(), more=st.integers(1, 50))
def test_labour_per_sheath_never_rises_with_the_quantity(made: LineToMake, more: int) -> None:
    few, _ = labour_quantities(timed_steps([made], {}, USE))
    larger = replace(made, quantity=made.quantity + more)
    many, _ = labour_quantities(timed_steps([larger], {}, USE))
    for less, greater in (
        (few.low, many.low), (few.quantity, many.quantity), (few.high, many.high)
    ):  # fmt: skip
        assert less <= greater + 1e-9
        assert greater / larger.quantity <= less / made.quantity + 1e-9


@given(made=line_of_sheaths(), more=st.integers(1, 50))
def test_waiting_does_not_grow_with_the_quantity(made: LineToMake, more: int) -> None:
    _, few = labour_quantities(timed_steps([made], {}, USE))
    _, many = labour_quantities(
        timed_steps([replace(made, quantity=made.quantity + more)], {}, USE)
    )
    assert (many.low, many.quantity, many.high) == (few.low, few.quantity, few.high)
    assert not many.is_priced


@given(made=line_of_sheaths(), factor=st.floats(1.0, 3.0))
def test_labour_never_falls_with_size(made: LineToMake, factor: float) -> None:
    grown = [
        replace(
            part,
            outline=scale(part.outline, factor, factor, origin=(0, 0)),
            finish_edges=tuple(
                scale(edge, factor, factor, origin=(0, 0)) for edge in part.finish_edges
            ),
        )
        for part in made.pattern.parts
    ]
    larger = replace(made, pattern=replace(made.pattern, parts=tuple(grown)))
    less, _ = labour_quantities(timed_steps([made], {}, USE))
    more, _ = labour_quantities(timed_steps([larger], {}, USE))
    # which edges lie by the closing seam changes with size, so that a step may come or go
    assert more.quantity >= less.quantity - USE.setup_min.expected


def test_sheaths_that_are_formed_and_those_that_are_not_go_their_own_ways() -> None:
    rows = steps_of(line(2), line(3, name="grafting", wet_formed=True))
    formed = before(rows, "dye after forming")
    assert "fit the wrapped blade and wet-form" in formed
    assert not any(name.endswith("(not formed)") for name in formed)
    assert "dye the parts flat" not in formed
    plain = before(rows, "burnish the closed edge (not formed)")
    assert not any(name.endswith("(formed)") for name in plain)
    assert before(rows, "final fit") >= formed | plain


def test_one_kind_of_step_in_two_ways_is_set_up_once() -> None:
    rows = steps_of(line(), line(name="grafting", wet_formed=True))
    first, second = rows["oil (formed)"], rows["oil (not formed)"]
    assert "set-up 4 min" in said(first.step.basis)
    assert 'set-up shared with "oil (formed)"' in said(second.step.basis)
    assert first.step.labour_min - second.step.labour_min == pytest.approx(4.0)


def test_a_pattern_of_one_way_names_its_steps_plainly() -> None:
    for formed in (True, False):
        assert not any("formed)" in name for name in steps_of(line(wet_formed=formed)))


def test_the_edges_under_a_loop_are_done_before_it_is_attached() -> None:
    rows = steps_of(line())
    assert "bevel and burnish edges before assembly" in before(rows, "stitch while flat")
    assert "dye the parts flat" in before(rows, "scuff, cement and press while flat")
    assert "stitch while flat" in before(rows, "scuff, cement and press to close the sheath")
    assert "set hardware while flat" in before(rows, "scuff, cement and press to close the sheath")


def test_skiving_need_not_wait_for_the_dye() -> None:
    assert before(steps_of(line()), "skive welts and linings") == {"mark and cut"}


def test_edges_are_dyed_darker_after_levelling_and_before_the_oil() -> None:
    rows = steps_of(line())
    assert "level the closed edge" in before(rows, "dye the edges darker")
    assert "dye the edges darker" in before(rows, "oil")
    plain = own_use_rates(edge_dye_coats=exact_spread(0, "mine"))
    assert "dye the edges darker" not in {
        said(row.step.name) for row in timed_steps([line()], {}, plain)
    }


def test_a_stack_over_the_tines_is_punched_from_both_sides_or_by_awl() -> None:
    def punched(thickness: float) -> TimedStep:
        given_mm = {("pruning", name): thickness for name in ("body", "welt", "loop")}
        rows = timed_steps([line()], given_mm, USE, USUAL_TOOLS)
        return {said(row.step.name): row for row in rows}["punch to close the sheath"]

    thin, thick, thickest = punched(2.5), punched(4.0), punched(6.0)
    setup = USE.setup_min.expected
    assert thick.step.labour_min - setup == pytest.approx(2 * (thin.step.labour_min - setup))
    assert "holes by awl" in said(thickest.step.basis)
    assert thickest.step.labour_min > thick.step.labour_min


def test_thick_leather_dries_longer() -> None:
    def waits(thickness: float) -> float:
        given_mm = {("pruning", "body"): thickness}
        rows = timed_steps([line(wet_formed=True)], given_mm, USE)
        return {said(row.step.name): row for row in rows}[
            "fit the wrapped blade and wet-form"
        ].step.waiting_min

    assert waits(3.25) == 1440.0
    assert waits(4.875) == pytest.approx(1440 * (1 + 0.75 * 0.5))
    assert waits(1.0) == 1440.0  # the other parts are thicker


def test_a_batch_of_nothing_sewn_still_has_its_order() -> None:
    bare = replace(line(), pattern=replace(line().pattern, seams=(), hardware=(), joins=()))
    rows = steps_of(bare)
    assert "stitch while flat" not in rows
    assert "bevel and burnish edges before assembly" in before(rows, "oil")


def test_labour_is_summed_rate_by_rate() -> None:
    labour, _ = labour_quantities(timed_steps([line()], {}, USE))
    assert labour.basis.key == "sum-by-causes"
    rows = timed_steps([line()], {}, USE)
    assert labour.low > sum(row.labour.low for row in rows)
    assert labour.high < sum(row.labour.high for row in rows)
    # all set-ups hang on one rate: with nothing else uncertain, their ends add
    sure = {
        name: exact_spread(getattr(USE, name).expected, "t")
        for name in type(USE).__slots__
        if "_min" in name and name != "setup_min"
    }
    plain = own_use_rates(**sure, dye_coats=exact_spread(2, "t"), finish_coats=exact_spread(1, "t"),
                          edge_passes=exact_spread(1, "t"))  # fmt: skip
    steps = timed_steps([line()], {}, plain)
    labour, _ = labour_quantities(steps)
    assert labour.quantity - labour.low == pytest.approx(2.0 * len(steps))
    assert labour.high - labour.quantity == pytest.approx(4.0 * len(steps))


def plain_step(name: str, after: tuple[str, ...] | None = None) -> Step:
    return Step(
        name=statement(name),
        labour_min=1,
        waiting_min=0,
        basis=statement("given"),
        sources=(),
        attaches=(),
        after=None if after is None else tuple(map(statement, after)),
    )


@pytest.mark.parametrize(
    "steps",
    [
        [plain_step("a", ("b",)), plain_step("b")],
        [plain_step("a", ("a",))],
        [plain_step("a"), plain_step("a"), plain_step("b", ("a",))],
    ],
)
def test_a_step_after_one_that_does_not_stand_before_it_is_refused(steps: list[Step]) -> None:
    with pytest.raises(ValueError, match="times before"):
        predecessors(steps)


graphs = st.lists(st.lists(st.integers(0, 30), max_size=4), min_size=1, max_size=12).map(
    lambda rows: [sorted({place % here for place in row}) if here else [] for here, row in
                  enumerate(rows)]
)  # fmt: skip


@given(after=graphs, lengths=st.lists(st.floats(0.0, 100.0), min_size=12, max_size=12))
def test_the_longest_chain_is_the_longest_tail(
    after: list[list[int]], lengths: list[float]
) -> None:
    row = lengths[: len(after)]
    longest = longest_chain(after, row)
    assert longest == pytest.approx(max(tails(after, row)))
    assert max(row) <= longest <= sum(row) + 1e-9


@given(after=graphs)
def test_leaving_out_detours_changes_no_order(after: list[list[int]]) -> None:
    named = {str(here): tuple(map(str, row)) for here, row in enumerate(after)}
    short = without_detours(named)

    def reached(graph: dict[str, tuple[str, ...]], name: str) -> set[str]:
        return set(graph[name]).union(*(reached(graph, one) for one in graph[name]))

    for name, direct in named.items():
        assert reached(short, name) == reached(named, name)
        assert set(short[name]) <= set(direct)


def test_a_pattern_without_anything_to_join_is_cut_and_looked_over() -> None:
    bare = LineToMake(key="j", pattern=pattern(), quantity=1)
    assert list(steps_of(bare)) == ["final fit"]


def test_a_shop_may_dye_before_forming() -> None:
    flat = own_use_rates(dye_before_forming=True)
    rows = {said(row.step.name): row for row in timed_steps([line(wet_formed=True)], {}, flat)}
    assert "dye after forming" not in rows
    assert "dye the parts flat" in before(rows, "fit the wrapped blade and wet-form")
    assert "fit the wrapped blade and wet-form" in before(rows, "dye the edges darker")


def test_the_basis_of_waiting_names_the_waits_that_follow_each_other() -> None:
    lines = (line(), line(name="grafting", wet_formed=True))
    _, waiting = labour_quantities(timed_steps(lines, {}, USE))
    terms = waiting.basis["terms"]
    assert isinstance(terms, tuple)
    facts = [dict(term.facts) for term in terms if isinstance(term, Statement)]
    minutes = [each["time_min"] for each in facts]
    assert sum(each for each in minutes if isinstance(each, int | float)) == waiting.quantity
    names = [said(each["step"]) for each in facts]
    rows = steps_of(*lines)
    for earlier, later in pairwise(names):
        assert earlier in before(rows, later)
    assert "fit the wrapped blade and wet-form" in names
    assert "dye the parts flat" not in names

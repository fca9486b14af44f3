"""A written pattern reads back as itself, and a draft is drawn anew into the same file."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, box

from estimator.errors import InputError
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import polygon_from_points
from estimator.pattern.blade_file.reader import read_draft
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.draft.agreement import draft_checks
from estimator.pattern.draft.drafting import Drafted, drafted
from estimator.pattern.draft_choices import Draft
from estimator.pattern.parts import Belt, Face, Hand, Hardware, Mate, PartKind, Pattern, Seat
from estimator.pattern.reader import read_pattern
from estimator.pattern.writer import pattern_text
from tests import shop
from tests.pattern import draft_samples as samples
from tests.wording import message

ROOT = Path(__file__).parents[2]
BLADES = sorted((ROOT / "data" / "demo" / "blades").glob("*.toml"))


def redrawn(path: Path, **others: str) -> tuple[Drafted, str]:
    """The pattern of a file, and its text."""
    asked = read_draft(path, **others)
    made = drafted(asked.draft, name=asked.name, hand=asked.hand, wet_formed=asked.wet_formed)
    tables = {"blade": asked.blade_values, "draft": asked.draft_values}
    return made, pattern_text(made.pattern, comment="a draft", tables=tables)


def written(path: Path, made: Pattern, **others: object) -> Pattern:
    """The pattern after a journey through a file."""
    path.write_text(pattern_text(made, **others), encoding="utf-8")  # type: ignore[arg-type]
    return read_pattern(path)


def test_everything_that_a_pattern_may_hold_is_written(tmp_path: Path) -> None:
    body = shop.part(
        'body "large"',
        polygon_from_points(
            [(0, 0), (100, 0), (100, 60), (0, 60)], [[(10, 10), (20, 10), (20, 20), (10, 20)]]
        ),
        shop.BOTH,
        kind=PartKind.BODY,
        copies=2,
        mirrored_copies=1,
        fold_lines=(LineString([(0, 30), (100, 30)]),),
        stretch=shop.upright(15.0, 90.0),
        may_mirror=True,
        same_lot=True,
        dyed=frozenset(Face),
        finish_edges=(LineString([(0, 0), (100, 0)]),),
    )
    welt = shop.part(
        "welt",
        box(0.125, 0, 100, 10 / 3),
        thickness_min_mm=2.0,
        thickness_max_mm=2.0,
        seat=Seat(part=body.name, pose=Pose(x_mm=1.5, y_mm=-2, rotation_deg=90, mirrored=True)),
    )
    path = LineString([(5, 5), (95, 5)])
    edge = shop.seam(
        "edge",
        path,
        (body.name, "welt", body.name),
        corner_mm=1.5,
        mates=(Mate(part="welt", path=LineString([(5, 1), (95, 1)])),),
    )
    bare = shop.seam("bare", path, (body.name,), glue_width_mm=0.0, backstitches=0, thread="")
    made = shop.pattern(
        body,
        welt,
        seams=(edge, bare),
        hardware=(Hardware(item="line snap", count=2, joins=(body.name, "welt")),),
        joins=(shop.glued(body.name, "welt"), replace(shop.glued("welt", body.name), glue_mm2=0.0)),
        hand=Hand.LEFT,
        wet_formed=True,
        belt=Belt(width_mm=40.5, thickness_mm=4.0),
    )
    assert written(tmp_path / "pattern.toml", made, comment="two\n\nlines") == made


@pytest.mark.parametrize("name", ["foraging", "grafting"])
def test_the_typed_patterns_of_the_demo_come_back(tmp_path: Path, name: str) -> None:
    made = read_pattern(ROOT / "data" / "demo" / "patterns" / f"{name}.toml")
    assert written(tmp_path / "pattern.toml", made) == made


@given(name=st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(str.strip))
def test_any_name_is_written_so_that_it_is_read_again(
    tmp_path_factory: pytest.TempPathFactory, name: str
) -> None:
    made = shop.pattern(shop.part("body", box(0, 0, 50, 50)), name=name.strip())
    path = tmp_path_factory.mktemp("names") / "pattern.toml"
    assert written(path, made).name == name.strip()


@settings(deadline=None, max_examples=25)
@given(samples.drafts(), st.sampled_from(Hand))
def test_a_random_draft_reads_back(
    tmp_path_factory: pytest.TempPathFactory, draft: Draft, hand: Hand
) -> None:
    made = samples.make(draft, hand).pattern
    found = written(tmp_path_factory.mktemp("drafts") / "pattern.toml", made)
    for one, other in zip(made.parts, found.parts, strict=True):
        assert one.outline == other.outline
        assert (one.finish_edges, one.fold_lines, one.seat) == (
            other.finish_edges,
            other.fold_lines,
            other.seat,
        )
        for region, read in zip(one.regions, other.regions, strict=True):
            assert region.needs == read.needs
            assert region.outline.symmetric_difference(read.outline).area < 1e-6
    assert made.seams == found.seams


@pytest.mark.parametrize("path", BLADES, ids=lambda path: path.stem)
def test_a_redraft_of_a_redraft_is_the_same_file(tmp_path: Path, path: Path) -> None:
    made, text = redrawn(path)
    first = tmp_path / "first.toml"
    first.write_text(text, encoding="utf-8")
    found = read_pattern(first)
    assert found == made.pattern
    assert redrawn(first)[1] == text
    assert not draft_checks(found)


@pytest.mark.parametrize("path", BLADES, ids=lambda path: path.stem)
def test_other_leather_redraws_everything_and_back(tmp_path: Path, path: Path) -> None:
    _, text = redrawn(path)
    file = tmp_path / "pattern.toml"
    file.write_text(text, encoding="utf-8")
    thick, thicker_text = redrawn(file, leather="4 mm")
    assert all(part.thickness_max_mm == 4.0 for part in thick.pattern.parts)
    assert thick.pattern.parts[0].outline != read_pattern(file).parts[0].outline
    file.write_text(thicker_text, encoding="utf-8")
    assert redrawn(file, leather="3.0-3.5 mm")[1] == text


def test_what_the_maker_wrote_stays_as_written(tmp_path: Path) -> None:
    path = tmp_path / "blade.toml"
    path.write_text(
        'name = "x"\n[blade]\nlength = "4 in"\nspine_thickness = "1/8 in"\n'
        'station = [{ at = "1 in", width = "3/4 in" }]\n[draft]\nleather = "8-9 oz"\n'
        "neutral_axis_share = 0.450\nwelts = 2\n[draft.belt_loop]\nbelt_width = '1 1/2 in'\n",
        encoding="utf-8",
    )
    _, text = redrawn(path)
    for kept in (
        '{ at = "1 in", width = "3/4 in" }',
        'spine_thickness = "1/8 in"',
        "neutral_axis_share = 0.450",
        'leather = "8-9 oz"',
        "welts = 2",
        '[draft.belt_loop]\nbelt_width = "1 1/2 in"',
    ):
        assert kept in text


def changed(folder: Path, old: str, new: str) -> Pattern:
    """A drafted demo pattern with one thing changed in its file."""
    _, text = redrawn(ROOT / "data" / "demo" / "blades" / "foraging-blade.toml")
    assert old in text
    path = folder / "pattern.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return read_pattern(path)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            'unit = "mm"',
            'unit = "mm"\nthickness = "4 mm"',
            "body is of 4.0 mm leather",
        ),
        ('leather = "3.0-3.5 mm"', 'leather = "4 mm"', "welt is off by"),
        ('handle_covered = "25 mm"', 'handle_covered = "35 mm"', 'seam "edge" is off by'),
        ('name = "brush keeper"', 'name = "other keeper"', "other keeper is missing"),
        ('construction = "fold-over"', 'construction = "fold-over"\nwelts = 2', "cut 1 times"),
        ('width = "26 mm"', 'width = "80 mm"', "80.0 mm wide"),
    ],
)
def test_parts_that_no_longer_follow_from_their_draft_are_told(
    tmp_path: Path, old: str, new: str, expected: str
) -> None:
    (check,) = draft_checks(changed(tmp_path, old, new))
    assert check.code == "draft-out-of-date"
    assert expected in message(check)


def test_the_check_is_among_those_of_a_pattern_and_lets_own_parts_be(tmp_path: Path) -> None:
    tools = shop.prices().tools
    stale = changed(tmp_path, 'leather = "3.0-3.5 mm"', 'leather = "4 mm"')
    assert "draft-out-of-date" in [check.code for check in pattern_checks(stale, tools)]
    lining = shop.part("lining", box(0, 0, 20, 20))
    fresh = changed(tmp_path, "fold", "fold")
    assert not draft_checks(replace(fresh, parts=(*fresh.parts, lining)))
    assert not draft_checks(replace(stale, draft=None))


def test_blade_and_draft_come_together(tmp_path: Path) -> None:
    _, text = redrawn(BLADES[0])
    head, _, rest = text.partition("[draft]")
    path = tmp_path / "pattern.toml"
    path.write_text(head + rest[rest.index("[[part]]") :], encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_pattern(path)
    assert "belong together" in caught.value.faults[0].problem

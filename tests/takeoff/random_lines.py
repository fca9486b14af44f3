"""Batches made at random from parts that may or may not be there."""

from hypothesis import strategies as st
from shapely import LineString

from estimator.pattern.parts import Face, Hardware, Join, Part, PartKind, Seam
from estimator.takeoff.lines import LineToMake
from tests.shop import BOTH, LOAD, part, pattern, rectangle, seam


@st.composite
def line_of_sheaths(draw: st.DrawFn, key: str = "pruning") -> LineToMake:
    """A folded body with what a draw gives it; every part is attached by something."""
    length = draw(st.floats(60.0, 400.0))
    dyed = draw(st.sampled_from([frozenset[Face](), frozenset({Face.GRAIN}), frozenset(Face)]))
    parts: list[Part] = [
        part(
            "body",
            rectangle(120.0, length),
            BOTH,
            kind=PartKind.BODY,
            dyed=dyed,
            finish_edges=(
                LineString([(0, 0), (0, length)]),
                LineString([(0, length), (120, length)]),
            ),
        )
    ]
    layers = ["body", "body"]
    if draw(st.booleans()):
        parts.append(part("welt", rectangle(10.0, length), LOAD, kind=PartKind.WELT))
        layers.insert(1, "welt")
    glue = draw(st.sampled_from([0.0, 8.0]))
    seams: list[Seam] = [
        seam("main", LineString([(4, 0), (4, length)]), tuple(layers), glue_width_mm=glue,
             pitch_mm=draw(st.floats(2.0, 6.0)), backstitches=draw(st.integers(0, 6)))
    ]  # fmt: skip
    hardware: list[Hardware] = []
    if draw(st.booleans()):
        parts.append(part("loop", rectangle(30.0, 100.0), BOTH, kind=PartKind.LOOP, dyed=dyed))
        seams.append(seam("loop", LineString([(15, 10), (15, 90)]), ("loop", "body")))
    if draw(st.booleans()):
        parts.append(part("strap", rectangle(20.0, 150.0), BOTH, kind=PartKind.STRAP))
        hardware.append(Hardware(item="rivet", count=2, joins=("strap", "body")))
    joins: list[Join] = []
    if draw(st.booleans()):
        parts.append(part("lining", rectangle(80.0, 50.0), kind=PartKind.LINING))
        joins.append(Join(how="glued in", parts=("lining", "body"), glue_mm2=4000.0))
    made = pattern(
        *parts,
        name=key,
        seams=tuple(seams),
        hardware=tuple(hardware),
        joins=tuple(joins),
        wet_formed=draw(st.booleans()),
    )
    return LineToMake(key=key, pattern=made, quantity=draw(st.integers(1, 20)))


@st.composite
def batches(draw: st.DrawFn) -> tuple[LineToMake, ...]:
    """One to three patterns made together."""
    count = draw(st.integers(1, 3))
    return tuple(draw(line_of_sheaths(key=f"line {number}")) for number in range(count))

"""A sheath small enough to reckon by hand: 100 x 200 mm body folded over a welt, with a loop."""

from shapely import LineString, box

from estimator.nesting.score import SheetUse
from estimator.pattern.parts import Face, Hardware, Join, PartKind, Pattern
from estimator.takeoff.lines import LineToMake
from tests.shop import BOTH, LOAD, part, pattern, rectangle, seam

BODY = part(
    "body",
    rectangle(100.0, 200.0),
    BOTH,
    kind=PartKind.BODY,
    dyed=frozenset({Face.GRAIN}),
    finish_edges=(LineString([(0, 0), (0, 200)]), LineString([(0, 200), (100, 200)])),
)
WELT = part("welt", rectangle(10.0, 196.0), LOAD, kind=PartKind.WELT)
LOOP = part(
    "loop",
    rectangle(30.0, 150.0),
    BOTH,
    kind=PartKind.LOOP,
    dyed=frozenset({Face.GRAIN, Face.FLESH}),
    finish_edges=(LineString([(0, 0), (0, 150)]),),
)
LINING = part("lining", rectangle(80.0, 180.0), kind=PartKind.LINING)
MAIN = seam("main", LineString([(4, 0), (4, 200)]), ("body", "welt", "body"), backstitches=3)
LOOP_SEAM = seam("loop", LineString([(5, 5), (25, 5), (25, 25), (5, 25), (5, 5)]), ("loop", "body"))


def sheath(*, name: str = "pruning", wet_formed: bool = False) -> Pattern:
    """A folded sheath with everything that can be counted."""
    return pattern(
        BODY,
        WELT,
        LOOP,
        LINING,
        name=name,
        seams=(MAIN, LOOP_SEAM),
        hardware=(Hardware(item="line snap", count=2, joins=("loop", "body")),),
        joins=(Join(how="lining glued in", parts=("lining", "body"), glue_mm2=14_400.0),),
        wet_formed=wet_formed,
    )


def line(quantity: int = 1, *, name: str = "pruning", wet_formed: bool = False) -> LineToMake:
    """So many of it."""
    return LineToMake(key=name, pattern=sheath(name=name, wet_formed=wet_formed), quantity=quantity)


def sheet_use(tag: str, *, area_mm2: float, pieces_mm2: float, consumed_mm2: float) -> SheetUse:
    """What a layout takes of a hide of which every spot is worth the same."""
    kept_mm2 = area_mm2 - consumed_mm2
    offcuts = (box(0.0, 0.0, kept_mm2 / 100.0, 100.0),) if consumed_mm2 and kept_mm2 else ()
    return SheetUse(
        sheet=tag,
        area_mm2=area_mm2,
        pieces_mm2=pieces_mm2,
        consumed_mm2=consumed_mm2,
        offcuts=offcuts,
        worth_before_mm2=area_mm2,
        offcut_worths_mm2=tuple(offcut.area for offcut in offcuts),
    )

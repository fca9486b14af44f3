"""An estimate made by hand: all kinds of flaw, an offcut, a mirrored pair, a part left over."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import cos, pi, sin
from typing import Any

from shapely import LineString, Polygon, box

from estimator.costing.cost_lines import CostLine
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.price_book.price_book import (
    Calendar,
    Labour,
    LeatherRules,
    Letterhead,
    PriceBook,
    PriceMethod,
    Prices,
    Pricing,
    Rate,
)
from estimator.costing.promise import Schedule
from estimator.costing.quote import Price
from estimator.errors import Level, finding
from estimator.facts import Statement, statement
from estimator.geometry.pose import Pose
from estimator.hide.hides import Flaw, Hide, Tannage
from estimator.nesting.problem import (
    Blemish,
    Keep,
    Layout,
    Margins,
    Mirror,
    Objective,
    Piece,
    Placement,
    Problem,
    Reason,
    Sheet,
    Turn,
    Unplaced,
    Zone,
)
from estimator.nesting.score import SheetUse
from estimator.pattern.parts import Face, Hand, Part, PartKind, Pattern, Region, Seam, Stretch
from estimator.pattern.tools import Tools
from estimator.quality import Need, Spoil
from estimator.takeoff.quantity import Aspect, Quantity, Step, TakeOff, name_of
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.units import Unit, Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.findings.cautions import Caution
from estimator.workshop.order.order import Order, OrderLine

BODY = Polygon(
    [(0, 0), (30, -6), (78, -6), (96, 0), (90, 120), (76, 185), (54, 205), (40, 205), (16, 185)]
)
LOOP = box(0, 0, 25, 90)
WELT = Polygon([(0, 0), (9, 0), (11, 90), (10, 170), (1, 172)])
EAR = Polygon([(0, 0), (34, 0), (40, 12), (20, 30), (4, 26)])


def ellipse(x: float, y: float, a: float, b: float) -> Polygon:
    """An ellipse about a point."""
    turns = [2 * pi * step / 32 for step in range(32)]
    return Polygon([(x + a * cos(turn), y + b * sin(turn)) for turn in turns])


def part(name: str, kind: PartKind, outline: Polygon, **changes: Any) -> Part:
    """A part that needs everything everywhere."""
    plain = Part(
        name=name,
        kind=kind,
        copies=1,
        mirrored_copies=0,
        outline=outline,
        regions=(Region(outline=outline, needs=frozenset(Need)),),
        fold_lines=(),
        stretch=None,
        thickness_min_mm=3.0,
        thickness_max_mm=4.0,
        may_mirror=False,
        same_lot=False,
        dyed=frozenset({Face.GRAIN}),
        finish_edges=(),
        seat=None,
    )
    return replace(plain, **changes)


def pruning() -> Pattern:
    """A fold-over sheath whose back half may be ugly."""
    front = BODY.intersection(box(-10, -10, 53, 300))
    assert isinstance(front, Polygon)
    body = part(
        "body",
        PartKind.BODY,
        BODY,
        regions=(
            Region(outline=front, needs=frozenset({Need.SHOW})),
            Region(outline=BODY, needs=frozenset({Need.LOAD})),
        ),
        fold_lines=(LineString([(53, -6), (48, 205)]),),
        stretch=Stretch(along_deg=90.0, within_deg=20.0),
    )
    welt = part(
        "welt",
        PartKind.WELT,
        WELT,
        regions=(Region(outline=WELT, needs=frozenset({Need.LOAD})),),
        thickness_min_mm=2.5,
    )
    loop = part("belt loop", PartKind.LOOP, LOOP, stretch=Stretch(along_deg=90.0, within_deg=15.0))
    ear = part("retention ear", PartKind.OTHER, EAR, mirrored_copies=1)
    seam = Seam(
        name="edge",
        part="body",
        path=LineString([(4, 10), (18, 180)]),
        layers=("body", "welt", "body"),
        pitch_mm=4.0,
        glue_width_mm=10.0,
        backstitches=3,
        thread="thread",
    )
    return Pattern(
        name="pruning",
        hand=Hand.RIGHT,
        parts=(body, welt, loop, ear),
        seams=(seam,),
        hardware=(),
        joins=(),
        wet_formed=True,
    )


def price_book() -> PriceBook:
    """A price book whose rates of use no report reads."""
    return PriceBook(
        prices=Prices(
            currency="EUR",
            rates=(
                Rate(
                    item="thread",
                    unit=Unit.M,
                    price=Decimal("9.50"),
                    pack_quantity=25.0,
                    on_hand=4.0,
                    reorder_point=2.0,
                    lead_days=4,
                    supplier="=HYPERLINK(1)",
                ),
                Rate(
                    item="contact cement",
                    unit=Unit.ML,
                    price=Decimal("8.90"),
                    pack_quantity=250.0,
                    on_hand=200.0,
                    reorder_point=50.0,
                    lead_days=3,
                    supplier="",
                ),
            ),
        ),
        labour=Labour(
            per_hour=Decimal("27.35"),
            overhead_share=Decimal("0.23"),
            scrap_share=Decimal("0.05"),
        ),
        pricing=Pricing(
            method=PriceMethod.MARGIN,
            share=Decimal("0.37"),
            minimum_charge=Decimal("60"),
            round_to=Decimal("0.50"),
            tax_share=Decimal("0.19"),
        ),
        calendar=Calendar(
            work_days=frozenset({0, 1, 2, 3, 4}),
            hours_per_day=6.0,
            holidays=frozenset(),
            booked_min=0.0,
        ),
        use=DEFAULT_USE_RATES,
        tools=Tools(
            tine_reach_mm=8.5, awl_reach_mm=30.0, stitch_edge_min_mm=3.0, welt_inside_min_mm=4.0
        ),
        leather=LeatherRules(
            margins=Margins(spacing_mm=2.0, edge_mm=6.0, flaw_mm=3.0),
            keep=Keep(
                disc_radius_mm=40.0, area_mm2=20000.0, strip_width_mm=30.0, strip_length_mm=400
            ),
        ),
        letterhead=Letterhead(shop="Hollow Alder Sheaths", quote_valid_days=30),
    )


def hides() -> tuple[Hide, ...]:
    """A side with every kind of flaw, and an offcut."""
    side = Polygon(
        [
            (0, 20),
            (120, 0),
            (420, 12),
            (700, 0),
            (820, 40),
            (840, 220),
            (800, 360),
            (640, 420),
            (430, 400),
            (210, 430),
            (30, 380),
            (-10, 200),
        ]
    )
    whole = Hide(
        tag="side-07",
        outline=side,
        flaws=(
            Flaw(outline=ellipse(560, 300, 95, 60), kind="sun-fade", spoil=Spoil.COSMETIC, note=""),
            Flaw(outline=ellipse(350, 200, 9, 9), kind="hole", spoil=Spoil.UNUSABLE, note="tick"),
            Flaw(
                outline=LineString([(700, 120), (760, 190)]).buffer(4),
                kind="scar",
                spoil=Spoil.UNUSABLE,
                note="",
            ),
            Flaw(
                outline=Polygon([(-10, 330), (230, 380), (220, 440), (20, 400)]),
                kind="loose belly",
                spoil=Spoil.WEAK,
                note="",
            ),
        ),
        backbone_deg=0.0,
        thickness_min_mm=3.2,
        thickness_max_mm=3.6,
        tannage=Tannage.VEGETABLE,
        lot="2026-A",
        price_paid=Decimal("142.00"),
        stamped_area_mm2=None,
        is_offcut=False,
    )
    offcut = replace(
        whole,
        tag="offcut-3",
        outline=Polygon([(0, 0), (260, 10), (240, 140), (110, 190), (10, 150)]),
        flaws=(),
        backbone_deg=30.0,
        thickness_min_mm=2.6,
        thickness_max_mm=3.0,
        price_paid=Decimal("18.00"),
        is_offcut=True,
    )
    return (whole, offcut)


PLACED = (
    ("pruning/body", 0, "side-07", Pose(x_mm=20, y_mm=60)),
    ("pruning/body", 1, "side-07", Pose(x_mm=130, y_mm=60)),
    ("pruning/body", 2, "side-07", Pose(x_mm=540, y_mm=366, rotation_deg=-85)),
    ("pruning/body", 3, "side-07", Pose(x_mm=330, y_mm=390, rotation_deg=-90)),
    ("pruning/welt", 0, "offcut-3", Pose(x_mm=200, y_mm=25, rotation_deg=90)),
    ("pruning/welt", 1, "offcut-3", Pose(x_mm=200, y_mm=40, rotation_deg=90)),
    ("pruning/welt", 2, "side-07", Pose(x_mm=640, y_mm=262, rotation_deg=95)),
    ("pruning/welt", 3, "side-07", Pose(x_mm=425, y_mm=30)),
    ("pruning/belt loop", 0, "side-07", Pose(x_mm=445, y_mm=40)),
    ("pruning/belt loop", 1, "side-07", Pose(x_mm=480, y_mm=40)),
    ("pruning/belt loop", 2, "offcut-3", Pose(x_mm=150, y_mm=62, rotation_deg=90)),
    ("pruning/retention ear", 0, "offcut-3", Pose(x_mm=160, y_mm=70)),
    ("pruning/retention ear", 1, "offcut-3", Pose(x_mm=160, y_mm=104)),
    ("pruning/retention ear (mirrored)", 0, "offcut-3", Pose(x_mm=120, y_mm=130, mirrored=True)),
    ("pruning/retention ear (mirrored)", 1, "side-07", Pose(x_mm=560, y_mm=40, mirrored=True)),
    ("pruning/retention ear (mirrored)", 2, "side-07", Pose(x_mm=560, y_mm=80, mirrored=True)),
)


def make_estimate(**changes: Any) -> Estimate:
    """The whole estimate; every figure on it is made up but consistent."""
    pattern = pruning()
    line = OrderLine(
        key="pruning",
        pattern=pattern,
        quantity=4,
        hand=Hand.RIGHT,
        finish_hides=frozenset(),
        options=("dark brown dye", "waxed edges"),
    )
    order = Order(
        reference="2026-014",
        customer="Three Brooks Community Orchard",
        due=date(2026, 12, 18),
        units=Units.METRIC,
        lines=(line,),
        hides=hides(),
        book=price_book(),
    )
    problem = _problem(order)
    layout = Layout(
        placements=tuple(
            Placement(piece=piece, copy=copy, sheet=sheet, pose=pose)
            for piece, copy, sheet, pose in PLACED
        ),
        unplaced=(
            Unplaced(
                piece="pruning/belt loop",
                copies=1,
                reason=Reason.NO_ROOM,
            ),
        ),
        seed=1,
        moves=400,
    )
    plain = Estimate(
        order=order,
        problem=problem,
        layout=layout,
        uses=_uses(order, problem, layout),
        takeoff=TAKEOFF,
        cost=COST,
        price=Price(
            net=Decimal("412.00"),
            tax=Decimal("78.28"),
            gross=Decimal("490.28"),
            per_sheath=Decimal("103.00"),
        ),
        schedule=Schedule(
            labour_min=871.0,
            waiting_min=2880.0,
            start_date=date(2026, 12, 1),
            promise_date=date(2026, 12, 9),
        ),
        checks=CHECKS,
        cautions=(Caution.SANDING, Caution.CEMENT),
    )
    return replace(plain, **changes)


def _problem(order: Order) -> Problem:
    """The nesting problem of the order."""
    line = order.lines[0]
    pieces = []
    for member in line.pattern.parts:
        zones = tuple(Zone(outline=region.outline, needs=region.needs) for region in member.regions)
        plain = Piece(
            key=f"{line.key}/{member.name}",
            copies=line.quantity * member.copies,
            outline=member.outline,
            zones=zones,
            turns=(Turn(from_deg=0, to_deg=360),),
            sheets=frozenset({"side-07", "offcut-3"}),
            mirror=Mirror.NEVER,
            kit=line.key,
            per_kit=member.copies,
            same_lot=False,
        )
        pieces.append(plain)
        if member.mirrored_copies:
            pieces.append(replace(plain, key=plain.key + " (mirrored)", mirror=Mirror.ALWAYS))
    sheets = tuple(
        Sheet(
            key=hide.tag,
            outline=hide.outline,
            blemishes=tuple(
                Blemish(outline=flaw.outline, spoil=flaw.spoil, kind=flaw.kind)
                for flaw in hide.flaws
            ),
            axis_deg=hide.backbone_deg,
            worth_per_mm2=1.0,
            lot=hide.lot,
        )
        for hide in order.hides
    )
    return Problem(
        pieces=tuple(pieces),
        sheets=sheets,
        margins=order.book.leather.margins,
        keep=order.book.leather.keep,
        objective=Objective.SHEET,
    )


def _uses(order: Order, problem: Problem, layout: Layout) -> tuple[SheetUse, ...]:
    """What each hide gives, with one offcut of the side kept."""
    outlines = {piece.key: piece.outline for piece in problem.pieces}
    kept = {"side-07": (box(600, 20, 690, 230),), "offcut-3": ()}
    uses = []
    for hide in order.hides:
        laid = sum(outlines[p.piece].area for p in layout.placements if p.sheet == hide.tag)
        offcuts = kept.get(hide.tag, ())
        uses.append(
            SheetUse(
                sheet=hide.tag,
                area_mm2=hide.outline.area,
                pieces_mm2=laid,
                consumed_mm2=hide.outline.area - sum(offcut.area for offcut in offcuts),
                offcuts=offcuts,
                worth_before_mm2=hide.outline.area,
                offcut_worths_mm2=tuple(offcut.area for offcut in offcuts),
            )
        )
    return tuple(uses)


def _quantity(item: str, value: float, unit: Unit, basis: Statement, **more: Any) -> Quantity:
    """A quantity with a tenth to either side."""
    return Quantity(
        item=item,
        quantity=value,
        unit=unit,
        low=0.9 * value,
        high=1.1 * value,
        basis=basis,
        sources=more.get("sources", ("source-practice",)),
        is_priced=more.get("is_priced", True),
        aspect=more.get("aspect"),
    )


BY_RULE = statement("thread-by-rule", seam_m=2.88, multiplier=4.0)

TAKEOFF = TakeOff(
    quantities=(
        _quantity(
            "leather",
            301_000.0,
            Unit.MM2,
            statement("sum-over-hides"),
            is_priced=False,
            aspect=Aspect.CONSUMED,
        ),
        _quantity("thread", 11.5, Unit.M, BY_RULE, sources=("source-own",)),
        _quantity("contact cement", 21.0, Unit.ML, statement("sum-of-outlines")),
        _quantity("labour", 871.0, Unit.MIN, statement("no-wait")),
    ),
    steps=(
        Step(
            name=statement("item", item="Cut"),
            labour_min=96.0,
            waiting_min=0.0,
            basis=statement("work-pieces", pieces=16, rate_min_per_piece=6.0),
            sources=("source-own",),
            attaches=(),
        ),
        Step(
            name=statement("item", item="Sew"),
            labour_min=475.0,
            waiting_min=0.0,
            basis=statement("work-awl", holes=720, rate_min_per_hole=0.66),
            sources=("source-own",),
            attaches=("pruning/body", "pruning/welt"),
        ),
        Step(
            name=statement("item", item="Wet-form and dry"),
            labour_min=300.0,
            waiting_min=2880.0,
            basis=statement("work-sheaths", sheaths=4, rate_min_per_sheath=75.0),
            sources=("source-practice",),
            attaches=(),
        ),
    ),
)

COST = CostSheet(
    lines=(
        CostLine(
            item="side-07",
            aspect=Aspect.OF_HIDE,
            quantity=301_000.0,
            unit=Unit.MM2,
            rate=Decimal("0.00039"),
            amount=Decimal("117.39"),
        ),
        CostLine(
            item="thread",
            quantity=11.5,
            unit=Unit.M,
            rate=Decimal("0.38"),
            amount=Decimal("4.37"),
        ),
        CostLine(
            item="labour",
            quantity=871.0,
            unit=Unit.MIN,
            rate=Decimal("0.4558"),
            amount=Decimal("397.03"),
        ),
    ),
    unpriced=(name_of("rivets"),),
)

CHECKS = (
    finding(Level.STOP, "part-not-attached", pattern="pruning", parts=("belt loop",)),
    finding(
        Level.WARNING,
        "stack-over-tines",
        seams=(
            statement(
                "seam-over-tines",
                pattern="pruning",
                seam="edge",
                layers=tuple(
                    statement("layer-of-stack", part=part, thickness_mm=3.4)
                    for part in ("body", "welt", "body")
                ),
                stack_mm=10.2,
                reach_mm=8.5,
            ),
        ),
    ),
    finding(Level.NOTE, "fold-too-tight", pattern="pruning", part="belt loop", thickness_mm=3.4,
            radius_mm=0.5, times=0.2, least_mm=0.68),
)  # fmt: skip

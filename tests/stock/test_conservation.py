"""What was paid for a hide is charged exactly once, over all that is cut from it, to the coin.

Small parts are laid at random, not by the engine: what is charged may not hang on how good a
layout is, nor on the order of the jobs, nor on settings that change between them.
"""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, box

from estimator.costing.cost_lines import CostKind
from estimator.costing.money import smallest_coin
from estimator.costing.price_book.price_book import PriceBook
from estimator.geometry.pose import Pose
from estimator.hide.hides import Hide, HideZone
from estimator.nesting.offcuts import areas_of
from estimator.nesting.problem import Keep, Layout, Placement
from estimator.nesting.score import score
from estimator.quality import Spoil
from estimator.stock.jobs import accept, cut, record_quote
from estimator.stock.leather.cutting import charges
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather, leather_lots, remeasure, retire
from estimator.stock.store.database import Records, open_records
from estimator.stock.upkeep.audit import audit
from estimator.takeoff.materials.leather import Charge, leather_quantities
from estimator.takeoff.quantity import TakeOff
from estimator.workshop.order.prepare import nesting_problem
from estimator.workshop.recording import planned_leather
from tests import shop
from tests.costing.cost_samples import sheet_of
from tests.stock.record_samples import DAY, revision

WIDE, HIGH = 900.0, 500.0
PART = box(0.0, 0.0, 70.0, 45.0)
MOST_PARTS = 8
NOTHING_KEPT = Keep(disc_radius_mm=400.0, area_mm2=1e9, strip_width_mm=0.0, strip_length_mm=0.0)


def random_hide(random: Random, coin: Decimal) -> Hide:
    """A side with a notch, flaws and a belly, and a price in whole coins."""
    notch = box(random.uniform(0, WIDE), 0.0, WIDE, random.uniform(0, HIGH / 2))
    (outline,) = areas_of(box(0.0, 0.0, WIDE, HIGH).difference(notch))
    flaws = [
        shop.flaw(affinity.translate(box(0, 0, 60, 30), x, y), random.choice(list(Spoil)))
        for x, y in spots(random, outline, random.randrange(4))
    ]
    return shop.hide(
        "side",
        outline,
        *(flaw for flaw in flaws if flaw.outline.intersects(outline)),
        zones=(HideZone(outline=box(0, 300, WIDE, HIGH), name="belly", share=random.random()),),
        price_paid=coin * random.randrange(0, 30_000),
        shipping_paid=Decimal(0),
    )


def random_book(random: Random, currency: str) -> PriceBook:
    """Settings as a shop may have them on some day."""
    keep = Keep(
        disc_radius_mm=random.uniform(10.0, 60.0),
        area_mm2=random.uniform(1_000.0, 30_000.0),
        strip_width_mm=random.choice([0.0, 30.0]),
        strip_length_mm=random.choice([0.0, 250.0]),
        rim_mm=random.uniform(0.0, 40.0),
        strip_rim_mm=random.uniform(0.0, 10.0),
        weak_share=random.random(),
        cosmetic_share=random.random(),
    )
    charge = Charge.WHOLE_HIDE if random.random() < 0.1 else Charge.USED_UP
    return shop.prices(keep=keep, currency=currency, charge=charge)


def spots(random: Random, outline: Polygon, count: int) -> list[tuple[float, float]]:
    left, low, right, high = outline.bounds
    return [(random.uniform(left, right), random.uniform(low, high)) for _ in range(count)]


def laid(random: Random, hide: Hide, count: int) -> list[Pose]:
    """Parts that lie on the hide and not on each other; fewer where there is no room."""
    poses: list[Pose] = []
    taken: list[Polygon] = []
    for x, y in spots(random, hide.outline, 40 * count):
        pose = Pose(x_mm=x, y_mm=y, rotation_deg=random.choice([0.0, 90.0]))
        part = pose.of(PART)
        is_free = not any(part.intersects(other) for other in taken)
        if len(poses) < count and is_free and hide.outline.covers(part):
            poses.append(pose)
            taken.append(part)
    return poses


def charged(records: Records, job: str, hide: Hide, book: PriceBook, poses: list[Pose]) -> Decimal:
    """Quote, accept and cut a job of these parts; what its cost sheet says of leather."""
    made = shop.pattern(shop.part("part", PART))
    order = shop.order(shop.line(made, max(len(poses), 1)), hides=(hide,), book=book)
    problem = nesting_problem(order)
    (piece,) = problem.pieces
    layout = Layout(
        placements=tuple(
            Placement(piece=piece.key, copy=copy, sheet=hide.tag, pose=pose)
            for copy, pose in enumerate(poses)
        ),
        unplaced=(),
        seed=0,
        moves=0,
    )
    uses = score(problem, layout)
    takeoff = TakeOff(
        quantities=leather_quantities((hide,), uses, charge=book.leather.charge), steps=()
    )
    cost = sheet_of(takeoff, book, hides=(hide,), uses=uses).sum_of(CostKind.LEATHER)
    leather = planned_leather(uses, book.leather.charge)
    quote = revision(job, items=(), leather=leather, currency=book.prices.currency)
    record_quote(records, quote, on=DAY)
    accept(records, job, on=DAY)
    cut(records, job, on=DAY)
    assert sum(charges(records, job).values(), Decimal(0)) == cost
    return cost


def on_rack(records: Records) -> list[Hide]:
    return [lot.hide for lot in leather_lots(records)]


def measured_anew(random: Random, hide: Hide) -> Hide:
    """Its edge trimmed a little, and priced by somebody who does not know better."""
    smaller = areas_of(hide.outline.buffer(-random.uniform(0.1, 3.0)))
    outline = max(smaller, key=lambda polygon: polygon.area)
    flaws = tuple(flaw for flaw in hide.flaws if flaw.outline.intersects(outline))
    zones = tuple(zone for zone in hide.zones if zone.outline.intersects(outline))
    return replace(hide, outline=outline, flaws=flaws, zones=zones, price_paid=Decimal(999))


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 2**32),
    currency=st.sampled_from(["EUR", "EUR", "JPY", "KWD"]),
    jobs=st.integers(1, 7),
)
def test_a_hide_is_charged_once_over_all_that_is_cut_from_it(
    seed: int, currency: str, jobs: int
) -> None:
    random = Random(seed)
    hide = random_hide(random, smallest_coin(currency))
    hide = replace(hide, shipping_paid=hide.price_paid // 7)
    paid = lost = Decimal(0)
    with TemporaryDirectory() as folder, open_records(Path(folder) / "r") as records:
        add_leather(records, [LeatherLot(hide=hide, received_on=DAY)])
        for number in range(jobs):
            lots = on_rack(records)
            if not lots:
                break
            lot = random.choice(lots)
            chance = random.random()
            if chance < 0.1:
                lost += retire(records, lot.tag, on=DAY)
            elif chance < 0.3:
                remeasure(records, measured_anew(random, lot))
            else:
                poses = laid(random, lot, random.randrange(MOST_PARTS))
                cost = charged(records, f"job {number}", lot, random_book(random, currency), poses)
                assert poses or cost == 0
                paid += cost
            kept = sum((lot.price_paid for lot in on_rack(records)), Decimal(0))
            assert paid + lost + kept == hide.price_paid
        for number, lot in enumerate(on_rack(records)):
            book = shop.prices(keep=NOTHING_KEPT, currency=currency)
            middle = lot.outline.representative_point()
            last = [Pose(x_mm=middle.x, y_mm=middle.y)]
            paid += charged(records, f"last {number}", lot, book, last)
        assert on_rack(records) == []
        assert paid + lost == hide.price_paid
        assert audit(records) == ()

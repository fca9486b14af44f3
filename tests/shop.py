"""A small workshop in code: patterns, hides, a price book and orders for the tests.

Everything has a default that fits everything else, so that a test states only what it is about.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from shapely import LineString, Polygon, box

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
from estimator.hide.hides import Flaw, Hide, Tannage
from estimator.nesting.problem import Keep, Margins
from estimator.pattern.parts import (
    Face,
    Hand,
    Hardware,
    Join,
    Part,
    PartKind,
    Pattern,
    Region,
    Seam,
    Stretch,
)
from estimator.pattern.tools import Tools
from estimator.quality import Need, Spoil
from estimator.takeoff.materials.surfaces import adhesive_ml
from estimator.takeoff.quantity import exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from estimator.units import Unit, Units
from estimator.workshop.order.order import Order, OrderLine

TIGHT = Margins(spacing_mm=0.0, edge_mm=0.0, flaw_mm=0.0)
SHOP_MARGINS = Margins(spacing_mm=3.0, edge_mm=5.0, flaw_mm=3.0)
SHOW = frozenset({Need.SHOW})
LOAD = frozenset({Need.LOAD})
BOTH = frozenset(Need)
NOTHING: frozenset[Need] = frozenset()


def needing(outline: Polygon, needs: frozenset[Need]) -> tuple[Region, ...]:
    """One region over the whole of an outline."""
    return (Region(outline=outline, needs=needs),)


def part(name: str, outline: Polygon, needs: frozenset[Need] = NOTHING, **others: Any) -> Part:
    """A part of 3 to 3.5 mm leather that may be turned at will, unless told otherwise."""
    given: dict[str, Any] = {
        "name": name,
        "kind": PartKind.OTHER,
        "copies": 1,
        "mirrored_copies": 0,
        "outline": outline,
        "regions": needing(outline, needs) if needs else (),
        "fold_lines": (),
        "stretch": None,
        "thickness_min_mm": 3.0,
        "thickness_max_mm": 3.5,
        "may_mirror": False,
        "same_lot": False,
        "dyed": frozenset[Face](),
        "finish_edges": (),
        "seat": None,
    }
    return Part(**(given | others))


def upright(within_deg: float = 0.0, along_deg: float = 0.0) -> Stretch:
    """A stretch rule: this direction of the part along the backbone, quite strictly."""
    return Stretch(along_deg=along_deg, within_deg=within_deg)


def seam(name: str, path: LineString, layers: tuple[str, ...], **others: Any) -> Seam:
    """A seam of 4 mm pitch, glued and threaded, marked on its first layer."""
    given: dict[str, Any] = {
        "name": name,
        "part": layers[0],
        "path": path,
        "layers": layers,
        "pitch_mm": 4.0,
        "glue_width_mm": 8.0,
        "backstitches": 4,
        "thread": "waxed thread",
    }
    return Seam(**(given | others))


def glued(*parts: str) -> Join:
    """A small glued join."""
    return Join(how="glued", parts=parts, glue_mm2=400.0)


def pattern(
    *parts: Part,
    name: str = "pruning",
    seams: tuple[Seam, ...] = (),
    hardware: tuple[Hardware, ...] = (),
    **others: Any,
) -> Pattern:
    """A pattern for the right hand, not wet-formed."""
    given: dict[str, Any] = {
        "name": name,
        "hand": Hand.RIGHT,
        "parts": parts,
        "seams": seams,
        "hardware": hardware,
        "joins": (),
        "wet_formed": False,
    }
    return Pattern(**(given | others))


def flaw(outline: Polygon, spoil: Spoil, kind: str = "") -> Flaw:
    """A flaw of the kind that its spoil suggests."""
    kinds = {Spoil.COSMETIC: "sun-fade", Spoil.WEAK: "loose grain", Spoil.UNUSABLE: "hole"}
    return Flaw(outline=outline, kind=kind or kinds[spoil], spoil=spoil, note="")


def hide(tag: str, outline: Polygon, *flaws: Flaw, **others: Any) -> Hide:
    """A vegetable-tanned hide of 3 to 3.5 mm with its backbone along x."""
    given: dict[str, Any] = {
        "tag": tag,
        "outline": outline,
        "flaws": flaws,
        "backbone_deg": 0.0,
        "thickness_min_mm": 3.0,
        "thickness_max_mm": 3.5,
        "tannage": Tannage.VEGETABLE,
        "lot": "A",
        "price_paid": Decimal("120.00"),
        "stamped_area_mm2": None,
        "is_offcut": False,
    }
    return Hide(**(given | others))


def prices(**others: Any) -> PriceBook:
    """The price book of a small shop that keeps leftovers of a hand's size."""
    rates = tuple(
        Rate(
            item=item,
            unit=unit,
            price=Decimal("9.00"),
            pack_quantity=pack,
            on_hand=0.0,
            reorder_point=0.0,
            lead_days=3,
            supplier="",
        )
        for item, unit, pack in (
            ("waxed thread", Unit.M, 25.0),
            ("contact cement", Unit.ML, 250.0),
            ("brown dye", Unit.ML, 100.0),
            ("finish oil", Unit.ML, 250.0),
            ("beeswax", Unit.G, 100.0),
            ("line snap", Unit.PIECE, 50.0),
            ("double-cap rivet", Unit.PIECE, 100.0),
        )
    )
    plain = PriceBook(
        prices=Prices(currency="EUR", rates=rates),
        labour=Labour(
            per_hour=Decimal("28.00"),
            overhead_share=Decimal("0.35"),
            scrap_share=Decimal("0.05"),
        ),
        pricing=Pricing(
            method=PriceMethod.MARKUP,
            share=Decimal("0.40"),
            minimum_charge=Decimal(0),
            round_to=Decimal(0),
            tax_share=Decimal("0.20"),
        ),
        calendar=Calendar(
            work_days=frozenset(range(5)),
            hours_per_day=6.0,
            holidays=frozenset(),
            booked_min=0.0,
        ),
        use=DEFAULT_USE_RATES,
        tools=Tools(
            tine_reach_mm=8.5, awl_reach_mm=44.0, stitch_edge_min_mm=3.0, welt_inside_min_mm=3.0
        ),
        leather=LeatherRules(
            margins=TIGHT,
            keep=Keep(
                disc_radius_mm=40.0, area_mm2=20_000.0, strip_width_mm=30.0, strip_length_mm=400.0
            ),
        ),
        letterhead=Letterhead(shop="Hollow Alder Sheaths", quote_valid_days=30),
    )
    return with_figures(plain, **others)


def with_figures(book: PriceBook, **figures: Any) -> PriceBook:
    """The same price book with some of its records, or figures in them, changed."""
    for name, figure in figures.items():
        if hasattr(book, name):
            book = replace(book, **{name: figure})
            continue
        (home,) = (
            home
            for home in ("prices", "labour", "leather", "letterhead")
            if hasattr(getattr(book, home), name)
        )
        record: Any = replace(getattr(book, home), **{name: figure})
        book = replace(book, **{home: record})
    return book


def line(made: Pattern, quantity: int = 1, **others: Any) -> OrderLine:
    """A line of an order for the hand that the pattern is drawn for."""
    given: dict[str, Any] = {
        "key": made.name,
        "pattern": made,
        "quantity": quantity,
        "hand": made.hand,
        "finish_hides": frozenset[str](),
        "options": (),
    }
    return OrderLine(**(given | others))


def order(*lines: OrderLine, hides: tuple[Hide, ...], **others: Any) -> Order:
    """An order of the Three Brooks Community Orchard."""
    given: dict[str, Any] = {
        "reference": "2026-014",
        "customer": "Three Brooks Community Orchard",
        "due": None,
        "units": Units.METRIC,
        "lines": lines,
        "hides": hides,
        "book": prices(),
    }
    return Order(**(given | others))


def with_tools(book: PriceBook, **reach: Any) -> PriceBook:
    """The same price book with other tools."""
    return replace(book, tools=replace(book.tools, **reach))


def rectangle(length_mm: float, width_mm: float) -> Polygon:
    """A rectangle with its lower left corner at the origin."""
    return box(0.0, 0.0, length_mm, width_mm)


def coating_ml(
    *, area_mm2: float, ml_per_m2: float, coats: float, faces: float, absorbency_share: float = 0.0
) -> float:
    """What the product takes for a coating whose rates are known exactly, ml."""
    rates = {
        "glue_ml_per_m2": ml_per_m2,
        "glue_coats": coats,
        "glue_faces": faces,
        "glue_waste_share": absorbency_share,
    }
    use = own_use_rates(**{name: exact_spread(rate, "mine") for name, rate in rates.items()})
    return adhesive_ml(area_mm2=area_mm2, use=use).expected

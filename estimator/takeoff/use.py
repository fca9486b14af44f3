"""How much of everything the work takes: the rates a shop may set for itself.

Every rate is a :class:`Spread` with the key of its source; ``report/text/en/sources.ftl`` cites
them. No authority publishes coverage of leather dye, oil or wax, or bench times for sheaths;
those defaults are marked as assumptions, carry a wide band, and are the shop's own to change.
"""

from dataclasses import dataclass, fields, replace
from typing import Any

from estimator.hide.hides import Tannage
from estimator.takeoff.quantity import Spread

ASSUMPTION = "source-assumption"
PRACTICE = "source-practice"
WHOLE_SHARES = ("damping_share", "drying_by_thickness_share")
"""Rates that are a share of a whole, so 1 at most."""
BENCH_TIME = "source-bench-time"
SADDLERY_TIME = "source-saddlery-time"


@dataclass(frozen=True, slots=True, kw_only=True)
class UseRates:
    """All rates of use, one place.

    Parameters
    ----------
    thread_multiplier : Spread
        Thread length over seam length by rule of thumb, plain number.
    thread_tail_mm : Spread
        Thread left at each end to hold the needle and pull, mm.
    thread_waste_share : Spread
        Thread lost beyond stitches and tails, share of the length.
    thread_over_pitch : Spread
        Diameter of a thread that suits a pitch, over the pitch, plain number.
    glue_ml_per_m2 : Spread
        Adhesive on one face, ml per m2 and coat.
    glue_faces : Spread
        Faces coated at each bond: 2 for contact cement, 1 for paste or white glue.
    glue_waste_share : Spread
        Adhesive that dries in pot and brush, share of what is spread.
    glue_coats, dye_coats, finish_coats : Spread
        Coats on each face.
    dye_ml_per_m2, finish_ml_per_m2 : Spread
        Dye and finish oil on the grain face, ml per m2 and coat.
    flesh_factor : Spread
        How much more the flesh face and a cut edge take than the grain face.
    absorbency_share : Spread
        Allowance for thirsty leather, for what stays in dauber and dish, share.
    edge_dye_coats : Spread
        Coats of dye on edges beyond those of the faces: the darker edge.
    damping_share : Spread
        What damping the leather before dyeing saves of the dye, share; 0 if it is dyed dry.
    vegetable_uptake, combination_uptake, chrome_uptake : Spread
        Dye and oil that leather of this tannage takes, over that of vegetable-tanned leather.
    wax_g_per_m : Spread
        Wax on finished edges, g per m and pass.
    wax_g_per_m2 : Spread
        Wax on the faces that are oiled, g per m2; 0 if they are not waxed.
    edge_passes : Spread
        How often an edge is worked: bevelled, damped and burnished.
    blades_per_m, abrasives_per_m, needles_per_m : Spread
        Blades blunted per m of cut line, abrasive sheets worn per m of closed edge, needles
        used up per m of thread.
    cut_min_per_m : Spread
        Marking and cutting, min per m of cut line.
    skive_min_per_piece : Spread
        Thinning a welt or lining where it must lie flat, min.
    edge_min_per_m : Spread
        Bevelling and burnishing, min per m of edge and pass.
    edge_dye_min_per_m : Spread
        The coats that make an edge darker, min per m of edge.
    glue_min_per_m : Spread
        Scuffing, spreading and pressing, min per m of bonded seam.
    join_min : Spread
        Gluing or lacing one join, min.
    hardware_min : Spread
        Setting one rivet, snap or buckle, min.
    groove_min_per_m : Spread
        Trimming flush and grooving the stitch line, min per m.
    punch_min_per_hole, awl_min_per_hole, stitch_min_per_stitch : Spread
        One hole by an iron from one side, one hole by the awl, one saddle stitch, min.
    sand_min_per_m : Spread
        Levelling the closed edge, min per m.
    form_min_per_sheath : Spread
        Wetting, fitting the wrapped blade, boning, min.
    dye_min_per_m2, finish_min_per_m2 : Spread
        Laying on one coat, min per m2.
    fit_min_per_sheath : Spread
        Final fit, cleaning, looking over, min.
    setup_min : Spread
        Laying out and clearing away once per step and batch, min.
    cement_open_min, dye_dry_min, edge_dye_dry_min, form_dry_min, finish_cure_min : Spread
        Waiting, min of clock time; never labour. The last two are for leather of 3.25 mm.
    drying_by_thickness_share : Spread
        Share of drying and curing time that grows with the thickness of the leather.
    glue_item, dye_item, finish_item, wax_item : str
        What these are called in the price book.
    blade_item, abrasive_item, needle_item : str
        What these are called in the price book; empty where they are paid with the overhead
        or the small supplies.
    dye_before_forming : bool
        Whether a sheath that is formed wet is dyed flat, before that, as one that is not; by
        default it is dyed after it is dry.
    """

    thread_multiplier: Spread
    thread_tail_mm: Spread
    thread_waste_share: Spread
    thread_over_pitch: Spread
    glue_ml_per_m2: Spread
    glue_faces: Spread
    glue_waste_share: Spread
    glue_coats: Spread
    dye_ml_per_m2: Spread
    dye_coats: Spread
    finish_ml_per_m2: Spread
    finish_coats: Spread
    flesh_factor: Spread
    absorbency_share: Spread
    edge_dye_coats: Spread
    damping_share: Spread
    vegetable_uptake: Spread
    combination_uptake: Spread
    chrome_uptake: Spread
    wax_g_per_m: Spread
    wax_g_per_m2: Spread
    edge_passes: Spread
    blades_per_m: Spread
    abrasives_per_m: Spread
    needles_per_m: Spread
    cut_min_per_m: Spread
    skive_min_per_piece: Spread
    edge_min_per_m: Spread
    edge_dye_min_per_m: Spread
    glue_min_per_m: Spread
    join_min: Spread
    hardware_min: Spread
    groove_min_per_m: Spread
    punch_min_per_hole: Spread
    awl_min_per_hole: Spread
    stitch_min_per_stitch: Spread
    sand_min_per_m: Spread
    form_min_per_sheath: Spread
    dye_min_per_m2: Spread
    finish_min_per_m2: Spread
    fit_min_per_sheath: Spread
    setup_min: Spread
    cement_open_min: Spread
    dye_dry_min: Spread
    edge_dye_dry_min: Spread
    form_dry_min: Spread
    finish_cure_min: Spread
    drying_by_thickness_share: Spread
    glue_item: str = "contact cement"
    dye_item: str = "brown dye"
    finish_item: str = "finish oil"
    wax_item: str = "beeswax"
    blade_item: str = ""
    abrasive_item: str = ""
    needle_item: str = ""
    dye_before_forming: bool = False

    def __post_init__(self) -> None:
        for name in WHOLE_SHARES:
            if getattr(self, name).high > 1:
                raise ValueError(f"{name}: {getattr(self, name).high} is above 1")
        for field in fields(self):
            rate = getattr(self, field.name)
            if isinstance(rate, Spread) and rate.low < 0:
                raise ValueError(f"{field.name}: {rate.low} is negative")

    def uptake(self, tannage: Tannage) -> Spread:
        """Dye and oil that leather of a tannage takes, over that of vegetable-tanned leather."""
        return {
            Tannage.VEGETABLE: self.vegetable_uptake,
            Tannage.COMBINATION: self.combination_uptake,
            Tannage.CHROME: self.chrome_uptake,
        }[tannage]


def _rate(low: float, expected: float, high: float, source: str) -> Spread:
    return Spread(low=low, expected=expected, high=high, sources=(source,))


DEFAULT_USE_RATES = UseRates(
    thread_multiplier=_rate(2.5, 4, 8, "source-thread-multiplier"),
    thread_tail_mm=_rate(100, 150, 300, "source-thread-tail"),
    thread_waste_share=_rate(0, 0, 0.15, "source-thread-waste"),
    thread_over_pitch=_rate(0.14, 0.19, 0.25, "source-thread-over-pitch"),
    glue_ml_per_m2=_rate(100, 125, 200, "source-glue-spread"),
    glue_coats=_rate(1, 1, 2, "source-glue-coats"),
    glue_faces=_rate(2, 2, 2, "source-glue-faces"),
    glue_waste_share=_rate(0.05, 0.1, 0.25, ASSUMPTION),
    dye_ml_per_m2=_rate(30, 45, 60, ASSUMPTION),
    dye_coats=_rate(1, 2, 3, PRACTICE),
    finish_ml_per_m2=_rate(30, 40, 50, ASSUMPTION),
    finish_coats=_rate(1, 1, 2, PRACTICE),
    flesh_factor=_rate(1, 1.5, 2, ASSUMPTION),
    absorbency_share=_rate(0, 0.1, 0.3, ASSUMPTION),
    edge_dye_coats=_rate(0, 1, 2, PRACTICE),
    damping_share=_rate(0, 0, 0, "source-dyed-dry"),
    vegetable_uptake=_rate(1, 1, 1, "source-tannage-reference"),
    combination_uptake=_rate(0.7, 0.9, 1, ASSUMPTION),
    chrome_uptake=_rate(0.5, 0.8, 1, ASSUMPTION),
    wax_g_per_m=_rate(0.5, 0.75, 1, ASSUMPTION),
    wax_g_per_m2=_rate(0, 0, 0, "source-faces-oiled"),
    edge_passes=_rate(1, 1, 2, PRACTICE),
    blades_per_m=_rate(0.01, 0.02, 0.05, ASSUMPTION),
    abrasives_per_m=_rate(0.1, 0.2, 0.5, ASSUMPTION),
    needles_per_m=_rate(0.005, 0.01, 0.03, ASSUMPTION),
    cut_min_per_m=_rate(2, 3, 4.5, SADDLERY_TIME),
    skive_min_per_piece=_rate(0.5, 1, 2, BENCH_TIME),
    edge_min_per_m=_rate(5, 7, 10, SADDLERY_TIME),
    edge_dye_min_per_m=_rate(0.5, 1, 2, BENCH_TIME),
    glue_min_per_m=_rate(4, 6, 10, BENCH_TIME),
    join_min=_rate(2, 4, 8, BENCH_TIME),
    hardware_min=_rate(1, 2, 4, BENCH_TIME),
    groove_min_per_m=_rate(2, 4, 6, BENCH_TIME),
    punch_min_per_hole=_rate(0.03, 0.05, 0.1, BENCH_TIME),
    awl_min_per_hole=_rate(0.1, 0.2, 0.4, BENCH_TIME),
    stitch_min_per_stitch=_rate(0.25, 0.4, 0.7, BENCH_TIME),
    sand_min_per_m=_rate(4, 6, 12, BENCH_TIME),
    form_min_per_sheath=_rate(8, 12, 25, BENCH_TIME),
    dye_min_per_m2=_rate(20, 35, 60, BENCH_TIME),
    finish_min_per_m2=_rate(15, 25, 45, BENCH_TIME),
    fit_min_per_sheath=_rate(3, 5, 10, BENCH_TIME),
    setup_min=_rate(2, 4, 8, BENCH_TIME),
    cement_open_min=_rate(10, 20, 40, "source-cement-open"),
    dye_dry_min=_rate(60, 240, 720, PRACTICE),
    edge_dye_dry_min=_rate(15, 30, 60, PRACTICE),
    form_dry_min=_rate(720, 1440, 2880, "source-form-dry"),
    finish_cure_min=_rate(720, 1440, 4320, "source-finish-cure"),
    drying_by_thickness_share=_rate(0.5, 0.75, 1, "source-drying"),
)
"""What the work takes until the shop knows better."""


def own_use_rates(**own: Spread | str | bool) -> UseRates:
    """Give the default rates with the shop's own in their place.

    Parameters
    ----------
    **own : Spread, str or bool
        By field name of :class:`UseRates`.

    Returns
    -------
    UseRates
        All others as by default.

    Raises
    ------
    TypeError
        If a name is no rate.
    """
    changes: dict[str, Any] = dict(own)
    return replace(DEFAULT_USE_RATES, **changes)

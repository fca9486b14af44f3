"""Random shop folders from a seed, as text: blades, patterns typed by hand, hides, prices, orders.

Knows the file formats and nothing of the package. Much is wrong on purpose (seams beside the
part, leather too thin, days too early), so that all kinds of findings occur.
"""

from dataclasses import dataclass
from math import cos, pi, sin
from random import Random

from tests.benchmarks.random_patterns import (
    LEATHERS,
    METALS,
    THREADS,
    Day,
    blade_text,
    length_text,
    maybe,
    table,
    typed_text,
)

PAYING_ITEMS = ("contact cement", "brown dye", "finish oil", "beeswax")
COSMETIC = ("sun-fade", "healed-scar", "stain", "crease", "vein", "brushed patch")
FLAWS = (*COSMETIC, "scar", "hole", "brand", "loose-belly", "lime-damage", "not-seen")
RATES = {
    "thread_multiplier": 4, "thread_tail_mm": 140, "thread_waste_share": 0.08,
    "thread_over_pitch": 0.2, "glue_ml_per_m2": 130, "glue_coats": 1.5, "glue_faces": 1,
    "glue_waste_share": 0.2, "dye_ml_per_m2": 44, "dye_coats": 2, "finish_ml_per_m2": 41,
    "finish_coats": 1.2, "flesh_factor": 1.4, "absorbency_share": 0.15, "edge_dye_coats": 2,
    "damping_share": 0.3, "vegetable_uptake": 1.05, "combination_uptake": 0.85,
    "chrome_uptake": 0.7, "wax_g_per_m": 0.8, "wax_g_per_m2": 14, "edge_passes": 2,
    "blades_per_m": 0.03, "abrasives_per_m": 0.3, "needles_per_m": 0.02, "cut_min_per_m": 3.3,
    "skive_min_per_piece": 1.2, "edge_min_per_m": 8, "edge_dye_min_per_m": 1.1,
    "glue_min_per_m": 6.5, "join_min": 5, "hardware_min": 2.2, "groove_min_per_m": 4.1,
    "punch_min_per_hole": 0.06, "awl_min_per_hole": 0.22, "stitch_min_per_stitch": 0.36,
    "sand_min_per_m": 7, "form_min_per_sheath": 14, "dye_min_per_m2": 36,
    "finish_min_per_m2": 24, "fit_min_per_sheath": 6, "setup_min": 3, "cement_open_min": 25,
    "dye_dry_min": 200, "edge_dye_dry_min": 35, "form_dry_min": 1300, "finish_cure_min": 1500,
    "drying_by_thickness_share": 0.6,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """A shop folder.

    Parameters
    ----------
    files : dict of str to str
        Text by name; the order is ``order.toml``.
    drafts : tuple of (str, str, str)
        Blade file, pattern file to be drafted from it, and the file that takes its place if
        it cannot be drafted.
    worn : dict of str to tuple of (str, str)
        By pattern, what is changed in it by hand once it is drafted.
    is_roomy : bool
        Whether there is so much leather that longer work on it ends soon.
    """

    files: dict[str, str]
    drafts: tuple[tuple[str, str, str], ...]
    worn: dict[str, tuple[str, str]]
    is_roomy: bool


def shop(seed: int, number: int) -> Shop:
    """Make one shop folder, the same again for the same seed and number."""
    draw = Random(f"{seed}/{number}")
    is_roomy = number % 8 == 0
    files: dict[str, str] = {"prices.toml": _prices(draw)}
    drafts = []
    worn: dict[str, tuple[str, str]] = {}
    sheaths, used = [], []
    for line in range(draw.randint(1, 2 if is_roomy else 3)):
        pattern, typed = f"pattern-{line}.toml", f"typed-{line}.toml"
        leather = draw.choice(LEATHERS[:2] if is_roomy else LEATHERS[:4])
        used.append(leather)
        files[typed] = typed_text(draw, f"typed {line}", leather)
        if draw.random() < 0.6:
            blade = f"blade-{line}.toml"
            files[blade] = blade_text(draw, f"drafted {line}", leather)
            drafts.append((blade, pattern, typed))
            if draw.random() < 0.2:
                spine = next(row for row in files[blade].splitlines() if "spine_thick" in row)
                worn[pattern] = (spine, 'spine_thickness = "9 mm"')
        else:
            pattern = typed
        sheaths.append(
            table(
                "[[sheath]]",
                pattern=pattern,
                quantity=draw.randint(1, 2 if is_roomy else 4),
                hand=maybe(draw, 0.4, "left", "right"),
                finish_hides=maybe(draw, 0.2, ["sun-fade"], []),
                options=maybe(draw, 0.3, ["dark, waxed edges"], ["lined", "for the left side"]),
                belt=maybe(draw, 0.3, "40 mm", "55 mm", "1 3/4 in"),
            )
        )
    order = table(
        "[order]",
        reference=f"S{seed}-{number:03}",
        customer="Three Brooks Community Orchard",
        prices="prices.toml",
        due=maybe(draw, 0.5, Day("2026-11-17"), Day("2026-11-24"), Day("2027-03-01")),
        units=maybe(draw, 0.6, "imperial", "metric"),
        hand=maybe(draw, 0.1, "left"),
        finish_hides=maybe(draw, 0.3, ["sun-fade", "stain"], ["crease"]),
    )
    hides = []
    for k in range(draw.randint(1, 3)):
        suiting = draw.choice((*used, *used, LEATHERS[4])) if k < 2 else None
        files[f"hide-{k}.toml"] = _hide(draw, f"hide-{k}", is_large=is_roomy, leather=suiting)
        hides.append(table("[[hide]]", map=f"hide-{k}.toml"))
    files["hide-9.toml"] = _hide(draw, "hide-9", is_large=True)
    if is_roomy:
        for k, leather in enumerate(LEATHERS[1:], start=4):
            files[f"hide-{k}.toml"] = _hide(draw, f"hide-{k}", is_large=True, leather=leather)
            hides.append(table("[[hide]]", map=f"hide-{k}.toml"))
    files["order.toml"] = "\n".join([order, *sheaths, *hides])
    return Shop(files=files, drafts=tuple(drafts), worn=worn, is_roomy=is_roomy)


def _money(draw: Random, low: float, high: float) -> str:
    return f"{draw.uniform(low, high):.2f}"


def _hide(draw: Random, tag: str, *, is_large: bool, leather: str | None = None) -> str:
    """A hide map, measured by tape or typed."""
    long = draw.uniform(1500, 2000) if is_large else draw.choice((220, 500, 800, 1100, 1500))
    long *= draw.uniform(0.8, 1.1)
    values: dict[str, object] = {
        "tag": tag,
        "thickness": leather or (LEATHERS[0] if is_large else draw.choice(LEATHERS)),
        "tannage": maybe(draw, 0.3, "chrome", "combination"),
        "lot": maybe(draw, 0.5, "A", "B"),
        "price_paid": "0" if draw.random() < 0.1 else _money(draw, 8, 160),
        "shipping": maybe(draw, 0.4, "9.50"),
        "offcut": None if is_large else maybe(draw, 0.4, True),
    }
    if draw.random() < 0.5:
        values["station"] = [
            {"at": f"{long * k / 4:.0f} mm", "left": f"{long * draw.uniform(0.2, 0.4):.0f} mm",
             "right": f"{long * draw.uniform(0.1, 0.3):.0f} mm"}
            for k in range(5)
        ]  # fmt: skip
        centre = (long / 2, long / 8)
        values["stamp"] = maybe(draw, 0.3, "10 1", "4 2")
    else:
        radii = [long / 2 * draw.uniform(0.6, 1.0) for _ in range(11)]
        values["outline"] = [
            [round(r * cos(2 * pi * k / 11), 1), round(0.6 * r * sin(2 * pi * k / 11), 1)]
            for k, r in enumerate(radii)
        ]
        values["area"] = maybe(draw, 0.3, f"{draw.uniform(20, 120):.1f} dm2", "8 sq ft")
        values["backbone_deg"] = draw.choice((0, 10, 90, 33.3))
        centre = (0.0, 0.0)

    def spot() -> list[float]:
        return [round(x + draw.uniform(-0.1, 0.1) * long, 1) for x in centre]

    def shape() -> dict[str, object]:
        across, along = length_text(draw, 8, 60), length_text(draw, 40, 160)
        shapes: tuple[dict[str, object], ...] = (
            {"circle": {"at": spot(), "diameter": across}},
            {"ellipse": {"at": spot(), "length": along, "width": across, "turn_deg": 30}},
            {"rectangle": {"at": spot(), "length": along, "width": across, "turn_deg": -20}},
        )  # fmt: skip
        return draw.choice(shapes)

    blocks = [table("", **values)]
    for k in range(draw.randint(0, 7)):
        kind = draw.choice(FLAWS)
        spoil = "cosmetic" if kind == "brushed patch" else maybe(draw, 0.1, "weak", "unusable")
        proposal: dict[str, object] = {}
        if draw.random() < 0.1:
            proposal = {"state": "proposed", "confidence": 0.6, "number": k + 1}
        blocks.append(table("[[flaw]]", kind=kind, spoil=spoil if kind not in COSMETIC[:3] else
                            None, note=maybe(draw, 0.3, "seen at the window"), **proposal,
                            **shape()))  # fmt: skip
    if draw.random() < 0.3:
        blocks.append(table("[[zone]]", name="shoulder", share=draw.choice((0.8, 0.6)), **shape()))
    return "\n".join(blocks)


def _prices(draw: Random) -> str:
    """A price book with varying choices."""
    overhead = draw.choice(("share", "hour", "yearly", "labour"))
    share, cost = (0.35 if overhead == "share" else None), {"rent": "4800.00", "tools": "900.00"}
    overheads = {
        "share": "",
        "hour": table("[overhead]", per_hour="6.20"),
        "yearly": table("[overhead]", productive_hours=1100, yearly=cost),
        "labour": table("[overhead]", productive_hours=900, yearly=cost, by="labour"),
    }
    is_markup, step = draw.random() < 0.5, draw.choice((None, "0.50", "1.00", "5.00"))
    blocks = [
        table("", shop="Hollow Alder Sheaths", currency=draw.choice(("EUR", "USD", "GBP", "JPY")),
              quote_valid_days=draw.choice((14, 30))),
        table("[labour]", per_hour=_money(draw, 15, 45), overhead_share=share,
              scrap_share=maybe(draw, 0.5, 0.05), supplies_share=maybe(draw, 0.5, 0.1)),
        overheads[overhead],
        table("[price]", markup_share=0.45 if is_markup else None,
              margin_share=None if is_markup else 0.3,
              minimum_charge=maybe(draw, 0.4, "60.00", "400.00"), round_to=step,
              rounding=maybe(draw, 0.4, "nearest"),
              round_less=maybe(draw, 0.5, "0.05") if step else None,
              tax_share=maybe(draw, 0.6, 0.2, 0.081), fee_share=maybe(draw, 0.4, 0.029),
              fee_fixed=maybe(draw, 0.3, "0.30"), deposit_share=maybe(draw, 0.4, 0.5)),
        table("[rule_of_thumb]", waste_share=draw.choice((0.25, 0.4)),
              waste_of=draw.choice(("net", "gross"))),
        table("[tools]", tine_reach_mm=draw.choice((8.5, 6, 12)),
              awl_reach_mm=draw.choice((44, 20)),
              stitch_edge_min_mm=maybe(draw, 0.4, 2.5), iron_tines=maybe(draw, 0.4, 6),
              welt_inside_min_mm=maybe(draw, 0.4, 4)),
        table("[margins]", spacing_mm=draw.choice((2, 3, 4)), edge_mm=draw.choice((5, 8)),
              flaw_mm=3),
        table("[keep]", disc_radius_mm=draw.choice((40, 30)), rim_mm=maybe(draw, 0.3, 20),
              weak_share=maybe(draw, 0.3, 0.4), cosmetic_share=maybe(draw, 0.3, 0.8)),
        table("[leather]", charge=maybe(draw, 0.3, "whole hide"),
              offcuts_first=maybe(draw, 0.3, False)),
        table("[calendar]", work_days=maybe(draw, 0.3, ["mon", "wed", "sat"]),
              hours_per_day=draw.choice((6, 4.5)), hours_on=maybe(draw, 0.3, {"fri": 3}),
              holidays=[Day("2026-11-18"), Day("2026-12-25")], booked=maybe(draw, 0.4, "4 h"),
              closed=maybe(draw, 0.3, [{"first": Day("2026-11-20"), "last": Day("2026-11-22")}]),
              busy=maybe(draw, 0.3, [{"day": Day("2026-11-19"), "time": "90 min"}])),
    ]  # fmt: skip
    worn_out = {"blade_item": "blade", "abrasive_item": "abrasive", "needle_item": "needle"}
    use: dict[str, object] = dict(worn_out) if draw.random() < 0.4 else {}
    for key, rate in RATES.items():
        if draw.random() < 0.2:
            own = round(rate * draw.uniform(0.8, 1.2), 4)
            spread = {"low": own * 0.8, "expected": own, "high": own * 1.2}
            use[key] = own if draw.random() < 0.5 else spread
    if draw.random() < 0.3:
        use["dye_before_forming"] = True
    blocks.append(table("[use]", **use))
    packs = {item: "250 g" if item == "beeswax" else "250 ml" for item in PAYING_ITEMS}
    packs |= dict.fromkeys((*METALS, *worn_out.values()), "20 pieces")
    packs |= dict.fromkeys(THREADS[:2], "100 m")
    for item, pack in packs.items():
        if draw.random() < 0.04:
            continue
        unit, held = pack.split()[1], draw.uniform(0, 60)
        lots = [{"name": "March", "pack": pack, "price": _money(draw, 2, 20),
                 "left": f"{held:.1f} {unit}"}]  # fmt: skip
        has_lots = draw.random() < 0.2
        blocks.append(
            table("[[rate]]", item=item, pack=pack, price=_money(draw, 2, 20),
                  shipping=maybe(draw, 0.3, "2.90"), lot=lots if has_lots else None,
                  on_hand=None if has_lots else maybe(draw, 0.6, f"{held:.0f} {unit}"),
                  reorder_point=maybe(draw, 0.4, f"20 {unit}"),
                  lead_days=maybe(draw, 0.5, 3, 9), supplier=maybe(draw, 0.5, "a merchant"),
                  diameter=maybe(draw, 0.6, "0.6 mm", "1.2 mm") if unit == "m" else None)
        )  # fmt: skip
    return "\n".join(blocks)

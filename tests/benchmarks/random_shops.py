"""Random shop folders from a seed, as text: blades, patterns typed by hand, hides, prices, orders.

Knows the file formats and nothing of the package. Much is wrong on purpose (seams beside the
part, leather too thin, days too early), so that all kinds of findings occur.
"""

import json
from dataclasses import dataclass
from math import cos, pi, sin
from random import Random

LEATHERS = ("3-3.5 mm", "2-2.4 mm", "7-8 oz", "4 mm", "1.5-2.2 mm")
PAYING_ITEMS = ("contact cement", "brown dye", "finish oil", "beeswax")
THREADS = ("waxed thread", "fine thread", "")
METALS = ("line snap", "double-cap rivet", "steel buckle")
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


class Day(str):
    """A date, or other text that TOML writes without quotes."""

    __slots__ = ()


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


def written(value: object) -> str:
    """One value as TOML writes it."""
    if isinstance(value, Day):
        return str(value)
    if isinstance(value, dict):
        inside = ", ".join(f"{key} = {written(item)}" for key, item in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(written(item) for item in value)}]"
    return json.dumps(value, ensure_ascii=False)


def table(head: str, **values: object) -> str:
    """A table of a TOML file; what is None is left out."""
    rows = [f"{key} = {written(value)}" for key, value in values.items() if value is not None]
    return "\n".join([*([head] if head else []), *rows, ""])


def shop(seed: int, number: int) -> Shop:
    """Make one shop folder, the same again for the same seed and number."""
    draw = Random(f"{seed}/{number}")
    is_roomy = number % 8 == 0
    files: dict[str, str] = {"prices.toml": _prices(draw)}
    drafts = []
    worn: dict[str, tuple[str, str]] = {}
    sheaths = []
    for line in range(draw.randint(1, 2 if is_roomy else 3)):
        pattern, typed = f"pattern-{line}.toml", f"typed-{line}.toml"
        leather = draw.choice(LEATHERS[:2] if is_roomy else LEATHERS[:4])
        files[typed] = _typed(draw, f"typed {line}", leather)
        if draw.random() < 0.6:
            blade = f"blade-{line}.toml"
            files[blade] = _blade(draw, f"drafted {line}", leather)
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
                hand=_maybe(draw, 0.4, "left", "right"),
                finish_hides=_maybe(draw, 0.2, ["sun-fade"], []),
                options=_maybe(draw, 0.3, ["dark, waxed edges"], ["lined", "for the left side"]),
                belt=_maybe(draw, 0.3, "40 mm", "55 mm", "1 3/4 in"),
            )
        )
    order = table(
        "[order]",
        reference=f"S{seed}-{number:03}",
        customer="Three Brooks Community Orchard",
        prices="prices.toml",
        due=_maybe(draw, 0.5, Day("2026-11-17"), Day("2026-11-24"), Day("2027-03-01")),
        units=_maybe(draw, 0.6, "imperial", "metric"),
        hand=_maybe(draw, 0.1, "left"),
        finish_hides=_maybe(draw, 0.3, ["sun-fade", "stain"], ["crease"]),
    )
    hides = []
    for k in range(draw.randint(1, 3)):
        files[f"hide-{k}.toml"] = _hide(draw, f"hide-{k}", is_large=is_roomy and k == 0)
        hides.append(table("[[hide]]", map=f"hide-{k}.toml"))
    files["hide-9.toml"] = _hide(draw, "hide-9", is_large=True)
    if is_roomy:
        for k, leather in enumerate(LEATHERS[1:], start=4):
            files[f"hide-{k}.toml"] = _hide(draw, f"hide-{k}", is_large=True, leather=leather)
            hides.append(table("[[hide]]", map=f"hide-{k}.toml"))
    files["order.toml"] = "\n".join([order, *sheaths, *hides])
    return Shop(files=files, drafts=tuple(drafts), worn=worn, is_roomy=is_roomy)


def _maybe(draw: Random, chance: float, *values: object) -> object:
    """One of some values, or None."""
    return draw.choice(values) if draw.random() < chance else None


def _mm(draw: Random, low: float, high: float) -> str:
    """A length in one of the units that makers write."""
    mm = draw.uniform(low, high)
    unit = draw.choice(("mm", "mm", "mm", "cm", "in"))
    return f"{mm / {'mm': 1.0, 'cm': 10.0, 'in': 25.4}[unit]:.2f} {unit}"


def _money(draw: Random, low: float, high: float) -> str:
    return f"{draw.uniform(low, high):.2f}"


def _blade(draw: Random, name: str, leather: str) -> str:
    """A blade file: measured or traced, and the choices for its sheath."""
    length, width = draw.randint(60, 150), draw.randint(14, 40)
    blade: dict[str, object] = {
        "length": f"{length} mm",
        "spine_thickness": f"{draw.uniform(1.5, 5):.1f} mm",
        "bevel": _maybe(draw, 0.5, f"{width * 0.4:.1f} mm"),
        "handle_thickness": _mm(draw, 14, 22),
        "handle_section": _maybe(draw, 0.5, "oval", "slab"),
    }
    if draw.random() < 0.3:
        belly = [[length * (1 - t), round(-width * sin(pi * t / 2), 2)] for t in (0.1, 0.3, 0.6)]
        end = [[-40, -width], [-40, 0]]
        blade["outline"] = [[length, 0], *belly, [0, -width], *end, [length * 0.5, 0]]
    else:
        blade["handle_width"] = f"{width * draw.uniform(0.8, 1.1):.1f} mm"
        steps = draw.randint(2, 5)
        blade["station"] = [
            {
                "at": f"{length * k / steps:.1f} mm",
                "width": f"{width * sin(pi / 2 * k / steps):.1f} mm",
                "drop": f"{max(0.0, 6 - 6 * k):g} mm",
            }
            for k in range(steps + 1)
        ]
    pouch = draw.random() < 0.45
    throat = draw.choice(("straight", "straight", "curved", "slanted"))
    draft = table(
        "[draft]",
        construction="pouch" if pouch else "fold-over",
        leather=leather,
        neutral_axis_share=_maybe(draw, 0.3, 0.4, 0.45),
        handle_covered=draw.choice(("0 mm", "15 mm", "1 in")),
        clearance=_maybe(draw, 0.4, "3 mm", "6 mm"),
        edge_clearance=_maybe(draw, 0.4, "2 mm", "1/8 in"),
        welt_width=_maybe(draw, 0.5, "8 mm", "12 mm", "1/2 in"),
        welts=_maybe(draw, 0.5, 1, 2, 3),
        seam_distance=_maybe(draw, 0.5, "3 mm", "5 mm", "2 mm"),
        seam_start=_maybe(draw, 0.3, "6 mm"),
        seam_end=None if pouch else _maybe(draw, 0.3, "9 mm"),
        pitch=_maybe(draw, 0.6, "3 mm", "3.38 mm", "5 mm", "6 mm"),
        glue_width=_maybe(draw, 0.4, "0 mm", "8 mm"),
        backstitches=_maybe(draw, 0.4, 0, 2, 6),
        thread=_maybe(draw, 0.4, *THREADS[:2], "unlisted thread"),
        throat=throat,
        throat_depth=None if throat == "straight" else _maybe(draw, 0.5, "5 mm", "10 mm"),
        tip_radius=_maybe(draw, 0.4, "0 mm", "8 mm", "20 mm"),
        drain_gap=_maybe(draw, 0.3, "5 mm"),
        dyed=_maybe(draw, 0.6, ["grain", "flesh"], [], ["grain"]),
        finish_edges=_maybe(draw, 0.6, "all", "throat", "none"),
        show=_maybe(draw, 0.6, "front", "all", "none"),
        belt_loop=_maybe(
            draw, 0.6, {"belt_width": "40 mm"},
            {"belt_width": "1.5 in", "belt_thickness": "3 mm", "width": "24 mm", "tab": "25 mm"},
        ),
        strap=_maybe(draw, 0.4, [{"width": "16 mm"}], [{"overlap": "30 mm", "snap": "steel buckle"}]),
        keeper=_maybe(draw, 0.3, [{"holds": ["12 mm", "8 mm"]}]),
    )  # fmt: skip
    head = table("", name=name, hand=_maybe(draw, 0.5, "left"), wet_formed=draw.random() < 0.5)
    return "\n".join([head, table("[blade]", **blade), draft])


def _typed(draw: Random, name: str, leather: str) -> str:
    """A pattern typed by hand, with some of the mistakes that makers make."""
    length, height = draw.randint(110, 200), draw.randint(70, 120)

    def slips(chance: float = 0.15) -> bool:
        return draw.random() < chance

    def needs() -> list[str]:
        return draw.choice((["show", "load"], ["load"], ["show"], []))

    top: list[list[float]] = [[length, height], [0, height]]
    middle = length / 2
    if slips():
        top[1:1] = [[middle + 0.4, height], [middle, height - 15], [middle - 0.4, height]]
    elif slips():
        top[1:1] = [[middle + 8, height], [middle, height - 22], [middle - 8, height]]
    elif slips():
        top[0:1] = [[length, height - 20], [length - 40, height - 20], [length - 40, height]]
    if slips():
        spike = height * 0.7 if draw.random() < 0.5 else height * 0.8
        wide = draw.choice((0.2, 0.7))
        top[0:0] = [[length, spike - wide], [length + 15, spike], [length, spike + wide]]
    fold = None if slips() else height / 2 + (2.0 if slips() else 0.0)
    inset = draw.choice((4, 4, 5, 3, 2))
    wide = draw.choice((10, 12, 7, 24))
    if slips(0.2):
        wide = round(height / 2)
    welts = 9 if slips(0.08) else draw.choice((1, 1, 2))
    body = table(
        "[[part]]",
        name="body",
        kind="body",
        outline=[[0, 0], [length, 0], *top],
        needs=needs(),
        fold_lines=None if fold is None else [[[0, fold], [length + 20, fold]]],
        stretch=_maybe(draw, 0.6, {"along_deg": 0, "within_deg": 15}),
        same_lot=draw.random() < 0.5,
        may_mirror=draw.random() < 0.2,
        dyed=draw.choice((["grain"], ["grain", "flesh"], [])),
        finish_edges="all" if slips(0.6) else [[[0, 0], [length, 0]]],
        hole=[{"rectangle": {"at": [20, height * 0.75], "length": "42 mm", "width": "4.5 mm",
                             "turn_deg": 0}}] if slips(0.2) else None,
        region=[{"needs": ["show"], "rectangle": {"at": [middle, height / 4],
                 "length": f"{length} mm", "width": f"{height / 2} mm"}}] if slips(0.5) else None,
    )  # fmt: skip
    welt = table(
        "[[part]]",
        name="welt",
        kind="welt",
        copies=_maybe(draw, 0.1, 2),
        mirrored_copies=_maybe(draw, 0.1, 1),
        rectangle=[f"{length - 10} mm", f"{wide} mm"],
        needs=needs(),
        dyed=_maybe(draw, 0.2, ["flesh"]),
        lies_on={"part": "body", "shift": [0, 14 if slips() else 0]} if slips(0.8) else None,
    )
    loop = table(
        "[[part]]",
        name="belt loop",
        kind="loop",
        rectangle=["100 mm", "28 mm"],
        corner_radius=_maybe(draw, 0.5, "5 mm"),
        needs=needs(),
        dyed=["grain"],
        thickness=_maybe(draw, 0.1, "9-10 mm"),
        lies_on={"part": "body", "shift": [5, 60 if slips(0.3) else 36]},
    )
    lining = table(
        "[[part]]",
        name="lining",
        kind="lining",
        rectangle=["80 mm", "30 mm"],
        thickness=LEATHERS[4],
        needs=[],
        lies_on={"part": "body", "shift": [10, 15]},
    )
    seams = [
        table(
            "[[seam]]",
            name="edge",
            part="body",
            path=[[6, inset], [length - inset - 12, inset], [length - inset - 12, height / 2 - 4]]
            if slips(0.3)
            else [[6, inset], [60 if slips(0.1) else length - 14, inset]],
            layers=["body", *["welt"] * welts, "body"],
            pitch=draw.choice(("4 mm", "3 mm", "5 mm", "1/8 in")),
            glue_width=draw.choice(("10 mm", "0 mm")),
            backstitches=60 if slips() else 3,
            thread=draw.choice(("", "waxed thread") if slips() else THREADS[:2]),
            corner=_maybe(draw, 0.3, "2 mm", "3 mm"),
            mate=[{"part": "body", "path": [[6, height - inset], [length - 30, height - inset]]}]
            if slips()
            else None,
        )
    ]
    for k, x in enumerate((9, 80)):
        row = [[x, 40], [x + 17, 40], [x + 17, 60], [x, 60], [x, 40]]
        seams.append(
            table("[[seam]]", name=f"loop {k}", part="body", path=row,
                  layers=["belt loop", "body"], pitch="4 mm", glue_width="4 mm",
                  corner=_maybe(draw, 0.3, "1.5 mm"), thread="waxed thread")
        )  # fmt: skip
    if slips(0.2):
        seams.append(
            table("[[seam]]", name="stub", part="body", path=[[40, 20], [43, 20], [43, 21.5]],
                  layers=["body"], pitch="3 mm", corner="2 mm", thread="fine thread")
        )  # fmt: skip
    metal = table("[[hardware]]", item=draw.choice((*METALS, "brass stud")),
                  count=draw.randint(1, 3), joins=["body", "belt loop"])  # fmt: skip
    join = table("[[join]]", how="lining cemented in", parts=["lining", "body"], glue="20 cm2")
    belt = table("[belt]", width=draw.choice(("40 mm", "50 mm", "70 mm")))
    head = table("", name=name, hand=_maybe(draw, 0.5, "left"), wet_formed=draw.random() < 0.4,
                 thickness=leather)  # fmt: skip
    has_lining = slips(0.4)
    rest = [metal if slips(0.5) else "", join if has_lining and not slips() else ""]
    return "\n".join(
        [head, body, welt, loop, *([lining] if has_lining else []), *seams, *rest]
        + ([belt] if slips(0.5) else [])
    )


def _hide(draw: Random, tag: str, *, is_large: bool, leather: str | None = None) -> str:
    """A hide map, measured by tape or typed."""
    long = draw.uniform(1500, 2000) if is_large else draw.uniform(350, 1300)
    values: dict[str, object] = {
        "tag": tag,
        "thickness": leather or (LEATHERS[0] if is_large else draw.choice(LEATHERS)),
        "tannage": _maybe(draw, 0.3, "chrome", "combination"),
        "lot": _maybe(draw, 0.5, "A", "B"),
        "price_paid": "0" if draw.random() < 0.1 else _money(draw, 8, 160),
        "shipping": _maybe(draw, 0.4, "9.50"),
        "offcut": None if is_large else _maybe(draw, 0.4, True),
        "area": _maybe(draw, 0.2, f"{draw.uniform(20, 120):.1f} dm2"),
    }
    if draw.random() < 0.5:
        values["station"] = [
            {"at": f"{long * k / 4:.0f} mm", "left": f"{long * draw.uniform(0.2, 0.4):.0f} mm",
             "right": f"{long * draw.uniform(0.1, 0.3):.0f} mm"}
            for k in range(5)
        ]  # fmt: skip
        centre = (long / 2, 0.0)
        values["stamp"] = _maybe(draw, 0.3, "10 1", "4 2")
    else:
        radii = [long / 2 * draw.uniform(0.6, 1.0) for _ in range(11)]
        values["outline"] = [
            [round(r * cos(2 * pi * k / 11), 1), round(0.6 * r * sin(2 * pi * k / 11), 1)]
            for k, r in enumerate(radii)
        ]
        values["backbone_deg"] = draw.choice((0, 10, 90, 33.3))
        centre = (0.0, 0.0)

    def spot() -> list[float]:
        return [round(x + draw.uniform(-0.15, 0.15) * long, 1) for x in centre]

    def shape() -> dict[str, object]:
        across, along = _mm(draw, 8, 60), _mm(draw, 40, 160)
        return draw.choice((
            {"circle": {"at": spot(), "diameter": across}},
            {"ellipse": {"at": spot(), "length": along, "width": across, "turn_deg": 30}},
            {"rectangle": {"at": spot(), "length": along, "width": across, "turn_deg": -20}},
        ))  # fmt: skip

    blocks = [table("", **values)]
    for k in range(draw.randint(0, 7)):
        kind = draw.choice(FLAWS)
        spoil = "cosmetic" if kind == "brushed patch" else _maybe(draw, 0.1, "weak", "unusable")
        proposal: dict[str, object] = {}
        if draw.random() < 0.1:
            proposal = {"state": "proposed", "confidence": 0.6, "number": k + 1}
        blocks.append(table("[[flaw]]", kind=kind, spoil=spoil if kind not in COSMETIC[:3] else
                            None, note=_maybe(draw, 0.3, "seen at the window"), **proposal,
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
              scrap_share=_maybe(draw, 0.5, 0.05), supplies_share=_maybe(draw, 0.5, 0.1)),
        overheads[overhead],
        table("[price]", markup_share=0.45 if is_markup else None,
              margin_share=None if is_markup else 0.3,
              minimum_charge=_maybe(draw, 0.4, "60.00", "400.00"), round_to=step,
              rounding=_maybe(draw, 0.4, "nearest"),
              round_less=_maybe(draw, 0.5, "0.05") if step else None,
              tax_share=_maybe(draw, 0.6, 0.2, 0.081), fee_share=_maybe(draw, 0.4, 0.029),
              fee_fixed=_maybe(draw, 0.3, "0.30"), deposit_share=_maybe(draw, 0.4, 0.5)),
        table("[rule_of_thumb]", waste_share=draw.choice((0.25, 0.4)),
              waste_of=draw.choice(("net", "gross"))),
        table("[tools]", tine_reach_mm=draw.choice((8.5, 6, 12)), awl_reach_mm=draw.choice((44, 20)),
              stitch_edge_min_mm=_maybe(draw, 0.4, 2.5), iron_tines=_maybe(draw, 0.4, 6),
              welt_inside_min_mm=_maybe(draw, 0.4, 4)),
        table("[margins]", spacing_mm=draw.choice((2, 3, 4)), edge_mm=draw.choice((5, 8)), flaw_mm=3),
        table("[keep]", disc_radius_mm=draw.choice((40, 30)), rim_mm=_maybe(draw, 0.3, 20),
              weak_share=_maybe(draw, 0.3, 0.4), cosmetic_share=_maybe(draw, 0.3, 0.8)),
        table("[leather]", charge=_maybe(draw, 0.3, "whole hide"),
              offcuts_first=_maybe(draw, 0.3, False)),
        table("[calendar]", work_days=_maybe(draw, 0.3, ["mon", "wed", "sat"]),
              hours_per_day=draw.choice((6, 4.5)), hours_on=_maybe(draw, 0.3, {"fri": 3}),
              holidays=[Day("2026-11-18"), Day("2026-12-25")], booked=_maybe(draw, 0.4, "4 h"),
              closed=_maybe(draw, 0.3, [{"first": Day("2026-11-20"), "last": Day("2026-11-22")}]),
              busy=_maybe(draw, 0.3, [{"day": Day("2026-11-19"), "time": "90 min"}])),
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
                  shipping=_maybe(draw, 0.3, "2.90"), lot=lots if has_lots else None,
                  on_hand=None if has_lots else _maybe(draw, 0.6, f"{held:.0f} {unit}"),
                  reorder_point=_maybe(draw, 0.4, f"20 {unit}"),
                  lead_days=_maybe(draw, 0.5, 3, 9), supplier=_maybe(draw, 0.5, "a merchant"),
                  diameter=_maybe(draw, 0.6, "0.6 mm", "1.2 mm") if unit == "m" else None)
        )  # fmt: skip
    return "\n".join(blocks)

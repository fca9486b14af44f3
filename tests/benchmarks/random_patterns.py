"""Random patterns: blades to draft from, and patterns typed by hand with what makers get wrong.

Text of TOML files; knows nothing of the package.
"""

import json
from math import pi, sin
from random import Random

LEATHERS = ("3-3.5 mm", "2-2.4 mm", "7-8 oz", "4 mm", "1.5-2.2 mm")
THREADS = ("waxed thread", "fine thread", "")
METALS = ("line snap", "double-cap rivet", "steel buckle")


class Day(str):
    """A date, or other text that TOML writes without quotes."""

    __slots__ = ()


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


def maybe(draw: Random, chance: float, *values: object) -> object:
    """One of some values, or None."""
    return draw.choice(values) if draw.random() < chance else None


def length_text(draw: Random, low: float, high: float) -> str:
    """A length in one of the units that makers write."""
    mm = draw.uniform(low, high)
    unit = draw.choice(("mm", "mm", "mm", "cm", "in"))
    return f"{mm / {'mm': 1.0, 'cm': 10.0, 'in': 25.4}[unit]:.2f} {unit}"


def blade_text(draw: Random, name: str, leather: str) -> str:
    """A blade file: measured or traced, and the choices for its sheath."""
    length, width = draw.randint(60, 150), draw.randint(14, 40)
    blade: dict[str, object] = {
        "length": f"{length} mm",
        "spine_thickness": f"{draw.uniform(1.5, 5):.1f} mm",
        "bevel": maybe(draw, 0.5, f"{width * 0.4:.1f} mm"),
        "handle_thickness": length_text(draw, 14, 22),
        "handle_section": maybe(draw, 0.5, "oval", "slab"),
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
        neutral_axis_share=maybe(draw, 0.3, 0.4, 0.45),
        handle_covered=draw.choice(("0 mm", "15 mm", "1 in")),
        clearance=maybe(draw, 0.4, "3 mm", "6 mm"),
        edge_clearance=maybe(draw, 0.4, "2 mm", "1/8 in"),
        welt_width=maybe(draw, 0.5, "8 mm", "12 mm", "1/2 in"),
        welts=maybe(draw, 0.5, 1, 2, 3),
        seam_distance=maybe(draw, 0.5, "3 mm", "5 mm", "2 mm"),
        seam_start=maybe(draw, 0.3, "6 mm"),
        seam_end=None if pouch else maybe(draw, 0.3, "9 mm"),
        pitch=maybe(draw, 0.6, "3 mm", "3.38 mm", "5 mm", "6 mm"),
        glue_width=maybe(draw, 0.4, "0 mm", "8 mm"),
        backstitches=maybe(draw, 0.4, 0, 2, 6),
        thread=maybe(draw, 0.4, *THREADS[:2], "unlisted thread"),
        throat=throat,
        throat_depth=None if throat == "straight" else maybe(draw, 0.5, "5 mm", "10 mm"),
        tip_radius=maybe(draw, 0.4, "0 mm", "8 mm", "20 mm"),
        drain_gap=maybe(draw, 0.3, "5 mm"),
        dyed=maybe(draw, 0.6, ["grain", "flesh"], [], ["grain"]),
        finish_edges=maybe(draw, 0.6, "all", "throat", "none"),
        show=maybe(draw, 0.6, "front", "all", "none"),
        belt_loop=maybe(
            draw, 0.6, {"belt_width": "40 mm"},
            {"belt_width": "1.5 in", "belt_thickness": "3 mm", "width": "24 mm", "tab": "25 mm"},
        ),
        strap=maybe(draw, 0.4, [{"width": "16 mm"}], [{"snap": "steel buckle"}]),
        keeper=maybe(draw, 0.3, [{"holds": ["12 mm", "8 mm"]}]),
    )  # fmt: skip
    head = table("", name=name, hand=maybe(draw, 0.5, "left"), wet_formed=draw.random() < 0.5)
    return "\n".join([head, table("[blade]", **blade), draft])


def typed_text(draw: Random, name: str, leather: str) -> str:
    """A pattern typed by hand, with some of the mistakes that makers make."""
    length, height = draw.randint(110, 200), draw.randint(70, 120)

    def slips(chance: float = 0.15) -> bool:
        return draw.random() < chance

    def needs() -> list[str]:
        return draw.choice((["show", "load"], ["load"], ["show"], []))

    top: list[list[float]] = [[length, height], [0, height]]
    middle, spikes = length / 2, slips()
    if slips():
        top[1:1] = [[middle + 0.4, height], [middle, height - 15], [middle - 0.4, height]]
    elif slips():
        top[1:1] = [[middle + 8, height], [middle, height - 22], [middle - 8, height]]
    elif slips():
        spikes = False
        top[0:1] = [[length, height - 20], [length - 40, height - 20], [length - 40, height]]
    if spikes:
        spike = height * 0.7 if draw.random() < 0.5 else height * 0.8
        wide = draw.choice((0.2, 0.7))
        top[0:0] = [[length, spike - wide], [length + 15, spike], [length, spike + wide]]
    fold = None if slips() else height / 2 + (2.0 if slips() else 0.0)
    inset = draw.choice((4, 4, 5, 3, 2))
    wide = draw.choice((10, 12, 7, 24))
    if slips(0.2):
        wide = round(height / 2)
    welts = 9 if slips(0.08) else draw.choice((0, 1, 1, 1, 2, 2))
    has_slot = slips(0.2)
    body = table(
        "[[part]]",
        name="body",
        kind="body",
        outline=[[0, 0], [length, 0], *top],
        needs=needs(),
        fold_lines=None if fold is None else [[[0, fold], [length + 20, fold]]],
        stretch=maybe(draw, 0.6, {"along_deg": 0, "within_deg": 15}),
        same_lot=draw.random() < 0.5,
        may_mirror=draw.random() < 0.2,
        dyed=draw.choice((["grain"], ["grain", "flesh"], [])),
        finish_edges="all" if slips(0.6) else [[[0, 0], [length, 0]]],
        hole=[{"rectangle": {"at": [middle, height * 0.66], "length": "42 mm", "width": "4.5 mm",
                             "turn_deg": 0}}] if has_slot else None,
        region=[{"needs": ["show"], "rectangle": {"at": [middle, height / 4],
                 "length": f"{length} mm", "width": f"{height / 2} mm"}}] if slips(0.5) else None,
    )  # fmt: skip
    welt = table(
        "[[part]]",
        name="welt",
        kind="welt",
        copies=maybe(draw, 0.1, 2),
        mirrored_copies=maybe(draw, 0.1, 1),
        rectangle=[f"{length - 10} mm", f"{wide} mm"],
        needs=needs(),
        dyed=maybe(draw, 0.2, ["flesh"]),
        lies_on={"part": "body", "shift": [0, 14 if slips() else 0]} if slips(0.8) else None,
    )
    loop = table(
        "[[part]]",
        name="belt loop",
        kind="loop",
        rectangle=["100 mm", "28 mm"],
        corner_radius=maybe(draw, 0.5, "5 mm"),
        needs=needs(),
        dyed=["grain"],
        thickness=maybe(draw, 0.1, "9-10 mm"),
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
            corner=maybe(draw, 0.3, "2 mm", "3 mm"),
            mate=[{"part": "body", "path": [[6, height - inset], [length - 30, height - inset]]}]
            if slips()
            else None,
        )
    ]
    for k, x in enumerate(() if has_slot else (9, 80)):
        row = [[x, 40], [x + 17, 40], [x + 17, 60], [x, 60], [x, 40]]
        seams.append(
            table("[[seam]]", name=f"loop {k}", part="body", path=row,
                  layers=["belt loop", "body"], pitch="4 mm", glue_width="4 mm",
                  corner=maybe(draw, 0.3, "1.5 mm"), thread="waxed thread")
        )  # fmt: skip
    if slips(0.2):
        seams.append(
            table("[[seam]]", name="stub", part="body", path=[[40, 20], [43, 20], [43, 21.5]],
                  layers=["body"], pitch="3 mm", corner="2 mm", thread="fine thread")
        )  # fmt: skip
    held = draw.choice((["body", "belt loop"], ["body", "body"]))
    metal = table("[[hardware]]", item=draw.choice((*METALS, "brass stud")),
                  count=draw.randint(1, 3), joins=held)  # fmt: skip
    join = table("[[join]]", how="lining cemented in", parts=["lining", "body"], glue="20 cm2")
    belt = table("[belt]", width=draw.choice(("40 mm", "50 mm", "70 mm")))
    head = table("", name=name, hand=maybe(draw, 0.5, "left"), wet_formed=draw.random() < 0.4,
                 thickness=leather)  # fmt: skip
    has_lining = slips(0.4)
    rest = [metal if has_slot or slips(0.4) else "", join if has_lining and not slips() else ""]
    return "\n".join(
        [head, body, welt, loop, *([lining] if has_lining else []), *seams, *rest]
        + ([belt] if slips(0.5) else [])
    )

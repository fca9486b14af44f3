"""Generated hides and orders laid by worth: islands, and whether what is left holds as much.

Each run is laid by worth and, with the same effort and seed, by the rule of areas. Into what
either leaves, further copies of the same parts are laid; a layout that costs less by worth should
not let fewer of them fit, beyond the noise that two such fillings of one leather differ by.
Prints one JSON line for each run and a summary; pictures show twelve runs a page.
"""

import argparse
import json
import sys
from collections import Counter
from dataclasses import asdict, replace
from math import ceil
from pathlib import Path
from time import process_time
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

import matplotlib as mpl
import numpy as np
import shapely
from matplotlib import pyplot
from shapely import Polygon, affinity, box

from estimator.geometry.pose import Pose
from estimator.nesting.effort import Effort, moves_for, settings_for
from estimator.nesting.nest import nest
from estimator.nesting.offcuts import areas_of
from estimator.nesting.problem import (
    Blemish,
    Layout,
    Objective,
    Piece,
    Placement,
    Problem,
    Sheet,
)
from estimator.nesting.score import SheetUse, score, sheets_cost
from estimator.quality import Spoil
from tests.benchmarks.worth_cases import (
    MIXES,
    PLAIN_MM,
    blob,
    fill,
    largest,
    leather,
    mix_problem,
    scars,
    side,
)

SHEATHS = {
    "pruning": MIXES["fold-over"],
    "grafting": MIXES["pouch"],
    "foraging": tuple(key for key in MIXES["mixed"] if key.startswith("foraging")),
}
SETS = (1, 1, 2, 3, 6)
FILLINGS_DEG = (0.0, 25.0)
"""What is left is filled once turned by each; both ways of a run by the same, so that what the
two gains of a run differ by is the noise."""
ARRANGEMENTS = 4
PAGE = 12
COLOURS = {Spoil.UNUSABLE: "red", Spoil.WEAK: "orange", Spoil.COSMETIC: "gold"}


def problem_of(number: int) -> Problem:
    """The order and the rack of a run, to be laid by worth."""
    random = np.random.default_rng([number, 15])
    pieces = _order(random)
    need_mm2 = sum(piece.outline.area * piece.copies for piece in pieces)
    kind = random.choice(["side", "side", "offcut", "two"])
    if kind == "offcut" and need_mm2 < 120_000:
        sheets = [_offcut(random, need_mm2)]
    else:
        sheets = [_side(random, need_mm2)]
    if kind == "two":
        second = _offcut(random, need_mm2) if random.random() < 0.5 else _side(random, need_mm2)
        rate = round(float(random.uniform(0.5, 1.4)), 2)
        sheets.append(replace(second, key="second", worth_per_mm2=rate))
    keys = frozenset(sheet.key for sheet in sheets)
    pieces = [replace(piece, sheets=keys) for piece in pieces]
    whole = mix_problem("straps", 1, *sheets, objective=Objective.WORTH)
    return replace(whole, pieces=tuple(pieces))


def _order(random: np.random.Generator) -> list[Piece]:
    """One line of some sheaths, or a line of each kind; each pattern a little larger or smaller."""
    lines = list(SHEATHS) if random.random() < 0.25 else [str(random.choice(list(SHEATHS)))]
    found: list[Piece] = []
    for line in lines:
        sets = int(random.choice(SETS)) if len(lines) == 1 else int(random.integers(1, 3))
        size = random.uniform(0.85, 1.2)
        given = mix_problem("mixed", sets, objective=Objective.WORTH).pieces
        asked = [piece for piece in given if piece.key in SHEATHS[line]]
        found += [replace(_sized(piece, size), kit=line) for piece in asked]
    return found


def _sized(piece: Piece, size: float) -> Piece:
    def scaled(outline: Polygon) -> Polygon:
        found = affinity.scale(outline, size, size, origin=(0.0, 0.0))
        assert isinstance(found, Polygon)
        return found

    zones = tuple(replace(zone, outline=scaled(zone.outline)) for zone in piece.zones)
    return replace(piece, outline=scaled(piece.outline), zones=zones)


def _side(random: np.random.Generator, need_mm2: float) -> Sheet:
    """A side or a part of one, with belly, fades and scars; room for all at least."""
    least = max(500.0, (need_mm2 * 2.2 / 0.45) ** 0.5)
    length = random.uniform(least, max(2200.0, 1.3 * least))
    width = min(0.7 * length, max(random.uniform(320.0, 950.0), need_mm2 * 2.8 / length))
    outline = side(random, length, width)
    blemishes = list(scars(random, outline, int(random.integers(1, 9))))
    for _ in range(int(random.integers(0, 4))):
        spoil = Spoil.COSMETIC if random.random() < 0.7 else Spoil.WEAK
        at = random.uniform(0.0, length), random.uniform(0.0, width)
        blemishes.append(_patch(blob(random, *at, random.uniform(40.0, 150.0)), spoil))
    if random.random() < 0.6:
        inner = affinity.translate(outline, 0.0, -0.16 * width)
        loose = outline.difference(inner).intersection(box(0, 0.3 * width, length, 2 * width))
        blemishes += [_patch(area, Spoil.WEAK) for area in areas_of(loose) if area.area > 3_000]
    return leather(outline, *(each for each in blemishes if each.outline.intersects(outline)))


def _offcut(random: np.random.Generator, need_mm2: float) -> Sheet:
    """A piece with one straight edge and some bays that parts were cut from, and its scars."""
    size = max(float(random.uniform(80_000, 300_000)), 2.8 * need_mm2)
    length = (size * random.uniform(1.2, 2.6)) ** 0.5
    outline = box(0.0, 0.0, length, size / length)
    for _ in range(int(random.integers(1, 4))):
        bay = box(0.0, 0.0, random.uniform(60.0, 0.4 * length), random.uniform(40.0, 110.0))
        low = float(random.choice([-10.0, size / length - 60.0]))
        bay = affinity.translate(bay, random.uniform(-30.0, length - 60.0), low)
        outline = largest(outline.difference(bay.buffer(12.0)))
    return leather(outline, *scars(random, outline, int(random.integers(1, 5))))


def _patch(outline: Polygon, spoil: Spoil) -> Blemish:
    return Blemish(outline=outline, spoil=spoil, kind=spoil.value)


def left_sheets(problem: Problem, uses: tuple[SheetUse, ...]) -> list[Sheet]:
    """What goes back on the rack as sheets to lay on, uncut hides among them."""
    found = []
    for sheet, use in zip(problem.sheets, uses, strict=True):
        for k, outline in enumerate(use.offcuts if use.is_cut else (sheet.outline,)):
            blemishes = tuple(b for b in sheet.blemishes if b.outline.intersects(outline))
            key = f"{sheet.key}-{k}"
            coarse = largest(outline.simplify(PLAIN_MM))
            found.append(replace(sheet, key=key, outline=coarse, blemishes=blemishes))
    return found


def further(problem: Problem, sheets: list[Sheet], room_mm2: float) -> list[float]:
    """Price of the parts that still fit, at what the leather under them costs, by filling.

    Both layouts of a run are asked for the same parts: enough for ``room_mm2``.
    """
    if not sheets:
        return [0.0] * len(FILLINGS_DEG)
    set_mm2 = sum(p.outline.area * p.copies for p in problem.pieces)
    times = ceil(0.9 * room_mm2 / set_mm2)
    keys = frozenset(sheet.key for sheet in sheets)
    pieces = tuple(
        replace(p, copies=times * p.copies, per_kit=times * p.copies, sheets=keys, same_lot=False)
        for p in problem.pieces
    )
    found = []
    for turn_deg in FILLINGS_DEG:
        turned = [
            replace(
                leather(sheet.outline, *sheet.blemishes, turn_deg=turn_deg),
                key=sheet.key,
                axis_deg=sheet.axis_deg + turn_deg,
                worth_per_mm2=sheet.worth_per_mm2,
            )
            for sheet in sheets
        ]
        asked = replace(
            problem, pieces=pieces, sheets=tuple(turned), objective=Objective.SHEET, poor_share=1.0
        )
        by_sheet = fill(asked, ARRANGEMENTS)
        found.append(sum(sheet.worth_per_mm2 * by_sheet[sheet.key] for sheet in turned))
    return found


def islands_of(problem: Problem, layout: Layout, uses: tuple[SheetUse, ...]) -> list[str]:
    """What the parts cut out of each island cover, "" where that is no flaw."""
    outlines = {piece.key: piece.outline for piece in problem.pieces}
    found = []
    for sheet, use in zip(problem.sheets, uses, strict=True):
        for ring in use.islands:
            laid = [p.pose.of(outlines[p.piece]) for p in layout.placements if p.sheet == sheet.key]
            inside = shapely.union_all([o for o in laid if ring.contains(o.centroid)])
            over = {b.spoil.value for b in sheet.blemishes if b.outline.intersects(inside)}
            found.append(" ".join(sorted(over)))
    return found


def run(number: int, effort: Effort) -> dict[str, Any]:
    """Lay a run both ways, and fill what is left."""
    problem = problem_of(number)
    start = process_time()
    layouts = {
        objective: nest(
            replace(problem, objective=objective),
            settings_for(effort, seed=1),
            budget=moves_for(effort),
        )
        for objective in (Objective.WORTH, Objective.SHEET)
    }
    line: dict[str, Any] = {"run": number, "effort": effort.value}
    left_by_way = {}
    for objective, layout in layouts.items():
        uses = score(problem, layout)
        left_by_way[objective] = left_sheets(problem, uses)
        line[objective.value] = {
            "cost": round(sheets_cost(problem, uses)),
            "consumed": round(sum(use.consumed_mm2 for use in uses)),
            "unplaced": sum(each.copies for each in layout.unplaced),
            "offcuts": sum(len(use.offcuts) for use in uses),
            "islands": islands_of(problem, layout, uses),
            "island_saving": layout.island_saving,
            "placements": [asdict(placement) for placement in layout.placements],
        }
    room_mm2 = max(sum(s.outline.area for s in sheets) for sheets in left_by_way.values())
    for objective, sheets in left_by_way.items():
        line[objective.value]["further"] = [round(f) for f in further(problem, sheets, room_mm2)]
    line["cpu_seconds"] = round(process_time() - start, 1)
    return line


def layout_from(told: dict[str, Any]) -> Layout:
    """The layout of a line, read back."""
    placements = tuple(
        Placement(**{**each, "pose": Pose(**each["pose"])}) for each in told["placements"]
    )
    saving = told["island_saving"]
    return Layout(placements=placements, unplaced=(), seed=1, moves=0, island_saving=saving)


def draw(lines: list[dict[str, Any]], way: Objective, path: Path) -> None:
    """Draw up to twelve runs on a page."""
    figure, axes = pyplot.subplots(3, 4, figsize=(18, 11))
    for ax in axes.ravel():
        ax.axis("off")
    for ax, line in zip(axes.ravel(), lines, strict=False):
        problem, told = problem_of(line["run"]), line[way.value]
        layout = layout_from(told)
        uses = score(problem, layout)
        _picture(ax, problem, layout, uses)
        saving = f" saving {told['island_saving'] or 0.0:.3f}" if told["islands"] else ""
        sets = "+".join(
            f"{n}{kit[:3]}"
            for kit, n in {p.kit: p.copies // p.per_kit for p in problem.pieces}.items()
        )
        ax.set_title(
            f"{line['run']}: {sets} charged {sum(u.charged_mm2 for u in uses) / 1e4:.1f} consumed"
            f" {told['consumed'] / 1e4:.1f} parts {sum(u.pieces_mm2 for u in uses) / 1e4:.1f}"
            f" islands {len(told['islands'])}{saving} left out {told['unplaced']}",
            fontsize=6,
        )
    figure.tight_layout()
    figure.savefig(path, dpi=80)
    pyplot.close(figure)


def _picture(ax: Any, problem: Problem, layout: Layout, uses: tuple[SheetUse, ...]) -> None:
    """Offcuts green, holes in them ringed blue, parts brown, flaws by how far they spoil."""
    outlines = {piece.key: piece.outline for piece in problem.pieces}
    down = 0.0
    for sheet, use in zip(problem.sheets, uses, strict=True):
        left, low, _, high = sheet.outline.bounds
        shift = (-left, down - high)
        down -= high - low + 60.0

        def paint(outline: Polygon, shift: tuple[float, float] = shift, **look: Any) -> None:
            ax.fill(*affinity.translate(outline, *shift).exterior.xy, **look)

        paint(sheet.outline, facecolor="white", edgecolor="black", lw=1)
        for offcut in use.offcuts:
            paint(offcut, color="lightgreen", alpha=0.5)
            for ring in offcut.interiors:
                paint(Polygon(ring), facecolor="white", edgecolor="blue", lw=1)
        for blemish in sheet.blemishes:
            paint(blemish.outline, color=COLOURS[blemish.spoil], alpha=0.5)
        for p in layout.placements:
            if p.sheet == sheet.key:
                paint(p.pose.of(outlines[p.piece]), facecolor="saddlebrown", alpha=0.7)
        ax.text(0, down + 60.0, f"price {sheet.worth_per_mm2:g}", fontsize=5, va="top")
    ax.set_aspect("equal")


def summary(lines: list[dict[str, Any]]) -> dict[str, Any]:
    """Counts over all runs, and the runs to look at."""
    counts: Counter[str] = Counter()
    fewer, gaps, spreads, bare = [], [], [], []
    for line in lines:
        worth, area = line["worth"], line["sheet"]
        counts["with_island"] += bool(worth["islands"])
        counts["islands"] += len(worth["islands"])
        counts["islands_on_no_flaw"] += worth["islands"].count("")
        counts["unplaced"] += worth["unplaced"]
        counts["dearer_than_by_area"] += worth["cost"] > area["cost"] * 1.005
        if worth["islands"].count("") and not (worth["island_saving"] or 0.0) > 0.0:
            bare.append(line["run"])
        here, there = np.array(worth["further"]), np.array(area["further"])
        whole = max(there.mean(), here.mean(), 1.0)
        gap = float((here.mean() - there.mean()) / whole)
        spreads.append(float(np.std((here - there) / whole, ddof=1) / len(here) ** 0.5))
        gaps.append(gap)
        cheaper = worth["cost"] < area["cost"]
        if cheaper and worth["unplaced"] == area["unplaced"]:
            counts["cheaper"] += 1
            fewer.append((round(gap, 3), line["run"]))
    noise_all = float(np.sqrt(np.mean(np.square(spreads)))) if spreads else 0.0
    return {
        "runs": len(lines),
        **counts,
        "islands_on_no_flaw_without_saving": bare,
        "further_mean_gain": round(float(np.mean(gaps)), 4),
        "noise_of_a_gain": round(noise_all, 4),
        "fewer_beyond_twice_the_noise": sorted(f for f in fewer if f[0] < -2 * noise_all),
        "cost_by_worth": sum(line["worth"]["cost"] for line in lines),
        "cost_by_area": sum(line["sheet"]["cost"] for line in lines),
        "cpu_seconds": round(sum(line["cpu_seconds"] for line in lines)),
    }


def main() -> None:
    """Run from one number to another; runs known from the file are not run again."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--to", type=int, default=200, help="not included (200)")
    parser.add_argument("--effort", type=Effort, choices=list(Effort), default=Effort.NORMAL)
    parser.add_argument("--runs", type=Path, help="file of runs, to go on from")
    parser.add_argument("--pictures", type=Path, metavar="DIR", help="draw every layout there")
    options = parser.parse_args()
    mpl.use("Agg")
    known: dict[int, dict[str, Any]] = {}
    if options.runs is not None and options.runs.exists():
        for text in options.runs.read_text(encoding="utf-8").splitlines():
            line = json.loads(text)
            if line["effort"] == options.effort.value:
                known[line["run"]] = line
    numbers = range(options.first, options.to)
    for number in numbers:
        if number not in known:
            known[number] = run(number, options.effort)
            if options.runs is not None:
                with options.runs.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(known[number]) + "\n")
        print(json.dumps(_short(known[number])), flush=True)
    lines = [known[number] for number in numbers]
    if options.pictures is not None:
        options.pictures.mkdir(parents=True, exist_ok=True)
        for start in range(0, len(lines), PAGE):
            page = lines[start : start + PAGE]
            name = f"{page[0]['run']:03d}-{page[-1]['run']:03d}"
            for way in (Objective.WORTH, Objective.SHEET):
                draw(page, way, options.pictures / f"{name}-{way.value}.png")
    print(json.dumps(summary(lines)))


def _short(line: dict[str, Any]) -> dict[str, Any]:
    """A line without the places of its parts."""
    return {
        key: {k: v for k, v in each.items() if k != "placements"}
        if isinstance(each, dict)
        else each
        for key, each in line.items()
    }


if __name__ == "__main__":
    main()

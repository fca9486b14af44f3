"""What the benchmark scripts share: public cases as problems, timed runs, and their outlines."""

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, process_time
from typing import Any

from shapely import Polygon, box, get_parts, make_valid

from estimator.nesting.engine.settings import Budget, Moves, Seconds, Settings
from estimator.nesting.nest import Progress, nest
from estimator.nesting.problem import (
    Blemish,
    Keep,
    Layout,
    Margins,
    Mirror,
    Objective,
    Piece,
    Problem,
    Sheet,
    Turn,
    Zone,
)
from estimator.quality import Need, Spoil

SHOW = frozenset({Need.SHOW})
KEEP = Keep(disc_radius_mm=40.0, area_mm2=20_000.0, strip_width_mm=0.0, strip_length_mm=0.0)
NO_MARGINS = Margins(spacing_mm=0.0, edge_mm=0.0, flaw_mm=0.0)
FREE = (Turn(from_deg=0.0, to_deg=360.0),)
GRADES = {"no-go": Spoil.UNUSABLE, "cosmetic": Spoil.COSMETIC}


class CpuSeconds:
    """A budget of this process's CPU seconds, its start included."""

    def __init__(self, seconds: float) -> None:
        self._seconds = seconds
        self.stopped = False

    @property
    def is_over(self) -> bool:
        """Whether it was stopped or the time is up."""
        return self.stopped or process_time() >= self._seconds

    def stop(self) -> None:
        """End at the next move."""
        self.stopped = True

    def spend(self) -> float:
        """Count one move and give the share used."""
        return 1.0 if self.is_over else min(1.0, process_time() / self._seconds)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A layout and what it took; times in seconds from the call on."""

    layout: Layout
    first_layout_s: float
    seconds: float
    cpu_seconds: float


def timed(problem: Problem, *, seed: int, budget: Budget) -> Run:
    """Nest, and note the times."""
    first: list[float] = []
    start, cpu = monotonic(), process_time()

    def note(progress: Progress) -> None:
        if not first:
            first.append(monotonic() - start)

    layout = nest(problem, Settings(seed=seed), budget=budget, on_progress=note)
    return Run(
        layout=layout,
        first_layout_s=round(first[0], 4),
        seconds=round(monotonic() - start, 3),
        cpu_seconds=round(process_time() - cpu, 3),
    )


def arguments(about: str | None, file: str) -> argparse.Namespace:
    """Read the options of a script that nests one file."""
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("file", type=Path, metavar=file)
    limit = parser.add_mutually_exclusive_group()
    limit.add_argument("--seconds", type=float, default=10.0, help="wall time (10)")
    limit.add_argument("--cpu-seconds", type=float, help="CPU time of the whole process instead")
    limit.add_argument("--moves", type=int, help="moves instead: repeatable")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, help="where to write the layout")
    return parser.parse_args()


def budget_of(options: argparse.Namespace) -> Budget:
    """The budget that the options ask for."""
    if options.moves is not None:
        return Moves(options.moves)
    if options.cpu_seconds is not None:
        return CpuSeconds(options.cpu_seconds)
    return Seconds(options.seconds)


def read(path: Path) -> dict[str, Any]:
    """Read a JSON object."""
    case: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return case


def finish(path: Path | None, layout: dict[str, Any], line: dict[str, Any]) -> None:
    """Write the layout, if asked for, and print the figures as one JSON line."""
    if path is not None:
        path.write_text(json.dumps(layout), encoding="utf-8")
    json.dump(line, sys.stdout)
    print(flush=True)


def outlines(problem: Problem, layout: Layout) -> list[tuple[str, str, list[list[float]]]]:
    """Piece, sheet and placed ring of every placement, point by point as in the file."""
    pieces = {piece.key: piece.outline for piece in problem.pieces}
    return [
        (
            placement.piece,
            placement.sheet,
            [[x, y] for x, y in placement.pose.of(pieces[placement.piece]).exterior.coords[:-1]],
        )
        for placement in layout.placements
    ]


def turns_of(angles: Sequence[float] | str | None) -> tuple[Turn, ...]:
    """Allowed turns: single angles, or any if none are listed."""
    if angles is None or isinstance(angles, str):
        return FREE
    return tuple(Turn(from_deg=float(a), to_deg=float(a)) for a in angles)


def hide_problem(case: dict[str, Any]) -> Problem:
    """Map a "hide-case/1" onto a problem."""
    sheets = tuple(
        Sheet(
            key=hide["id"],
            outline=Polygon(hide["outline"]),
            blemishes=tuple(
                Blemish(
                    outline=Polygon(flaw["polygon"]), spoil=GRADES[flaw["grade"]], kind=flaw["kind"]
                )
                for flaw in hide["flaws"]
            ),
            axis_deg=0.0,
            worth_per_mm2=1.0,
            lot="",
        )
        for hide in case["hides"]
    )
    return Problem(
        pieces=tuple(
            Piece(
                key=part["id"],
                copies=part["qty"],
                outline=(outline := Polygon(part["polygon"])),
                zones=(Zone(outline=outline, needs=SHOW),) if part["side"] == "visible" else (),
                turns=turns_of(part["rotations"]),
                sheets=frozenset(sheet.key for sheet in sheets),
                mirror=Mirror.MAY if part["mirror"] else Mirror.NEVER,
                kit="sheath",
                per_kit=part["per_sheath"],
                same_lot=False,
            )
            for part in case["parts"]
        ),
        sheets=sheets,
        margins=Margins(
            spacing_mm=case["spacing"], edge_mm=case["edge_margin"], flaw_mm=case["flaw_margin"]
        ),
        keep=KEEP,
        objective=Objective.SHEET,
    )


def strip_problem(instance: dict[str, Any]) -> Problem:
    """Map a strip instance onto a problem: one long sheet, the shortest length wanted."""
    height = float(instance["strip_height"])
    shapes = [Polygon(item["shape"]["data"]) for item in instance["items"]]
    area = sum(
        shape.area * item["demand"] for shape, item in zip(shapes, instance["items"], strict=True)
    )
    longest = max(shape.minimum_rotated_rectangle.length / 2 for shape in shapes)
    strip = Sheet(
        key="strip",
        outline=box(0.0, 0.0, max(3 * area / height, 2 * longest), height),
        blemishes=(),
        axis_deg=0.0,
        worth_per_mm2=1.0,
        lot="",
    )
    return Problem(
        pieces=tuple(
            _single(str(number), shape, item["demand"], turns_of(item["allowed_orientations"]))
            for number, (shape, item) in enumerate(zip(shapes, instance["items"], strict=True))
        ),
        sheets=(strip,),
        margins=NO_MARGINS,
        keep=KEEP,
        objective=Objective.LENGTH,
    )


def literature_problem(instance: dict[str, Any]) -> Problem:
    """Map hides with quality zones onto a problem: quality 0 is a hole, more is better.

    A zone is closed to every part that asks for a better quality, so a part
    may ignore the zones of its own quality or better.
    """
    sheets = tuple(
        Sheet(
            key=f"hide {bin_['id']}.{number}",
            outline=_polygon(bin_["shape"]),
            blemishes=tuple(_zone(zone) for zone in bin_["zones"]),
            axis_deg=0.0,
            worth_per_mm2=float(bin_["cost"]),
            lot="",
        )
        for bin_ in instance["bins"]
        for number in range(bin_["stock"])
    )
    keys = frozenset(sheet.key for sheet in sheets)
    qualities = {zone["quality"] for bin_ in instance["bins"] for zone in bin_["zones"]}
    pieces = []
    for item in instance["items"]:
        outline = _polygon(item["shape"])
        least = item.get("min_quality")
        ignored = set() if least is None else {q for q in qualities if q >= least}
        pieces.append(
            _single(
                str(item["id"]),
                outline,
                item["demand"],
                turns_of(item.get("allowed_orientations")),
                sheets=keys,
                zones=(Zone(outline=outline, needs=SHOW),),
                ignores=frozenset(f"quality-{q}" for q in ignored),
            )
        )
    side = max(sheet.outline.area for sheet in sheets) ** 0.5
    return Problem(
        pieces=tuple(pieces),
        sheets=sheets,
        margins=NO_MARGINS,
        keep=Keep(
            disc_radius_mm=side / 30,
            area_mm2=side * side / 75,
            strip_width_mm=0.0,
            strip_length_mm=0.0,
        ),
        objective=Objective.SHEET,
    )


def _zone(zone: dict[str, Any]) -> Blemish:
    quality = zone["quality"]
    spoil = Spoil.UNUSABLE if quality == 0 else Spoil.COSMETIC
    return Blemish(outline=_polygon(zone["shape"]), spoil=spoil, kind=f"quality-{quality}")


def _polygon(shape: dict[str, Any]) -> Polygon:
    """A shape of the instance; where its holes meet or cross its edge, what remains of it."""
    data = shape["data"]
    has_holes = shape["type"] == "polygon"
    drawn = Polygon(data["outer"], data["inner"]) if has_holes else Polygon(data)
    if drawn.is_valid:
        return drawn
    parts = get_parts(make_valid(drawn, method="structure", keep_collapsed=False))
    return max((part for part in parts if isinstance(part, Polygon)), key=lambda part: part.area)


def _single(
    key: str,
    outline: Polygon,
    copies: int,
    turns: tuple[Turn, ...],
    *,
    sheets: frozenset[str] = frozenset({"strip"}),
    zones: tuple[Zone, ...] = (),
    ignores: frozenset[str] = frozenset(),
) -> Piece:
    return Piece(
        key=key,
        copies=copies,
        outline=outline,
        zones=zones,
        turns=turns,
        sheets=sheets,
        mirror=Mirror.NEVER,
        kit=key,
        per_kit=1,
        same_lot=False,
        ignores=ignores,
    )

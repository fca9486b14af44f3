"""What lies in a scene: the hide with its flaws, sheets and pages, and things about it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely import Point, Polygon, affinity, box
from shapely.ops import unary_union

from tests.photo.scene_shapes import blob, hide_outline, largest, somewhere, streak, thing
from tests.photo.scene_sheets import Laid, SheetSpec
from tests.photo.scene_spec import SceneSpec
from tests.photo.scene_textures import LEATHERS

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class TrueFlaw:
    """A flaw as it was made.

    Parameters
    ----------
    outline : Polygon
        Where half of its effect is reached, mm.
    kind : str
        scar, stain, bleached or hole.
    group : str
        dark, faint, bleached or hole: how the benchmark counts it.
    brightness : float
        Pixel values within over those of the leather about it; 0 for a hole.
    soft_mm : float
        Spread of its edge (one standard deviation).
    """

    outline: Polygon
    kind: str
    group: str
    brightness: float
    soft_mm: float


Part = tuple[Polygon, tuple[int, int, int]]


@dataclass(frozen=True, kw_only=True)
class World:
    """Everything that lies about, on the plane of the first sheet or page, mm, y up.

    Parameters
    ----------
    hide : Polygon
        The leather's outer edge.
    flaws : tuple of TrueFlaw
        Within it.
    laid : tuple of Laid
        Sheets and pages.
    things : tuple
        Parts of things under the hide's edge and about it, with their colours.
    second : Polygon or None
        Another hide.
    backbone_deg : float
        Direction of the hide's length.
    """

    hide: Polygon
    flaws: tuple[TrueFlaw, ...]
    laid: tuple[Laid, ...]
    things: tuple[Part, ...]
    second: Polygon | None
    backbone_deg: float


def make_world(spec: SceneSpec) -> World:
    """Lay out a scene."""
    random = np.random.default_rng([spec.seed, 1])
    hide = hide_outline(spec.hide_shape, spec.hide_length_mm, random)
    curls = np.random.default_rng([spec.seed, 6])
    laid = [
        replace(one, curls=tuple(float(c) for c in curls.uniform(0, 1, 4)))
        for one in _laid(spec, hide, random)
    ]
    flaws = _flaws(spec, hide, [one.outline for one in laid], random)
    second = None
    if spec.second_hide:
        second = hide_outline("side", spec.hide_length_mm, random)
        shift = hide.bounds[3] - second.bounds[1] - 0.12 * spec.hide_length_mm
        second = affinity.translate(second, 0, shift)
    world = World(
        hide=hide,
        flaws=tuple(flaws),
        laid=tuple(laid),
        things=tuple(_things(spec, hide, random)),
        second=second,
        backbone_deg=0.0,
    )
    return _seen_from(world, laid[0]) if laid else world


def _laid(spec: SceneSpec, hide: Polygon, random: np.random.Generator) -> list[Laid]:
    """Sheets first, then pages, each where it is asked for and clear of the others."""
    x0, _, x1, _ = hide.bounds
    shares = [(k + 0.5) / spec.pages for k in range(spec.pages)]
    pages = [
        (SheetSpec(name=spec.page_paper), k, x0 + s * (x1 - x0))
        for k, s in enumerate(shares, start=1)
    ]
    sheets = [(sheet, None, None) for sheet in spec.sheets]
    for _ in range(40):
        laid: list[Laid] = []
        for sheet, page, about in [*sheets, *pages]:
            found = _lay(sheet, hide, laid, random, about)
            if found is None:
                break
            laid.append(replace(found, page=page))
        else:
            return laid
    raise ValueError("no room for all sheets and pages on this hide")


def _lay(
    sheet: SheetSpec,
    hide: Polygon,
    others: list[Laid],
    random: np.random.Generator,
    about_mm: float | None,
) -> Laid | None:
    """Find a place where a sheet lies wholly on the hide, clear of others."""
    x0, y0, x1, y1 = hide.bounds
    high = sheet.sides_mm[1]
    if sheet.place in {"floor", "cut"}:
        turn = 20.0 if sheet.turn_deg is None else sheet.turn_deg
        return Laid(spec=sheet, x_mm=x0 + 0.3 * (x1 - x0), y_mm=y0 - 0.6 * high, turn_deg=turn)
    taken = unary_union([o.outline for o in others]) if others else Polygon()
    for attempt in range(150):
        turn = float(random.uniform(0, 360)) if sheet.turn_deg is None else sheet.turn_deg
        spread = (0.5 if sheet.place == "anywhere" else 0.06 + 0.003 * attempt) * (x1 - x0)
        middle = (x0 + x1) / 2 if about_mm is None else about_mm
        if sheet.place == "end":
            middle = float(random.choice([x0 + 0.14 * (x1 - x0), x1 - 0.14 * (x1 - x0)]))
            spread = 0.3 * spread
        x = float(middle + random.uniform(-spread, spread))
        placed = Laid(spec=sheet, x_mm=x, y_mm=float(random.uniform(y0, y1)), turn_deg=turn)
        room = placed.outline.buffer(12)
        if hide.contains(room) and not room.intersects(taken):
            return placed
    return None


def _flaws(
    spec: SceneSpec, hide: Polygon, covered: list[Polygon], random: np.random.Generator
) -> list[TrueFlaw]:
    made: list[TrueFlaw] = []
    groups = [
        *["bleached"] * spec.bleached,
        *["dark"] * spec.dark_flaws,
        *["faint"] * spec.faint_flaws,
        *["hole"] * spec.holes,
    ]
    for group in groups:
        for _ in range(30):
            flaw = _flaw(group, random)
            size = float(np.hypot(*np.ptp(np.asarray(flaw.outline.exterior.coords), axis=0))) / 2
            others = [*covered, *(f.outline for f in made)]
            at = somewhere(hide, size + 12, random, others)
            if at is not None:
                placed = affinity.translate(flaw.outline, *at)
                made.append(replace(flaw, outline=placed))
                break
    return made


def _flaw(group: str, random: np.random.Generator) -> TrueFlaw:
    """One flaw about the origin."""
    origin = (0.0, 0.0)
    if group == "hole":
        wide = float(random.uniform(5, 16))
        shape = Point(0, 0).buffer(wide / 2) if random.random() < 0.5 else blob(
            origin, (wide * 1.3, wide), random)  # fmt: skip
        return TrueFlaw(outline=shape, kind="hole", group=group, brightness=0.0, soft_mm=0.0)
    if group == "bleached":
        size = float(random.uniform(70, 220)), float(random.uniform(50, 140))
        return TrueFlaw(
            outline=blob(origin, size, random),
            kind="bleached",
            group=group,
            brightness=float(random.uniform(1.15, 1.35)),
            soft_mm=float(random.uniform(3, 10)),
        )
    low, high = (0.35, 0.55) if group == "dark" else (0.70, 0.90)
    brightness = float(random.uniform(low, high))
    if random.random() < 0.5:
        outline = streak(origin, float(random.uniform(25, 90)), float(random.uniform(3, 8)), random)
        return TrueFlaw(
            outline=outline, kind="scar", group=group, brightness=brightness, soft_mm=0.5
        )
    wide = float(random.uniform(10, 45))
    outline = blob(origin, (wide, wide * float(random.uniform(0.6, 1.0))), random)
    soft = float(random.uniform(0.4, 1.5))
    return TrueFlaw(outline=outline, kind="stain", group=group, brightness=brightness, soft_mm=soft)


def _things(spec: SceneSpec, hide: Polygon, random: np.random.Generator) -> list[Part]:
    """Things on the floor; those that touch the hide lie under its edge."""
    parts: list[Part] = []
    kinds = ["tool", "box", "paper", "offcut", "cloth"]
    ring = hide.exterior
    for k in range(spec.clutter + spec.touching):
        kind = str(random.choice(kinds)) if k >= 2 else ("paper", "offcut")[k]
        made = thing(kind, random)
        whole = unary_union([part for part, _ in made])
        reach = float(np.hypot(*np.ptp(np.asarray(whole.bounds).reshape(2, 2), axis=0))) / 2
        turn = float(random.uniform(0, 360))
        for _ in range(100):
            spot = ring.interpolate(float(random.uniform(0, ring.length)))
            gap = -0.5 * reach if k >= spec.clutter else float(random.uniform(15, 150)) + reach
            angle = float(random.uniform(0, 2 * np.pi))
            x, y = spot.x + gap * np.cos(angle), spot.y + gap * np.sin(angle)
            placed = affinity.translate(affinity.rotate(whole, turn, origin=(0, 0)), x, y)
            apart = hide.distance(placed)
            touches = k >= spec.clutter
            if (touches and 0.2 < placed.difference(hide).area / placed.area < 0.8) or (
                not touches and apart > 12
            ):
                break
        else:
            continue
        colour = LEATHERS[spec.leather]
        tint = random.normal(0, 6, 3) if kind == "offcut" else np.zeros(3)
        for part, own in made:
            turned = affinity.rotate(part, turn, origin=(0, 0))
            base = np.asarray(colour if kind == "offcut" else own) + tint
            red, green, blue = (int(v) for v in np.clip(base, 0, 255))
            parts.append((largest(affinity.translate(turned, x, y)), (red, green, blue)))
    if spec.half_sheet:
        x0, y0, x1, _ = hide.bounds
        sheet = affinity.rotate(box(0, 0, 210, 148), float(random.uniform(0, 360)))
        where = (x0 + 0.45 * (x1 - x0), y0 - 60)
        parts.append((affinity.translate(sheet, *where), (242, 241, 238)))
    return parts


def _seen_from(world: World, first: Laid) -> World:
    """The same with the first sheet's middle as origin and its longer side along x."""
    angle = np.radians(-first.turn_deg)
    c, s = float(np.cos(angle)), float(np.sin(angle))
    x, y = c * first.x_mm - s * first.y_mm, s * first.x_mm + c * first.y_mm
    matrix = [c, -s, s, c, -x, -y]

    def moved(area: Polygon) -> Polygon:
        return affinity.affine_transform(area, matrix)

    laid = []
    for one in world.laid:
        at = np.array([[c, -s], [s, c]]) @ (one.x_mm, one.y_mm) - (x, y)
        turn = one.turn_deg - first.turn_deg
        laid.append(replace(one, x_mm=float(at[0]), y_mm=float(at[1]), turn_deg=turn))
    return World(
        hide=moved(world.hide),
        flaws=tuple(replace(flaw, outline=moved(flaw.outline)) for flaw in world.flaws),
        laid=tuple(laid),
        things=tuple((moved(part), colour) for part, colour in world.things),
        second=None if world.second is None else moved(world.second),
        backbone_deg=-first.turn_deg,
    )

"""Pieces, sheets and layouts in one line each, with plain defaults."""

from shapely import Polygon, box

from estimator.geometry.pose import Pose
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
from estimator.quality import Need, Spoil

SHOW = frozenset({Need.SHOW})
LOAD = frozenset({Need.LOAD})
BOTH = SHOW | LOAD
UPRIGHT = (Turn(from_deg=0.0, to_deg=0.0),)
QUARTERS = tuple(Turn(from_deg=angle, to_deg=angle) for angle in (0.0, 90.0, 180.0, 270.0))
FREE = (Turn(from_deg=0.0, to_deg=360.0),)
BLOCK = box(0, 0, 40, 20)


def without(outline: Polygon, hole: Polygon) -> Polygon:
    """An outline less a hole or a notch, still in one piece."""
    rest = outline.difference(hole)
    assert isinstance(rest, Polygon)
    return rest


def margins(spacing_mm: float = 0.0, edge_mm: float = 0.0, flaw_mm: float = 0.0) -> Margins:
    return Margins(spacing_mm=spacing_mm, edge_mm=edge_mm, flaw_mm=flaw_mm)


def keep(
    disc_radius_mm: float = 40.0,
    area_mm2: float = 20_000.0,
    strip_width_mm: float = 0.0,
    strip_length_mm: float = 0.0,
) -> Keep:
    return Keep(
        disc_radius_mm=disc_radius_mm,
        area_mm2=area_mm2,
        strip_width_mm=strip_width_mm,
        strip_length_mm=strip_length_mm,
    )


def piece(
    key: str = "body",
    outline: Polygon = BLOCK,
    *needs: Need,
    copies: int = 1,
    zones: tuple[Zone, ...] | None = None,
    turns: tuple[Turn, ...] = UPRIGHT,
    sheets: tuple[str, ...] = ("side",),
    mirror: Mirror = Mirror.NEVER,
    kit: str = "sheath",
    per_kit: int = 1,
    same_lot: bool = False,
    ignores: tuple[str, ...] = (),
) -> Piece:
    whole = (Zone(outline=outline, needs=frozenset(needs)),) if needs else ()
    return Piece(
        key=key,
        copies=copies,
        outline=outline,
        zones=whole if zones is None else zones,
        turns=turns,
        sheets=frozenset(sheets),
        mirror=mirror,
        kit=kit,
        per_kit=per_kit,
        same_lot=same_lot,
        ignores=frozenset(ignores),
    )


def spot(outline: Polygon, spoil: Spoil = Spoil.UNUSABLE, kind: str = "") -> Blemish:
    return Blemish(outline=outline, spoil=spoil, kind=kind)


def sheet(
    outline: Polygon,
    *blemishes: Blemish,
    key: str = "side",
    axis_deg: float = 0.0,
    worth_per_mm2: float = 1.0,
    lot: str = "",
) -> Sheet:
    return Sheet(
        key=key,
        outline=outline,
        blemishes=blemishes,
        axis_deg=axis_deg,
        worth_per_mm2=worth_per_mm2,
        lot=lot,
    )


def problem(
    *parts: Piece | Sheet,
    distances: Margins | None = None,
    rule: Keep | None = None,
    objective: Objective = Objective.SHEET,
    pinned: tuple[Placement, ...] = (),
) -> Problem:
    return Problem(
        pieces=tuple(part for part in parts if isinstance(part, Piece)),
        sheets=tuple(part for part in parts if isinstance(part, Sheet)),
        margins=distances or margins(),
        keep=rule or keep(),
        objective=objective,
        pinned=pinned,
    )


def put(
    x_mm: float = 0.0,
    y_mm: float = 0.0,
    rotation_deg: float = 0.0,
    *,
    mirrored: bool = False,
    piece: str = "body",
    copy: int = 0,
    sheet: str = "side",
) -> Placement:
    pose = Pose(x_mm=x_mm, y_mm=y_mm, rotation_deg=rotation_deg, mirrored=mirrored)
    return Placement(piece=piece, copy=copy, sheet=sheet, pose=pose)


def layout(*placements: Placement, left: dict[str, int] | None = None) -> Layout:
    unplaced = tuple(
        Unplaced(piece=key, copies=copies, reason=Reason.NO_ROOM)
        for key, copies in (left or {}).items()
    )
    return Layout(placements=placements, unplaced=unplaced, seed=1, moves=1)

"""Every piece in every allowed orientation, and how any two of them may lie.

All work that depends on shape alone is done here, once, when first asked for.
Places are places of a shape's centre, the centroid of its outline.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import Polygon, affinity
from shapely.geometry.base import BaseGeometry

from estimator.geometry.convex import Points, convex_pieces, grown
from estimator.geometry.nofit import free_region, no_fit_area
from estimator.geometry.pose import Pose
from estimator.nesting.engine.forms import Form, form_of, safe_ground, turned
from estimator.nesting.engine.poor import poor_ground, spoiled_ground
from estimator.nesting.engine.settings import slack_mm
from estimator.nesting.engine.turns import edge_angles, turn_angles
from estimator.nesting.problem import FLIPS, Blemish, Problem, Sheet
from estimator.quality import Spoil, spoils

FRAME_MM = 50.0
OVER_EDGE_MM = 1.0
"""How far ground round a sheet reaches out, and in over its edge so that no slit is left, mm."""

Choice = tuple[int, int, int]
"""A piece on a sheet in a shape, by their numbers."""

NoFitKey = tuple[int, int, float]
"""Fixed form, moving form, turn of the moving one relative to the fixed one."""


@dataclass(frozen=True, slots=True)
class Item:
    """One copy of a piece."""

    piece: int
    copy: int


@dataclass(frozen=True, slots=True)
class Laid:
    """An item on a sheet: shape number in the bank, place of its centre."""

    item: Item
    sheet: int
    shape: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Oriented:
    """A form at one angle; ``index`` is its number in the bank."""

    index: int
    form: int
    angle_deg: float


def _go_on() -> None:
    """Give nothing up."""


class ShapeBank:
    """Oriented shapes of a problem with their no-fit areas and free regions, made on demand.

    Parameters
    ----------
    problem : Problem
        What is to be laid.
    check : callable, optional
        To be called between steps of long work; it raises to give the work up.
    """

    def __init__(self, problem: Problem, check: Callable[[], None] = _go_on) -> None:
        self.problem = problem
        self.check = check
        self.slack_mm = slack_mm(problem)
        self.forms: list[Form] = []
        self.shapes: list[Oriented] = []
        self._form_of: dict[tuple[int, bool], int] = {}
        self._shape_of: dict[tuple[int, float], int] = {}
        self._no_fit: dict[NoFitKey, BaseGeometry] = {}
        self._no_fit_turned: dict[tuple[int, int], BaseGeometry] = {}
        self._free: dict[tuple[int, int], BaseGeometry] = {}
        self._complements: dict[int, list[Points]] = {}
        self._corners: dict[int, Points] = {}
        self._blemishes: dict[int, list[tuple[Blemish, list[Points]]]] = {}
        self._poor: dict[tuple[int, int], BaseGeometry] = {}
        self._spoiled: dict[int, BaseGeometry] = {}
        self._outside: dict[int, BaseGeometry] = {}
        self._along_edges: dict[tuple[int, int], list[int]] = {}

    def orientations(self, piece: int, sheet: int, step_deg: float) -> list[int]:
        """Shapes of a piece that may lie on a sheet, one for each distinct allowed turn.

        Parameters
        ----------
        piece, sheet : int
            Their numbers in the problem.
        step_deg : float
            Spacing of the angles tried within a range of turns, degrees.

        Returns
        -------
        list of int
            Numbers of shapes in the bank.
        """
        rules = self.problem.pieces[piece]
        if self.problem.sheets[sheet].key not in rules.sheets:
            return []
        axis = self.problem.sheets[sheet].axis_deg
        found: list[int] = []
        for mirrored in FLIPS[rules.mirror]:
            form = self.form(piece, mirrored=mirrored)
            for turn in rules.turns:
                for angle in turn_angles(turn, step_deg):
                    shape = self.shape(form, angle + axis)
                    if shape not in found and self._upside_down(shape) not in found:
                        found.append(shape)
        return found

    def along_edges(self, piece: int, sheet: int) -> list[int]:
        """Shapes of a piece with a long edge along one of a sheet's, within the allowed turns."""
        if (piece, sheet) not in self._along_edges:
            rules, on = self.problem.pieces[piece], self.problem.sheets[sheet]
            flips = FLIPS[rules.mirror] if on.key in rules.sheets else ()
            self._along_edges[piece, sheet] = [
                self.shape(self.form(piece, mirrored=mirrored), angle)
                for mirrored in flips
                for angle in edge_angles(
                    self.forms[self.form(piece, mirrored=mirrored)].outline,
                    on.outline,
                    rules.turns,
                    on.axis_deg,
                )
            ]
        return self._along_edges[piece, sheet]

    def shape(self, form: int, angle_deg: float) -> int:
        """Number of the shape that is this form at this angle."""
        angle = round(angle_deg % 360.0, 9) % 360.0
        key = (form, angle)
        if key not in self._shape_of:
            self._shape_of[key] = len(self.shapes)
            self.shapes.append(Oriented(len(self.shapes), form, angle))
        return self._shape_of[key]

    def outline(self, shape: int) -> Polygon:
        """True outline of a shape about its centre, mm."""
        oriented = self.shapes[shape]
        return affinity.rotate(self.forms[oriented.form].outline, oriented.angle_deg, (0.0, 0.0))

    def corners(self, shape: int) -> Points:
        """Corners of a shape's convex hull about its centre, mm: how far it reaches."""
        if shape not in self._corners:
            hull = self.outline(shape).convex_hull
            self._corners[shape] = shapely.get_coordinates(hull)
        return self._corners[shape]

    def pose(self, shape: int, x_mm: float, y_mm: float) -> Pose:
        """Pose that puts the centre of this shape at a place."""
        oriented = self.shapes[shape]
        form = self.forms[oriented.form]
        in_place = Pose(rotation_deg=oriented.angle_deg, mirrored=form.mirrored)
        centre = in_place.of(shapely.Point(*form.centre))
        return Pose(
            x_mm=x_mm - centre.x,
            y_mm=y_mm - centre.y,
            rotation_deg=oriented.angle_deg,
            mirrored=form.mirrored,
        )

    def relation(self, fixed: int, moving: int) -> tuple[NoFitKey, bool]:
        """Which stored no-fit area serves a pair, and whether it is that of the swapped pair.

        Only relative turns matter, so many pairs share one area; that of a
        swapped pair is the same, turned by 180 degrees.
        """
        one, other = self.shapes[fixed], self.shapes[moving]
        ahead = round((other.angle_deg - one.angle_deg) % 360.0, 9) % 360.0
        back = round((one.angle_deg - other.angle_deg) % 360.0, 9) % 360.0
        if (one.form, ahead) <= (other.form, back):
            return (one.form, other.form, ahead), False
        return (other.form, one.form, back), True

    def pinned(self) -> list[Laid]:
        """The problem's pinned copies as laid items."""
        pieces = {piece.key: index for index, piece in enumerate(self.problem.pieces)}
        sheets = {sheet.key: index for index, sheet in enumerate(self.problem.sheets)}
        laid = []
        for pin in self.problem.pinned:
            piece = pieces[pin.piece]
            form = self.form(piece, mirrored=pin.pose.mirrored)
            shape = self.shape(form, pin.pose.rotation_deg)
            centre = pin.pose.of(shapely.Point(*self.forms[form].centre))
            laid.append(Laid(Item(piece, pin.copy), sheets[pin.sheet], shape, centre.x, centre.y))
        return laid

    def no_fit_unturned(self, key: NoFitKey) -> BaseGeometry:
        """Stored no-fit area, about the first form unturned, mm."""
        if key not in self._no_fit:
            fixed, moving, relative = key
            self._no_fit[key] = no_fit_area(
                self.forms[fixed].spaced, turned(self.forms[moving].spaced, relative)
            )
        return self._no_fit[key]

    def no_fit(self, fixed: int, moving: int) -> BaseGeometry:
        """Places of ``moving`` relative to ``fixed`` where they would be too close, mm."""
        if (fixed, moving) not in self._no_fit_turned:
            key, swapped = self.relation(fixed, moving)
            turn = (
                self.shapes[moving].angle_deg + 180.0 if swapped else self.shapes[fixed].angle_deg
            )
            self._no_fit_turned[fixed, moving] = affinity.rotate(
                self.no_fit_unturned(key), turn, (0.0, 0.0)
            )
        return self._no_fit_turned[fixed, moving]

    def free(self, shape: int, sheet: int) -> BaseGeometry:
        """Places on an empty sheet where the shape keeps all margins and meets its needs, mm."""
        key = (shape, sheet)
        if key not in self._free:
            oriented = self.shapes[shape]
            form = self.forms[oriented.form]
            whole = turned(form.whole, oriented.angle_deg)
            obstacles = [(self._complement(sheet), whole)]
            for blemish, pieces in self._blemish_pieces(sheet):
                obstacles += [
                    (pieces, turned(avoiding, oriented.angle_deg))
                    for avoiding in _avoiding(form, blemish)
                ]
            frame = shapely.box(*self.problem.sheets[sheet].outline.bounds)
            self._free[key] = free_region(frame, obstacles)
        return self._free[key]

    def free_without_blemishes(self, shape: int, sheet: int) -> BaseGeometry:
        """Places where the shape would keep the edge margin if the sheet had no blemish, mm."""
        oriented = self.shapes[shape]
        whole = turned(self.forms[oriented.form].whole, oriented.angle_deg)
        frame = shapely.box(*self.problem.sheets[sheet].outline.bounds)
        return free_region(frame, [(self._complement(sheet), whole)])

    def poor(self, piece: int, sheet: int) -> BaseGeometry:
        """Ground of a sheet that is spoiled for others but good enough for a piece, mm."""
        if (piece, sheet) not in self._poor:
            self._poor[piece, sheet] = poor_ground(self.problem, piece, sheet)
        return self._poor[piece, sheet]

    def spoiled(self, sheet: int) -> BaseGeometry:
        """All ground of a sheet that is cosmetically spoiled or weak, mm."""
        if sheet not in self._spoiled:
            self._spoiled[sheet] = spoiled_ground(self.problem, sheet)
        return self._spoiled[sheet]

    def outside(self, sheet: int) -> BaseGeometry:
        """All round a sheet, reaching over its edge a little, mm."""
        if sheet not in self._outside:
            outline = self.problem.sheets[sheet].outline
            frame = shapely.box(*outline.bounds).buffer(FRAME_MM, join_style="mitre")
            self._outside[sheet] = frame.difference(outline.buffer(-OVER_EDGE_MM))
        return self._outside[sheet]

    @cached_property
    def reach_mm(self) -> float:
        """Greatest distance from a shape's centre to its outline, mm."""
        return max(
            shapely.hausdorff_distance(piece.outline.centroid, piece.outline.exterior)
            for piece in self.problem.pieces
        )

    def form(self, piece: int, *, mirrored: bool) -> int:
        """Number of the form that is this piece as drawn or mirrored."""
        key = (piece, mirrored)
        if key not in self._form_of:
            self._form_of[key] = len(self.forms)
            rules = self.problem.pieces[piece]
            half = (self.problem.margins.spacing_mm - self.slack_mm) / 2
            self.forms.append(form_of(rules, mirrored=mirrored, half_spacing_mm=half))
        return self._form_of[key]

    def _upside_down(self, shape: int) -> int | None:
        """The shape that covers the same ground as this one at half a turn, if any."""
        oriented = self.shapes[shape]
        if not self.forms[oriented.form].is_symmetric:
            return None
        return self._shape_of.get((oriented.form, round((oriented.angle_deg + 180.0) % 360.0, 9)))

    def _complement(self, sheet: int) -> list[Points]:
        """Convex pieces of all that is not sheet, grown by the edge margin."""
        if sheet not in self._complements:
            outline = self.problem.sheets[sheet].outline
            reach = self.reach_mm + self.problem.margins.edge_mm + 1.0
            frame = shapely.box(*outline.bounds).buffer(reach, join_style="mitre")
            edge = self.problem.margins.edge_mm
            ground = safe_ground(outline).buffer(self.slack_mm, join_style="mitre")
            outside = frame.difference(ground)
            self._complements[sheet] = _grown_pieces(outside, edge)
        return self._complements[sheet]

    def _blemish_pieces(self, sheet: int) -> list[tuple[Blemish, list[Points]]]:
        if sheet not in self._blemishes:
            rules: Sheet = self.problem.sheets[sheet]
            flaw = self.problem.margins.flaw_mm - self.slack_mm
            self._blemishes[sheet] = [
                (blemish, _grown_pieces(blemish.outline, flaw)) for blemish in rules.blemishes
            ]
        return self._blemishes[sheet]


def _avoiding(form: Form, blemish: Blemish) -> list[Sequence[Points]]:
    """The parts of a form that must keep off a blemish, as convex pieces."""
    if blemish.spoil is Spoil.UNUSABLE:
        return [form.whole]
    if blemish.spoil is Spoil.COSMETIC and blemish.kind in form.piece.ignores:
        return []
    return [pieces for need, pieces in form.needing.items() if spoils(blemish.spoil, {need})]


def _grown_pieces(area: BaseGeometry, by_mm: float) -> list[Points]:
    return [
        grown(ring, by_mm)
        for polygon in shapely.get_parts(area)
        if isinstance(polygon, Polygon)
        for ring in convex_pieces(polygon)
    ]

"""Shapes as files describe them: by name in a drawing, by coordinates, or by measurements.

One set of tables for patterns and hide maps. Bare coordinates are in the file's
``unit``; text carries its own (``"3 1/2 in"``).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Annotated, Any

from pydantic import ConfigDict, Field, PlainValidator, WithJsonSchema, model_validator
from shapely import LineString, Polygon

from estimator.drawing import scales
from estimator.drawing.paths import Drawing, Path, names_in, paths_named
from estimator.drawing.svg.reader import read_svg
from estimator.errors import Fault, InputError
from estimator.faults import refuse, suggestion, value_text
from estimator.fields import LONGEST_MM, Angle, FileModel, PositiveLength, exact_number
from estimator.geometry.shapes import Point, ellipse, polygon_from_points, rectangle
from estimator.measures import LENGTHS, parse_length_mm

DrawingUnit = scales.DrawingUnit
"""Of bare coordinates, and of drawings that state none."""


SUFFIXES = frozenset((".svg", ".dxf"))
"""Drawings that can be read, by the ending of their name."""


@dataclass(frozen=True, slots=True)
class Coordinate:
    """A coordinate as written: in mm, or bare and in the unit of its file."""

    value: float
    is_bare: bool


Position = tuple[Coordinate, Coordinate]
Marks = str | tuple[Position, ...]
"""A name in the drawing, or positions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What shapes of a file are read from.

    Parameters
    ----------
    unit : str
        Unit of bare coordinates.
    name : str
        The drawing as the maker named it; empty if there is none.
    paths : tuple of Path
        Lines of the drawing, mm.
    """

    unit: DrawingUnit
    name: str = ""
    paths: tuple[Path, ...] = field(default=())

    def point(self, position: Position) -> Point:
        """Give a position in mm."""
        x, y = (
            coordinate.value * float(LENGTHS[self.unit]) if coordinate.is_bare else coordinate.value
            for coordinate in position
        )
        return x, y

    def polygon(self, marks: Marks) -> Polygon:
        """Give the area inside an outline; closed lines inside it are holes.

        Raises
        ------
        InputError
            If the outline is not in the drawing or does not enclose an area.
        """
        if not isinstance(marks, str):
            return _polygon([self.point(position) for position in marks], (), "the outline")
        return self.area(self._named(marks), marks)

    def area(self, lines: Sequence[Path], name: str) -> Polygon:
        """Give the area inside lines of the drawing; closed lines inside another are holes.

        Parameters
        ----------
        lines : sequence of Path
            One or more.
        name : str
            What they are called, for messages.

        Raises
        ------
        InputError
            If one is open, or they do not enclose an area.
        """
        for path in lines:
            if not path.closed:
                raise _refusal(
                    f'"{name}" in {self.name} is open: it begins at {_at(path.points[0])} '
                    f"and ends at {_at(path.points[-1])}",
                    "close the path in the drawing",
                )
        rings = sorted((path.points for path in lines), key=_size, reverse=True)
        return _polygon(rings[0], rings[1:], f'"{name}" in {self.name}')

    def line(self, marks: Marks) -> LineString:
        """Give a line; a closed one ends where it begins.

        Raises
        ------
        InputError
            If it is not in the drawing, has several strokes, or no length.
        """
        if isinstance(marks, str):
            found = self._named(marks)
            if len(found) > 1:
                raise _refusal(
                    f'"{marks}" in {self.name} is {len(found)} separate lines',
                    "draw one line, or name each by itself",
                )
            points = list(found[0].points)
            points += points[:1] if found[0].closed else []
        else:
            points = [self.point(position) for position in marks]
        if len(set(points)) < 2:
            raise _refusal("the line has no length", "give at least two different points")
        return LineString(points)

    def _named(self, name: str) -> tuple[Path, ...]:
        if not self.name:
            raise _refusal(
                f'"{name}" is looked for in a drawing, but no drawing is named',
                'add drawing = "... .svg" at the top, or write coordinates',
            )
        found = paths_named(self.paths, name)
        if not found:
            raise _refusal(
                f'"{name}" is not in {self.name}', suggestion(name, names_in(self.paths))
            )
        return found


def read_source(
    folder: FilePath,
    drawing: str | None,
    unit: DrawingUnit,
    drawing_unit: DrawingUnit | None = None,
) -> Source:
    """Read the drawing that a file names.

    Parameters
    ----------
    folder : Path
        Of the file that names it.
    drawing : str or None
        Its name; None if there is none.
    unit : str
        Unit of bare coordinates in that file.
    drawing_unit : str or None
        Unit of the drawing, should it state none itself.

    Returns
    -------
    Source
        Ready to give shapes.

    Raises
    ------
    InputError
        If the drawing cannot be read; where it does not exist, the fault names no file, since
        it is the asking file that errs.
    """
    if drawing is None:
        return Source(unit=unit)
    path = folder / drawing
    if path.suffix.casefold() in SUFFIXES and not path.exists():
        raise _refusal(
            f'the drawing "{drawing}" does not exist', "put it beside this file, or mend its name"
        )
    return Source(unit=unit, name=drawing, paths=read_drawing(path, drawing_unit).paths)


def read_drawing(path: FilePath, unit: DrawingUnit | None = None) -> Drawing:
    """Read the lines of an SVG or DXF drawing, told apart by the ending of its name.

    Parameters
    ----------
    path : Path
        The file.
    unit : str or None
        Its unit, should it state none itself.

    Returns
    -------
    Drawing
        Its lines, mm, y up; what stands in it besides is counted.

    Raises
    ------
    InputError
        If it is neither, cannot be read, or its unit is not known.
    """
    suffix = path.suffix.casefold()
    if suffix == ".svg":
        return read_svg(path, unit)
    if suffix == ".dxf":
        # loading ezdxf takes 0.3 s, and few draw in DXF
        from estimator.drawing.dxf.reader import read_dxf  # noqa: PLC0415  (likewise)

        return read_dxf(path, unit)
    problem, remedy = "is not a drawing that can be read", "name an .svg or a .dxf"
    raise InputError(Fault(problem=problem, remedy=remedy, file=str(path)))


def _coordinate(value: object) -> Coordinate:
    if not isinstance(value, str):
        return Coordinate(_check_bounds(float(exact_number(value))), is_bare=True)
    try:
        return Coordinate(_check_bounds(parse_length_mm(value)), is_bare=False)
    except InputError as error:
        raise refuse(error.faults[0].problem, error.faults[0].remedy) from None


def _check_bounds(value: float) -> float:
    if abs(value) > LONGEST_MM:
        raise refuse(f"{value:g} is too far off", "write a position within 100 m")
    return value


def position(value: object) -> Position:
    """Check a position: two coordinates.

    Raises
    ------
    PydanticCustomError
        If it is none.
    """
    if not isinstance(value, tuple) or len(value) != 2:
        raise refuse(
            f"expected a position, got {value_text(value)}",
            'write it as [x, y], as in [120, "4 in"]',
        )
    return _coordinate(value[0]), _coordinate(value[1])


def marks(value: object) -> Marks:
    """Check a name in a drawing, or a list of positions.

    Raises
    ------
    PydanticCustomError
        If it is neither.
    """
    if isinstance(value, str) and value.strip():
        return value.strip()
    if not isinstance(value, tuple) or not value:
        raise refuse(
            f"expected a name in the drawing or a list of positions, got {value_text(value)}",
            "write [[0, 0], [120, 0], ...]",
        )
    return tuple(position(item) for item in value)


_COORDINATE: dict[str, Any] = {"anyOf": [{"type": "number"}, {"type": "string"}]}
_POSITION: dict[str, Any] = {
    "type": "array",
    "items": _COORDINATE,
    "minItems": 2,
    "maxItems": 2,
    "description": "x and y: bare numbers in the file's unit, or text with a unit",
}
MARKS_SCHEMA: Mapping[str, Any] = {
    "anyOf": [{"type": "string"}, {"type": "array", "items": _POSITION, "minItems": 2}],
    "description": "A name in the drawing (id, label or layer), or a list of positions",
}
PositionField = Annotated[Position, PlainValidator(position), WithJsonSchema(_POSITION)]
MarksField = Annotated[Marks, PlainValidator(marks), WithJsonSchema(dict(MARKS_SCHEMA))]


class CircleTable(FileModel):
    """A circle by its centre and width."""

    at: PositionField = Field(description="Its centre.")
    diameter: PositiveLength


class TurnedTable(FileModel):
    """An ellipse or a rectangle by its centre and two measurements."""

    at: PositionField = Field(description="Its centre.")
    length: PositiveLength = Field(description="Along x before turning.")
    width: PositiveLength
    turn_deg: Angle = Field(default=0.0, description="Counter-clockwise, degrees.")


class ShapeTable(FileModel):
    """An area, in one of four ways."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [{"required": [way]} for way in ("outline", "circle", "ellipse", "rectangle")]
        }
    )

    outline: MarksField | None = None
    circle: CircleTable | None = None
    ellipse: TurnedTable | None = None
    rectangle: TurnedTable | None = None

    @model_validator(mode="after")
    def _one_way(self) -> "ShapeTable":
        ways = [self.outline, self.circle, self.ellipse, self.rectangle]
        given = sum(way is not None for way in ways)
        if given != 1:
            raise refuse(
                f"the shape is given in {given} ways" if given else "the shape is missing",
                "write one of: outline, circle, ellipse, rectangle",
            )
        return self

    def polygon(self, source: Source) -> Polygon:
        """Give the area in mm; round shapes contain the true ones.

        Raises
        ------
        InputError
            If the outline cannot be found or does not enclose an area.
        """
        if self.circle:
            width = self.circle.diameter
            return ellipse(center=source.point(self.circle.at), length_mm=width, width_mm=width)
        turned = self.ellipse or self.rectangle
        if turned is None:
            return source.polygon(self.outline or ())
        shape = ellipse if self.ellipse else rectangle
        return shape(
            center=source.point(turned.at),
            length_mm=turned.length,
            width_mm=turned.width,
            turn_deg=turned.turn_deg,
        )


def _polygon(points: Sequence[Point], holes: Sequence[Sequence[Point]], what: str) -> Polygon:
    try:
        return polygon_from_points(points, holes)
    except ValueError as error:
        problem = str(error).replace("the outline", what, 1)
        raise _refusal(problem, "correct the outline so that it goes round once") from None


def _size(points: Sequence[Point]) -> float:
    return float(Polygon(points).area) if len(points) > 2 else 0.0


def _at(point: Point) -> str:
    return f"x {point[0]:.1f}, y {point[1]:.1f} mm"


def _refusal(problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy))

"""Patterns: measured, checked, printed in true size and exported."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

from shapely import Polygon

from estimator.costing.price_book.reader import read_price_book
from estimator.desk.choices import read_choices
from estimator.desk.targets import (
    PICTURES,
    Outcome,
    check_target,
    is_file_unedited,
    is_unedited_pdf,
    write,
)
from estimator.drawing.dxf.writer import dxf_text
from estimator.drawing.reader import SUFFIXES, read_drawing
from estimator.drawing.scales import DrawingUnit
from estimator.drawing.sheets import DrawnSheet
from estimator.drawing.svg.writer import svg_text
from estimator.errors import Check, Fault, InputError, raise_faults, worst_first
from estimator.faults import suggestion
from estimator.files import read_values
from estimator.measures import parse_length_mm
from estimator.pattern.belts import with_belt
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.parts import Hand, Part, Pattern
from estimator.pattern.reader import read_pattern
from estimator.pattern.tools import USUAL_TOOLS
from estimator.pattern.writer import pattern_json
from estimator.report.page.fonts import fonts_for, missing_note
from estimator.report.page.paper import Paper
from estimator.report.page.picture_files import png, svg
from estimator.report.pictures.pattern_checks import draw_checks
from estimator.report.screen.measures import drawn_parts
from estimator.report.text.findings import notice
from estimator.report.true_size.export import export_sheet
from estimator.report.true_size.export_pdf import export_pdf
from estimator.report.true_size.pages import PrintedPattern, print_pattern
from estimator.units import Units

DRAFT_TABLES = ("blade", "draft")
EXPORTS: Mapping[str, Callable[[DrawnSheet], str | bytes]] = {
    ".svg": svg_text,
    ".dxf": dxf_text,
    ".pdf": export_pdf,
}
"""What writes a drawing, by the ending of its file."""


def parts_in(
    path: Path, unit: DrawingUnit | None = None
) -> tuple[tuple[tuple[str, Polygon], ...], tuple[str, ...]]:
    """Give names and outlines of the parts in a drawing or a pattern file.

    Parameters
    ----------
    path : Path
        SVG, DXF, TOML or JSON, by its ending.
    unit : DrawingUnit or None
        What a drawing is drawn in that does not say so itself.

    Returns
    -------
    tuple of (str, Polygon), tuple of str
        The parts, mm; and what of a drawing is no line, so left out.

    Raises
    ------
    InputError
        If it is another kind of file, or cannot be read.
    """
    ending = path.suffix.lower()
    if ending in {".toml", ".json"}:
        return tuple((part.name, part.outline) for part in read_pattern(path).parts), ()
    if ending in SUFFIXES:
        whole = read_drawing(path, unit)
        return drawn_parts(whole.paths, file=path), tuple(whole.left_out)
    raise InputError(
        Fault(
            problem=f"files ending in {ending or 'nothing'} are not known",
            remedy="name an SVG or DXF drawing, or a pattern in TOML",
            file=str(path),
        )
    )


def check_pattern(
    path: Path,
    *,
    out: Path | None = None,
    force: bool = False,
    prices: Path | None = None,
    belt: str | None = None,
) -> Outcome[tuple[Check, ...]]:
    """Check a pattern before anything is cut.

    Parameters
    ----------
    path : Path
        The pattern file.
    out : Path or None
        Where a picture is written that circles each place.
    force : bool
        Whether a file that is there is moved aside.
    prices : Path or None
        Price book with the shop's tools; the usual ones without it.
    belt : str or None
        Width of the belt it goes on; the pattern's own without it.

    Returns
    -------
    Outcome of tuple of Check
        The findings, worst first.

    Raises
    ------
    InputError
        If a file or a choice cannot be used.
    """
    if out is not None:
        check_target(out, endings=PICTURES, force=force)
    pattern = read_pattern(path)
    for width_mm in read_choices(belt=(_belt_mm, belt)).values():
        pattern = with_belt(pattern, width_mm)
    tools = read_price_book(prices).tools if prices else USUAL_TOOLS
    checks = worst_first(pattern_checks(pattern, tools))
    if out is None:
        return Outcome(made=checks)
    texts = [pattern.name, *(part.name for part in pattern.parts)]
    found = [notice(check, Units.METRIC) for check in checks]
    fonts = fonts_for([*texts, *(f"{one.message} {one.remedy}" for one in found)])
    drawn = draw_checks(pattern, found, fonts)
    picture = (svg if out.suffix.lower() == ".svg" else png)(drawn, fonts)
    return write(checks, {out: picture}, warning=missing_note(fonts))


def write_true_size(
    path: Path,
    *,
    made_on: date,
    paper: Paper = Paper.A4,
    overlap: str = "15 mm",
    margin: str = "10 mm",
    names: Sequence[str] = (),
    out: Path | None = None,
    hand: Hand | None = None,
    units: Units = Units.METRIC,
    force: bool = False,
) -> Outcome[PrintedPattern]:
    """Write a pattern in true size, as pages to be glued together.

    Parameters
    ----------
    path : Path
        The pattern file.
    made_on : date
        PrintedPattern on every page.
    paper, hand, units
        See :func:`estimator.report.true_size.pages.print_pattern`.
    overlap, margin : str
        Lengths: what neighbouring pages share, and what the printer leaves white.
    names : sequence of str
        Parts to print; all if empty.
    out : Path or None
        The PDF; by default beside the pattern, named after it and the paper.
    force : bool
        Whether a file that is there is moved aside; one of ours is replaced in any case.

    Returns
    -------
    Outcome of PrintedPattern
        The pages.

    Raises
    ------
    InputError
        If a file or a choice cannot be used.
    """
    read = _read_pattern_file(path)
    parts = _chosen_parts(read, names)
    mm = read_choices(overlap=(parse_length_mm, overlap), margin=(parse_length_mm, margin))
    target = out or path.with_name(f"{path.stem}-{paper}.pdf")
    check_target(target, endings=(".pdf",), force=force or is_file_unedited(target))
    printed = print_pattern(
        read,
        parts,
        paper=paper,
        made_on=made_on,
        overlap_mm=mm["overlap"],
        margin_mm=mm["margin"],
        units=units,
        hand=hand,
    )
    contents = {target: printed.content}
    return write(printed, contents, is_ours=is_unedited_pdf, warning=printed.warning)


def export_pattern(
    path: Path, *, out: Path, names: Sequence[str] = (), force: bool = False
) -> Outcome[tuple[tuple[Part, ...], DrawnSheet | None]]:
    """Draw a pattern in true size for other programs, or write it as JSON.

    Parameters
    ----------
    path : Path
        The pattern file.
    out : Path
        SVG, DXF, PDF or JSON, by its ending.
    names : sequence of str
        Parts to draw; all if empty.
    force : bool
        Whether a file that is there is moved aside.

    Returns
    -------
    Outcome of (tuple of Part, DrawnSheet or None)
        The parts, and how they are drawn; a pattern as JSON is no drawing.

    Raises
    ------
    InputError
        If a file or a choice cannot be used.
    """
    read = _read_pattern_file(path)
    parts = _chosen_parts(read, names)
    check_target(out, endings=(*EXPORTS, ".json"), force=force)
    ending = out.suffix.lower()
    if ending == ".json":
        return write((parts, None), {out: _json(path, read, names)})
    sheet = export_sheet(read, parts)
    return write((parts, sheet), {out: EXPORTS[ending](sheet)})


def _belt_mm(text: str) -> float:
    width_mm = parse_length_mm(text)
    if width_mm <= 0.0:
        raise InputError(Fault(problem=f"the belt is {text} wide", remedy="write its width"))
    return width_mm


def _json(path: Path, pattern: Pattern, names: Sequence[str]) -> str:
    """The whole pattern as JSON, with the tables of a draft as they stand in its file."""
    if names:
        raise InputError(
            Fault(
                problem="a pattern as JSON holds all its parts",
                remedy="leave --part out",
                key=("part",),
            )
        )
    values = read_values(path).values
    return pattern_json(pattern, tables={key: values[key] for key in DRAFT_TABLES if key in values})


def _read_pattern_file(path: Path) -> Pattern:
    """Read a pattern, and say so plainly if the file is a drawing instead."""
    if path.suffix.lower() in SUFFIXES:
        raise InputError(
            Fault(
                problem="is a drawing, which does not say what its lines mean",
                remedy=f'name a pattern file; it names the drawing: drawing = "{path.name}"',
                file=str(path),
            )
        )
    return read_pattern(path)


def _chosen_parts(pattern: Pattern, names: Sequence[str]) -> tuple[Part, ...]:
    """The parts that are asked for by name, in the order of the pattern; all without names."""
    known = [part.name for part in pattern.parts]
    faults = [
        Fault(
            problem=f'there is no part named "{name}"',
            remedy=suggestion(name, known),
            key=("part",),
        )
        for name in dict.fromkeys(names)
        if name not in known
    ]
    raise_faults(faults)
    return tuple(part for part in pattern.parts if not names or part.name in names)

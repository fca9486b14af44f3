"""A pattern in true size on the pages of a home printer, as one PDF."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from matplotlib.figure import Figure

from estimator.errors import Fault, InputError, raise_faults
from estimator.pattern.parts import Hand, Part, Pattern
from estimator.report.page.fonts import Fonts, fonts_for, missing_note
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.page.picture_files import pdf_pages
from estimator.report.page.styles import drawing_style
from estimator.report.text import wording
from estimator.report.true_size.canvas import Canvas
from estimator.report.true_size.file import seal_pdf
from estimator.report.true_size.foot import FOOT_MM, FootText, draw_foot
from estimator.report.true_size.joins import Join, sheet_joins
from estimator.report.true_size.map import MapText, draw_map
from estimator.report.true_size.sheets import PageSetting, PrintSheet, print_sheets
from estimator.report.true_size.tile import draw_tile, parts_on, sheet_lines
from estimator.units import Units

OVERLAP_MM = 15.0
MARGIN_MM = 10.0
"""Home printers leave up to about 6 mm of a sheet white; common practice, no source."""
LEAST_MARGIN_MM, MOST_MARGIN_MM = 7.0, 30.0
"""Crop marks of 6 mm lie in the margin."""
LEAST_OVERLAP_MM, MOST_OVERLAP_MM = 8.0, 40.0
"""A join mark of 7 mm lies in the band; more than 40 mm wastes a third of a page."""

PAPER_NAMES = {Paper.A4: "A4", Paper.A3: "A3", Paper.LETTER: "Letter"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedPattern:
    """A pattern ready for the printer.

    Parameters
    ----------
    content : bytes
        PDF.
    pages : int
        Number of pages, the map included.
    sheets : tuple of PrintSheet
        What the pages show.
    setting : PageSetting
        How they show it.
    warning : str
        Characters that could not be printed, or empty.
    """

    content: bytes
    pages: int
    sheets: tuple[PrintSheet, ...]
    setting: PageSetting
    warning: str


def print_pattern(
    pattern: Pattern,
    parts: Sequence[Part],
    *,
    paper: Paper,
    made_on: date,
    overlap_mm: float = OVERLAP_MM,
    margin_mm: float = MARGIN_MM,
    units: Units = Units.METRIC,
    hand: Hand | None = None,
) -> PrintedPattern:
    """Print parts in true size.

    The first page tells how, and has a map. Pages lie upright or across, whichever takes fewer.

    Parameters
    ----------
    pattern : Pattern
        With its seams.
    parts : sequence of Part
        Those to print, of this pattern; one or more.
    paper : Paper
        Paper in the printer.
    made_on : date
        Printed on every page.
    overlap_mm : float
        Width of the band that neighbouring pages share, mm, 8 to 40.
    margin_mm : float
        Left white on all sides, mm, 7 to 30.
    units : Units
        What the reader wants.
    hand : Hand or None
        The hand to print it for, mirrored if it is not the pattern's; None for the pattern's.

    Returns
    -------
    Printed
        The same pattern and date give the same bytes.

    Raises
    ------
    InputError
        If margin or overlap are out of range, or it takes an absurd number of pages.
    """
    _check(margin_mm, overlap_mm)
    hand = hand or pattern.hand
    setting, sheets = _best_pages(
        parts, paper, overlap_mm, margin_mm, is_mirrored=hand is not pattern.hand
    )
    texts = [pattern.name, *(part.name for part in parts)]
    fonts = fonts_for([*texts, "·×•"])
    book = _Book(
        pattern,
        sheets=sheets,
        setting=setting,
        paper=paper,
        made_on=made_on,
        hand=hand,
        units=units,
        fonts=fonts,
    )
    return PrintedPattern(
        content=seal_pdf(pdf_pages(book.figures(), fonts), fonts.printable(pattern.name)),
        pages=book.pages,
        sheets=sheets,
        setting=setting,
        warning=missing_note(fonts),
    )


def _check(margin_mm: float, overlap_mm: float) -> None:
    """Refuse bands and margins that marks do not fit into; all faults at once."""
    faults = [
        Fault(
            problem=f"{value:g} mm is no {what}",
            remedy=f"write {least:g} mm to {most:g} mm",
            key=(what,),
        )
        for what, value, least, most in (
            ("margin", margin_mm, LEAST_MARGIN_MM, MOST_MARGIN_MM),
            ("overlap", overlap_mm, LEAST_OVERLAP_MM, MOST_OVERLAP_MM),
        )
        if not least <= value <= most
    ]
    raise_faults(faults)


def _best_pages(
    parts: Sequence[Part],
    paper: Paper,
    overlap_mm: float,
    margin_mm: float,
    *,
    is_mirrored: bool,
) -> tuple[PageSetting, tuple[PrintSheet, ...]]:
    """Pages upright or across: fewer pages first, then fewer joins, then upright."""
    tried = []
    refused: InputError | None = None
    for is_landscape in (False, True):
        width, height = paper_mm(paper, is_landscape=is_landscape)
        setting = PageSetting(
            width_mm=width,
            height_mm=height,
            margin_mm=margin_mm,
            foot_mm=FOOT_MM,
            overlap_mm=overlap_mm,
        )
        try:
            sheets = print_sheets(parts, setting, is_mirrored=is_mirrored)
        except InputError as error:
            refused = error
            continue
        tiles = sum(len(sheet.tiles) for sheet in sheets)
        tried.append((tiles, -len(sheets), is_landscape, setting, sheets))
    if not tried and refused is not None:
        raise refused
    _, _, _, setting, sheets = min(tried, key=lambda each: each[:3])
    return setting, sheets


class _Book:
    """The pages, being drawn."""

    def __init__(
        self,
        pattern: Pattern,
        *,
        sheets: tuple[PrintSheet, ...],
        setting: PageSetting,
        paper: Paper,
        made_on: date,
        hand: Hand,
        units: Units,
        fonts: Fonts,
    ) -> None:
        self._pattern, self._sheets, self._setting = pattern, sheets, setting
        self._paper, self._made_on, self._units, self._fonts = paper, made_on, units, fonts
        is_mirrored = hand is not pattern.hand
        self._hand = f"for the {hand} hand{', mirrored' if is_mirrored else ''}"
        self.pages = 1 + sum(len(sheet.tiles) for sheet in sheets)

    def figures(self) -> list[Figure]:
        """All pages, the map first."""
        with drawing_style(self._fonts):
            figures = [self._map()]
            first = 1
            for sheet in self._sheets:
                joins = sheet_joins(
                    sheet,
                    sheet_lines(self._pattern, sheet),
                    overlap_mm=self._setting.overlap_mm,
                    first=first,
                )
                first += len(joins)
                figures += self._tiles(sheet, joins, 1 + len(figures))
        return figures

    def _tiles(self, sheet: PrintSheet, joins: Sequence[Join], number: int) -> list[Figure]:
        figures = []
        name = self._pattern.name
        for place, tile in enumerate(sheet.tiles):
            canvas = Canvas(self._setting.width_mm, self._setting.height_mm, fonts=self._fonts)
            draw_tile(
                canvas,
                tile,
                pattern=self._pattern,
                sheet=sheet,
                joins=joins,
                setting=self._setting,
            )
            count = len(sheet.tiles)
            joined = f"row {tile.row}, column {tile.column} of sheet {sheet.letter}"
            joined = joined if count > 1 else "nothing to glue"
            foot = FootText(
                title=f"{tile.name} of {count}  {name}",
                lines=self._foot_lines(number + place, joined),
                laid=parts_on(sheet, tile),
                units=self._units,
            )
            draw_foot(canvas, self._setting, foot)
            figures.append(canvas.figure)
        return figures

    def _foot_lines(self, number: int, joined: str) -> tuple[str, ...]:
        paper = PAPER_NAMES[self._paper]
        day = wording.day(self._made_on)
        return (
            f"Scale 1:1 on {paper} paper · page {number} of {self.pages} · {joined}",
            f"Drawn {self._hand} · {day}",
        )

    def _map(self) -> Figure:
        """The first page, always upright."""
        width, height = paper_mm(self._paper)
        setting = PageSetting(
            width_mm=width,
            height_mm=height,
            margin_mm=self._setting.margin_mm,
            foot_mm=FOOT_MM,
            overlap_mm=self._setting.overlap_mm,
        )
        canvas = Canvas(width, height, fonts=self._fonts)
        name = self._pattern.name
        paper = PAPER_NAMES[self._paper]
        words = MapText(
            title=f"{name}: pattern in true size",
            subtitle=(
                f"{self.pages} pages for {paper} paper, this one included · "
                f"drawn {self._hand} · {wording.day(self._made_on)}"
            ),
            steps=_steps(paper, has_joins=any(len(sheet.tiles) > 1 for sheet in self._sheets)),
            cautions=_cautions(self._paper),
            units=self._units,
        )
        draw_map(canvas, self._pattern, self._sheets, setting, words)
        foot = FootText(
            title=f"Map of pages  {name}",
            lines=self._foot_lines(1, "measure here before you print the rest"),
            laid=(),
            units=self._units,
        )
        draw_foot(canvas, setting, foot)
        return canvas.figure


def _steps(paper: str, *, has_joins: bool) -> tuple[str, ...]:
    """What to do, in order."""
    first = (
        f"Put {paper} paper in. Print page 1 by itself, at 100 % or “actual size”, never “fit”.",
        "Measure the test square below: 50 mm both ways, or 100 mm on the ruler. Then print all.",
    )
    gluing = (
        "A page named A 1-2 is sheet A, row 1, column 2. Lay the pages out as on the map.",
        "Cut the left and the upper edge of a page along its frame wherever another page joins it.",
        "Glue that edge onto its neighbour, up to the dotted line: halves of diamonds meet, "
        "numbers agree.",
        "Row by row from left to right, then each row onto the one above.",
    )
    last = (
        ("Measure across a join with a ruler, then cut" if has_joins else "Cut")
        + " the parts out along the thick lines.",
        "Mark on the grain side. For a mirrored copy turn the paper over.",
    )
    return (*first, *(gluing if has_joins else ()), *last)


def _cautions(paper: Paper) -> tuple[str, ...]:
    """What goes wrong with paper."""
    a4, letter = paper_mm(Paper.A4), paper_mm(Paper.LETTER)
    sizes = (
        f"A4 is {a4[0]:g} × {a4[1]:g} mm, Letter {letter[0]:g} × {letter[1]:g} mm: a page made "
        "for one does not fit the other."
    )
    other = {
        Paper.A4: "For Letter paper make this file again with --paper letter.",
        Paper.LETTER: "For A4 paper make this file again with --paper a4.",
        Paper.A3: "A3 is printed on A3 only; for A4 make this file again with --paper a4.",
    }[paper]
    return (
        sizes,
        other,
        "Paper shrinks and swells with damp: print and cut on one day, and keep the pieces flat.",
    )

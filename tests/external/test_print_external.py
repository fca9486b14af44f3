"""Printed and exported patterns against standards, and against readers of other people's make."""

from datetime import date
from io import BytesIO, StringIO
from math import sqrt

import ezdxf.filemanagement
import numpy as np
import pdfplumber
import pytest
from ezdxf import path as dxf_path
from ezdxf.math import area as dxf_area
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path
from lxml import etree
from pypdf import PdfReader
from shapely import Polygon

from estimator.drawing.dxf.writer import dxf_text
from estimator.drawing.svg.writer import svg_text
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.true_size.export import export_sheet, side_by_side
from estimator.report.true_size.pages import print_pattern
from estimator.report.true_size.sheets import tile_count
from tests import shop
from tests.report.print_samples import long_pattern

pytestmark = pytest.mark.external

DAY = date(2026, 11, 25)


def test_paper_sizes_are_those_of_the_standards() -> None:
    # ISO 216:2007, main A series, trimmed sizes, mm
    assert paper_mm(Paper.A4) == (210.0, 297.0)
    assert paper_mm(Paper.A3) == (297.0, 420.0)
    # ANSI/ASME Y14.1: 8.5 x 11 in
    assert paper_mm(Paper.LETTER) == pytest.approx((215.9, 279.4))


@pytest.mark.parametrize(("paper", "number"), [(Paper.A4, 4), (Paper.A3, 3)])
def test_a_sizes_follow_from_one_square_metre(paper: Paper, number: int) -> None:
    # ISO 216: sides as 1 to the root of 2, A0 of 1 m2, each size half the one before,
    # tolerance 1.5 mm up to 150 mm and 2 mm up to 600 mm
    short, long = paper_mm(paper)
    assert short == pytest.approx(1000 * 2 ** (-1 / 4 - number / 2), abs=1.0)
    assert long / short == pytest.approx(sqrt(2), rel=0.005)


@pytest.mark.parametrize(
    ("length", "window", "overlap", "count"),
    [
        # A4 across, margins of 10 mm: 277 + 262 = 539 reaches over 420
        (420.0, 277.0, 15.0, 2),
        (277.0, 277.0, 15.0, 1),
        (1000.0, 100.0, 10.0, 11),
        (1900.0, 190.0, 0.0, 10),
    ],
)
def test_number_of_tiles_by_hand(length: float, window: float, overlap: float, count: int) -> None:
    assert tile_count(length, window_mm=window, overlap_mm=overlap) == count
    # laid end to end they reach, and one less does not
    assert window + (count - 1) * (window - overlap) >= length
    assert count == 1 or window + (count - 2) * (window - overlap) < length


@pytest.mark.parametrize("paper", list(Paper))
def test_page_boxes_by_another_reader(paper: Paper) -> None:
    pattern = long_pattern()
    made = print_pattern(pattern, pattern.parts, paper=paper, made_on=DAY)
    # ISO 32000-1, 8.3.2.3: one unit is 1/72 in; in = 25.4 mm (international yard, 1959)
    for page in PdfReader(BytesIO(made.content)).pages:
        size = sorted(
            float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)
        )
        assert size == pytest.approx(sorted(paper_mm(paper)), abs=0.01)


def test_the_square_and_the_ruler_as_a_renderer_draws_them() -> None:
    pattern = shop.pattern(shop.part("plate", shop.rectangle(120.0, 80.0)), name="plate")
    made = print_pattern(pattern, pattern.parts, paper=Paper.A4, made_on=DAY)
    with pdfplumber.open(BytesIO(made.content)) as pdf:
        # 508 dots to the inch are 20 to the mm; drawn by PDFium
        picture = pdf.pages[1].to_image(resolution=508).original.convert("L")
    dark = np.asarray(picture)[::-1] < 128
    assert dark.shape == pytest.approx((297 * 20, 210 * 20), abs=1)
    # long dark runs along the rows and columns of the foot are the sides of the square
    foot = dark[: 64 * 20, : 66 * 20]
    rows = np.flatnonzero(foot.sum(axis=1) >= 49 * 20)
    columns = np.flatnonzero(foot.sum(axis=0) >= 49 * 20)
    assert (rows.max() - rows.min()) / 20 == pytest.approx(50.0 + 0.25, abs=0.1)
    assert (columns.max() - columns.min()) / 20 == pytest.approx(50.0 + 0.25, abs=0.1)
    # and the part, 120 x 80 mm and the width of its line
    window = dark[66 * 20 :]
    rows = np.flatnonzero(window[:, 12 * 20 : 200 * 20].sum(axis=1) >= 100 * 20)
    inner = rows[(rows < window.shape[0] - 11 * 20)]
    assert (inner.max() - inner.min()) / 20 == pytest.approx(80.0 + 0.45, abs=0.1)


def test_dxf_by_the_librarys_own_measure() -> None:
    pattern = long_pattern()
    sheet = export_sheet(pattern, pattern.parts)
    document = ezdxf.filemanagement.read(StringIO(dxf_text(sheet)))
    assert document.dxfversion == "AC1024"  # R2010
    assert document.header["$INSUNITS"] == 4  # mm, in the DXF reference
    assert not document.audit().has_errors
    cut = [
        dxf_path.make_path(entity)
        for entity in document.modelspace().query('LWPOLYLINE[layer=="cut"]')
    ]
    areas = sorted(dxf_area(path.flattening(0.001)) for path in cut)
    laid = side_by_side(pattern.parts)[0]
    rings = [ring for each in laid for ring in (each.outline.exterior, *each.outline.interiors)]
    wanted = sorted(Polygon(ring).area for ring in rings)
    assert areas == pytest.approx(wanted, rel=1e-6)
    linetypes = {layer: document.layers.get(layer).dxf.linetype for layer in sheet.layers}
    assert len(set(linetypes.values())) == 4
    assert {group.dxf.description for _, group in document.groups} >= {"body", "keeper"}


def test_svg_by_another_reader() -> None:
    pattern = long_pattern()
    sheet = export_sheet(pattern, pattern.parts)
    root = etree.fromstring(svg_text(sheet).encode())
    # SVG 1.1, section 7.7: the viewBox fills width and height, so that a unit is a mm
    assert root.get("width") == f"{sheet.width_mm:g}mm"
    assert root.get("viewBox") == f"0 0 {sheet.width_mm:g} {sheet.height_mm:g}"
    paths = {str(path.get("id")): str(path.get("d")) for path in root.iter("{*}path")}
    for each in side_by_side(pattern.parts)[0]:
        bounds, area = BoundsPen(None), AreaPen(None)
        # the reader of fontTools, made for glyphs
        parse_path(paths[each.part.name.replace(" ", "-")], bounds)
        parse_path(paths[each.part.name.replace(" ", "-")], area)
        left, top, right, bottom = bounds.bounds
        x0, y0, x1, y1 = each.outline.bounds
        assert (left, right) == pytest.approx((x0, x1), abs=0.001)
        upright = (sheet.height_mm - bottom, sheet.height_mm - top)
        assert upright == pytest.approx((y0, y1), abs=0.001)
        assert abs(area.value) == pytest.approx(each.outline.area, rel=1e-6)

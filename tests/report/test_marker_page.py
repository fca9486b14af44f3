"""Printed marker pages: in true size, and read by what reads photographs."""

from datetime import date
from io import BytesIO
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from pypdf import PdfReader

from estimator.photo.base.picture import Picture
from estimator.photo.camera.marker_page import tags_of_page
from estimator.photo.scale.markers import find_pages
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.true_size.file import is_unedited
from estimator.report.true_size.marker_page import LINE_MM, marker_pages

DAY = date(2026, 11, 25)
DPI = 150
POINTS_PER_MM = 72 / 25.4


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_pages_that_are_printed_are_read_in_true_size(paper: Paper) -> None:
    """Drawn by another program, PDFium, and found as in a photograph."""
    content = marker_pages((1, 97), paper=paper, made_on=DAY)
    with pdfplumber.open(BytesIO(content)) as document:
        drawn = [page.to_image(resolution=DPI).original.convert("RGB") for page in document.pages]
    width, height = paper_mm(paper, is_landscape=True)
    for page, image in zip((1, 97), drawn, strict=True):
        pixels = np.ascontiguousarray(np.asarray(image, dtype=np.uint8)[:, :, ::-1])
        picture = Picture(pixels=pixels, source=Path("page.png"), shrunk=1.0)
        (found,) = find_pages(picture)
        assert (found.page, found.tags) == (page, tags_of_page(page))
        # whole pixels make the page drawn a little larger or smaller than the paper
        across, down = ((found.corners_px + 0.5) * (width, height) / image.size).T
        read = np.column_stack([across - width / 2, height / 2 - down])
        assert read == pytest.approx(found.corners_mm, abs=0.15)


def test_the_line_to_be_measured_is_as_long_as_it_says() -> None:
    content = marker_pages((3,), paper=Paper.A4, made_on=DAY)
    with pdfplumber.open(BytesIO(content)) as document:
        page = document.pages[0]
        text = page.extract_text()
        longest = max(page.lines, key=lambda line: line["x1"] - line["x0"])
    assert (longest["x1"] - longest["x0"]) / POINTS_PER_MM == pytest.approx(LINE_MM, abs=0.01)
    assert "Marker page 3" in text
    assert f"must measure {LINE_MM:g} mm" in text


def test_pages_are_asked_to_be_printed_unshrunk_and_are_the_same_each_time() -> None:
    content = marker_pages((1, 2), paper=Paper.LETTER, made_on=DAY)
    reader = PdfReader(BytesIO(content))
    assert len(reader.pages) == 2
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    assert is_unedited(content)
    assert marker_pages((1, 2), paper=Paper.LETTER, made_on=DAY) == content


def test_there_is_no_page_98() -> None:
    with pytest.raises(ValueError, match="pages 1 to 97"):
        marker_pages((98,), paper=Paper.A4, made_on=DAY)

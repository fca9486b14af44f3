"""Patterns to print and export, and a reader of lines from a PDF's own coordinates."""

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import pdfplumber
from shapely import LineString, Point, Polygon, box

from estimator.pattern.parts import Pattern
from estimator.quality import Need
from tests import shop

MM_PER_POINT = 25.4 / 72

BODY = Polygon(
    [(0, 0), (360, 0), (430, 40), (470, 110), (470, 160), (430, 230), (360, 270), (0, 270)]
)


def long_pattern() -> Pattern:
    """A long body that takes several pages, a strap, and keepers with a round hole."""
    hole = Point(12, 10).buffer(2.0)
    keeper = shop.rectangle(90.0, 20.0)
    body = shop.part(
        "body",
        BODY,
        fold_lines=(LineString([(0, 135), (470, 135)]),),
        stretch=shop.upright(15.0),
        regions=(
            *shop.needing(BODY, frozenset({Need.LOAD})),
            *shop.needing(Polygon([(20, 20), (300, 20), (300, 100), (20, 100)]), shop.SHOW),
        ),
    )
    return shop.pattern(
        body,
        shop.part("long strap", shop.rectangle(700.0, 30.0), stretch=shop.upright()),
        shop.part(
            "keeper",
            Polygon(keeper.exterior, [hole.exterior]),
            copies=2,
            mirrored_copies=1,
        ),
        name="scythe guard",
        seams=(
            shop.seam(
                "edge",
                LineString([(6, 5), (358, 5), (425, 44), (464, 112), (464, 129)]),
                ("body", "body"),
            ),
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A line in a PDF: its shape in mm from the lower left corner, and its pen."""

    shape: LineString
    width_mm: float
    dashes: int
    grey: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadPage:
    """What a page holds, mm from its lower left corner."""

    width_mm: float
    height_mm: float
    strokes: tuple[Stroke, ...]
    filled: tuple[Polygon, ...]
    text: str
    letters: tuple[Polygon, ...]

    def pen(self, width_mm: float, *, above_mm: float = 0.0) -> list[LineString]:
        """Lines of one width that lie above a height."""
        return [
            stroke.shape
            for stroke in self.strokes
            if abs(stroke.width_mm - width_mm) < 0.005 and stroke.shape.bounds[1] >= above_mm
        ]


def read_pages(content: bytes) -> list[ReadPage]:
    """Read all pages."""
    with pdfplumber.open(BytesIO(content)) as pdf:
        return [_page(page) for page in pdf.pages]


def _page(page: Any) -> ReadPage:
    objects = [*page.lines, *page.curves, *page.rects]
    return ReadPage(
        width_mm=float(page.width) * MM_PER_POINT,
        height_mm=float(page.height) * MM_PER_POINT,
        strokes=tuple(_strokes(objects, float(page.height))),
        filled=tuple(
            Polygon(_points(each, float(page.height)))
            for each in objects
            if each["fill"] and not each["stroke"] and len(each["pts"]) > 3
        ),
        text=" ".join((page.extract_text() or "").split()),
        letters=tuple(
            box(
                each["x0"] * MM_PER_POINT,
                (float(page.height) - each["bottom"]) * MM_PER_POINT,
                each["x1"] * MM_PER_POINT,
                (float(page.height) - each["top"]) * MM_PER_POINT,
            )
            for each in page.chars
            if each["text"].strip()
        ),
    )


def _strokes(objects: list[Any], height: float) -> Iterator[Stroke]:
    for each in objects:
        if not each["stroke"]:
            continue
        points = _points(each, height)
        if each["path"][-1][0] == "h" or each["object_type"] == "rect":
            points.append(points[0])
        dash = each["dash"]
        yield Stroke(
            shape=LineString(points),
            width_mm=each["linewidth"] * MM_PER_POINT,
            dashes=len(dash[0]) if dash else 0,
            grey=_grey(each["stroking_color"]),
        )


def _grey(color: Any) -> float:
    return float(color[0] if isinstance(color, tuple | list) else color)


def _points(each: Any, height: float) -> list[tuple[float, float]]:
    return [(x * MM_PER_POINT, (height - y) * MM_PER_POINT) for x, y in each["pts"]]

"""A hide drawn in layers over its photograph, so that any vector editor can touch it up."""

from math import cos, radians, sin

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from estimator.drawing.paths import Path
from estimator.drawing.sheets import DrawnSheet, Underlay
from estimator.hide.flaw_kinds import NOT_SEEN
from estimator.hide.hides import Flaw, FlawState, Hide
from estimator.hide.layers import BACKBONE, COVERED, FLAWS, LAYERS, OUTLINE, PHOTO, PROPOSED

BACKBONE_SHARE = 0.6
"""Length of the line drawn along the backbone, of what the hide measures there: long enough to
turn by a degree, short enough not to be taken for an edge."""


def hide_sheet(hide: Hide, *, width_mm: float, height_mm: float) -> DrawnSheet:
    """Draw a hide with its flaws on layers of their own, over its photograph.

    Parameters
    ----------
    hide : Hide
        In the axes of the page: what is drawn lies between the origin and the page's corner.
    width_mm, height_mm : float
        The page, mm; the photograph covers it.

    Returns
    -------
    DrawnSheet
        For :func:`estimator.drawing.svg.writer.svg_text`; the map of
        :func:`estimator.hide.writer.drawn_hide_text` names its lines.
    """
    paths = [*_rings(hide.outline, layer=OUTLINE, name="hide")]
    for flaw, name in zip(hide.flaws, line_names(hide), strict=True):
        paths += _rings(flaw.outline, layer=_layer(flaw), name=name, label=_label(flaw))
    paths.append(_backbone(hide))
    underlay = None
    if hide.photo is not None:
        underlay = Underlay(
            layer=PHOTO,
            file=hide.photo.file.name,
            at=(hide.photo.left_mm, hide.photo.bottom_mm),
            width_mm=width_mm,
            height_mm=height_mm,
        )
    return DrawnSheet(
        title=f"Hide {hide.tag}",
        width_mm=width_mm,
        height_mm=height_mm,
        layers=LAYERS,
        paths=tuple(paths),
        underlay=underlay,
    )


def line_names(hide: Hide) -> tuple[str, ...]:
    """Give each flaw the name that its line has in the drawing.

    Parameters
    ----------
    hide : Hide
        With its flaws, numbered or not.

    Returns
    -------
    tuple of str
        ``flaw-3`` for the flaw of that number; those without one are counted on.
    """
    free = max((flaw.number for flaw in hide.flaws), default=0)
    names = []
    for flaw in hide.flaws:
        free += not flaw.number
        names.append(f"flaw-{flaw.number or free}")
    return tuple(names)


def _layer(flaw: Flaw) -> str:
    if flaw.state is FlawState.PROPOSED:
        return PROPOSED
    return COVERED if flaw.kind == NOT_SEEN else FLAWS


def _label(flaw: Flaw) -> str:
    """What an editor shows in its list of objects."""
    sure = "" if flaw.confidence is None else f" {flaw.confidence:.0%}"
    return f"{flaw.number or ''} {flaw.kind}{sure}".strip()


def _rings(shape: Polygon, *, layer: str, name: str, label: str = "") -> list[Path]:
    """An outline and its holes, which are one shape by their name."""
    return [
        Path(layer=layer, name=name, closed=True, points=tuple(ring.coords[:-1]), label=label)
        for ring in (shape.exterior, *shape.interiors)
    ]


def _backbone(hide: Hide) -> Path:
    """A line along the backbone through the middle of the hide."""
    turned = radians(hide.backbone_deg)
    middle = hide.outline.representative_point()
    left, bottom, right, top = hide.outline.bounds
    reach = right - left + top - bottom
    across = LineString(
        [
            (middle.x - reach * cos(turned), middle.y - reach * sin(turned)),
            (middle.x + reach * cos(turned), middle.y + reach * sin(turned)),
        ]
    )
    inside = _longest(across.intersection(hide.outline))
    share = (1.0 - BACKBONE_SHARE) / 2
    ends = (inside.interpolate(each, normalized=True) for each in (share, 1.0 - share))
    points = tuple((end.x, end.y) for end in ends)
    return Path(layer=BACKBONE, name="backbone-line", closed=False, points=points)


def _longest(shape: BaseGeometry) -> LineString:
    lines = [each for each in getattr(shape, "geoms", [shape]) if isinstance(each, LineString)]
    return max(lines, key=lambda line: line.length)

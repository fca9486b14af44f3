"""The physical size of an SVG drawing, from all the ways in which it can be stated."""

from collections.abc import Mapping
from typing import NamedTuple

from estimator.drawing.affine import Affine, fit_box, parse_numbers
from estimator.drawing.paths import FARTHEST_MM
from estimator.drawing.svg.marks import PX_PER_UNIT, user_length


class UnstatedSizeError(ValueError):
    """A drawing does not say how large it is; the message tells what is missing."""


class Page(NamedTuple):
    """How a drawing lies on paper.

    Parameters
    ----------
    matrix : Affine
        From user units to mm, y up, from the page's lower left corner.
    width, height : float
        User units; what percentages are of.
    """

    matrix: Affine
    width: float
    height: float


def page_of(attributes: Mapping[str, str], unit_mm: float | None) -> Page:
    """Find the map from user units to mm.

    Width and height in physical units state the size. Where one of them is left
    out, or is a share of the window, the viewBox gives it (SVG 2, section 8.2; CSS
    Images 3, section 5.2). Bare numbers are of no stated unit, and
    neither is a viewBox alone.

    Parameters
    ----------
    attributes : mapping
        Of the root element, style taken in.
    unit_mm : float or None
        What a bare number means, mm; None if nobody said so. Sides in physical
        units keep their size.

    Returns
    -------
    Page
        The size and the map.

    Raises
    ------
    UnstatedSizeError
        If the size is not stated.
    ValueError
        If it is no size of a page, or cannot be read.
    """
    box = attributes.get("viewBox", "").strip()
    view = parse_numbers(box) if box else ()
    if box and (len(view) != 4 or min(view[2], view[3]) <= 0):
        raise ValueError("the viewBox is not four numbers with a width and a height above zero")
    width, height = (_side_mm(attributes, key, unit_mm) for key in ("width", "height"))
    if unit_mm is None and (width is None or height is None) and not (view and (width or height)):
        raise _unstated(attributes, "width" if width is None else "height")
    if not view:
        # a user unit is then a px, which is a stated length, unless the sides are bare
        is_bare = all(_unit(attributes, key) == "" for key in ("width", "height"))
        user = unit_mm if is_bare and unit_mm is not None else 1 / PX_PER_UNIT["mm"]
        width, height = width or 0.0, height or 0.0
        return Page(Affine(a=user, d=-user, f=height), width / user, height / user)
    if width is None and height is None:
        width = view[2] * (unit_mm or 1.0)
    # an open side follows the other one
    width = view[2] * (height or 0.0) / view[3] if width is None else width
    height = view[3] * width / view[2] if height is None else height
    aspect = attributes.get("preserveAspectRatio", "")
    fitted = fit_box(view, width=width, height=height, aspect=aspect)
    return Page(fitted.within(Affine(d=-1.0, f=height)), view[2], view[3])


def _unit(attributes: Mapping[str, str], key: str) -> str:
    """Give the unit of a side, empty if it has none."""
    return attributes.get(key, "").strip().lstrip("+-0123456789.eE ").casefold()


def _side_mm(attributes: Mapping[str, str], key: str, unit_mm: float | None) -> float | None:
    """Give a side of the page in mm; None if it is left open."""
    text, unit = attributes.get(key, "").strip(), _unit(attributes, key)
    if text.casefold() in {"", "auto"} or (unit and unit not in PX_PER_UNIT):
        return None
    if not unit and unit_mm is None:
        raise _unstated(attributes, key)
    per_user = 1 / PX_PER_UNIT["mm"] if unit else unit_mm or 1.0
    side_mm = user_length(text) * per_user
    if not 0 < side_mm <= FARTHEST_MM:
        raise ValueError(f'the {key} "{text}" is no size of a page')
    return side_mm


def _unstated(attributes: Mapping[str, str], key: str) -> UnstatedSizeError:
    shown = attributes.get(key, "")
    return UnstatedSizeError(f'the drawing does not say how large it is: {key} is "{shown}"')

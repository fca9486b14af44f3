"""Where the tags stand on a printed marker page, and which tag is on which page.

The tags are those of the open family 36h11 (E. Olson, "AprilTag: A robust and flexible visual
fiducial system", ICRA 2011; J. Wang and E. Olson, "AprilTag 2: Efficient and robust fiducial
detection", IROS 2016): six by six cells in a black frame one cell wide, any two of them differing
in eleven cells at least. The page is the same on A4 and on Letter, whose margins alone differ, so
that nobody has to say which paper it was printed on.
"""

import numpy as np

from estimator.photo.base.view import Floats

CELL_MM = 8.0
"""From a phone above a hide 2 m long a cell is some 14 px, far more than reading takes."""
CELLS = 8
"""Six of the code and the frame."""
TAG_MM = CELL_MM * CELLS
TAG_CENTRES_MM = (
    (-96.0, 56.0),
    (0.0, 56.0),
    (96.0, 56.0),
    (-96.0, -56.0),
    (0.0, -56.0),
    (96.0, -56.0),
)
"""From the page's centre, x along its longer side, y up: as far apart as both papers with a
printer's margin let them be. Between the rows there is room to write."""
TAGS_PER_PAGE = len(TAG_CENTRES_MM)
FAMILY_SIZE = 587
"""Codes in the published family."""
PAGES = FAMILY_SIZE // TAGS_PER_PAGE
"""Pages whose tags all differ; they count from 1."""
PAGE_WITHIN_SHARE = 0.003
"""How far a printer may stretch a page, each way: common practice, no source. The page carries a
line to be measured."""


def tags_of_page(page: int) -> tuple[int, ...]:
    """Give the codes of the tags on a page, in reading order.

    Parameters
    ----------
    page : int
        From 1 to ``PAGES``.

    Returns
    -------
    tuple of int
        Codes of the family, counted from 0: upper row from left to right, then the lower row.

    Raises
    ------
    ValueError
        If there is no such page.

    Examples
    --------
    >>> tags_of_page(2)
    (6, 7, 8, 9, 10, 11)
    """
    if not 1 <= page <= PAGES:
        raise ValueError(f"page {page}: there are pages 1 to {PAGES}")
    first = (page - 1) * TAGS_PER_PAGE
    return tuple(range(first, first + TAGS_PER_PAGE))


def page_of_tag(tag: int) -> int | None:
    """Give the page a tag is on.

    Parameters
    ----------
    tag : int
        Code of the family, counted from 0.

    Returns
    -------
    int or None
        Page, counted from 1; None for the few codes no page uses.

    Examples
    --------
    >>> page_of_tag(11), page_of_tag(586)
    (2, None)
    """
    page = tag // TAGS_PER_PAGE + 1
    return page if tag >= 0 and page <= PAGES else None


def tag_corners_mm(tag: int) -> Floats:
    """Give the corners of a tag's black frame on its page.

    Parameters
    ----------
    tag : int
        Code of the family, counted from 0.

    Returns
    -------
    array, shape (4, 2)
        mm from the page's centre, y up: upper left, upper right, lower right, lower left.

    Examples
    --------
    >>> tag_corners_mm(0)[0].tolist()
    [-128.0, 88.0]
    """
    centre = np.asarray(TAG_CENTRES_MM[tag % TAGS_PER_PAGE])
    half = TAG_MM / 2
    return np.asarray(
        centre + np.array([[-half, half], [half, half], [half, -half], [-half, -half]])
    )

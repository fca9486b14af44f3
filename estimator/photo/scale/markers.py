"""Find the tags of printed marker pages in a picture, corner by corner."""

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.errors import Fault, InputError
from estimator.photo.base.picture import Light, Picture, refusal
from estimator.photo.base.view import Floats
from estimator.photo.camera.marker_page import (
    CELLS,
    FAMILY_SIZE,
    TAGS_PER_PAGE,
    page_of_tag,
    tag_corners_mm,
)
from estimator.photo.camera.targets import FoundPage
from estimator.photo.scale.edges import corner_between, find_side, light_of

LEAST_TAGS = 3
"""On a page: two in a row say nothing of perspective across it, and one may be a chance."""
LEAST_TAG_PX = 20.0
"""Side of a tag: below two and a half px a cell corners are not seen to a tenth of a pixel."""
REACH_SHARE = 0.07
"""How far from the rough side an edge is looked for: half a cell and a little."""
WITHIN_PX2, LEAST_WITHIN_PX, MOST_WITHIN_PX = 3.0, 0.03, 0.2
"""How well a corner is found, by the length of the edges that meet in it: 0.03 px for 100 px, 0.06
for 50; measured on rendered scenes."""
MOST_MOVED_SHARE = 0.06
"""Of a tag's side that looking closer may move its corner; more was another edge."""


def find_pages(picture: Picture) -> tuple[FoundPage, ...]:
    """Find the marker pages in a picture.

    Parameters
    ----------
    picture : Picture
        Where to look.

    Returns
    -------
    tuple of FoundPage
        By their numbers; empty if there is none. Of each three tags or more are seen; pages of
        which fewer are seen, at the border of the picture, are passed over if there are others.

    Raises
    ------
    InputError
        If a page is there twice, or of none enough tags are seen, and large enough.

    Notes
    -----
    The tags are read by OpenCV's ArUco module with the family's published codes (36h11: Olson
    2011, Wang and Olson 2016); no bit may be wrong by more than the code corrects.
    """
    grey = cv2.cvtColor(picture.pixels, cv2.COLOR_BGR2GRAY)
    detector = cv2.aruco.ArucoDetector(
        cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11), _detector_settings()
    )
    rings, numbers, _ = detector.detectMarkers(grey)
    if numbers is None or not len(numbers):
        return ()
    tags: dict[int, Floats] = {}
    for ring, number in zip(rings, np.asarray(numbers).ravel(), strict=True):
        tag = int(number)
        if page_of_tag(tag) is None:
            continue
        if tag in tags:
            raise refusal(
                picture,
                f"tag {tag} of marker page {page_of_tag(tag)} is seen twice",
                "lay pages of different numbers",
            )
        tags[tag] = np.asarray(ring, dtype=np.float64).reshape(4, 2)
    bright = light_of(picture.pixels)
    closer = {tag: _refine_corners(bright, ring) for tag, ring in tags.items()}
    pages = sorted({page_of_tag(tag) or 0 for tag in tags})
    found: list[FoundPage] = []
    faults: list[Fault] = []
    for page in pages:
        try:
            found.append(_page(picture, page, closer))
        except InputError as error:
            faults += error.faults
    if faults and not found:
        raise InputError(*faults)
    return tuple(found)


def _detector_settings() -> cv2.aruco.DetectorParameters:
    """How tags are looked for; what is not set is as the library has it."""
    choices = cv2.aruco.DetectorParameters()
    choices.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    # of the picture's longer side: a tag of 20 px in one of 4000
    choices.minMarkerPerimeterRate = 0.015
    return choices


def _page(picture: Picture, page: int, tags: dict[int, Floats]) -> FoundPage:
    """One page by its tags."""
    own = tuple(sorted(tag for tag in tags if page_of_tag(tag) == page))
    if len(own) < LEAST_TAGS:
        raise refusal(
            picture,
            f"of marker page {page} only {len(own)} of {TAGS_PER_PAGE} tags are seen",
            "lay it flat, whole in the picture and with nothing on it",
        )
    seen = np.concatenate([tags[tag] for tag in own])
    side = min(_shortest_side(tags[tag]) for tag in own)
    if side < LEAST_TAG_PX:
        raise refusal(
            picture,
            f"marker page {page} is too small in the picture (its tags are {side:.0f} px wide)",
            "go nearer, or give the picture as the camera made it",
        )
    return FoundPage(
        page=page,
        tags=own,
        corners_px=seen,
        corners_mm=np.concatenate([tag_corners_mm(tag) for tag in own]),
        within_px=float(np.clip(WITHIN_PX2 / side, LEAST_WITHIN_PX, MOST_WITHIN_PX)),
    )


def _refine_corners(bright: Light, ring: Floats) -> Floats:
    """Corners where the edges of the black frame meet, each found like the side of a sheet."""
    side_px = _shortest_side(ring)
    # the frame is dark on paper: seen as its negative it is bright, as a sheet is
    x0, y0 = np.floor(ring.min(axis=0) - 12).astype(int).clip(0)
    x1, y1 = np.ceil(ring.max(axis=0) + 12).astype(int)
    negative = 1.0 - bright[y0:y1, x0:x1]
    local = ring[::-1] - (x0, y0)  # tags are given clockwise as seen, sheets the other way
    reach = max(3.0, REACH_SHARE * side_px)
    sides = [find_side(negative, local[k], local[(k + 1) % 4], reach) for k in range(4)]
    found = [side for side in sides if side is not None]
    if len(found) < 4:
        return ring
    corners = np.array([corner_between(found[k - 1], found[k]) for k in range(4)])
    closer: Floats = np.add(corners[::-1], (x0, y0))
    moved = float(np.linalg.norm(closer - ring, axis=1).max())
    return closer if moved <= max(1.5, MOST_MOVED_SHARE * side_px) else ring


def _shortest_side(ring: Floats) -> float:
    return float(np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1).min())


def tag_cells(tag: int) -> NDArray[np.bool_]:
    """Give which cells of a tag are black, its frame among them.

    Parameters
    ----------
    tag : int
        Code of the family, counted from 0.

    Returns
    -------
    array of bool, shape (8, 8)
        Rows from above, each from the left.

    Raises
    ------
    ValueError
        If the family has no such code.
    """
    if not 0 <= tag < FAMILY_SIZE:
        raise ValueError(f"tag {tag}: the family has codes 0 to {FAMILY_SIZE - 1}")
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    drawn = cv2.aruco.generateImageMarker(family, tag, CELLS, borderBits=1)
    return np.asarray(drawn) < 128

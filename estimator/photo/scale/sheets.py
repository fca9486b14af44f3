"""Find the sheet of paper in a picture, or say why none can be measured from."""

from dataclasses import dataclass

import cv2
import numpy as np

from estimator.errors import InputError
from estimator.photo.base.picture import Light, Picture, refusal
from estimator.photo.base.view import Floats
from estimator.photo.camera.fitting import EXIF_FOCAL_SHARE, camera_prior
from estimator.photo.camera.homography import homography
from estimator.photo.camera.sheet_sizes import STANDARD_SIZES, SheetSize
from estimator.photo.camera.targets import FoundSheet
from estimator.photo.scale.candidates import Candidate, sheet_candidates
from estimator.photo.scale.edges import Side, corner_between, find_side, light_of
from estimator.photo.scale.shadow import without_shadow

LEAST_SIDE_PX = 60.0
"""Of the shorter side: below this an edge off by a tenth of a pixel costs over 0.3 % of length."""
BORDER_PX = 3.0
"""Nearer to the picture's border a sheet may go on outside it."""
REACH_SHARE, LEAST_REACH_PX = 0.03, 8.0
"""How far from the rough side its edge is first looked for, of its length."""
CLOSE_REACH_PX = 7.0
"""And about the curve found first."""
LEAST_SEEN_SHARE = 0.55
"""Of a side that must be an edge: a blade or a finger may cover the rest."""
MOST_SCATTER_PX = 1.2
"""Of the points of a side about a smooth curve; paper cut straight scatters a tenth of this."""
MOST_WIDTH_PX = 3.2
"""Blur of the edges; a sharp picture has 1 to 1.5 px, that of a shaken camera 4 and more."""
MOST_MISFIT = 0.035
"""How far the sides' ratio and right angles may be off, seen through any camera. A4 for Letter is
off by 0.09."""
CLEARLY_SMALLER = 0.62
"""Something white of the right shape but so much shorter than the largest is no such sheet; the
next size of the standard, at 0.71, leaves doubt and is refused."""
FOCAL_SHARES = np.linspace(0.55, 1.7, 24)
"""Focal lengths tried, of the one assumed: wide angle to a zoom of two."""
EXIF_FOCAL_SHARES = np.linspace(0.9, 1.1, 5)
"""If the file tells the focal length."""
MOST_BOW_SHARE = 0.012
"""Of a side's length that its middle may stand off: a lens with k1 of 0.15 in a corner of the
picture bows the side of a sheet a third of the picture long by so much."""


@dataclass(frozen=True, kw_only=True)
class _Verdict:
    """A candidate looked at closely: a sheet with its misfit, or why it is none."""

    sheet: FoundSheet | None = None
    misfit: float = np.inf
    reason: str = ""
    remedy: str = ""
    rank: int = 0
    """How near it came to being a sheet."""


def find_sheet(picture: Picture, size: SheetSize) -> FoundSheet:
    """Find the one sheet of a size that lies in a picture.

    Parameters
    ----------
    picture : Picture
        Where to look.
    size : SheetSize
        As the maker states it; never guessed.

    Returns
    -------
    FoundSheet
        Its corners and edges to a fraction of a pixel.

    Raises
    ------
    InputError
        If there is none, or it is cut by the border, too small, bent, blurred, of another shape
        than stated, or one of several.
    """
    return find_sheets(picture, size, 1)[0]


def find_sheets(picture: Picture, size: SheetSize, count: int) -> tuple[FoundSheet, ...]:
    """Find as many sheets of one size as lie in a picture.

    Parameters
    ----------
    picture : Picture
        Where to look.
    size : SheetSize
        Of all of them.
    count : int
        How many; one or more.

    Returns
    -------
    tuple of FoundSheet
        The one nearest to the middle of the picture first.

    Raises
    ------
    InputError
        As for `find_sheet`, and if there are fewer or more.
    """
    bright = light_of(picture.pixels)
    judged = [_judge(picture, bright, one, size) for one in sheet_candidates(picture.pixels)]
    good = _drop_overlapping([one for one in judged if one.sheet is not None])
    good = _drop_smaller(good)
    if len(good) == count:
        middle = np.asarray(picture.size_px) / 2
        sheets = [one.sheet for one in good if one.sheet is not None]
        sheets.sort(key=lambda sheet: float(np.linalg.norm(sheet.corners_px.mean(0) - middle)))
        return tuple(sheets)
    if len(good) > count:
        raise refusal(
            picture,
            f"{len(good)} sheets like {size.name} are seen, and {count} was stated"
            if count == 1
            else f"{len(good)} sheets like {size.name} are seen, and {count} were stated",
            "leave only those that lie flat on the leather in the picture, or state how many",
        )
    if good:
        raise refusal(
            picture,
            f"{len(good)} of {count} sheets of {size.name} are found",
            "lay all of them flat on the leather, whole in the picture and apart",
        )
    raise _nearest_refusal(picture, size, judged)


def _judge(picture: Picture, bright: Light, one: Candidate, size: SheetSize) -> _Verdict:
    """Look closely at a candidate."""
    if one.is_cut:
        return _Verdict(
            reason=f"no whole sheet of {size.name} is found, and something bright is cut by the "
            "border of the picture",
            remedy="photograph it again with the whole sheet and the whole hide in the picture",
            rank=1 if one.fill_share > 0.93 else 0,
        )
    sides = _sides(bright, one.corners_px)
    if sides is None:
        return _Verdict()
    corners = np.array([corner_between(sides[place - 1], sides[place]) for place in range(4)])
    flaw = _flaw_of_sides(picture, sides, corners)
    if flaw is not None:
        return flaw
    sides = without_shadow(bright, sides)
    corners = np.array([corner_between(sides[place - 1], sides[place]) for place in range(4)])
    turn, misfit = _best_turn(picture, corners, size)
    if misfit > MOST_MISFIT:
        return _Verdict(
            misfit=misfit,
            reason=_shape_problem(picture, corners, size),
            remedy=f"lay a sheet of {size.name} flat on the leather, or state its real size with "
            "--sheet",
            rank=2,
        )
    order = [(turn + place) % 4 for place in range(4)]
    ordered = [sides[place] for place in order]
    return _Verdict(
        sheet=FoundSheet(
            size=size,
            corners_px=corners[order],
            edges_px=(
                ordered[0].points_px,
                ordered[1].points_px,
                ordered[2].points_px,
                ordered[3].points_px,
            ),
            within_px=(
                ordered[0].within_px,
                ordered[1].within_px,
                ordered[2].within_px,
                ordered[3].within_px,
            ),
        ),
        misfit=misfit,
    )


def _sides(bright: Light, rough_px: Floats) -> list[Side] | None:
    """The four sides of a candidate, looked for twice, closer the second time."""
    corners = rough_px
    for is_close in (False, True):
        sides = []
        for place in range(4):
            start, end = corners[place], corners[(place + 1) % 4]
            length = float(np.linalg.norm(end - start))
            bow = MOST_BOW_SHARE * length
            reach = CLOSE_REACH_PX + bow if is_close else max(LEAST_REACH_PX, REACH_SHARE * length)
            side = find_side(bright, start, end, reach)
            if side is None:
                return None
            sides.append(side)
        corners = np.array([corner_between(sides[place - 1], sides[place]) for place in range(4)])
        if not cv2.isContourConvex(corners.astype(np.float32)):
            return None
    return sides


def _flaw_of_sides(picture: Picture, sides: list[Side], corners: Floats) -> _Verdict | None:
    """What speaks against four sides being those of a flat sheet, if anything does."""
    width, height = picture.size_px
    if corners.min() < BORDER_PX or (corners > np.array([width, height]) - 1 - BORDER_PX).any():
        return _Verdict(
            reason="the sheet is cut by the border of the picture",
            remedy="photograph it again with the whole sheet and the whole hide in the picture",
            rank=3,
        )
    shortest = min(side.length_px for side in sides)
    if shortest < LEAST_SIDE_PX:
        return _Verdict(
            reason=f"the sheet is too small in the picture ({shortest:.0f} px)",
            remedy="go nearer, give the picture as the camera made it, or lay a larger sheet",
            rank=3,
        )
    if min(side.seen_share for side in sides) < LEAST_SEEN_SHARE:
        return _Verdict(
            reason="a side of the sheet is hidden or runs into something white",
            remedy="clear the sheet's edges",
            rank=2,
        )
    if min(side.width_px for side in sides) > MOST_WIDTH_PX:
        return _Verdict(
            reason="the picture is blurred",
            remedy="hold the camera still, in more light, and let it focus on the leather",
            rank=4,
        )
    bow = max(abs(float(side.curve[0])) / 4 / side.length_px for side in sides)
    scatter = max(side.within_px for side in sides)
    if bow > MOST_BOW_SHARE or scatter > MOST_SCATTER_PX:
        return _Verdict(
            reason="the sheet does not lie flat: its sides are not straight",
            remedy="press it flat, or tape its corners down",
            rank=3,
        )
    return None


def _best_turn(picture: Picture, corners: Floats, size: SheetSize) -> tuple[int, float]:
    """Which corner the longer, lower side starts from, and how well the sheet then fits.

    Of the two ways round that a sheet allows, the one whose x axis points to the right in the
    picture is taken.
    """
    misfits = [_misfit(picture, np.roll(corners, -turn, axis=0), size) for turn in (0, 1)]
    turn = int(np.argmin(misfits))
    if corners[(turn + 1) % 4][0] < corners[turn][0]:
        return turn + 2, misfits[turn]
    return turn, misfits[turn]


def _misfit(picture: Picture, corners: Floats, size: SheetSize) -> float:
    """How far the sheet's axes are from being equal and at right angles, through any camera.

    The two first columns of a homography, with the camera taken off, are orthogonal and of one
    length (Hartley and Zisserman, 2nd edition, section 8.8).
    """
    half = np.array([size.width_mm, size.height_mm]) / 2
    own = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) * half
    prior = camera_prior(picture)
    cx, cy = prior.centre_px
    found = np.array([[1, 0, -cx], [0, 1, -cy], [0, 0, 1.0]]) @ homography(own, corners)
    shares = FOCAL_SHARES if prior.focal_share > EXIF_FOCAL_SHARE else EXIF_FOCAL_SHARES
    misfits = []
    for share in shares:
        focal = prior.focal_px * share
        across, up = (found[:, :2] / np.array([[focal], [focal], [1.0]])).T
        long, high = np.linalg.norm(across), np.linalg.norm(up)
        angle = across @ up / (long * high)
        misfits.append(float(np.hypot(np.log(long / high), angle)))
    return min(misfits)


def _shape_problem(picture: Picture, corners: Floats, size: SheetSize) -> str:
    """Say that a sheet is not what it was stated to be, and what it looks like."""
    likely = min(STANDARD_SIZES, key=lambda each: _best_turn(picture, corners, each)[1])
    problem = f"the sheet found has not the shape of {size.name}"
    if likely != size and _best_turn(picture, corners, likely)[1] < MOST_MISFIT / 2:
        problem += f"; it looks like {likely.name}"
    return problem


def _drop_overlapping(good: list[_Verdict]) -> list[_Verdict]:
    """The best of those that lie over one another, best first."""
    kept: list[_Verdict] = []
    for one in sorted(good, key=lambda each: each.misfit):
        if one.sheet is None:
            continue
        ring = one.sheet.corners_px.astype(np.float32)
        covered = 0.0
        for other in kept:
            if other.sheet is not None:
                shared = cv2.intersectConvexConvex(ring, other.sheet.corners_px.astype(np.float32))
                covered = max(covered, float(shared[0]))
        if covered < 0.2 * cv2.contourArea(ring):
            kept.append(one)
    return kept


def _drop_smaller(good: list[_Verdict]) -> list[_Verdict]:
    """Those that are, on the plane of the largest, not much smaller than it."""
    sheets = [one.sheet for one in good if one.sheet is not None]
    if len(sheets) < 2:
        return good
    areas = [cv2.contourArea(sheet.corners_px.astype(np.float32)) for sheet in sheets]
    largest = sheets[int(np.argmax(areas))]
    to_plane = homography(largest.corners_px, largest.corners_mm)
    spans = []
    for sheet in sheets:
        there = np.column_stack([sheet.corners_px, np.ones(4)]) @ to_plane.T
        ring = (there[:, :2] / there[:, 2:]).astype(np.float32)
        spans.append(float(cv2.contourArea(ring)) ** 0.5)
    least = CLEARLY_SMALLER * spans[int(np.argmax(areas))]
    return [one for one, span in zip(good, spans, strict=True) if span >= least]


def _nearest_refusal(picture: Picture, size: SheetSize, judged: list[_Verdict]) -> InputError:
    """The reason of what came nearest to being a sheet."""
    nearest = max(judged, key=lambda one: one.rank, default=_Verdict())
    if nearest.rank > 0:
        return refusal(picture, nearest.reason, nearest.remedy)
    return refusal(
        picture,
        f"no sheet of {size.name} is found",
        "lay a white sheet flat on the leather, whole, in even light and with nothing white "
        "beside it",
    )

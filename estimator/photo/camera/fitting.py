"""From sheets, marker pages or measured points in a picture to its view of the leather.

How straight the sides of a sheet are seen tells what the lens does to straight lines (D. C.
Brown, "Close-range camera calibration", 1971; F. Devernay and O. Faugeras, "Straight lines have
to be straight", Machine Vision and Applications 13, 2001). One sheet in the middle of a picture
tells little of the lens, and little of how perspective goes on far from it; so what is known of
cameras comes in as prior knowledge, and the expected error grows with the distance.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.view import Floats, View
from estimator.photo.camera.bundle import Adjusted, Seen, Target, adjust, from_target
from estimator.photo.camera.error import ViewError
from estimator.photo.camera.homography import homography, rigid_pose
from estimator.photo.camera.marker_page import PAGE_WITHIN_SHARE
from estimator.photo.camera.targets import FoundPage, FoundSheet, MeasuredPoints
from estimator.photo.camera.terms import CameraPrior, first_camera, view_of

FILM_DIAGONAL_MM = 43.267
"""Of 36 x 24 mm film, by which focal lengths are compared (CIPA DC-008)."""
ASSUMED_35MM, ASSUMED_SHARE = 27.0, 0.25
"""Main cameras of phones have 23 to 29 mm (from memory); the share lets a zoom of two pass."""
EXIF_FOCAL_SHARE = 0.04
"""The file tells whole millimetres, and focusing on a metre changes the rest."""
CENTRE_SHARE, CUT_CENTRE_SHARE = 0.01, 0.08
"""How far the lens's axis is off the picture's middle, of the longer side: assembly and image
stabiliser (from memory); and in a picture that was cut."""
K1_WITHIN = 0.06
"""Of a lens anywhere from -0.1 to 0.1: phones straighten their pictures to within some hundredths
(from memory), other cameras do not."""
FLAT_WITHIN_MM = 0.2
"""Where a corner seems to lie if it rises by half a millimetre, seen at 20 degrees. Much of the
expected error comes from it, and it is no luxury: of rendered sheets whose corners were lifted by
up to 1 mm, 86 % of places on the hide lay within the error expected."""
BOW_WITHIN_MM = 0.05
"""Of a machine-cut side; common practice, no source."""
INDEPENDENT_POINTS = 24
"""Points of a side count as so many. On rendered scenes neighbours hardly sway together (0.1); what
remains is for the JPEGs and sharpening of real cameras."""
MOST_SHAPE = 12.0
"""Sum of squares of a sheet's terms of shape, each over its standard deviation. Of 60 sheets drawn
with these very tolerances none had more than 9.5. On rendered scenes a flat and true sheet has less
than 0.5, one with a corner lifted by 4 mm 10 to 31, by 10 mm 46 to 153."""
MOST_SHAPE_OF_SEVERAL = 20.0
"""Several sheets are compared with each other, so that more terms show. Of 60 drawn in threes none
had more than 15.8."""
NOT_FLAT = "the paper does not lie flat: seen through no camera it is a rectangle"
MOST_POINT_OFF = 4.0
"""Standard deviations by which a measured point may be off."""
LEAST_WITHIN_PX = 0.05
"""No edge is believed to be seen better than this."""


@dataclass(frozen=True, kw_only=True)
class FittedView:
    """The view of one picture, and how sure it is.

    Parameters
    ----------
    view : View
        From mm on the leather to px and back.
    error : ViewError
        ``error.at_mm(points_mm)`` is the error not exceeded by 95 of 100 places, mm.
    residual_px : float
        Root mean square distance of what is seen from where it should be, px.
    sheets_mm : tuple of array, shape (4, 2)
        Where the corners of the sheets lie on the plane, in the order given.
    pages_mm : tuple of array, shape (3,)
        Where the marker pages lie: turn in radians, x and y of the centre, mm.
    """

    view: View
    error: ViewError
    residual_px: float
    sheets_mm: tuple[Floats, ...] = ()
    pages_mm: tuple[Floats, ...] = ()


def camera_prior(picture: Picture) -> CameraPrior:
    """Give what is known of the camera before the picture is looked at.

    Parameters
    ----------
    picture : Picture
        Whose file may tell the focal length.

    Returns
    -------
    CameraPrior
        Focal length as the file tells, or that of a phone with much room.
    """
    width, height = picture.size_px
    diagonal = float(np.hypot(width, height))
    focal_35mm = picture.focal_35mm or ASSUMED_35MM
    has_focal = picture.focal_35mm is not None and picture.is_whole_frame
    share = CENTRE_SHARE if picture.is_whole_frame else CUT_CENTRE_SHARE
    return CameraPrior(
        focal_px=focal_35mm / FILM_DIAGONAL_MM * diagonal,
        focal_share=EXIF_FOCAL_SHARE if has_focal else ASSUMED_SHARE,
        centre_px=((width - 1) / 2, (height - 1) / 2),
        centre_within_px=share * max(width, height),
        k1_within=K1_WITHIN,
    )


def fit_view(
    picture: Picture,
    *,
    sheets: Sequence[FoundSheet] = (),
    pages: Sequence[FoundPage] = (),
    points: MeasuredPoints | None = None,
) -> FittedView:
    """Find how the leather is seen, from all that gives scale in a picture.

    The plane's axes are those of the first sheet; without sheets those of the first page; with
    points alone those they were measured in.

    Parameters
    ----------
    picture : Picture
        Where it was found.
    sheets : sequence of FoundSheet
        Lying flat on the leather, anywhere.
    pages : sequence of FoundPage
        Likewise.
    points : MeasuredPoints or None
        Likewise.

    Returns
    -------
    FittedView
        View and error.

    Raises
    ------
    InputError
        If the points measured do not hold a plane.
    ValueError
        If nothing is given.
    """
    prior = camera_prior(picture)
    parts = parts_of(sheets=sheets, pages=pages, points=points)
    if not parts:
        raise ValueError("give a sheet, a marker page or measured points")
    try:
        camera = first_camera(homography(parts[0].own_mm, parts[0].points_px), prior)
        poses = [
            rigid_pose(part.own_mm, view_of(camera).to_plane(part.points_px)) for part in parts
        ]
        adjusted = adjust(
            [prior],
            [part.target for part in parts],
            [part.seen(0, place) for place, part in enumerate(parts)],
            cameras=[camera],
            poses=poses,
        )
    except ValueError as error:
        raise refusal(
            picture,
            f"what gives the scale cannot be seen through a camera ({error})",
            "give four points that are spread over the leather",
        ) from None
    check_shapes(picture, adjusted, parts)
    if points is not None:
        _check_points(picture, adjusted.residuals[-1])
    return fitted_view(adjusted, camera=0, parts=parts, sheets=sheets, pages=pages)


def check_shapes(
    picture: Picture, adjusted: Adjusted, parts: Sequence["Part"], *, problem: str = NOT_FLAT
) -> None:
    """Refuse sheets and pages that seem bent.

    Parameters
    ----------
    picture : Picture
        For the message.
    adjusted : Adjusted
        What least squares made of them.
    parts : sequence of Part
        One per target.
    problem : str
        What it then must be.

    Raises
    ------
    InputError
        If paper does not lie flat.
    """
    most = MOST_SHAPE if len(parts) == 1 else MOST_SHAPE_OF_SEVERAL
    for part, shape in zip(parts, adjusted.shapes, strict=True):
        if len(shape) and float(((shape / part.target.deviations) ** 2).sum()) > most:
            raise refusal(
                picture,
                problem,
                "press it flat, or tape its corners down, and keep them out of folds",
            )


def _check_points(picture: Picture, off: Floats) -> None:
    """Refuse measured points that contradict each other; in standard deviations."""
    if float(np.abs(off).max()) > MOST_POINT_OFF:
        worst = int(np.abs(off).reshape(-1, 2).max(axis=1).argmax()) + 1
        raise refusal(
            picture,
            "the measured points do not agree with each other",
            f"measure them again, point {worst} first",
        )


@dataclass(frozen=True, kw_only=True)
class Part:
    """One thing that gives scale, as least squares take it.

    Parameters
    ----------
    target : Target
        What is known of its shape.
    own_mm, points_px : array, shape (n, 2)
        Points of it, for a start.
    edges_px : array, shape (m, 2), or None
        Points of its sides, if these are what counts.
    sides : array of int, shape (m,), or None
        Which side each is of.
    within_px : array
        Of what counts.
    """

    target: Target
    own_mm: Floats
    points_px: Floats
    within_px: Floats
    edges_px: Floats | None = None
    sides: NDArray[np.int64] | None = None

    def seen(self, camera: int, target: int) -> Seen:
        """Give it as one camera's sight of one target."""
        counts = self.edges_px if self.edges_px is not None else self.points_px
        return Seen(
            camera=camera,
            target=target,
            points_px=counts,
            own_mm=self.own_mm,
            within_px=self.within_px,
            sides=self.sides,
        )


def parts_of(
    *,
    sheets: Sequence[FoundSheet] = (),
    pages: Sequence[FoundPage] = (),
    points: MeasuredPoints | None = None,
) -> list[Part]:
    """Give what is found as least squares take it, sheets first.

    Parameters
    ----------
    sheets : sequence of FoundSheet
        Sheets.
    pages : sequence of FoundPage
        Pages.
    points : MeasuredPoints or None
        Points.

    Returns
    -------
    list of Part
        In this order.
    """
    parts = [_sheet_part(sheet) for sheet in sheets] + [_page_part(page) for page in pages]
    return parts + ([_points_part(points)] if points is not None else [])


def fitted_view(
    adjusted: Adjusted,
    *,
    camera: int,
    parts: Sequence[Part],
    sheets: Sequence[FoundSheet] = (),
    pages: Sequence[FoundPage] = (),
) -> FittedView:
    """Give the view of one picture out of what least squares settled.

    Parameters
    ----------
    adjusted : Adjusted
        The result.
    camera : int
        Which picture.
    parts : sequence of Part
        One per target, sheets first, then pages.
    sheets : sequence of FoundSheet
        As given.
    pages : sequence of FoundPage
        As given.

    Returns
    -------
    FittedView
        With its error.
    """
    terms = adjusted.cameras[camera]
    off = [
        residuals * np.repeat(part.within_px, len(residuals) // len(part.within_px))
        for residuals, part in zip(adjusted.residuals, parts, strict=True)
    ]
    return FittedView(
        view=view_of(terms),
        error=ViewError(terms=terms, covariance=adjusted.camera_covariance(camera)),
        residual_px=float(np.sqrt(np.mean(np.concatenate(off) ** 2))),
        sheets_mm=tuple(
            from_target(pose, sheet.corners_mm)
            for pose, sheet in zip(adjusted.poses, sheets, strict=False)
        ),
        pages_mm=adjusted.poses[len(sheets) : len(sheets) + len(pages)],
    )


def _sheet_part(sheet: FoundSheet) -> Part:
    half = (sheet.size.width_mm / 2, sheet.size.height_mm / 2)
    stretch = [
        # a tolerance is a limit, and cut paper keeps to the middle of it: triangular, JCGM 4.3.9
        within / 6**0.5 / (2 * side)
        for within, side in zip(sheet.size.within_mm, half, strict=True)
    ]
    within = [
        np.full(
            len(edge), max(each, LEAST_WITHIN_PX) * max(1.0, len(edge) / INDEPENDENT_POINTS) ** 0.5
        )
        for edge, each in zip(sheet.edges_px, sheet.within_px, strict=True)
    ]
    return Part(
        target=Target(
            half_mm=half,
            stretch_share=(stretch[0], stretch[1]),
            flat_within_mm=FLAT_WITHIN_MM,
            bow_within_mm=BOW_WITHIN_MM,
        ),
        own_mm=sheet.corners_mm,
        points_px=sheet.corners_px,
        edges_px=np.concatenate(sheet.edges_px),
        sides=np.repeat(np.arange(4), [len(edge) for edge in sheet.edges_px]),
        within_px=np.concatenate(within),
    )


def _page_part(page: FoundPage) -> Part:
    half = np.abs(page.corners_mm).max(axis=0)
    stretch = PAGE_WITHIN_SHARE / 2
    return Part(
        target=Target(
            half_mm=(float(half[0]), float(half[1])),
            stretch_share=(stretch, stretch),
            flat_within_mm=FLAT_WITHIN_MM,
        ),
        own_mm=page.corners_mm,
        points_px=page.corners_px,
        within_px=np.full(len(page.corners_px), page.within_px),
    )


def _points_part(points: MeasuredPoints) -> Part:
    half = np.abs(points.points_mm - points.points_mm.mean(axis=0)).max(axis=0)
    span_mm = float(np.ptp(points.points_mm, axis=0).max()) or 1.0
    scale = float(np.ptp(points.points_px, axis=0).max()) / span_mm
    within = float(np.hypot(points.within_px, points.within_mm * scale))
    return Part(
        target=Target(half_mm=(float(half[0]), float(half[1]))),
        own_mm=points.points_mm,
        points_px=points.points_px,
        within_px=np.full(len(points.points_px), within),
    )

"""Several photographs of one hide, brought onto one plane by the marker pages they share."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from estimator.errors import Fault, InputError, raise_faults
from estimator.photo.base.picture import Picture
from estimator.photo.base.view import Floats
from estimator.photo.camera.bundle import Adjusted, adjust, from_target
from estimator.photo.camera.error import ViewError
from estimator.photo.camera.fitting import FittedView, Part, camera_prior, check_shapes, parts_of
from estimator.photo.camera.homography import homography, rigid_pose
from estimator.photo.camera.targets import FoundPage
from estimator.photo.camera.terms import first_camera, view_of


@dataclass(frozen=True, kw_only=True)
class JoinedViews:
    """One plane seen in several pictures.

    Parameters
    ----------
    views : tuple of FittedView
        One per picture, all with the same axes on the plane: those of the first page.
    pages : tuple of int
        Numbers of the marker pages, the one that carries the axes first.
    pages_mm : tuple of array, shape (3,)
        Where each lies: turn in radians, x and y of its centre, mm.
    residual_px : float
        Root mean square distance of the tags' corners from where they should be, px.
    apart_mm : float
        The largest distance on the plane between one corner as two pictures show it; 0 if no
        page is seen twice.
    """

    views: tuple[FittedView, ...]
    pages: tuple[int, ...]
    pages_mm: tuple[Floats, ...]
    residual_px: float
    apart_mm: float


def join_views(pictures: Sequence[Picture], found: Sequence[Sequence[FoundPage]]) -> JoinedViews:
    """Bring pictures that share marker pages onto one plane.

    Parameters
    ----------
    pictures : sequence of Picture
        Of one hide, which has not been moved in between, nor have the pages.
    found : sequence of sequence of FoundPage
        The pages in each picture.

    Returns
    -------
    JoinedViews
        Cameras and places of pages that agree best with all corners at once.

    Raises
    ------
    InputError
        If a picture shows no page, no chain of shared pages joins it to the first one, or a page
        does not lie flat or was moved.
    ValueError
        If there is not one list of pages for each picture.
    """
    if len(pictures) != len(found) or not pictures:
        raise ValueError(f"{len(pictures)} pictures and {len(found)} lists of pages")
    _check_pages(pictures, found)
    cameras, poses = _first_guess(pictures, found)
    pages = sorted(poses, key=lambda page: (page != found[0][0].page, page))
    parts = {page: _part_of(page, found) for page in pages}
    sights = [
        (place, pages.index(part.page), parts_of(pages=[part])[0])
        for place, parts_here in enumerate(found)
        for part in parts_here
    ]
    adjusted = adjust(
        [camera_prior(picture) for picture in pictures],
        [parts[page].target for page in pages],
        [part.seen(camera, target) for camera, target, part in sights],
        cameras=cameras,
        poses=[poses[page] for page in pages],
    )
    moved = "a marker page does not lie flat, or was moved between the photos"
    check_shapes(pictures[0], adjusted, [parts[page] for page in pages], problem=moved)
    views = _views(adjusted, found, pages, sights)
    return JoinedViews(
        views=views,
        pages=tuple(pages),
        pages_mm=adjusted.poses,
        residual_px=float(np.sqrt(np.mean([view.residual_px**2 for view in views]))),
        apart_mm=_apart_mm(views, found),
    )


def _check_pages(pictures: Sequence[Picture], found: Sequence[Sequence[FoundPage]]) -> None:
    """Refuse pictures without a page, all of them at once."""
    faults = [
        Fault(
            problem="no marker page is seen, so it cannot be joined to the other photos",
            remedy="lay pages so that each photo shows one that its neighbour shows as well",
            file=str(picture.source),
        )
        for picture, here in zip(pictures, found, strict=True)
        if not here
    ]
    raise_faults(faults)


def _first_guess(
    pictures: Sequence[Picture], found: Sequence[Sequence[FoundPage]]
) -> tuple[list[Floats], dict[int, Floats]]:
    """Cameras and poses of pages to start from, picture by picture along shared pages."""
    poses: dict[int, Floats] = {found[0][0].page: np.zeros(3)}
    cameras: dict[int, Floats] = {}
    while len(cameras) < len(pictures):
        ready = [
            place
            for place, here in enumerate(found)
            if place not in cameras and any(page.page in poses for page in here)
        ]
        if not ready:
            raise _unjoined(pictures, set(cameras))
        # the picture that shows most of what is placed already is placed best
        place = max(ready, key=lambda each: sum(page.page in poses for page in found[each]))
        known = [page for page in found[place] if page.page in poses]
        own = np.concatenate([from_target(poses[page.page], page.corners_mm) for page in known])
        seen = np.concatenate([page.corners_px for page in known])
        cameras[place] = first_camera(homography(own, seen), camera_prior(pictures[place]))
        view = view_of(cameras[place])
        for page in found[place]:
            if page.page not in poses:
                poses[page.page] = rigid_pose(page.corners_mm, view.to_plane(page.corners_px))
    return [cameras[place] for place in range(len(pictures))], poses


def _unjoined(pictures: Sequence[Picture], joined: set[int]) -> InputError:
    return InputError(
        *(
            Fault(
                problem="shares no marker page with the other photos",
                remedy="take one more that shows a page of this one and a page of the others",
                file=str(picture.source),
            )
            for place, picture in enumerate(pictures)
            if place not in joined
        )
    )


def _part_of(page: int, found: Sequence[Sequence[FoundPage]]) -> Part:
    """A page as least squares take it, from the picture that shows most of its tags."""
    seen = [each for here in found for each in here if each.page == page]
    return parts_of(pages=[max(seen, key=lambda each: len(each.tags))])[0]


def _views(
    adjusted: Adjusted,
    found: Sequence[Sequence[FoundPage]],
    pages: Sequence[int],
    sights: Sequence[tuple[int, int, Part]],
) -> tuple[FittedView, ...]:
    """The view of each picture, with how well its own corners agree."""
    views = []
    for place, (terms, here) in enumerate(zip(adjusted.cameras, found, strict=True)):
        off = [
            residuals.reshape(-1, 2) * part.within_px[:, None]
            for residuals, (camera, _, part) in zip(adjusted.residuals, sights, strict=True)
            if camera == place
        ]
        views.append(
            FittedView(
                view=view_of(terms),
                error=ViewError(terms=terms, covariance=adjusted.camera_covariance(place)),
                residual_px=float(np.sqrt(np.mean(np.concatenate(off) ** 2))),
                pages_mm=tuple(adjusted.poses[pages.index(page.page)] for page in here),
            )
        )
    return tuple(views)


def _apart_mm(views: Sequence[FittedView], found: Sequence[Sequence[FoundPage]]) -> float:
    """How far apart two pictures show one corner at most, mm."""
    shown: dict[tuple[int, int], list[Floats]] = {}
    for view, here in zip(views, found, strict=True):
        for page in here:
            there = view.view.to_plane(page.corners_px).reshape(-1, 4, 2)
            for tag, ring in zip(page.tags, there, strict=True):
                for corner in range(4):
                    shown.setdefault((tag, corner), []).append(ring[corner])
    return max(
        (
            float(np.linalg.norm(np.asarray(places) - places[0], axis=1).max())
            for places in shown.values()
        ),
        default=0.0,
    )

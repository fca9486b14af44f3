"""From sheets, pages and points to the view: how near the truth, and how near it says it is."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from estimator.errors import InputError
from estimator.photo.base.view import Floats, View
from estimator.photo.camera.fitting import FittedView, camera_prior, fit_view
from estimator.photo.camera.homography import homography, rigid_pose
from estimator.photo.camera.sheet_sizes import A4, sheet_size
from estimator.photo.camera.targets import MeasuredPoints
from estimator.photo.camera.terms import rotation_of, turn_vector
from tests.photo.cameras import Chance, camera_view, leather_grid, picture, seen_page, seen_sheet

TRUE = Chance(focal_share=0.0, centre_px=0.0, k1=0.0, is_paper_true=True, noise_px=0.0)


def errors_mm(fitted: FittedView, view: View) -> Floats:
    grid = leather_grid(view)
    off: Floats = np.linalg.norm(fitted.view.to_plane(view.to_picture(grid)) - grid, axis=1)
    return off


def test_without_any_error_the_view_is_found_again() -> None:
    for seed in range(4):
        random = np.random.default_rng(seed)
        view = camera_view(random, TRUE)
        fitted = fit_view(picture(), sheets=[seen_sheet(random, view, TRUE)])
        assert errors_mm(fitted, view).max() < 0.02
        assert fitted.residual_px < 1e-3


@pytest.mark.parametrize("k1", [-0.1, 0.1])
def test_straight_sides_tell_what_the_lens_does(k1: float) -> None:
    random = np.random.default_rng(5)
    straight = camera_view(random, replace(TRUE, focal_share=0.0))
    view = View(homography=straight.homography, lens=replace(straight.lens, k1=k1))
    sheet = seen_sheet(random, view, TRUE)
    fitted = fit_view(picture(), sheets=[sheet])
    assert fitted.view.lens.k1 == pytest.approx(k1, abs=0.04)
    uncorrected = View(homography=fitted.view.homography, lens=replace(fitted.view.lens, k1=0.0))
    grid = leather_grid(view)
    left = np.linalg.norm(uncorrected.to_plane(view.to_picture(grid)) - grid, axis=1).max()
    assert errors_mm(fitted, view).max() < 0.5 * left


@pytest.mark.slow
@pytest.mark.parametrize("sheets", [1, 2])
def test_errors_are_as_large_as_expected(sheets: int) -> None:
    """Of places on sixteen hides 95 % should lie within what is expected of them."""
    shares, ratios = [], []
    for seed in range(16):
        random = np.random.default_rng(1000 + seed)
        view = camera_view(random, Chance())
        poses = [(0.0, 0.0, 0.0), (random.uniform(-3, 3), *random.uniform(-350, 350, 2))]
        found = [seen_sheet(random, view, Chance(), pose) for pose in poses[:sheets]]
        fitted = fit_view(picture(), sheets=found)
        off = errors_mm(fitted, view)
        expected = fitted.error.at_mm(leather_grid(view))
        shares.append(float((off <= expected).mean()))
        ratios.append(float(np.median(off / expected)))
    assert 0.85 <= np.mean(shares) <= 1.0
    assert 0.15 <= np.mean(ratios) <= 0.7  # a guess too careful by far would be no guess at all


def test_the_error_grows_with_the_distance_from_the_sheet() -> None:
    random = np.random.default_rng(2)
    view = camera_view(random, TRUE)
    error = fit_view(picture(), sheets=[seen_sheet(random, view, TRUE)]).error
    away = error.at_mm(np.array([[0.0, 0.0], [150.0, 0.0], [300.0, 0.0], [550.0, 0.0]]))
    assert (np.diff(away) > 0).all()
    assert away[0] < 0.5
    assert away[-1] > 2.0


def test_more_sheets_a_measured_sheet_and_pages_make_the_error_smaller() -> None:
    random = np.random.default_rng(3)
    view = camera_view(random, TRUE)
    poses = [(0.0, 0.0, 0.0), (1.0, 350.0, 100.0), (2.0, -330.0, -120.0)]
    sheets = [seen_sheet(random, view, TRUE, pose) for pose in poses]
    measured = seen_sheet(random, view, TRUE, size=sheet_size("297 x 210 mm"))
    pages = [seen_page(random, view, page + 1, pose) for page, pose in enumerate(poses)]
    grid = leather_grid(view)

    def expected(fitted: FittedView) -> float:
        return float(np.median(fitted.error.at_mm(grid)))

    one = expected(fit_view(picture(), sheets=sheets[:1]))
    assert expected(fit_view(picture(), sheets=[measured])) < 0.9 * one
    assert expected(fit_view(picture(), sheets=sheets)) < 0.75 * one
    assert expected(fit_view(picture(), pages=pages)) < 0.6 * one
    assert expected(fit_view(picture(), sheets=sheets[:1], pages=pages)) < 0.6 * one


def test_sheets_and_pages_are_told_where_they_lie() -> None:
    random = np.random.default_rng(4)
    view = camera_view(random, TRUE)
    sheets = [
        seen_sheet(random, view, TRUE, pose) for pose in [(0.0, 0.0, 0.0), (0.5, 300.0, 50.0)]
    ]
    page = seen_page(random, view, 7, (-0.4, -280.0, 90.0), noise_px=0.01)
    fitted = fit_view(picture(), sheets=sheets, pages=[page])
    assert fitted.sheets_mm[0] == pytest.approx(sheets[0].corners_mm)
    assert fitted.sheets_mm[1].mean(axis=0) == pytest.approx([300.0, 50.0], abs=0.1)
    assert fitted.pages_mm[0] == pytest.approx([-0.4, -280.0, 90.0], abs=0.1)


def test_a_known_focal_length_holds_the_view_better() -> None:
    random = np.random.default_rng(6)
    view = camera_view(random, TRUE)
    sheet = seen_sheet(random, view, TRUE)
    grid = leather_grid(view)
    told, untold = (
        fit_view(picture(focal_35mm=focal), sheets=[sheet]).error.at_mm(grid).mean()
        for focal in (27.0, None)
    )
    assert told < untold


def test_a_cut_picture_lets_the_axis_of_the_lens_be_elsewhere() -> None:
    whole = picture(focal_35mm=27.0)
    cut = replace(whole, is_whole_frame=False)
    assert camera_prior(cut).centre_within_px > 5 * camera_prior(whole).centre_within_px
    assert camera_prior(cut).focal_share > camera_prior(whole).focal_share


def test_a_sheet_whose_corner_is_bent_up_is_refused() -> None:
    """Over its last third the sheet bends up, so that the corner seems to lie 4 mm off."""
    random = np.random.default_rng(8)
    view = camera_view(random, TRUE)
    sheet = seen_sheet(random, view, TRUE)
    edges = [edge.copy() for edge in sheet.edges_px]
    rise = np.clip(np.linspace(-1, 1, len(edges[1])), 0, 1)[:, None] ** 1.5 * np.array([9.0, 4.0])
    edges[1] += rise
    edges[2] += rise[::-1]
    bent = replace(sheet, edges_px=(edges[0], edges[1], edges[2], edges[3]))
    with pytest.raises(InputError, match="does not lie flat"):
        fit_view(picture(), sheets=[bent])


MEASURED = np.array(
    [[-500.0, -350.0], [480.0, -330.0], [510.0, 340.0], [-470.0, 360.0], [20.0, 0.0]]
)

FURTHER = np.array([[-30.0, 200.0], [250.0, 30.0], [-200.0, -150.0]])


def test_measured_points_give_the_view_in_their_own_axes() -> None:
    random = np.random.default_rng(9)
    view = camera_view(random, TRUE)
    points = MeasuredPoints(points_px=view.to_picture(MEASURED), points_mm=MEASURED)
    fitted = fit_view(picture(), points=points)
    assert errors_mm(fitted, view).max() < 0.2
    assert 0.5 < float(np.median(fitted.error.at_mm(leather_grid(view)))) < 5.0


def test_a_point_measured_wrongly_is_named() -> None:
    random = np.random.default_rng(9)
    view = camera_view(random, TRUE)
    seen = view.to_picture(np.vstack([MEASURED, FURTHER]))
    told = np.vstack([MEASURED, FURTHER])
    told[6, 0] += 30.0
    with pytest.raises(InputError) as caught:
        fit_view(picture(), points=MeasuredPoints(points_px=seen, points_mm=told))
    assert "point 7 first" in caught.value.faults[0].remedy


def test_points_in_line_are_refused() -> None:
    line = np.column_stack([np.linspace(-400, 400, 6), np.zeros(6)])
    random = np.random.default_rng(9)
    seen = camera_view(random, TRUE).to_picture(line)
    with pytest.raises(InputError, match="cannot be seen through a camera"):
        fit_view(picture(), points=MeasuredPoints(points_px=seen, points_mm=line))


def test_nothing_gives_no_view() -> None:
    with pytest.raises(ValueError, match="give a sheet"):
        fit_view(picture())


def test_a_rotation_and_its_vector_undo_each_other() -> None:
    random = np.random.default_rng(0)
    for _ in range(50):
        axis = random.normal(size=3)
        vector = axis / np.linalg.norm(axis) * random.uniform(0, 3.1)
        assert turn_vector(rotation_of(vector)) == pytest.approx(vector, abs=1e-9)


@pytest.mark.external
def test_rotations_are_those_of_a_reference_library() -> None:
    """Against cv2.Rodrigues."""
    random = np.random.default_rng(1)
    for _ in range(20):
        vector = random.uniform(-2, 2, 3)
        assert rotation_of(vector) == pytest.approx(np.asarray(cv2.Rodrigues(vector)[0]), abs=1e-12)


@pytest.mark.external
def test_a_homography_is_that_of_a_reference_library() -> None:
    """Against cv2.findHomography, and cv2.getPerspectiveTransform on noisy points."""
    random = np.random.default_rng(2)
    for count in (4, 5, 30):
        own = random.uniform(-500, 500, (count, 2))
        matrix = np.array([[2.6, 0.2, 1900.0], [-0.1, -2.4, 1500.0], [1e-4, -2e-4, 1.0]])
        there = np.column_stack([own, np.ones(count)]) @ matrix.T
        seen = there[:, :2] / there[:, 2:]
        assert homography(own, seen) == pytest.approx(matrix, rel=1e-7)
        reference = np.asarray(cv2.findHomography(own, seen, 0)[0])
        assert homography(own, seen) == pytest.approx(reference, rel=1e-4, abs=1e-6)
    four, seen4 = own[:4], seen[:4] + random.normal(0, 1, (4, 2))
    exact = cv2.getPerspectiveTransform(four.astype(np.float32), seen4.astype(np.float32))
    assert homography(four, seen4) == pytest.approx(np.asarray(exact), rel=2e-3, abs=1e-6)


@pytest.mark.external
def test_a_square_to_a_quadrilateral_is_as_published() -> None:
    """P. S. Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, section 2.2.3.

    His closed form, from the unit square to (0, 0), (10, 0), (12, 8), (-1, 6): with sums
    x0 - x1 + x2 - x3 = 3 and y0 - y1 + y2 - y3 = 2, differences (-2, -8) and (-13, -2),
    g = |3 -13; 2 -2| / |-2 -13; -8 -2| = 20 / -100, h = |-2 3; -8 2| / -100 = 20 / -100.
    """
    square = np.array([[0.0, 0.0], [1, 0], [1, 1], [0, 1]])
    seen = np.array([[0.0, 0.0], [10, 0], [12, 8], [-1, 6]])
    g, h = -0.2, -0.2
    published = np.array([[10 + g * 10, -1 - h, 0], [g * 0, 6 + h * 6, 0], [g, h, 1]])
    assert homography(square, seen) == pytest.approx(published, abs=1e-12)


def test_too_few_points_or_points_in_line_hold_no_homography() -> None:
    line = np.column_stack([np.arange(5.0), np.arange(5.0)])
    with pytest.raises(ValueError, match="four pairs"):
        homography(line[:3], line[:3])
    with pytest.raises(ValueError, match="in line"):
        homography(line, line)
    with pytest.raises(ValueError, match="one place"):
        homography(np.ones((4, 2)), np.ones((4, 2)))


def test_a_turn_and_a_shift_are_found_again() -> None:
    own = np.array([[0.0, 0.0], [10.0, 0.0], [3.0, 7.0]])
    c, s = np.cos(2.0), np.sin(2.0)
    there = own @ np.array([[c, s], [-s, c]]) + (5.0, -2.0)
    assert rigid_pose(own, there) == pytest.approx([2.0, 5.0, -2.0])


@pytest.mark.external
def test_a4_is_the_sheet_of_iso_216() -> None:
    """Sides in the ratio of root two to a millimetre, 16 to the square metre; 2 mm tolerance."""
    assert A4.height_mm * 2**0.5 == pytest.approx(A4.width_mm, abs=0.5)
    assert A4.width_mm * A4.height_mm * 16 == pytest.approx(1e6, rel=0.003)
    assert A4.within_mm == (2.0, 2.0)


@pytest.mark.parametrize(
    ("text", "width", "height"),
    [
        ("a4", 297.0, 210.0),
        ("LETTER", 279.4, 215.9),
        ("210x297", 297.0, 210.0),
        ("20 x 30 cm", 300.0, 200.0),
    ],
)
def test_sizes_of_paper_are_read(text: str, width: float, height: float) -> None:
    assert (sheet_size(text).width_mm, sheet_size(text).height_mm) == pytest.approx((width, height))


@pytest.mark.parametrize("text", ["", "a99", "297", "3x2", "9000x8000", "500x60", "axb", "297x"])
def test_what_is_no_size_of_paper_is_refused(text: str) -> None:
    with pytest.raises(InputError) as caught:
        sheet_size(text)
    assert caught.value.faults[0].remedy

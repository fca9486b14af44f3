"""Two photographs of one hide: what the sheet hid in the first is seen in the second."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely import Point, Polygon, box
from shapely.affinity import affine_transform

from estimator.errors import InputError
from estimator.photo.base.picture import Picture
from estimator.photo.base.view import Lens, View
from estimator.photo.leather.seen import SeenFlaw, SeenHide
from estimator.photo.second_look import with_second_look
from tests.photo.test_matching import blob

SHEET = box(-148.5, -105.0, 148.5, 105.0)
AFFINE = [0.8, -0.6, 0.6, 0.8, 130.0, -40.0]
"""From the axes of the second photograph to those of the first."""
BACK = [0.8, 0.6, -0.6, 0.8, -0.8 * 130 + 0.6 * 40, 0.6 * 130 + 0.8 * 40]


def look(name: str, outline: Polygon, *covered: Polygon, flaws: tuple[SeenFlaw, ...]) -> SeenHide:
    pixels = np.zeros((300, 400, 3), dtype=np.uint8)
    homography = np.array([[0.2, 0.01, 200.0], [0.02, -0.2, 150.0], [1e-5, 2e-5, 1.0]])
    lens = Lens(centre_px=(199.5, 149.5), focal_px=350.0, k1=0.02)
    return SeenHide(
        picture=Picture(pixels=pixels, source=Path(name), shrunk=1.0),
        view=View(homography=homography, lens=lens),
        outline=outline,
        expected_error_mm=1.2,
        covered=covered,
        flaws=flaws,
    )


def spot(x: float, y: float, confidence: float = 0.5, kind: str = "stain") -> SeenFlaw:
    return SeenFlaw(outline=Point(x, y).buffer(8), kind=kind, confidence=confidence)


def moved(shape: Polygon) -> Polygon:
    back: Polygon = affine_transform(shape, BACK)
    return back


def first() -> SeenHide:
    return look("a.jpg", blob(1), SHEET, flaws=(spot(300, 0), spot(-350, 50, 0.8)))


def second(covered: Polygon = SHEET, outline: Polygon | None = None) -> SeenHide:
    flaws = tuple(
        replace(one, outline=moved(one.outline))
        for one in (spot(302, 1, 0.9), spot(20, 30, 0.7, "hole"))
    )
    return look("b.jpg", moved(outline or blob(1)), covered, flaws=flaws)


def test_leather_that_the_second_photo_shows_is_no_longer_covered() -> None:
    both = with_second_look(first(), second(moved(box(-420, -120, -200, 100))))
    assert both.covered == ()
    (patch,) = both.patches
    assert patch.picture.source == Path("b.jpg")
    assert patch.area.symmetric_difference(SHEET).area < 1.0
    assert both.outline == first().outline


def test_what_both_sheets_cover_stays_so_with_room_for_error() -> None:
    both = with_second_look(first(), second(moved(box(100, -200, 320, 200))))
    (covered,) = both.covered
    assert covered.covers(box(100, -105, 148.5, 105).buffer(-0.1))
    assert covered.area < (48.5 + 8) * 210
    assert both.patches[0].area.area == pytest.approx(SHEET.area - covered.area, rel=1e-6)


def test_flaws_of_both_are_kept_once_each_and_the_surer_counts() -> None:
    both = with_second_look(first(), second())
    assert [one.kind for one in both.flaws] == ["stain", "stain", "hole"]
    assert [one.confidence for one in both.flaws] == [0.9, 0.8, 0.7]
    hole = both.flaws[-1]
    assert hole.outline.centroid.distance(Point(20, 30)) < 0.5
    assert hole.expected_error_mm is not None
    assert 1.2 <= hole.expected_error_mm < 2.7


def test_the_second_view_is_that_of_the_first_plane() -> None:
    there = np.array([[0.0, 0.0], [120.0, -60.0], [-80.0, 90.0]])
    (patch,) = with_second_look(first(), second(moved(box(-420, -120, -200, 100)))).patches
    own = np.array([affine_transform(Point(spot), BACK).coords[0] for spot in there])
    assert patch.view.to_picture(there) == pytest.approx(second().view.to_picture(own), abs=0.2)


@pytest.mark.parametrize(
    ("outline", "problem"),
    [(blob(2), "not show the same hide"), (blob(1).buffer(-9), "not show the same hide")],
)
def test_another_hide_is_refused(outline: Polygon, problem: str) -> None:
    with pytest.raises(InputError, match=f"b.jpg: does {problem}"):
        with_second_look(first(), second(outline=outline))


def test_a_hide_that_could_lie_in_two_ways_is_refused() -> None:
    plate = box(-450, -250, 450, 250)
    with pytest.raises(InputError, match="fits the first photo in several ways"):
        with_second_look(replace(first(), outline=plate), second(outline=plate))

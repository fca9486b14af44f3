"""A photograph seen from straight above: what lies at a place of the plane is shown there."""

from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from estimator.photo.base.flatten import (
    encode_picture,
    flat_picture,
    flat_scale_mm,
    mm_per_px_at,
    source_places_px,
)
from estimator.photo.base.marked import MARKED_PX, ORANGE, Mark, mark_picture
from estimator.photo.base.picture import Picture, Pixels
from estimator.photo.base.view import Floats, Lens, View

SIZE = (600, 450)
SQUARE_MM = 20.0


def tilted(k1: float = 0.0) -> View:
    """A plane of about 600 mm seen from the side."""
    homography = np.array([[1.7, 0.25, 300.0], [0.1, -1.5, 225.0], [0.0001, 0.0003, 1.0]])
    lens = Lens(centre_px=(299.5, 224.5), focal_px=500.0, k1=k1)
    return View(homography=homography, lens=lens)


@cache
def squares(k1: float = 0.0) -> Picture:
    return chequered(tilted(k1))


def chequered(view: View) -> Picture:
    """Squares of the plane, light where the numbers of row and column are both even or odd."""
    width, height = SIZE
    pixels: NDArray[np.float64] = np.zeros((height, width))
    steps = (np.arange(2) - 0.5) / 2
    for dx in steps:
        for dy in steps:
            grid = np.stack(np.meshgrid(np.arange(width) + dx, np.arange(height) + dy), axis=-1)
            x, y = view.to_plane(grid.reshape(-1, 2)).T
            light = (np.floor(x / SQUARE_MM) + np.floor(y / SQUARE_MM)) % 2
            pixels += light.reshape(height, width) / 4
    grey = np.round(60 + 140 * pixels).astype(np.uint8)
    return Picture(pixels=np.dstack([grey, grey, grey]), source=Path("squares.png"), shrunk=1.0)


@pytest.mark.parametrize("k1", [0.0, 0.1, -0.1])
@pytest.mark.parametrize("scale", [0.5, 1.0, 2.0])
def test_squares_are_square_and_where_they_are(k1: float, scale: float) -> None:
    view = tilted(k1)
    flat = flat_picture(squares(k1), view, (-100.0, -80.0, 100.0, 80.0), scale)
    assert flat.shape == (160 / scale, 200 / scale, 3)
    rows, columns = np.mgrid[0 : flat.shape[0], 0 : flat.shape[1]]
    x, y = -100 + (columns + 0.5) * scale, 80 - (rows + 0.5) * scale
    inside = (abs(x % SQUARE_MM - 10) < 8) & (abs(y % SQUARE_MM - 10) < 8)
    light = (np.floor(x / SQUARE_MM) + np.floor(y / SQUARE_MM)) % 2
    wanted = 60 + 140 * light
    off = np.abs(flat[:, :, 0].astype(float) - wanted)[inside]
    assert np.percentile(off, 99) < 12


@pytest.mark.parametrize("k1", [0.0, 0.1, -0.1])
def test_places_between_the_grid_are_true_to_a_hundredth_of_a_pixel(k1: float) -> None:
    view, scale = tilted(k1), 0.7
    seen = source_places_px(view, (-100.0, -77.0, 96.0, 77.0), scale)
    assert seen.shape == (220, 280, 2)
    columns, rows = np.meshgrid(np.arange(280), np.arange(220))
    spots = np.column_stack(
        [-100 + (columns.ravel() + 0.5) * scale, 77 - (rows.ravel() + 0.5) * scale]
    )
    assert np.abs(seen.reshape(-1, 2) - view.to_picture(spots)).max() < 0.01


def test_what_the_photograph_does_not_show_is_white() -> None:
    view = tilted()
    flat = flat_picture(squares(), view, (-1000.0, -80.0, -800.0, 20.0), 1.0)
    assert np.all(flat == 255)


def test_a_picture_too_large_to_hold_is_refused() -> None:
    view = tilted()
    with pytest.raises(ValueError, match="40000 x 40000"):
        flat_picture(squares(), view, (0.0, 0.0, 4000.0, 4000.0), 0.1)


def test_the_scale_is_round_no_finer_than_the_photograph_and_keeps_its_limit() -> None:
    view = tilted()
    own = mm_per_px_at(view, np.array([[0.0, 0.0]]))
    assert own == pytest.approx(0.62, abs=0.02)
    assert flat_scale_mm(view, (-100.0, -100.0, 100.0, 100.0)) == 1.0
    assert flat_scale_mm(view, (-2000.0, -2000.0, 2000.0, 2000.0)) == 2.0
    assert flat_scale_mm(view, (-9e3, -9e3, 9e3, 9e3)) == 8.0


@pytest.mark.parametrize("suffix", [".jpg", ".png"])
def test_the_same_picture_gives_the_same_file(suffix: str) -> None:
    pixels = squares().pixels
    content = encode_picture(pixels, suffix)
    assert content == encode_picture(pixels.copy(), suffix)
    back = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR)
    assert back is not None
    assert np.abs(np.asarray(back, dtype=float) - pixels).mean() < 2


def test_marks_lie_where_they_were_found_and_the_photograph_is_left_alone() -> None:
    pixels: Pixels = np.full((1500, 3600, 3), 128, dtype=np.uint8)
    picture = Picture(pixels=pixels, source=Path("grey.png"), shrunk=1.0)
    square: Floats = np.array([[900.0, 300.0], [1500.0, 300.0], [1500.0, 900.0], [900.0, 900.0]])
    drawn = mark_picture(picture, [Mark(what="outline", points_px=square, text="1 hole 80%")])
    assert drawn.shape == (1000, MARKED_PX, 3)
    assert np.all(pixels == 128)
    assert tuple(drawn[400, 600]) == ORANGE
    assert tuple(drawn[400, 800]) == (128, 128, 128)
    label = drawn[370:430, 1005:1200]
    assert (label == 0).all(axis=2).mean() > 0.2


def test_a_text_at_the_edge_stays_within_the_picture() -> None:
    pixels: Pixels = np.full((300, 400, 3), 128, dtype=np.uint8)
    picture = Picture(pixels=pixels, source=Path("grey.png"), shrunk=1.0)
    corner: Floats = np.array([[380.0, 2.0], [398.0, 2.0], [398.0, 20.0]])
    drawn = mark_picture(picture, [Mark(what="proposed", points_px=corner, text="12 stain 61%")])
    assert (drawn[:40, 300:] == 0).all(axis=2).sum() > 100


def test_texts_of_neighbours_keep_clear_of_each_other() -> None:
    pixels: Pixels = np.full((1200, 1600, 3), 128, dtype=np.uint8)
    picture = Picture(pixels=pixels, source=Path("grey.png"), shrunk=1.0)
    square: Floats = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0]]) + 700.0
    alone = (
        mark_picture(picture, [Mark(what="proposed", points_px=square, text="1 scar")]) == 0
    ).sum()
    crowd = [Mark(what="proposed", points_px=square, text=f"{k} scar") for k in range(1, 6)]
    assert (mark_picture(picture, crowd) == 0).sum() > 4.2 * alone

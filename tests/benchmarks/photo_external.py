"""A known object in an image that a package ships: the chessboard of scikit-image, seen askew.

``skimage/data/chessboard_GRAY.png`` (scikit-image 0.26, BSD-3-Clause) shows 8 x 8 equal squares of
25 px. It is seen through scikit-image's own projective transform, its 49 inner corners are found
by OpenCV's chessboard detector, and the four outermost ones are the measured points of our view;
the distances of the other corners from where equal squares put them are printed, in mm for
squares of 25 mm, beside those of OpenCV's homography on the same four points. scikit-image is
installed for this alone.
"""

import argparse
import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage import data, io, transform

from estimator.photo.base.picture import Picture
from estimator.photo.camera.fitting import fit_view
from estimator.photo.camera.targets import MeasuredPoints

SQUARE_MM = 25.0
INNER = 7
SIZE_PX = (1600, 1200)
Floats = NDArray[np.float64]


def main() -> None:
    """Print one line for each of some views."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--views", type=int, default=10)
    options = parser.parse_args()
    for seed in range(options.views):
        print(json.dumps(_seen(np.random.default_rng(seed)) | {"view": seed}))


def _seen(random: np.random.Generator) -> dict[str, float | bool]:
    """Errors on one view, mm."""
    board = np.asarray(io.imread(data.data_dir + "/chessboard_GRAY.png"), dtype=np.uint8)
    flat = np.pad(board, 25, constant_values=255)
    height, width = flat.shape
    scale = SQUARE_MM / 25
    sheet = np.array([(scale, 0, -width * scale / 2), (0, scale, -height * scale / 2), (0, 0, 1)])
    seen = transform.ProjectiveTransform(np.linalg.inv(_camera(random) @ sheet))
    shown = transform.warp(flat, seen, output_shape=SIZE_PX[::-1], order=3, cval=1.0)
    pixels = np.clip(shown * 255 + random.normal(0, 2, shown.shape), 0, 255).astype(np.uint8)
    is_found, found = cv2.findChessboardCornersSB(pixels, (INNER, INNER))
    if not is_found:
        return {"found": False}
    at_px = found.reshape(-1, 2).astype(np.float64)
    rows, columns = np.divmod(np.arange(INNER * INNER), INNER)
    at_mm = np.column_stack([columns, -rows]) * SQUARE_MM
    if _is_mirrored(at_px):
        at_mm[:, 1] = -at_mm[:, 1]
    known = np.array([0, INNER - 1, INNER * INNER - INNER, INNER * INNER - 1])
    picture = Picture(
        pixels=np.dstack([pixels] * 3), source=Path("chessboard_GRAY.png"), shrunk=1.0
    )
    points = MeasuredPoints(
        points_px=at_px[known], points_mm=at_mm[known], within_mm=0.1, within_px=0.1
    )
    ours = fit_view(picture, points=points).view.to_plane(at_px)
    plain, _ = cv2.findHomography(at_px[known], at_mm[known])
    theirs = cv2.perspectiveTransform(at_px[None], plain)[0]
    off, plain_off = (np.hypot(*(each - at_mm).T) for each in (ours, theirs))
    return {
        "found": True,
        "median_mm": round(float(np.median(off)), 3),
        "most_mm": round(float(off.max()), 3),
        "homography_median_mm": round(float(np.median(plain_off)), 3),
        "homography_most_mm": round(float(plain_off.max()), 3),
    }


def _camera(random: np.random.Generator) -> Floats:
    """From mm on the board, y down, to px: a phone's focal length, tilted to 35 degrees."""
    tilt, turn = np.radians(random.uniform(5, 35)), random.uniform(0, 2 * np.pi)
    axis = np.array([np.cos(turn), np.sin(turn), 0.0]) * tilt
    rotation, _ = cv2.Rodrigues(axis)
    focal = 27 / 43.267 * np.hypot(*SIZE_PX)
    inner = np.array([(focal, 0, SIZE_PX[0] / 2), (0, focal, SIZE_PX[1] / 2), (0, 0, 1)])
    return np.asarray(inner @ np.column_stack([rotation[:, :2], (0.0, 0.0, 330.0)]))


def _is_mirrored(at_px: Floats) -> bool:
    """Whether the detector counts columns to the right of its rows' way down."""
    along, down = at_px[INNER - 1] - at_px[0], at_px[-INNER] - at_px[0]
    return bool(along[0] * down[1] - along[1] * down[0] < 0)


if __name__ == "__main__":
    main()

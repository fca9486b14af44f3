"""Draw the README's picture of what leather is worth: three cuts from the same piece."""

import argparse
import sys
from pathlib import Path

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline
from shapely import Point, Polygon, box, get_parts
from shapely.geometry.base import BaseGeometry

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.nesting.problem import Blemish, Keep, Sheet
from estimator.nesting.worth import left_of_sheet, used_share, worth_before_mm2
from estimator.quality import Spoil

KEEP = Keep(disc_radius_mm=40.0, area_mm2=20_000.0, strip_width_mm=0.0, strip_length_mm=0.0)
LEATHER, COUNTS, PART, FLAW = "#ecd9bd", "#c79a63", "#7a4a24", "#b3261e"
PIECE = box(0, 0, 500, 300)
SCAR = Point(370, 160).buffer(22)


def main() -> None:
    """Write the picture."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    out = parser.parse_args().out
    mpl.rcParams["svg.hashsalt"] = "worth"
    figure = Figure(figsize=(8.4, 2.35), layout="constrained")
    axes = figure.subplots(1, 3)
    _draw(axes[0], box(0, 0, 190, 110), "cut from a corner")
    _draw(axes[1], box(155, 95, 345, 205), "cut from the middle")
    _draw(axes[2], box(0, 0, 190, 110), "a scar in what is left", SCAR)
    figure.savefig(out, dpi=110)


def _draw(axes: Axes, part: Polygon, title: str, *flaws: Polygon) -> None:
    """One piece, one part: what counts of the rest, and what the job pays for."""
    sheet = Sheet(
        key="piece",
        outline=PIECE,
        blemishes=tuple(Blemish(outline=flaw, spoil=Spoil.UNUSABLE) for flaw in flaws),
        axis_deg=0.0,
        worth_per_mm2=1.0,
        lot="",
    )
    left = left_of_sheet(sheet, [part], KEEP)
    _fill(axes, PIECE, LEATHER)
    for offcut in left.offcuts:
        counted: BaseGeometry = offcut.buffer(-KEEP.rim_mm)
        for flaw in flaws:
            counted = counted.difference(flaw.buffer(KEEP.rim_mm))
        for each in get_parts(counted):
            _fill(axes, each, COUNTS)
    for flaw in flaws:
        _fill(axes, flaw, FLAW)
    _fill(axes, part, PART)
    share = used_share(before_mm2=worth_before_mm2(sheet, KEEP), after_mm2=left.worth_mm2)
    axes.set_title(
        f"{title}\npart {part.area / 1e4:.1f} dm², charged {share * PIECE.area / 1e4:.1f} dm²",
        size=10,
    )
    axes.set_aspect("equal")
    axes.axis("off")
    axes.set_xlim(-5, 505)
    axes.set_ylim(-5, 305)


def _fill(axes: Axes, shape: Polygon, colour: str) -> None:
    rings = [shape.exterior, *shape.interiors]
    corners = np.concatenate([np.asarray(ring.coords) for ring in rings])
    codes = np.concatenate(
        [
            [Outline.MOVETO, *[Outline.LINETO] * (len(ring.coords) - 2), Outline.CLOSEPOLY]
            for ring in rings
        ]
    )
    axes.add_patch(
        PathPatch(Outline(corners, codes), facecolor=colour, edgecolor="#4a3a28", lw=0.6)
    )


if __name__ == "__main__":
    main()

"""DXF drawings against what the DXF library itself measures, and curves against closed forms."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from ezdxf import edgeminer, edgesmith
from ezdxf import path as outside_path
from ezdxf.disassemble import recursive_decompose
from ezdxf.document import Drawing
from ezdxf.filemanagement import readfile
from ezdxf.math import Vec2, area
from shapely import Polygon

from estimator.drawing.dxf.reader import MM_PER_DRAWING_UNIT, read_dxf
from estimator.drawing.scales import mm_per

pytestmark = pytest.mark.external

CORPUS = Path(__file__).parents[1] / "drawing" / "corpus"
UNSTATED = {"bare-mm", "bare-in", "r10", "r12-polyline", "r12-slot"}
# ezdxf's own decomposition shows frames of fitted polylines, and joins nothing across gaps
OTHERWISE = {"r12-frame", "gaps", "doubled"}
READ = sorted(path for path in CORPUS.glob("*.dxf") if path.stem not in OTHERWISE)


def seen(document: Drawing) -> Iterator[Any]:
    """What is visible, blocks taken apart by ezdxf."""
    for entity in recursive_decompose(document.modelspace()):
        name = entity.dxf.layer
        layer = document.layers.get(name) if document.layers.has_entry(name) else None
        is_hidden = layer is not None and (layer.is_off() or layer.is_frozen())
        if not (is_hidden or entity.dxf.get("invisible", 0) or entity.dxftype() == "HATCH"):
            yield entity


def outside_areas(path: Path, mm_per_unit: float) -> list[float]:
    """Areas of all closed lines, mm2, as ezdxf flattens and joins them."""
    reach = 0.0005 / mm_per_unit
    rings: list[list[Vec2]] = []
    loose = []
    for entity in seen(readfile(path)):
        try:
            whole = outside_path.make_path(entity)
        except TypeError:
            continue
        if whole.start.isclose(whole.end, abs_tol=1e-6):
            rings.append(Vec2.list(whole.flattening(reach)))
        else:
            loose.append(entity)
    if loose:
        edges = edgeminer.Deposit(list(edgesmith.edges_from_entities_2d(loose)))
        chains = map(edgesmith.path2d_from_chain, edgeminer.find_all_simple_chains(edges))
        rings += (Vec2.list(whole.flattening(reach)) for whole in chains)
    return sorted(abs(area(ring)) * mm_per_unit**2 for ring in rings if len(ring) > 2)


@pytest.mark.parametrize("path", READ, ids=lambda path: str(path.stem))
def test_the_dxf_library_measures_the_same(path: Path) -> None:
    unit = "in" if path.stem == "bare-in" else "mm"
    is_stated = path.stem not in UNSTATED
    code = readfile(path).header.get("$INSUNITS", 0) if is_stated else 0
    mm_per_unit = MM_PER_DRAWING_UNIT[code] if is_stated else mm_per(unit)  # type: ignore[arg-type]
    ours = sorted(
        float(Polygon(line.points).area)
        for line in read_dxf(path, None if is_stated else unit).paths  # type: ignore[arg-type]
        if line.closed
    )
    assert ours
    assert ours == pytest.approx(outside_areas(path, mm_per_unit), rel=3e-4)

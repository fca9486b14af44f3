"""Cement, dye, oil and wax."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from estimator.pattern.parts import Face
from estimator.takeoff.jobs import Job
from estimator.takeoff.surfaces import (
    bonded_mm2,
    coating_ml,
    dyed_area_mm2,
    finished_edge_mm,
    glued_mm2,
    oiled_mm2,
    surface_quantities,
)
from estimator.takeoff.use import default_use_rates, own_use_rates
from tests.shop import SHOW, needing, part, pattern, rectangle
from tests.takeoff.sheath_samples import job

USE = default_use_rates()
SLAB = rectangle(100.0, 50.0)
amounts = st.floats(min_value=0.0, max_value=1e6)


def alone(outline: Polygon = SLAB, **others: Any) -> Job:
    return Job(key="j", pattern=pattern(part("a", outline, **others)), quantity=1)


def test_glue_lies_between_the_layers_of_each_seam_and_in_the_joins() -> None:
    main = 200.0 * 8.0 * 2
    loop = 80.0 * 8.0 * 1
    assert glued_mm2([job(3)]) == pytest.approx(3 * (main + loop + 14_400.0))


def test_one_layer_needs_no_glue() -> None:
    assert bonded_mm2(seam_mm=100.0, glue_width_mm=8.0, layers=1) == 0.0


def test_negative_bands_and_areas_are_refused() -> None:
    with pytest.raises(ValueError, match="glue_width_mm"):
        bonded_mm2(seam_mm=100.0, glue_width_mm=-8.0, layers=2)
    with pytest.raises(ValueError, match="zero or more"):
        coating_ml(area_mm2=-1.0, ml_per_m2=1.0, coats=1, faces=1)


@given(area=amounts, rate=st.floats(0.0, 500.0), more=st.floats(0.0, 1e5))
def test_more_area_never_takes_less(area: float, rate: float, more: float) -> None:
    less = coating_ml(area_mm2=area, ml_per_m2=rate, coats=1, faces=1)
    assert coating_ml(area_mm2=area + more, ml_per_m2=rate, coats=1, faces=1) >= less
    assert coating_ml(area_mm2=area, ml_per_m2=rate, coats=2, faces=1) == pytest.approx(2 * less)


def test_contact_cement_coats_both_faces() -> None:
    rows = {row.item: row for row in surface_quantities([job()], {}, USE)}
    area_m2 = glued_mm2([job()]) / 1e6
    assert rows["contact cement"].quantity == pytest.approx(area_m2 * 2 * 125 * 1.1)
    assert rows["contact cement"].low == pytest.approx(area_m2 * 2 * 100)


def test_dye_counts_faces_and_edges_and_the_thirst_of_flesh() -> None:
    thickness = {("pruning", "body"): 3.0, ("pruning", "loop"): 4.0}
    area = dyed_area_mm2([job()], thickness, USE)
    body = 100 * 200 + 1.5 * 600 * 3.0
    loop = 30 * 150 + 1.5 * (30 * 150 + 360 * 4.0)
    assert area.expected == pytest.approx(body + loop)
    assert area.low == pytest.approx(body + loop - 0.5 * (600 * 3.0 + 30 * 150 + 360 * 4.0))


def test_an_undyed_part_takes_no_dye_on_its_edges() -> None:
    assert dyed_area_mm2([alone()], {}, USE).high == 0.0


def test_the_edge_of_a_hole_takes_dye_too() -> None:
    ring = Polygon(box(0, 0, 100, 50).exterior, [box(20, 20, 30, 30).exterior])
    dyed = frozenset({Face.GRAIN})
    whole = dyed_area_mm2([alone(dyed=dyed)], {}, USE).expected
    holed = dyed_area_mm2([alone(ring, dyed=dyed)], {}, USE).expected
    assert holed == pytest.approx(whole - 100.0 + 1.5 * 40.0 * 3.25)


def test_oil_goes_on_what_shows_and_what_is_dyed() -> None:
    shown = needing(rectangle(20.0, 20.0), SHOW)
    assert oiled_mm2([alone()]) == 0.0
    assert oiled_mm2([alone(regions=shown)]) == 5000.0
    assert oiled_mm2([alone(dyed=frozenset(Face), regions=shown)]) == 10_000.0


def test_wax_follows_the_finished_edges() -> None:
    assert finished_edge_mm([job(2)]) == pytest.approx(2 * (200 + 100 + 150))
    rows = {row.item: row for row in surface_quantities([job(2)], {}, USE)}
    assert rows["beeswax"].quantity == pytest.approx(0.9 * 0.75)


def test_mirrored_copies_are_counted() -> None:
    plain = alone(dyed=frozenset({Face.GRAIN}))
    body = plain.pattern.parts[0]
    pair = replace(plain, pattern=replace(plain.pattern, parts=(replace(body, mirrored_copies=1),)))
    one = dyed_area_mm2([plain], {}, USE).expected
    assert dyed_area_mm2([pair], {}, USE).expected == pytest.approx(2 * one)


def test_what_is_not_used_is_not_listed() -> None:
    assert surface_quantities([alone()], {}, USE) == ()


def test_the_shop_names_its_own_dye() -> None:
    use = own_use_rates(dye_item="green dye")
    rows = [row.item for row in surface_quantities([job()], {}, use)]
    assert "green dye" in rows
    assert "brown dye" not in rows


@given(quantity=st.integers(1, 50))
def test_every_range_holds_its_expected_value(quantity: int) -> None:
    for row in surface_quantities([job(quantity)], {}, USE):
        assert 0 < row.low <= row.quantity <= row.high
        assert row.basis
        assert row.source

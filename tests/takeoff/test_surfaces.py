"""Cement, dye, oil and wax."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from estimator.hide.hides import Tannage
from estimator.pattern.parts import Face
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.materials.dye import DyedArea, dyed_area, edge_coats
from estimator.takeoff.materials.surfaces import (
    adhesive_ml,
    bonded_mm2,
    finished_edge_mm,
    glued_mm2,
    oiled_mm2,
    surface_quantities,
    wax_g,
)
from estimator.takeoff.quantity import Spread, exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES, UseRates, own_use_rates
from tests.shop import SHOW, coating_ml, needing, part, pattern, rectangle
from tests.takeoff.sheath_samples import line
from tests.wording import said

USE = DEFAULT_USE_RATES
SLAB = rectangle(100.0, 50.0)
amounts = st.floats(min_value=0.0, max_value=1e6)


def alone(outline: Polygon = SLAB, **others: Any) -> LineToMake:
    return LineToMake(key="j", pattern=pattern(part("a", outline, **others)), quantity=1)


def test_glue_lies_between_the_layers_of_each_seam_and_in_the_joins() -> None:
    main = 200.0 * 8.0 * 2
    loop = 80.0 * 8.0 * 1
    assert glued_mm2([line(3)]) == pytest.approx(3 * (main + loop + 14_400.0))


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
    rows = {said(row.name): row for row in surface_quantities([line()], {}, USE)}
    area_m2 = glued_mm2([line()]) / 1e6
    assert rows["contact cement"].quantity == pytest.approx(area_m2 * 2 * 125 * 1.1)
    # the rate and the waste are seldom both at their low end
    assert area_m2 * 2 * 100 * 1.05 < rows["contact cement"].low < area_m2 * 2 * 100 * 1.1


def test_paste_glue_coats_one_face() -> None:
    paste = own_use_rates(glue_faces=exact_spread(1, "mine"))
    both = adhesive_ml(area_mm2=1e6, use=USE)
    assert adhesive_ml(area_mm2=1e6, use=paste).expected == pytest.approx(both.expected / 2)
    (row,) = (row for row in surface_quantities([line()], {}, paste) if "cement" in row.item)
    assert said(row.basis).startswith("1 face x")


def test_what_dries_in_the_pot_is_bought_too() -> None:
    none = own_use_rates(glue_waste_share=exact_spread(0, "mine"))
    clean = adhesive_ml(area_mm2=1e6, use=none).expected
    assert adhesive_ml(area_mm2=1e6, use=USE).expected == pytest.approx(1.1 * clean)


def area_of(*lines: LineToMake, thickness: dict[tuple[str, str], float] | None = None) -> DyedArea:
    return dyed_area(lines, thickness or {}, tannage={})


def dyes(
    made: LineToMake, use: UseRates = USE, tannage: dict[tuple[str, str], Tannage] | None = None
) -> dict[str, float]:
    rows = surface_quantities([made], {}, use, tannage or {})
    return {said(row.name): row.quantity for row in rows if row.item.startswith("brown dye")}


def test_faces_and_edges_that_are_dyed_are_counted_apart() -> None:
    thickness = {("pruning", "body"): 3.0, ("pruning", "loop"): 4.0}
    area = area_of(line(2), thickness=thickness)
    assert area.grain_mm2 == pytest.approx(2 * (100 * 200 + 30 * 150))
    assert area.flesh_mm2 == pytest.approx(2 * 30 * 150)
    assert area.edge_mm2 == pytest.approx(2 * (600 * 3.0 + 360 * 4.0))


def test_dye_is_told_by_place_and_adds_up() -> None:
    told = dyes(line())
    whole = told.pop("brown dye")
    assert set(told) == {"brown dye, grain side", "brown dye, flesh side", "brown dye, edges"}
    assert whole == pytest.approx(sum(told.values()))
    # area x 45 ml per m2 x 2 coats x 1.1 for absorbency; flesh x 1.5; edges x 1.5, one coat more
    grain, loop_flesh = 100 * 200 + 30 * 150, 30 * 150
    assert told["brown dye, grain side"] == pytest.approx(grain / 1e6 * 45 * 2 * 1.1)
    assert told["brown dye, flesh side"] == pytest.approx(loop_flesh / 1e6 * 45 * 2 * 1.1 * 1.5)
    edge = (600 + 360) * 3.25
    assert told["brown dye, edges"] == pytest.approx(edge / 1e6 * 45 * 3 * 1.1 * 1.5)


def test_an_edge_is_dyed_darker_by_coats_of_its_own() -> None:
    assert edge_coats(USE).expected == USE.dye_coats.expected + 1
    plain = own_use_rates(edge_dye_coats=exact_spread(0, "mine"))
    assert dyes(line(), plain)["brown dye, edges"] < dyes(line())["brown dye, edges"]
    assert dyes(line(), plain)["brown dye, grain side"] == dyes(line())["brown dye, grain side"]


def test_damp_leather_takes_less_dye() -> None:
    damped = own_use_rates(damping_share=Spread(low=0.1, expected=0.2, high=0.3, sources=("mine",)))
    assert dyes(line(), damped)["brown dye"] == pytest.approx(0.8 * dyes(line())["brown dye"])


def test_chrome_leather_takes_less_dye_and_oil_part_by_part() -> None:
    body = {("pruning", "body"): Tannage.CHROME}
    whole = dyes(line())["brown dye, grain side"]
    mixed = dyes(line(), tannage=body)["brown dye, grain side"]
    assert mixed == pytest.approx(whole * (0.8 * 20_000 + 4500) / 24_500)
    oil = [
        {said(row.name): row.quantity for row in surface_quantities([line()], {}, USE, tannage)}
        for tannage in ({}, body)
    ]
    assert oil[1]["finish oil"] < oil[0]["finish oil"]


def test_an_undyed_part_takes_no_dye_on_its_edges() -> None:
    assert area_of(alone()) == DyedArea(grain_mm2=0.0, flesh_mm2=0.0, edge_mm2=0.0)
    assert dyes(alone()) == {}


def test_the_edge_of_a_hole_takes_dye_too() -> None:
    ring = Polygon(box(0, 0, 100, 50).exterior, [box(20, 20, 30, 30).exterior])
    dyed = frozenset({Face.GRAIN})
    whole, holed = area_of(alone(dyed=dyed)), area_of(alone(ring, dyed=dyed))
    assert holed.grain_mm2 == pytest.approx(whole.grain_mm2 - 100.0)
    assert holed.edge_mm2 == pytest.approx(whole.edge_mm2 + 40.0 * 3.25)


def test_oil_goes_on_what_shows_and_what_is_dyed() -> None:
    shown = needing(rectangle(20.0, 20.0), SHOW)
    assert oiled_mm2([alone()]) == 0.0
    assert oiled_mm2([alone(regions=shown)]) == 5000.0
    assert oiled_mm2([alone(dyed=frozenset(Face), regions=shown)]) == 10_000.0


def test_wax_follows_the_finished_edges() -> None:
    assert finished_edge_mm([line(2)]) == pytest.approx(2 * (200 + 100 + 150))
    rows = {said(row.name): row for row in surface_quantities([line(2)], {}, USE)}
    assert rows["beeswax"].quantity == pytest.approx(0.9 * 0.75)


def test_wax_follows_passes_and_waxed_faces() -> None:
    twice = own_use_rates(
        edge_passes=exact_spread(2, "mine"), wax_g_per_m2=exact_spread(15, "mine")
    )
    wax = wax_g(edge_mm=1000.0, face_mm2=200_000.0, use=twice)
    assert wax.expected == pytest.approx(2 * 0.75 + 0.2 * 15)
    assert wax.low == pytest.approx(2 * 0.5 + 0.2 * 15)


def test_mirrored_copies_are_counted() -> None:
    plain = alone(dyed=frozenset({Face.GRAIN}))
    body = plain.pattern.parts[0]
    pair = replace(plain, pattern=replace(plain.pattern, parts=(replace(body, mirrored_copies=1),)))
    assert area_of(pair).grain_mm2 == pytest.approx(2 * area_of(plain).grain_mm2)
    assert area_of(pair).edge_mm2 == pytest.approx(2 * area_of(plain).edge_mm2)


def test_what_is_not_used_is_not_listed() -> None:
    assert surface_quantities([alone()], {}, USE) == ()


def test_the_shop_names_its_own_dye() -> None:
    use = own_use_rates(dye_item="green dye")
    rows = [row.item for row in surface_quantities([line()], {}, use)]
    assert "green dye" in rows
    assert "brown dye" not in rows


@given(face=st.floats(1.0, 1e6), edge=st.floats(1.0, 1e4), more=st.floats(1.01, 5.0))
def test_more_to_cover_takes_more_at_each_end(face: float, edge: float, more: float) -> None:
    for less, greater in (
        (adhesive_ml(area_mm2=face, use=USE), adhesive_ml(area_mm2=face * more, use=USE)),
        (
            wax_g(edge_mm=edge, face_mm2=face, use=USE),
            wax_g(edge_mm=edge * more, face_mm2=face, use=USE),
        ),
    ):
        assert less.low < greater.low
        assert less.expected < greater.expected
        assert less.high < greater.high


@given(quantity=st.integers(1, 50))
def test_every_range_holds_its_expected_value(quantity: int) -> None:
    for row in surface_quantities([line(quantity)], {}, USE):
        assert 0 < row.low <= row.quantity <= row.high
        assert said(row.basis)
        assert row.sources

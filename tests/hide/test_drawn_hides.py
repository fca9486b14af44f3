"""A hide drawn in layers: read back it is the same, and what is changed in an editor counts."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from lxml import etree
from shapely import Polygon, box
from shapely.affinity import translate

from estimator.drawing.svg.writer import svg_text
from estimator.errors import InputError
from estimator.geometry.shapes import ellipse
from estimator.hide.drawn import hide_sheet
from estimator.hide.hides import Flaw, FlawState, Hide, HidePhoto, HideZone
from estimator.hide.reader import read_hide
from estimator.hide.writer import drawn_hide_text
from estimator.quality import Spoil
from tests import shop

Root = etree._Element
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"

OUTLINE = Polygon(
    [(60.123456, 40), (900, 30.5), (960, 300), (880, 620), (400, 655.25), (70, 600)],
    [[(300, 300), (320, 300), (310, 325)]],
)


def proposal(number: int, x: float, kind: str = "stain", confidence: float = 0.6) -> Flaw:
    return Flaw(
        outline=ellipse(center=(x, 400), length_mm=30, width_mm=18, turn_deg=number * 20),
        kind=kind,
        spoil=Spoil.COSMETIC,
        note="",
        state=FlawState.PROPOSED,
        confidence=confidence,
        number=number,
    )


def sample(folder: Path, **others: object) -> Hide:
    covered = Flaw(
        outline=box(500, 100, 797, 310), kind="not-seen", spoil=Spoil.UNUSABLE, note="the sheet"
    )
    photo = HidePhoto(
        file=folder / "side 09.jpg", mm_per_px=0.5, left_mm=0.0, bottom_mm=0.0, error_mm=1.8
    )
    flaws = (proposal(1, 200), proposal(2, 500, "scar", 0.91), proposal(3, 700), covered)
    return shop.hide("side-09", OUTLINE, *flaws, photo=photo, **others)


def written(folder: Path, hide: Hide) -> Path:
    (folder / "side-09.svg").write_text(svg_text(hide_sheet(hide, width_mm=1000, height_mm=700)))
    (folder / "side-09.toml").write_text(drawn_hide_text(hide, drawing="side-09.svg"))
    return folder / "side-09.toml"


def edited(folder: Path, change: Callable[[Root], None]) -> Hide:
    """The sample after somebody worked on its drawing."""
    path = written(folder, sample(folder))
    drawing = folder / "side-09.svg"
    tree = etree.parse(drawing)
    change(tree.getroot())
    tree.write(drawing)
    return read_hide(path)


def found(root: Root, identifier: str) -> Root:
    (element,) = root.iterfind(f".//*[@id='{identifier}']")
    return element


def test_a_drawn_hide_is_read_back_as_it_was_written(tmp_path: Path) -> None:
    hide = sample(tmp_path, backbone_deg=12.5)
    again = read_hide(written(tmp_path, hide))
    assert again.outline.hausdorff_distance(hide.outline) < 1e-3
    assert len(again.outline.interiors) == 1
    assert again.backbone_deg == pytest.approx(12.5, abs=1e-3)
    assert again.photo == hide.photo
    assert len(again.flaws) == len(hide.flaws)
    known = {flaw.outline.centroid.x: flaw for flaw in again.flaws}
    for flaw in hide.flaws:
        back = known[min(known, key=lambda x: abs(x - flaw.outline.centroid.x))]
        assert back.outline.hausdorff_distance(flaw.outline) < 1e-3
        assert (back.kind, back.spoil, back.note) == (flaw.kind, flaw.spoil, flaw.note)
        assert (back.state, back.confidence) == (flaw.state, flaw.confidence)
    same = ("tag", "thickness_min_mm", "thickness_max_mm", "tannage", "lot", "price_paid")
    for name in same:
        assert getattr(again, name) == getattr(hide, name)


def test_zones_are_typed_in_a_map_with_a_drawing_too(tmp_path: Path) -> None:
    belly = HideZone(outline=box(100, 50, 600, 120.5), name="belly", share=0.45)
    hide = replace(sample(tmp_path), zones=(belly,))
    (zone,) = read_hide(written(tmp_path, hide)).zones
    assert (zone.name, zone.share) == (belly.name, belly.share)
    assert zone.outline.equals(belly.outline)


@pytest.mark.parametrize("backbone", [0.0, 90.0, 135.0, 179.9])
def test_the_backbone_is_a_line_that_can_be_turned(tmp_path: Path, backbone: float) -> None:
    again = read_hide(written(tmp_path, sample(tmp_path, backbone_deg=backbone)))
    assert again.backbone_deg == pytest.approx(backbone, abs=1e-3)


def test_the_photo_lies_beneath_all_layers_as_large_as_the_page(tmp_path: Path) -> None:
    written(tmp_path, sample(tmp_path))
    root = etree.parse(tmp_path / "side-09.svg").getroot()
    layers = [group.get("id") for group in root.iterfind("{*}g")]
    assert layers == ["photo", "outline", "flaws", "proposed", "not-seen", "backbone"]
    (image,) = root.iterfind(".//{*}image")
    size = [image.get(key) for key in ("x", "y", "width", "height")]
    assert size == ["0", "0", "1000", "700"]
    assert image.get("{http://www.w3.org/1999/xlink}href") == "side%2009.jpg"
    assert found(root, "flaw-2").findtext("{*}title") == "2 scar 91%"


def test_an_outline_moved_in_an_editor_is_moved_in_the_hide(tmp_path: Path) -> None:
    def change(root: Root) -> None:
        found(root, "outline").set("transform", "translate(10 -20) scale(1 1)")
        found(root, "hide").set("transform", "matrix(1,0,0,1,5,0)")

    hide = edited(tmp_path, change)
    assert hide.outline.hausdorff_distance(translate(OUTLINE, 15, 20)) < 1e-3


def test_a_path_drawn_anew_with_curves_is_the_flaw(tmp_path: Path) -> None:
    def change(root: Root) -> None:
        found(root, "flaw-2").set("d", "m 500,300 c 20,0 20,40 0,40 c -20,0 -20,-40 0,-40 z")

    hide = edited(tmp_path, change)
    (scar,) = [flaw for flaw in hide.flaws if flaw.kind == "scar"]
    left, bottom, right, top = scar.outline.bounds
    assert (left, right) == pytest.approx((485, 515), abs=0.1)
    assert (bottom, top) == pytest.approx((360, 400), abs=0.1)
    assert (scar.state, scar.confidence) == (FlawState.PROPOSED, 0.91)


def test_a_flaw_deleted_in_the_drawing_is_gone(tmp_path: Path) -> None:
    def change(root: Root) -> None:
        found(root, "proposed").remove(found(root, "flaw-1"))

    assert sorted(flaw.number for flaw in edited(tmp_path, change).flaws) == [0, 2, 3]


def test_a_proposal_moved_to_the_layer_of_flaws_is_confirmed(tmp_path: Path) -> None:
    def change(root: Root) -> None:
        found(root, "flaws").append(found(root, "flaw-3"))

    states = {flaw.number: flaw.state for flaw in edited(tmp_path, change).flaws if flaw.number}
    assert states == {
        1: FlawState.PROPOSED,
        2: FlawState.PROPOSED,
        3: FlawState.CONFIRMED,
    }


@pytest.mark.parametrize(
    ("layer", "label", "kind", "spoil"),
    [
        ("flaws", "sun-fade", "sun-fade", Spoil.COSMETIC),
        ("flaws", None, "drawn", Spoil.UNUSABLE),
        ("flaws", "mole", "drawn", Spoil.UNUSABLE),
        ("not-seen", None, "not-seen", Spoil.UNUSABLE),
    ],
)
def test_a_line_added_to_a_layer_of_flaws_is_one(
    tmp_path: Path, layer: str, label: str | None, kind: str, spoil: Spoil
) -> None:
    def change(root: Root) -> None:
        added = etree.SubElement(found(root, layer), "{http://www.w3.org/2000/svg}circle")
        for key, value in {"id": "circle77", "cx": "300", "cy": "500", "r": "20"}.items():
            added.set(key, value)
        if label:
            added.set(LABEL, label)

    flaws = edited(tmp_path, change).flaws
    assert len(flaws) == 5
    (one,) = [flaw for flaw in flaws if abs(flaw.outline.centroid.y - 200) < 1]
    assert (one.kind, one.spoil, one.state) == (kind, spoil, FlawState.CONFIRMED)


def test_a_flaw_left_open_is_told_with_its_place(tmp_path: Path) -> None:
    def change(root: Root) -> None:
        found(root, "flaw-3").set("d", "M 700 300 L 720 320 L 690 340")

    with pytest.raises(InputError, match=r"line \d+, flaw\[3\].*\"flaw-3\".*is open"):
        edited(tmp_path, change)


def test_a_dropped_proposal_is_no_flaw_though_it_is_still_drawn(tmp_path: Path) -> None:
    path = written(tmp_path, sample(tmp_path))
    text = path.read_text()
    path.write_text(text.replace('"proposed"', '"dropped"', 1))
    assert sorted(flaw.number for flaw in read_hide(path).flaws) == [0, 2, 3]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (('drawing = "side-09.svg"\n', ""), "no drawing is named"),
        (('backbone = "backbone"', 'backbone = "backbone"\nbackbone_deg = 3'), "in two ways"),
        (('backbone = "backbone"', 'backbone = "outline"'), "2 separate lines"),
        (('backbone = "backbone"', 'backbone = "flaw-1"'), "ends where it begins"),
    ],
)
def test_a_map_that_contradicts_itself_is_refused(
    tmp_path: Path, change: tuple[str, str], told: str
) -> None:
    path = written(tmp_path, sample(tmp_path))
    path.write_text(path.read_text().replace(*change))
    with pytest.raises(InputError, match=told):
        read_hide(path)

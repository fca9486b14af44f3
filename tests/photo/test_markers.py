"""Marker pages: the published tags, found where they are; several photographs joined by them."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from estimator.errors import InputError
from estimator.photo.base.picture import Picture
from estimator.photo.camera.fitting import fit_view
from estimator.photo.camera.joining import join_views
from estimator.photo.camera.marker_page import (
    FAMILY_SIZE,
    PAGES,
    TAGS_PER_PAGE,
    page_of_tag,
    tag_corners_mm,
    tags_of_page,
)
from estimator.photo.scale.markers import find_pages, tag_cells
from tests.photo.cameras import Chance, camera_view, leather_grid, picture, seen_page
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, hide_scene

TRUE = Chance(focal_share=0.0, centre_px=0.0, k1=0.0)

PUBLISHED_36H11 = (
    (0, 0xD5D628584),
    (1, 0xD97F18B49),
    (2, 0xDD280910E),
    (3, 0xE479E9C98),
    (4, 0xEBCBCA822),
    (5, 0xF31DAB3AC),
    (6, 0x056A5D085),
    (7, 0x10652E1D4),
    (8, 0x22B1DFEAD),
    (9, 0x265AD0472),
    (10, 0x34FE91B86),
    (11, 0x3FF962CD5),
)
"""The first codes of the family as its authors published them: 36 cells row by row from the upper
left, the first in the highest bit, ones white."""


@lru_cache(maxsize=2)
def scene(pages: int = 2, megapixels: float = 3.0) -> Scene:
    return hide_scene(SceneSpec(seed=4, sheets=(), pages=pages, megapixels=megapixels))


@pytest.mark.external
@pytest.mark.parametrize(("tag", "code"), PUBLISHED_36H11)
def test_tags_are_those_of_the_published_family(tag: int, code: int) -> None:
    """E. Olson, AprilTag, ICRA 2011; upside down, as the library that reads them has it."""
    white = np.array([(code >> (35 - place)) & 1 for place in range(36)], dtype=bool).reshape(6, 6)
    cells = tag_cells(tag)
    assert (~cells[1:7, 1:7] == white[::-1, ::-1]).all()
    frame = np.concatenate([cells[0], cells[-1], cells[:, 0], cells[:, -1]])
    assert frame.all()


@pytest.mark.external
def test_tags_of_the_family_differ_in_eleven_cells_however_turned() -> None:
    """The 11 in the family's name: the least distance of any two of its codes, in any turn."""
    codes = np.array([tag_cells(tag)[1:7, 1:7] for tag in range(0, FAMILY_SIZE, 7)])
    flat = codes.reshape(len(codes), -1)
    for turn in range(4):
        turned = np.rot90(codes, turn, axes=(1, 2)).reshape(len(codes), -1)
        apart = (flat[:, None] != turned[None]).sum(axis=2)
        if turn == 0:
            np.fill_diagonal(apart, 36)
        assert apart.min() >= 11


def test_no_tag_is_on_two_pages() -> None:
    tags = [tag for page in range(1, PAGES + 1) for tag in tags_of_page(page)]
    assert len(set(tags)) == PAGES * TAGS_PER_PAGE
    assert all(page_of_tag(tag) == 1 + tag // TAGS_PER_PAGE for tag in tags)
    assert page_of_tag(FAMILY_SIZE - 1) is None
    assert page_of_tag(-1) is None
    for page in (0, PAGES + 1):
        with pytest.raises(ValueError, match="there are pages"):
            tags_of_page(page)
    with pytest.raises(ValueError, match="codes 0 to"):
        tag_cells(FAMILY_SIZE)


def test_tags_leave_the_margin_of_a_printer_on_both_papers() -> None:
    corners = np.concatenate([tag_corners_mm(tag) for tag in tags_of_page(1)])
    reach = np.abs(corners).max(axis=0)
    for paper in ((297.0, 210.0), (279.4, 215.9)):
        assert (np.array(paper) / 2 - reach > 10.0).all()


def test_tags_are_found_to_a_tenth_of_a_pixel() -> None:
    made = scene()
    pages = find_pages(made.picture)
    assert [page.page for page in pages] == [1, 2]
    true = {tag: ring for page in made.pages for tag, ring in page.tags_px.items()}
    for page in pages:
        assert len(page.tags) == TAGS_PER_PAGE
        rings = page.corners_px.reshape(-1, 4, 2)
        off = [
            np.linalg.norm(ring - true[tag], axis=1)
            for tag, ring in zip(page.tags, rings, strict=True)
        ]
        assert float(np.mean(off)) < 0.1
        assert float(np.max(off)) < 0.4


def test_two_pages_hold_a_hide_to_a_millimetre() -> None:
    made = scene()
    fitted = fit_view(made.picture, pages=find_pages(made.picture))
    true = np.asarray(made.outline.exterior.coords)[:-1]
    there = made.pages[0].laid.there(fitted.view.to_plane(made.view.to_picture(true)))
    assert np.percentile(np.linalg.norm(there - true, axis=1), 95) < 1.5


def test_a_picture_without_pages_has_none() -> None:
    made = scene()
    blank = replace(made.picture, pixels=np.full_like(made.pixels, 90))
    assert find_pages(blank) == ()


def test_a_page_mostly_hidden_is_refused_alone_and_passed_over_beside_another() -> None:
    made = scene()
    hidden = made.pixels.copy()
    for tag in tags_of_page(1)[:4]:
        ring = made.pages[0].tags_px[tag]
        (left, top), (right, low) = ring.min(axis=0).astype(int), ring.max(axis=0).astype(int) + 1
        hidden[top:low, left:right] = 120
    assert [page.page for page in find_pages(replace(made.picture, pixels=hidden))] == [2]
    for ring in made.pages[1].tags_px.values():
        (left, top), (right, low) = ring.min(axis=0).astype(int), ring.max(axis=0).astype(int) + 1
        hidden[top:low, left:right] = 120
    with pytest.raises(InputError, match="only 2 of 6 tags"):
        find_pages(replace(made.picture, pixels=hidden))


def test_one_page_twice_is_refused() -> None:
    made = scene()
    twice = np.hstack([made.pixels, made.pixels])
    with pytest.raises(InputError, match="seen twice"):
        find_pages(Picture(pixels=twice, source=made.picture.source, shrunk=1.0))


POSES = {
    1: (0.0, 0.0, 0.0),
    2: (0.3, 500.0, 80.0),
    3: (-1.0, 1000.0, -40.0),
    4: (2.0, 1500.0, 30.0),
}


def test_three_photos_are_joined_along_the_pages_they_share() -> None:
    random = np.random.default_rng(0)
    shown = [(1, 2), (2, 3), (3, 4)]
    views = [camera_view(random, TRUE, aim_mm=(250.0 + 500.0 * place, 0.0)) for place in range(3)]
    found = [
        [seen_page(random, view, page, POSES[page]) for page in pages]
        for view, pages in zip(views, shown, strict=True)
    ]
    pictures = [picture(f"{place}.jpg") for place in range(3)]
    joined = join_views(pictures, found)
    assert joined.pages == (1, 2, 3, 4)
    assert joined.pages_mm[3] == pytest.approx(POSES[4], abs=3.0)
    assert joined.residual_px < 0.1
    assert 0.0 < joined.apart_mm < 0.5
    for place, (fitted, view) in enumerate(zip(joined.views, views, strict=True)):
        grid = leather_grid(view) * 0.6 + (250.0 + 500.0 * place, 0.0)
        off = np.linalg.norm(fitted.view.to_plane(view.to_picture(grid)) - grid, axis=1)
        assert (off <= fitted.error.at_mm(grid) * 1.5).all()
    far = np.array([[1250.0, 0.0]])
    near = np.array([[250.0, 0.0]])
    assert joined.views[2].error.at_mm(far)[0] > joined.views[0].error.at_mm(near)[0]


def test_photos_without_a_chain_of_pages_are_refused_by_name() -> None:
    random = np.random.default_rng(1)
    view = camera_view(random, TRUE)
    found = [[seen_page(random, view, 1)], [seen_page(random, view, 2)], []]
    pictures = [picture("a.jpg"), picture("b.jpg"), picture("c.jpg")]
    with pytest.raises(InputError) as caught:
        join_views(pictures, found)
    assert [fault.file for fault in caught.value.faults] == ["c.jpg"]
    with pytest.raises(InputError) as caught:
        join_views(pictures[:2], found[:2])
    assert [fault.file for fault in caught.value.faults] == ["b.jpg"]
    assert "shares no marker page" in caught.value.faults[0].problem


def test_a_page_that_was_moved_between_photos_is_refused() -> None:
    random = np.random.default_rng(2)
    views = [camera_view(random, TRUE, aim_mm=(250.0, 0.0)) for _ in range(2)]
    found = [
        [seen_page(random, views[0], 1), seen_page(random, views[0], 2, POSES[2])],
        [seen_page(random, views[1], 1), seen_page(random, views[1], 2, (0.3, 520.0, 80.0))],
    ]
    with pytest.raises(InputError, match="moved"):
        join_views([picture("a.jpg"), picture("b.jpg")], found)


def test_pictures_and_lists_of_pages_belong_together() -> None:
    with pytest.raises(ValueError, match="1 pictures and 0 lists"):
        join_views([picture()], [])

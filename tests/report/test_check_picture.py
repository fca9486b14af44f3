"""The picture of findings: every part, every place circled and numbered, every word of the list."""

import pytest
from lxml import etree
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.patches import Circle
from shapely import LineString, box

from estimator.errors import Level, Place
from estimator.pattern.parts import Pattern
from estimator.report.page.fonts import fonts_for
from estimator.report.page.picture_files import png, svg
from estimator.report.pictures.pattern_checks import (
    BADGE_MM,
    COLOURS,
    LINE_LETTERS,
    PAGE_HEIGHT,
    RING_MM,
    draw_checks,
)
from estimator.report.text.findings import Notice
from tests import shop

FONTS = fonts_for(["plain"])


def made(*names: str) -> Pattern:
    parts = [shop.part(name, box(0, 0, 100, 40)) for name in names or ("body", "welt")]
    seam = shop.seam("edge", LineString([(4, 4), (96, 4)]), (parts[0].name,))
    return shop.pattern(*parts, seams=(seam,), name="slip")


def check(level: Level, *places: Place, message: str = "slip: something") -> Notice:
    return Notice(level=level, code="some-code", message=message, remedy="do better", places=places)


def circles(figure: Figure, radius_mm: float) -> list[Circle]:
    (axes,) = figure.axes
    return [
        patch
        for patch in axes.patches
        if isinstance(patch, Circle) and patch.get_radius() == radius_mm
    ]


def texts(figure: Figure) -> list[str]:
    return [text.get_text() for text in figure.axes[0].texts]


STOP = check(Level.STOP, Place(part="body", points=((50.0, 20.0),)))
WARNING = check(
    Level.WARNING, Place(part="welt", points=((10.0, 10.0), (90.0, 30.0))), message="slip: other"
)


def test_each_place_is_circled_in_the_colour_and_weight_of_its_level() -> None:
    figure = draw_checks(made(), [STOP, WARNING], FONTS)
    rings = circles(figure, RING_MM)
    assert len(rings) == 3
    colours = sorted(to_hex(ring.get_edgecolor()) for ring in rings)
    assert colours == sorted([COLOURS[Level.STOP].lower(), *[COLOURS[Level.WARNING].lower()] * 2])
    widths = {to_hex(ring.get_edgecolor()): ring.get_linewidth() for ring in rings}
    assert widths[COLOURS[Level.STOP].lower()] > widths[COLOURS[Level.WARNING].lower()]


def test_a_circle_lies_where_the_part_is_drawn() -> None:
    figure = draw_checks(made("body"), [STOP], FONTS)
    (axes,) = figure.axes
    (ring,) = circles(figure, RING_MM)
    left, low, right, high = (
        bound
        for patch in axes.patches
        if not isinstance(patch, Circle)
        for bound in patch.get_path().get_extents().extents
    )
    assert ring.center == pytest.approx(((left + right) / 2, (low + high) / 2))


def test_every_number_stands_in_the_list_and_at_its_places() -> None:
    told = texts(draw_checks(made(), [STOP, WARNING], FONTS))
    assert told.count("1") == 2
    assert told.count("2") == 3
    assert "slip: 1 stop, 1 warning" in told
    assert "stop some-code: something" in told
    assert "   do better" in told
    assert {"body", "welt"} <= set(told)


def test_numbers_at_one_place_do_not_cover_each_other() -> None:
    many = [check(Level.NOTE, Place(part="body", points=((50.0, 20.0 + k / 10),)), message=str(k))
            for k in range(8)]  # fmt: skip
    figure = draw_checks(made(), many, FONTS)
    badges = circles(figure, BADGE_MM)
    assert len(badges) == 16
    centres = [complex(*badge.center) for badge in badges]
    gaps = [abs(a - b) for k, a in enumerate(centres) for b in centres[:k]]
    assert min(gaps) > 1.7 * BADGE_MM


def test_a_finding_without_a_place_is_listed_and_says_so() -> None:
    told = " ".join(texts(draw_checks(made(), [check(Level.NOTE)], FONTS)))
    assert "(no one place)" in told


def test_a_place_on_a_part_that_is_not_there_is_not_drawn() -> None:
    elsewhere = check(Level.NOTE, Place(part="nowhere", points=((1.0, 1.0),)))
    assert circles(draw_checks(made(), [elsewhere], FONTS), RING_MM) == []


def test_a_sound_pattern_is_drawn_and_says_so() -> None:
    figure = draw_checks(made(), [], FONTS)
    assert "slip: nothing found" in texts(figure)
    assert circles(figure, RING_MM) == []


def test_a_long_list_makes_the_page_higher_and_stays_on_it() -> None:
    many = [check(Level.WARNING, message=f"slip: finding {k} " + "word " * 40) for k in range(30)]
    figure = draw_checks(made(), many, FONTS)
    assert figure.get_figheight() * 25.4 > PAGE_HEIGHT
    lowest = min(text.get_position()[1] for text in figure.axes[0].texts)
    assert lowest > 0.0
    assert all(len(told) <= LINE_LETTERS + 4 for told in texts(figure))


def test_words_without_end_and_wide_letters_are_broken() -> None:
    fonts = fonts_for(["革" * 100])
    long = check(Level.WARNING, message="x" * 200 + " " + "革" * 100)
    told = texts(draw_checks(made(), [long], fonts))
    assert max(len(line) for line in told) <= LINE_LETTERS + 4
    assert sum(line.count("x") for line in told) == 200


def test_both_forms_are_written_the_same_each_time() -> None:
    def once() -> tuple[bytes, bytes]:
        figure = draw_checks(made("a <b> & c $x$"), [STOP], FONTS)
        return svg(figure, FONTS), png(figure, FONTS)

    drawn, shot = once()
    assert (drawn, shot) == once()
    assert shot.startswith(b"\x89PNG")
    told = "".join(map(str, etree.fromstring(drawn).itertext()))
    assert "slip: 1 stop" in told
    assert "something" in told

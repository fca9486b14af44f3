"""Kinds of flaws by name, and how far each spoils the leather if the maker says no more.

Vocabulary: *Bookbinding and the Conservation of Books*, entry "leather defects"
(cool.conservation-us.org/don/dt/dt2025.html), and trade glossaries. The degree is common
practice, no source: a healed mark is ugly, an open one is a hole, a loose fibre stretches.
A maker may always state ``spoil`` instead.
"""

from collections.abc import Mapping

from estimator.quality import Spoil

NOT_SEEN = "not-seen"
"""Leather that a photograph does not show, such as that under a sheet of paper."""

SPOIL_OF_KIND: Mapping[str, Spoil] = {
    # during life
    "scar": Spoil.UNUSABLE,
    "healed-scar": Spoil.COSMETIC,
    "scratch": Spoil.COSMETIC,
    "wire-scratch": Spoil.COSMETIC,
    "brand": Spoil.UNUSABLE,
    "tick-marks": Spoil.COSMETIC,
    "insect-bite": Spoil.COSMETIC,
    "warble-hole": Spoil.UNUSABLE,
    "warble-scar": Spoil.COSMETIC,
    "mange": Spoil.COSMETIC,
    "ringworm": Spoil.COSMETIC,
    "growth-mark": Spoil.COSMETIC,
    "fat-wrinkle": Spoil.COSMETIC,
    "wrinkle": Spoil.COSMETIC,
    "vein": Spoil.COSMETIC,
    "stretch-mark": Spoil.COSMETIC,
    # at flaying and after
    "hole": Spoil.UNUSABLE,
    "cut": Spoil.UNUSABLE,
    "flay-cut": Spoil.UNUSABLE,
    "gouge": Spoil.UNUSABLE,
    "putrefaction": Spoil.UNUSABLE,
    "lime-damage": Spoil.WEAK,
    "salt-stain": Spoil.COSMETIC,
    "hair-slip": Spoil.COSMETIC,
    # in tanning and store
    "clamp-mark": Spoil.COSMETIC,
    "toggle-mark": Spoil.COSMETIC,
    "crease": Spoil.COSMETIC,
    "sun-fade": Spoil.COSMETIC,
    "stain": Spoil.COSMETIC,
    "uneven-colour": Spoil.COSMETIC,
    "loose-grain": Spoil.WEAK,
    "loose-belly": Spoil.WEAK,
    "loose-flank": Spoil.WEAK,
    # not a flaw, but as good as one until somebody has looked
    NOT_SEEN: Spoil.UNUSABLE,
}

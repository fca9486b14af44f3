"""A blade file from a photograph of a knife on a sheet of paper."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any

from estimator.desk.choices import read_choices
from estimator.desk.targets import Outcome, write
from estimator.errors import Fault, InputError, raise_faults
from estimator.measures import parse_length_mm, parse_thickness_mm
from estimator.pattern.blade_file.writer import blade_text
from estimator.pattern.blades import LONGEST_MM
from estimator.pattern.parts import Hand
from estimator.photo.blade.axis import Side
from estimator.photo.blade.measure import FoundBlade, KnifeFacts, blade_in_photo
from estimator.photo.camera.sheet_sizes import sheet_size
from estimator.report.page.fonts import fonts_for
from estimator.report.page.picture_files import png
from estimator.report.photos.blade import draw_blade
from estimator.units import Units

BLADE_KEYS = ("spine_thickness", "bevel", "handle_thickness")
"""What the table ``[blade]`` takes as it was typed."""

LENGTHS = (*BLADE_KEYS, "handle_at", "belt_width")
"""Lengths above zero."""

PICTURE = "-check.png"
"""Behind the blade file's name."""


def measure_blade(
    photo: Path,
    choices: Mapping[str, str | None],
    *,
    sheet: str = "a4",
    handle_overhangs: bool = False,
    out: Path | None = None,
    force: bool = False,
    units: Units = Units.METRIC,
) -> Outcome[FoundBlade]:
    """Make a blade file and a picture of what was found in a photograph: both, or neither.

    Parameters
    ----------
    photo : Path
        Of a knife that lies flat on a sheet of white paper.
    choices : mapping of str to str or None
        What the maker says of the knife and its sheath, as text: ``edge``, ``spine_thickness``
        and ``leather``, which cannot be seen; ``tip``, ``handle_at``, ``handle_thickness``,
        ``lift``, ``bevel``, ``handle_covered``, ``belt_width`` and ``name``, or None;
        ``construction`` and ``hand``.
    sheet : str
        Size of the paper: ``a4``, ``letter`` or width by height.
    handle_overhangs : bool
        Whether the handle may reach over the sheet.
    out : Path or None
        The blade file; by default beside the photograph.
    force : bool
        Whether files that are there are moved aside.
    units : Units
        On the picture.

    Returns
    -------
    Outcome of FoundBlade
        The knife; its files are the blade file and the picture.

    Raises
    ------
    InputError
        If the photograph or a choice cannot be used.
    """
    mm = _lengths_mm(choices)
    target = out or photo.with_name(f"{photo.stem}-blade.toml")
    drawn = target.with_name(f"{target.stem}{PICTURE}")
    raise_faults(
        [
            Fault(
                problem="is there already",
                remedy="name another file with --out, or move it aside with --force",
                file=str(each),
            )
            for each in (target, drawn)
            if each.exists() and not force
        ]
    )
    size = sheet_size(sheet)
    facts = KnifeFacts(
        edge=Side(str(choices["edge"])),
        spine_mm=mm["spine_thickness"],
        tip=None if choices["tip"] is None else Side(str(choices["tip"])),
        handle_at_mm=mm.get("handle_at"),
        handle_mm=mm.get("handle_thickness"),
        lift_mm=mm.get("lift"),
        may_overhang=handle_overhangs,
    )
    picture, found = blade_in_photo(photo, size, facts)
    covered_mm, seen_mm = mm.get("handle_covered", 0.0), -found.outline.bounds[0]
    if covered_mm > max(seen_mm, 0.0):
        raise InputError(
            Fault(
                problem=f"{covered_mm:g} mm of the handle are covered, and {seen_mm:.1f} mm seen",
                remedy="cover less, or let more of the handle lie on the sheet",
                key=("handle_covered",),
            )
        )
    name = choices["name"] or photo.stem
    text = blade_text(
        found.outline,
        name=name,
        hand=Hand(str(choices["hand"])),
        blade={"length": f"{found.length_mm:.2f} mm", **_given_values(choices, *BLADE_KEYS)},
        draft=_draft_values(choices),
        comment=_comment(photo, target, found.length_error_mm, found.width_error_mm),
    )
    fonts = fonts_for([name])
    image = png(draw_blade(found, picture, size, fonts=fonts, units=units, title=name), fonts)
    return write(found, {drawn: image, target: text})


def _lengths_mm(choices: Mapping[str, str | None]) -> dict[str, float]:
    """Read what was typed, mm, and tell all that is missing or cannot be read at once."""
    faults = [
        Fault(problem=f"{what} cannot be seen in a photo", remedy=f"add {example}", key=(key,))
        for key, what, example in (
            ("edge", "which side of the blade is its edge", "--edge left, right, up or down"),
            ("spine_thickness", "the thickness of the blade", "--spine-thickness '2.5 mm'"),
            ("leather", "the thickness of the leather", "--leather '3-3.5 mm'"),
        )
        if choices[key] is None
    ]
    covered_mm = partial(_covered_mm, is_thickness_known=choices["handle_thickness"] is not None)
    return read_choices(
        *faults,
        leather=(parse_thickness_mm, choices["leather"]),
        lift=(partial(_length_mm, is_open=False), choices["lift"]),
        handle_covered=(covered_mm, choices["handle_covered"]),
        **{key: (_length_mm, choices[key]) for key in LENGTHS},
    )


def _covered_mm(text: str, *, is_thickness_known: bool) -> float:
    """How much of the handle goes in, mm; its thickness must be known then."""
    mm = _length_mm(text, is_open=False)
    if mm and not is_thickness_known:
        raise InputError(
            Fault(
                problem="the handle is covered, and its thickness cannot be seen in a photo",
                remedy="add --handle-thickness",
            )
        )
    return mm


def _length_mm(text: str, *, is_open: bool = True) -> float:
    """A length that a knife may have, mm; above zero where that end is open."""
    mm = parse_length_mm(text)
    if not 0.0 <= mm <= LONGEST_MM or (is_open and mm == 0.0):
        raise InputError(
            Fault(
                problem=f"{text} is no such length",
                remedy=f"write what you measure, at most {LONGEST_MM:g} mm",
            )
        )
    return mm


def _given_values(choices: Mapping[str, str | None], *keys: str) -> dict[str, Any]:
    return {key: choices[key] for key in keys if choices[key] is not None}


def _draft_values(choices: Mapping[str, str | None]) -> dict[str, Any]:
    values = _given_values(choices, "construction", "leather", "handle_covered")
    loop = _given_values(choices, "belt_width")
    return values | ({"belt_loop": loop} if loop else {})


def _comment(photo: Path, target: Path, length_mm: float, width_mm: float) -> str:
    name, file = (
        "".join(c if c.isprintable() else "?" for c in path.name) for path in (photo, target)
    )
    return (
        f"Measured in the photograph {name} by estimator blade photo: its length within\n"
        f"{length_mm:.1f} mm, widths within {width_mm:.1f} mm, 95 of 100. "
        "The tip points right, the edge down.\n"
        f"estimator pattern draft {file}"
    )

"""Write the corpus of drawings and what is known of each: ``python tests/drawing/corpus/make.py``.

The files are committed; a test tells if they are no longer what this writes.
"""

import sys
from pathlib import Path

FOLDER = Path(__file__).parent
sys.path.insert(0, str(FOLDER.parents[2]))

# a script finds the tests only once their folder is on the path
from tests.drawing.corpus.case import Case  # noqa: E402
from tests.drawing.corpus.make_dxf import dxf_cases  # noqa: E402
from tests.drawing.corpus.make_svg import svg_cases  # noqa: E402


def cases() -> tuple[Case, ...]:
    """Give all cases, SVG first."""
    return (*svg_cases(), *dxf_cases())


def expected_toml() -> str:
    """Write what is known as TOML, formulas as text."""
    lines = [
        "# What is known of each drawing beside this file; written by make.py.",
        "# Formulas in mm and mm2: ellipse(a, b) is the girth of an ellipse from its half axes,",
        "# parabola(chord, rise) the length of its arc.",
    ]
    for case in cases():
        lines += ["", "[[drawing]]", f'file = "{case.file}"', f'about = "{case.about}"']
        lines += [f'unit = "{case.unit}"'] if case.unit else []
        for part in case.parts:
            lines += ["", "[[drawing.part]]"]
            lines += [f'name = "{part.name}"'] if part.name else []
            lines += [f'area_mm2 = "{part.area}"', f'perimeter_mm = "{part.perimeter}"']
            lines += [f"holes = {part.holes}"]
    return "\n".join([*lines, ""])


def main() -> None:
    """Write all files."""
    for case in cases():
        (FOLDER / case.file).write_bytes(case.content)
    (FOLDER / "expected.toml").write_text(expected_toml(), "utf-8")


if __name__ == "__main__":
    main()

"""Texts whose figures carry metric units, as readers of inches, feet and ounces want them."""

import re
from collections.abc import Collection, Iterable
from re import Match

from estimator.report.text.wording import plain_number
from estimator.units import G_PER_OUNCE, ML_PER_FLUID_OUNCE, MM2_PER_SQUARE_FOOT, MM_PER_INCH, Units
from estimator.workshop.order.records import Order

_INCH = float(MM_PER_INCH)
_SQUARE_FOOT = float(MM2_PER_SQUARE_FOOT)
IMPERIAL: dict[str, tuple[float, str]] = {
    "mm": (1 / _INCH, "in"),
    "cm": (10 / _INCH, "in"),
    "m": (1000 / _INCH / 12, "ft"),
    "mm2": (1 / _INCH**2, "sq in"),
    "cm2": (100 / _INCH**2, "sq in"),
    "dm2": (10_000 / _SQUARE_FOOT, "sq ft"),
    "m2": (1_000_000 / _SQUARE_FOOT, "sq ft"),
    "ml": (1 / float(ML_PER_FLUID_OUNCE), "fl oz"),
    "l": (1000 / float(ML_PER_FLUID_OUNCE), "fl oz"),
    "g": (1 / float(G_PER_OUNCE), "oz"),
}
"""Factor and name of what is read for each metric unit; the factors are exact by definition."""

_NUMBER = r"\d[\d,]*(?:\.\d+)?"
_NAME = r"(?:\x00\d+\x00 )?"
_UNIT = r"(?:mm2|cm2|dm2|m2|mm|cm|ml|m|l|g)"


def _sharing(signs: str) -> re.Pattern[str]:
    """Numbers that share the unit behind them, joined by such signs or by words."""
    joined = rf"(?:(?:\s*[{signs}]\s*|\s+(?:to|and|or|of)\s+|,\s+){_NAME}{_NUMBER})"
    return re.compile(
        rf"(?P<numbers>(?<![\w.\x00]){_NUMBER}{joined}*)(?P<close>\)?)\s(?P<unit>{_UNIT})"
        rf"(?:(?P<per> per |/)(?P<below>{_UNIT}))?(?![\w\x00])"
    )


FINDINGS = _sharing("+=x×/-")
"""In a sentence a sign joins sizes: ``3 to 3.5 mm``, ``40 x 4 mm``, ``3.25 + 3.25 = 6.5 mm``."""
FORMULAS = _sharing("+-")
"""In a formula a product or quotient has one factor with this unit: ``2 x 150 mm``."""
RATE = re.compile(
    rf"(?P<number>(?<![\w.]){_NUMBER})(?P<middle>(?: to {_NUMBER})? [^\W\d]+)"
    rf"(?P<per> per |/)(?P<below>{_UNIT})(?![\w\x00])"
)
"""So much time or money for each unit: ``35 min/m2``, ``€1.21/dm2`` is printed elsewhere."""


def in_units(
    text: str, units: Units, names: Collection[str] = (), *, is_formula: bool = False
) -> str:
    """Write the figures of a text in the units a reader wants.

    Parameters
    ----------
    text : str
        With metric figures, each with its unit behind it.
    units : Units
        What the reader wants; metric leaves the text as it is.
    names : collection of str
        Names given by the maker, which stay as they are.
    is_formula : bool
        Whether the text is the basis of a figure, where ``x`` multiplies; else it stands
        between the sides of something.

    Returns
    -------
    str
        Each figure to three digits, lengths in inches or feet.

    Examples
    --------
    >>> in_units("body 3.25 + welt 3.25 = 6.50 mm, over 8.5 mm", Units.IMPERIAL, ("body", "welt"))
    'body 0.128 + welt 0.128 = 0.256 in, over 0.335 in'
    >>> in_units("2.5 m2 x 35 min/m2", Units.IMPERIAL, is_formula=True)
    '26.9 sq ft x 3.25 min/sq ft'
    >>> in_units("the 40 mm strap is 12 mm wide", Units.IMPERIAL, ("40 mm strap",))
    'the 40 mm strap is 0.472 in wide'
    """
    if units is Units.METRIC:
        return text
    masked, kept = _masked(text, names)
    pattern = FORMULAS if is_formula else FINDINGS
    told = pattern.sub(_figures, RATE.sub(_rate, masked))
    return re.sub(r"\x00(\d+)\x00", lambda found: kept[int(found.group(1))], told)


def names_in(order: Order) -> frozenset[str]:
    """Give the names in an order that no conversion may touch.

    Parameters
    ----------
    order : Order
        With its patterns, hides and prices.

    Returns
    -------
    frozenset of str
        Names of lines, parts, seams, items and hides.
    """
    names: set[str] = {rate.item for rate in order.prices.rates}
    names |= {hide.tag for hide in order.hides}
    for line in order.lines:
        pattern = line.pattern
        names |= {line.key, pattern.name}
        names |= {part.name for part in pattern.parts}
        for seam in pattern.seams:
            names |= {seam.name, seam.thread}
        names |= {piece.item for piece in pattern.hardware}
    return frozenset(names)


def _masked(text: str, names: Iterable[str]) -> tuple[str, list[str]]:
    """The text with names replaced by marks, and what each mark stands for."""
    kept: list[str] = []
    wanted = sorted(
        {name for name in names if any(letter.isalpha() for letter in name)},
        key=lambda name: (-len(name), name),
    )
    if not wanted:
        return text, kept

    def mark(found: Match[str]) -> str:
        kept.append(found.group())
        return f"\x00{len(kept) - 1}\x00"

    either = "|".join(re.escape(name) for name in wanted)
    return re.sub(rf"(?<!\w)(?:{either})(?!\w)", mark, text.replace("\x00", "")), kept


def _figures(found: Match[str]) -> str:
    """Numbers with their unit, converted."""
    factor, name = IMPERIAL[found["unit"]]
    below = ""
    if found["below"]:
        less, small = IMPERIAL[found["below"]]
        factor /= less
        below = f"{found['per']}{small}"
    numbers = _converted(found["numbers"], factor)
    return f"{numbers}{found['close']} {name}{below}"


def _rate(found: Match[str]) -> str:
    """A rate of something that has no metric unit itself."""
    unit = found["middle"].split()[-1]
    if unit in IMPERIAL:
        return found.group()
    less, small = IMPERIAL[found["below"]]
    numbers = _converted(f"{found['number']}{found['middle']}", 1 / less)
    return f"{numbers}{found['per']}{small}"


def _converted(numbers: str, factor: float) -> str:
    """Each number times a factor; marks of names stay."""

    def one(found: Match[str]) -> str:
        if found.group("mark"):
            return found.group()
        return plain_number(float(found.group().replace(",", "")) * factor)

    return re.sub(rf"(?P<mark>\x00\d+\x00)|{_NUMBER}", one, numbers)

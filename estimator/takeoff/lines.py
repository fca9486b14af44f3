"""What is to be made: so many sheaths of one pattern, and the thickness of their leather."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from estimator.hide.hides import Tannage
from estimator.pattern.parts import Part, Pattern, Seam
from estimator.pattern.seating import stack_mm

Thickness = Mapping[tuple[str, str], float]
"""Thickness of the leather a part is cut from, mm, by line key and part name."""

Tannages = Mapping[tuple[str, str], Tannage]
"""Tannage of the leather a part is cut from, by line key and part name; vegetable if unknown."""

ALL_VEGETABLE: Tannages = MappingProxyType({})
"""Where nothing is known of the leather yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineToMake:
    """So many sheaths of one pattern.

    Parameters
    ----------
    key : str
        Unique in the order.
    pattern : Pattern
        What is made.
    quantity : int
        Sheaths, one or more.
    """

    key: str
    pattern: Pattern
    quantity: int

    def __post_init__(self) -> None:
        if self.quantity < 1:
            raise ValueError(f"line {self.key}: quantity {self.quantity} is below 1")


def part_thickness_mm(line: LineToMake, part: Part, thickness_mm: Thickness) -> float:
    """Thickness of one part, mm.

    Where nothing is known of the leather yet (the part does not fit), the
    middle of the range the part asks for stands in.
    """
    middle = (part.thickness_min_mm + part.thickness_max_mm) / 2
    return thickness_mm.get((line.key, part.name), middle)


def seam_stack_mm(line: LineToMake, seam: Seam, thickness_mm: Thickness) -> float:
    """Leather sewn through at a seam of a line, mm."""
    layers = {
        name: part_thickness_mm(line, line.pattern.part(name), thickness_mm) for name in seam.layers
    }
    return stack_mm(seam, layers)

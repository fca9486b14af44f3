"""Strokes drawn one by one, joined where their ends meet."""

from collections import defaultdict
from collections.abc import Sequence
from itertools import product

from estimator.drawing.curves import Span
from estimator.geometry.shapes import EPSILON_MM

Stroke = list[Span]
"""Spans, each beginning where the last one ended; never empty."""


def joined(strokes: Sequence[Stroke]) -> list[tuple[Stroke, bool]]:
    """Join open strokes whose ends meet, two at a place.

    Where three or more ends meet nothing is joined, since the way on is not known.

    Parameters
    ----------
    strokes : sequence of Stroke
        In drawing order, any direction.

    Returns
    -------
    list of (Stroke, bool)
        Each with whether it is closed, in drawing order.
    """
    net = _Net(strokes)
    result: list[tuple[Stroke, bool]] = []
    for k, (first, last) in enumerate(net.ends):
        if k in net.used:
            continue
        net.used.add(k)
        ahead, stop = net.onward(last, home=first)
        behind, start = net.onward(first, home=stop)
        result.append(([*_reversed(behind), *strokes[k], *ahead], start == stop))
    return result


class _Net:
    """Strokes, the places where they end, and which were used already."""

    def __init__(self, strokes: Sequence[Stroke]) -> None:
        nodes = _Nodes()
        self.strokes = strokes
        self.ends = [
            (nodes.at(stroke[0].points[0]), nodes.at(stroke[-1].points[-1])) for stroke in strokes
        ]
        self.used: set[int] = set()
        self.meeting: dict[int, list[int]] = defaultdict(list)
        for k, (first, last) in enumerate(self.ends):
            if first != last:
                self.meeting[first].append(k)
                self.meeting[last].append(k)

    def onward(self, at: int, *, home: int) -> tuple[Stroke, int]:
        """Follow strokes from a place until the way ends, forks, or comes home."""
        way: Stroke = []
        while at != home and len(self.meeting[at]) == 2:
            following = [k for k in self.meeting[at] if k not in self.used]
            if not following:
                break
            k = following[0]
            self.used.add(k)
            first, last = self.ends[k]
            way += self.strokes[k] if first == at else _reversed(self.strokes[k])
            at = last if first == at else first
        return way, at


class _Nodes:
    """Places where strokes end; places nearer than ``EPSILON_MM`` are one."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[tuple[complex, int]]] = defaultdict(list)
        self._count = 0

    def at(self, point: complex) -> int:
        """Give the number of the place at this point."""
        i, j = int(point.real // EPSILON_MM), int(point.imag // EPSILON_MM)
        for di, dj in product((-1, 0, 1), repeat=2):
            for known, number in self._cells.get((i + di, j + dj), ()):
                if abs(known - point) <= EPSILON_MM:
                    return number
        self._count += 1
        self._cells[i, j].append((point, self._count))
        return self._count


def _reversed(stroke: Stroke) -> Stroke:
    return [span.reversed() for span in reversed(stroke)]

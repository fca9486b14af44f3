"""Strokes drawn one by one, joined where their ends meet.

Ends within ``EPSILON_MM`` are one place. Strokes that go round and meet nothing
else on their way are an outline; what hangs on one, or leads from one to another,
is not part of it. Where three or more of the strokes that go round meet at one
place the outline cannot be told, and the drawing is refused. Then loose ends within
``JOIN_MM`` of just one other are joined by a straight stretch.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, product

from estimator.drawing.curves import Span, line
from estimator.geometry.shapes import EPSILON_MM

JOIN_MM = 0.1
"""Loose ends that near are meant to meet: a tenth of a pencil line (common practice, no source)."""
TOUCH_MM = 1e-9
GAP_MM = 0.001
"""A gap below this is closed by its corners alone, without a stretch of its own."""
ALIKE_DIGITS = 6

Stroke = list[Span]
"""Spans, each beginning where the last one ended; never empty."""


class ForkError(ValueError):
    """Outlines that cannot be told, since too many lines meet.

    Parameters
    ----------
    places : sequence of (complex, int)
        Where, mm, and how many ends meet there.
    """

    def __init__(self, places: Sequence[tuple[complex, int]]) -> None:
        self.places = tuple(places)
        super().__init__("lines fork")


def join_strokes(strokes: Sequence[Stroke]) -> list[tuple[Stroke, bool]]:
    """Join open strokes whose ends meet.

    Parameters
    ----------
    strokes : sequence of Stroke
        In drawing order, any direction.

    Returns
    -------
    list of (Stroke, bool)
        Each with whether it is closed, in drawing order; what is smaller than
        ``EPSILON_MM`` is left out.

    Raises
    ------
    ForkError
        If it cannot be told which way an outline goes on.
    """
    sized = [stroke for stroke in strokes if _is_sized(stroke)]
    exact = _chain_strokes(sized, _Nodes(EPSILON_MM), [])
    ends = [end for stroke, closed, _ in exact if not closed for end in _ends(stroke)]
    near = _pairs(ends, [_is_short(stroke) for stroke, closed, _ in exact if not closed])
    if not near:
        return [(stroke, closed) for stroke, closed, _ in exact]
    nodes = _Nodes(TOUCH_MM)
    for one, two in near:
        nodes.unite(ends[one], ends[two])
    loose = [(stroke, first) for stroke, closed, first in exact if not closed]
    whole = [each for each in exact if each[1]]
    bridged = _chain_strokes([stroke for stroke, _ in loose], nodes, [first for _, first in loose])
    return [
        (stroke, closed)
        for stroke, closed, _ in sorted([*whole, *bridged], key=lambda each: each[2])
    ]


def drop_doubles(strokes: Sequence[Stroke]) -> list[Stroke]:
    """Leave out strokes that lie wholly on an earlier one, whichever way they run.

    Parameters
    ----------
    strokes : sequence of Stroke
        In drawing order.

    Returns
    -------
    list of Stroke
        The first of each.
    """
    seen = set()
    result = []
    for stroke in strokes:
        there = tuple(
            (round(at.real, ALIKE_DIGITS), round(at.imag, ALIKE_DIGITS))
            for span in stroke
            for at in span.points
        )
        key = min(there, there[::-1])
        if key not in seen:
            seen.add(key)
            result.append(stroke)
    return result


def _chain_strokes(
    strokes: Sequence[Stroke], nodes: "_Nodes", order: Sequence[int]
) -> list[tuple[Stroke, bool, int]]:
    """Join strokes at common places; each with whether it is closed, and its first number."""
    net = _Net(strokes, nodes)
    net.refuse_forks()
    result: list[tuple[Stroke, bool, int]] = []
    for k, (first, last) in enumerate(net.ends):
        if k in net.used:
            continue
        net.used.add(k)
        ahead, stop = net.onward(k, last, home=first)
        behind, start = net.onward(k, first, home=stop)
        back = [[span.reversed() for span in reversed(stroke)] for stroke in reversed(behind)]
        closed = start == stop
        whole = _link_strokes([*back, strokes[k], *ahead], closed=closed)
        result.append((whole, closed, order[k] if order else k))
    return result


class _Net:
    """Strokes, the places where they end, and which were used already."""

    def __init__(self, strokes: Sequence[Stroke], nodes: "_Nodes") -> None:
        self.strokes = strokes
        self.ends = [(nodes.at(first), nodes.at(last)) for first, last in map(_ends, strokes)]
        self.used: set[int] = set()
        self.places: dict[int, complex] = {}
        self.meeting: dict[int, list[int]] = defaultdict(list)
        for k, (first, last) in enumerate(self.ends):
            self.places.setdefault(first, strokes[k][0].points[0])
            if first != last:
                self.meeting[first].append(k)
                self.meeting[last].append(k)
        self.bridges = _bridges(self.ends, self.meeting)

    def refuse_forks(self) -> None:
        """Refuse places where more than one way goes round."""
        forks = []
        for node, meeting in self.meeting.items():
            round_about = [k for k in meeting if k not in self.bridges]
            if len(round_about) > 2:
                forks.append((self._place(node), len(meeting)))
        if forks:
            raise ForkError(forks)

    def onward(self, start: int, at: int, *, home: int) -> tuple[list[Stroke], int]:
        """Follow strokes like this one from a place until they end, fork, or come home."""
        way: list[Stroke] = []
        is_bridge = start in self.bridges
        while at != home:
            meeting = self.meeting[at]
            if is_bridge and len(meeting) != 2:
                break
            following = [
                k for k in meeting if k not in self.used and (k in self.bridges) == is_bridge
            ]
            if len(following) != 1:
                break
            k = following[0]
            self.used.add(k)
            first, last = self.ends[k]
            stroke = self.strokes[k]
            way.append(stroke if first == at else [span.reversed() for span in reversed(stroke)])
            at = last if first == at else first
        return way, at

    def _place(self, node: int) -> complex:
        k = self.meeting[node][0]
        return _ends(self.strokes[k])[self.ends[k].index(node)]


def _bridges(ends: Sequence[tuple[int, int]], meeting: Mapping[int, Sequence[int]]) -> set[int]:
    """Find the strokes that lie on no way round (R. E. Tarjan 1974, bridge finding)."""
    reached: dict[int, int] = {}
    lowest: dict[int, int] = {}
    found: set[int] = set()
    for root in meeting:
        if root in reached:
            continue
        reached[root] = lowest[root] = len(reached)
        stack: list[tuple[int, int, Iterator[int]]] = [(root, -1, iter(meeting[root]))]
        while stack:
            node, came, waiting = stack[-1]
            k = next(waiting, None)
            if k is None:
                stack.pop()
                if stack:
                    above = stack[-1][0]
                    lowest[above] = min(lowest[above], lowest[node])
                    if lowest[node] > reached[above]:
                        found.add(came)
                continue
            other = ends[k][1] if ends[k][0] == node else ends[k][0]
            if k == came:
                continue
            if other in reached:
                lowest[node] = min(lowest[node], reached[other])
            else:
                reached[other] = lowest[other] = len(reached)
                stack.append((other, k, iter(meeting[other])))
    return found


class _Nodes:
    """Places where strokes end; places within a reach are one."""

    def __init__(self, reach_mm: float) -> None:
        self._reach_mm = reach_mm
        self._cells: dict[tuple[int, int], list[tuple[complex, int]]] = defaultdict(list)
        self._count = 0

    def at(self, point: complex) -> int:
        """Give the number of the place at this point."""
        i, j = int(point.real // self._reach_mm), int(point.imag // self._reach_mm)
        for di, dj in product((-1, 0, 1), repeat=2):
            for known, number in self._cells.get((i + di, j + dj), ()):
                if abs(known - point) <= self._reach_mm:
                    return number
        self._count += 1
        self._cells[i, j].append((point, self._count))
        return self._count

    def unite(self, one: complex, two: complex) -> None:
        """Take two points, new both, for one place."""
        number = self.at(one)
        self._cells[int(two.real // self._reach_mm), int(two.imag // self._reach_mm)].append(
            (two, number)
        )


def _pairs(ends: Sequence[complex], short: Sequence[bool]) -> list[tuple[int, int]]:
    """Find loose ends within ``JOIN_MM`` of just one other; refuse those near several.

    The ends of a stroke follow each other; those of a short one do not count as near.
    """
    nodes = _Nodes(EPSILON_MM)
    places: dict[int, list[int]] = defaultdict(list)
    for k, end in enumerate(ends):
        places[nodes.at(end)].append(k)
    cells: dict[tuple[int, int], list[list[int]]] = defaultdict(list)
    for here in places.values():
        cells[_cell(ends[here[0]])].append(here)
    pairs, forks = [], []
    for here in places.values():
        k = here[0]
        i, j = _cell(ends[k])
        near = [
            there
            for di, dj in product((-1, 0, 1), repeat=2)
            for there in cells.get((i + di, j + dj), ())
            if there is not here
            and abs(ends[there[0]] - ends[k]) <= JOIN_MM
            and not (there[0] // 2 == k // 2 and short[k // 2])
        ]
        meeting = len(here) + sum(map(len, near))
        if near and meeting > 2:
            forks.append((ends[k], meeting))
        elif near and k < near[0][0]:
            pairs.append((k, near[0][0]))
    if forks:
        raise ForkError(forks)
    return pairs


def _cell(point: complex) -> tuple[int, int]:
    return int(point.real // JOIN_MM), int(point.imag // JOIN_MM)


def _link_strokes(parts: Sequence[Stroke], *, closed: bool) -> Stroke:
    """Put strokes in a row, with straight stretches where their ends do not quite meet."""
    result: Stroke = []
    for part in parts:
        if result:
            result += _gap(result[-1].points[-1], part[0].points[0])
        result += part
    return [*result, *_gap(result[-1].points[-1], result[0].points[0])] if closed else result


def _gap(start: complex, end: complex) -> Stroke:
    return [line(start, end)] if abs(end - start) > GAP_MM else []


def _ends(stroke: Stroke) -> tuple[complex, complex]:
    return stroke[0].points[0], stroke[-1].points[-1]


def _is_sized(stroke: Stroke) -> bool:
    """Whether a stroke reaches anywhere."""
    start = stroke[0].points[0]
    return any(abs(at - start) > EPSILON_MM for span in stroke for at in span.points)


def _is_short(stroke: Stroke) -> bool:
    """Whether a stroke is no longer than the reach of joining."""
    points = [at for span in stroke for at in span.points]
    return sum(abs(b - a) for a, b in pairwise(points)) <= JOIN_MM

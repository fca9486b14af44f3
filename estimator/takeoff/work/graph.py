"""The order of work as a graph: what must be done, and dry, before what."""

from collections.abc import Sequence

from estimator.facts import Statement
from estimator.takeoff.quantity import Name, Step


def predecessors(steps: Sequence[Step]) -> tuple[tuple[int, ...], ...]:
    """Give for each step the places of the steps that must be done before it.

    A step may only name steps that stand before it in the list, so the list is an order in
    which the work can be done, and the graph has no cycle.

    Parameters
    ----------
    steps : sequence of Step
        In an order in which they can be done.

    Returns
    -------
    tuple of tuple of int
        Places in ``steps``, rising; empty for a step that can begin at once.

    Raises
    ------
    ValueError
        If a step names one that does not stand before it, or a name stands there twice.

    Examples
    --------
    >>> from estimator.facts import statement
    >>> from estimator.takeoff.quantity import Step
    >>> cut, skive, dye = (statement(key) for key in ("step-cut", "step-skive", "step-dye-flat"))
    >>> def step(name, after=None):
    ...     return Step(name=name, labour_min=1.0, waiting_min=0.0, basis=statement("given"),
    ...                 sources=(), attaches=(), after=after)
    >>> predecessors([step(cut), step(skive), step(dye, (cut,))])
    ((), (0,), (0,))
    """
    places: dict[Statement, list[int]] = {}
    rows: list[tuple[int, ...]] = []
    for here, step in enumerate(steps):
        if step.after is None:
            rows.append((here - 1,) if here else ())
        else:
            rows.append(tuple(sorted(_place(name, places, step.name) for name in step.after)))
        places.setdefault(step.name, []).append(here)
    return tuple(rows)


def _place(name: Statement, places: dict[Statement, list[int]], asked_by: Statement) -> int:
    """Where a named step stands, which must be one place before the step that names it."""
    found = places.get(name, [])
    if len(found) != 1:
        raise ValueError(f"{asked_by} comes after {name}, found {len(found)} times before")
    return found[0]


def longest_chain(after: Sequence[Sequence[int]], lengths: Sequence[float]) -> float:
    """Greatest sum of lengths along any chain of steps, in the unit of the lengths.

    With the waits as lengths it is the least time that must pass however many hands
    there are: waits of different chains overlap, waits of one chain do not.

    Parameters
    ----------
    after : sequence of sequence of int
        As :func:`predecessors` gives it.
    lengths : sequence of float
        One for each step, zero or more.

    Returns
    -------
    float
        Zero if there are no steps.

    Notes
    -----
    Source: the longest path of a project network (critical path method, Kelley and Walker
    1959).

    Examples
    --------
    >>> longest_chain([(), (0,), (0,)], [1.0, 5.0, 2.0])
    6.0
    """
    return sum(lengths[place] for place in longest_path(after, lengths))


def longest_path(after: Sequence[Sequence[int]], lengths: Sequence[float]) -> tuple[int, ...]:
    """Give the steps of the chain whose lengths add up to most, in the order of work.

    Parameters
    ----------
    after : sequence of sequence of int
        As :func:`predecessors` gives it.
    lengths : sequence of float
        One for each step, zero or more.

    Returns
    -------
    tuple of int
        Places; the first found where chains are equally long. Empty if there are no steps.

    Examples
    --------
    >>> longest_path([(), (0,), (0,)], [1.0, 5.0, 2.0])
    (0, 1)
    """
    ends: list[float] = []
    before: list[int | None] = []
    for row, length in zip(after, lengths, strict=True):
        last = max(row, key=ends.__getitem__, default=None)
        before.append(last)
        ends.append(length + (0.0 if last is None else ends[last]))
    here = max(range(len(ends)), key=ends.__getitem__, default=None)
    path: list[int] = []
    while here is not None:
        path.append(here)
        here = before[here]
    return tuple(reversed(path))


def tails(after: Sequence[Sequence[int]], lengths: Sequence[float]) -> tuple[float, ...]:
    """For each step, the greatest sum of lengths from its beginning to the end of the work.

    Parameters
    ----------
    after : sequence of sequence of int
        As :func:`predecessors` gives it.
    lengths : sequence of float
        One for each step, zero or more.

    Returns
    -------
    tuple of float
        In the unit of the lengths.

    Examples
    --------
    >>> tails([(), (0,), (0,)], [1.0, 5.0, 2.0])
    (6.0, 5.0, 2.0)
    """
    behind = [0.0] * len(lengths)
    for here in reversed(range(len(lengths))):
        behind[here] += lengths[here]
        for place in after[here]:
            behind[place] = max(behind[place], behind[here])
    return tuple(behind)


def without_detours(after: dict[Name, tuple[Name, ...]]) -> dict[Name, tuple[Name, ...]]:
    """Leave out what follows from the rest: a step named both directly and through another one.

    Parameters
    ----------
    after : dict of names to tuple of names
        Direct predecessors by name, in an order in which the work can be done.

    Returns
    -------
    dict of names to tuple of names
        The same order of work in the fewest words.

    Examples
    --------
    >>> without_detours({"cut": (), "skive": ("cut",), "glue": ("cut", "skive")})["glue"]
    ('skive',)
    """
    before: dict[Name, frozenset[Name]] = {}
    for name, direct in after.items():
        reached = frozenset[Name]().union(*(before[one] for one in direct))
        before[name] = reached | frozenset(direct)
    return {
        name: tuple(one for one in direct if not any(one in before[other] for other in direct))
        for name, direct in after.items()
    }

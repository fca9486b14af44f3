"""What the flaws of the leather cost a job, each by itself."""

from dataclasses import dataclass, replace

from estimator.nesting.problem import Layout, Problem
from estimator.nesting.score import score, sheets_cost

LEAST_MM2 = 500.0
"""Less is told as nothing: a twentieth of a square decimetre is below what a cutter sees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlawCost:
    """What one flaw costs a job.

    Parameters
    ----------
    sheet : str
        Key of the sheet it lies on.
    number : int
        Which of its blemishes, from 0.
    area_mm2 : float
        Leather of that sheet that the job would at least be spared without it, mm2.
    """

    sheet: str
    number: int
    area_mm2: float


def flaw_costs(problem: Problem, layout: Layout) -> tuple[FlawCost, ...]:
    """Find what each flaw of the sheets cut into costs, at least.

    Were the flaw not there, the same layout could be cut all the same, and a better one
    perhaps. The job pays at least the difference between this layout's charge with the flaw
    and without it. A flaw in the waste between the parts costs nothing.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        Its answer.

    Returns
    -------
    tuple of FlawCost
        Dearest first; flaws that cost nothing are left out. Empty if parts are left over:
        then a flaw may be why.
    """
    if layout.unplaced:
        return ()
    now = sheets_cost(problem, score(problem, layout))
    cut = {placement.sheet for placement in layout.placements}
    found = []
    for index, sheet in enumerate(problem.sheets):
        for number, blemish in enumerate(sheet.blemishes):
            if sheet.key not in cut or not blemish.lowers_worth:
                continue
            without = _without(problem, index, number)
            spared = now - sheets_cost(without, score(without, layout))
            area_mm2 = spared / sheet.worth_per_mm2
            if area_mm2 >= LEAST_MM2:
                found.append(FlawCost(sheet=sheet.key, number=number, area_mm2=area_mm2))
    return tuple(sorted(found, key=lambda cost: -cost.area_mm2))


def _without(problem: Problem, sheet: int, number: int) -> Problem:
    """The same problem with one flaw less."""
    sheets = list(problem.sheets)
    blemishes = sheets[sheet].blemishes
    sheets[sheet] = replace(sheets[sheet], blemishes=blemishes[:number] + blemishes[number + 1 :])
    return replace(problem, sheets=tuple(sheets))

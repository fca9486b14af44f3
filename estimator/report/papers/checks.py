"""The findings of an estimate as a table, on every paper that is for the shop."""

from estimator.report.papers.document import Document
from estimator.report.text.findings import notices
from estimator.units import Units
from estimator.workshop.estimate import Estimate


def checks_table(page: Document, estimate: Estimate, units: Units) -> None:
    """Print the findings, worst first.

    Parameters
    ----------
    page : Document
        To print on.
    estimate : Estimate
        With its checks.
    units : Units
        What the reader wants.
    """
    page.heading("Checks before cutting")
    if not estimate.checks:
        page.say("Nothing found.")
        return
    found = notices(estimate.checks, units)
    body = [(str(each.level), each.message, each.remedy) for each in found]
    page.rows(("Level", "Finding", "What to do"), body, widths=(13, 48, 39))

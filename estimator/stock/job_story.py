"""One job as the records have it: what was promised, and what happened."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.stock.actuals import Actual, actuals
from estimator.stock.job_records import JobRecord, Revision, job_record, revision_of
from estimator.stock.leather.cutting import charges
from estimator.stock.leather.lots import State
from estimator.stock.leather.rack import leather_lots
from estimator.stock.store.database import Records


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStory:
    """All that is told of one job.

    Parameters
    ----------
    job : JobRecord
        Where it stands.
    revision : Revision
        The one that counts.
    actuals : tuple of Actual
        What it took.
    offcuts : tuple of str
        Tags of what was left of its leather.
    charges : mapping of str to Decimal
        What it paid for each lot it cut: its price less what its offcuts carry on.
    """

    job: JobRecord
    revision: Revision
    actuals: tuple[Actual, ...]
    offcuts: tuple[str, ...]
    charges: Mapping[str, Decimal] = field(default_factory=dict)


def job_story(records: Records, reference: str) -> JobStory:
    """Gather what is known of a job.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        The job's.

    Returns
    -------
    JobStory
        Offcuts only once it is cut.

    Raises
    ------
    InputError
        If there is none, with the near one.
    """
    job = job_record(records, reference)
    revision = revision_of(records, reference, job.revision)
    offcuts = (
        lot.hide.tag
        for planned in revision.leather
        for lot in leather_lots(records, states=tuple(State), parent=planned.tag)
    )
    return JobStory(
        job=job,
        revision=revision,
        actuals=actuals(records, reference),
        offcuts=tuple(offcuts) if job.cut_on else (),
        charges=charges(records, reference),
    )

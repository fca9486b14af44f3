"""When a job can be ready."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Time at the bench, time that must pass, and the day it is ready."""

    labour_min: float
    waiting_min: float
    start_date: date
    promise_date: date

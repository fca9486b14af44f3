"""What the report tests look at."""

import pytest

from estimator.workshop.estimate import Estimate
from tests.report.sample import make_estimate


@pytest.fixture(scope="session")
def estimate() -> Estimate:
    """One estimate for the tests that only look."""
    return make_estimate()

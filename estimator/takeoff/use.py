"""How much of everything the work takes: the rates a shop may set for itself."""

from dataclasses import dataclass

from estimator.takeoff.quantity import Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class UseRates:
    """To be completed by the take-off models."""

    thread_multiplier: Spread

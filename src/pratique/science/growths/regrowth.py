"""What the speed of a growth's return says: cells that gathered again, or cells that grew."""

import math
from typing import Literal

from pratique.knowledge import figure
from pratique.science.chemistry.domain import DomainError

type Return = Literal["gathering", "either", "growth"]


def days_to_regain(factor: float, rate_per_day: float) -> float:
    """Return the days a growth needs to multiply by `factor` at a specific growth rate (natural logarithm, per day).

    Raises DomainError for a factor under 1 or a rate that is not above zero.
    """
    if not factor >= 1.0:
        raise DomainError(f"A growth regains by a factor of 1 or more; this was {factor:g}.")
    if not rate_per_day > 0.0:
        raise DomainError(f"A growth rate must be above 0 a day; this was {rate_per_day:g}.")
    return math.log(factor) / rate_per_day


def returned_within(hours_since_siphon: float, *, fastest_rate_per_day: float | None = None) -> Return:
    """Return what a full return so many hours after siphoning must have been.

    Before one doubling at the fastest published rate it cannot be growth; from a tenfold rise on (nine tenths were
    taken out) growth alone explains it; between the two it may be either. Raises DomainError for negative hours.
    """
    if not hours_since_siphon >= 0.0:
        raise DomainError("The hours since siphoning cannot be negative.")
    rate = figure("growth.fastest_rate_per_day").value if fastest_rate_per_day is None else fastest_rate_per_day
    days = hours_since_siphon / 24.0
    if days < days_to_regain(2.0, rate):
        return "gathering"
    return "either" if days < days_to_regain(10.0, rate) else "growth"

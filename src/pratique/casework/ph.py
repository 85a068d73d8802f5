"""pH as our limits and the simple relations take it: on the NBS scale, on whatever scale it was told."""

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.methods import range_of
from pratique.ledger.kinds.water import Reading
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.ph_scales import ph_on_scale
from pratique.science.estimation.reading import Range

# What parts two scales depends on the water alone, so any pH will do to find it.
_ANY_PH = 8.0


def on_nbs(spread: Range, reading: Reading, *, salinity_psu: float, temperature_c: float) -> Range:
    """Return what a pH reading says, moved from its own scale to NBS.

    Raises DomainError for a water in which the scales are not known.
    """
    if reading.scale == "nbs":
        return spread
    there = ph_on_scale(_ANY_PH, reading.scale, "nbs", salinity_psu=salinity_psu, temperature_c=temperature_c)
    step = there - _ANY_PH
    return Range(spread.low + step, spread.centre + step, spread.high + step)


def judged_range(facts: Facts, reading: Reading) -> Range:
    """Return what a reading of any constituent says with 95 %, a pH on the scale our limits are on.

    Salinity and temperature are the newest ones read in the system; usual ones where none was: between them the step
    from scale to scale differs by 0.02 at most. In water too fresh for the scales to part it is taken as it was read.
    """
    spread = range_of(facts.household, reading)
    if reading.scale == "nbs":
        return spread
    salinity_psu = _newest(facts, reading, "salinity", ("salinity.lower_psu", "salinity.upper_psu"))
    temperature_c = _newest(facts, reading, "temperature", ("temperature.lower_c", "temperature.upper_c"))
    try:
        return on_nbs(spread, reading, salinity_psu=salinity_psu, temperature_c=temperature_c)
    except DomainError:
        return spread


def _newest(facts: Facts, reading: Reading, constituent: str, usual: tuple[str, str]) -> float:
    taken = facts.newest_reading(reading.system, constituent)
    if taken is not None:
        return range_of(facts.household, taken.reading).centre
    lower, upper = (knowledge.figure(one).value for one in usual)
    return (lower + upper) / 2

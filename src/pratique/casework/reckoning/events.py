"""The entries of the ledger turned into the events and readings of a case."""

from dataclasses import dataclass, replace
from itertools import pairwise

from pratique.casework.facts import Facts
from pratique.casework.methods import method_by, method_of, observed_of, range_of
from pratique.casework.ph import judged_range
from pratique.casework.reckoning.dosed import dosed_mg
from pratique.casework.reckoning.feeding import pulses_of
from pratique.casework.reckoning.priors import Prior
from pratique.casework.reckoning.sorting import is_foreign
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.animals import Feeding
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.science.estimation import case as science
from pratique.science.estimation.reading import Method, Observed, is_plain, reading_range


@dataclass(frozen=True)
class Turning:
    """What the entries of one case are turned by."""

    facts: Facts
    constituent: str
    form: CopperForm | None
    prior: Prior
    volume: science.Volume


@dataclass(frozen=True)
class MethodUsed:
    """A method as a case takes it: under which name, with which error, and whether that error had to be assumed."""

    key: str
    name: str
    error: Method
    is_assumed: bool


def events_of(turning: Turning, entry: Recorded, day: float) -> list[science.Event]:
    """Return what an entry did to the water at `day` of a case; nothing for a reading, or what does nothing here."""
    name = str(entry.id)
    match entry.payload:
        case WaterChange() as change if turning.prior.has_litres or change.emptied:
            return [_changed(turning, change, day, name)]
        case Dose() as dose if turning.prior.has_litres:
            return [_dosed(turning, dose, day, name)]
        case Feeding() as feeding if turning.prior.released is not None:
            return list(pulses_of(feeding, turning.prior.released, day=day, entry=name))
    return []


def _dosed(turning: Turning, dose: Dose, day: float, name: str) -> science.Event:
    amount = None if is_foreign(dose, turning.form) else dosed_mg(dose, turning.constituent)
    if amount is None:
        return science.Unlogged(day, turning.prior.jolt_sd, name)
    return science.Dose(day, amount, turning.prior.dose_relative_sd, name)


def _changed(turning: Turning, change: WaterChange, day: float, name: str) -> science.Event:
    new, litres = incoming_of(turning, change), change.volume_l
    # Whoever runs more than the whole volume through has replaced all of it.
    if litres is None or litres >= _all_of(turning):
        return science.Refill(day, new.mean, new.sd, name, turning.prior.emptied_source)
    if turning.prior.incoming is None and turning.constituent not in change.incoming_mg_per_l:
        part = min(1.0, litres / turning.volume.mean_l)
        return science.Unlogged(day, part * turning.prior.matched_sd, name)
    return science.Change(day, litres, new.mean, new.sd, name)


def _all_of(turning: Turning) -> float:
    """Return from how many litres on a change is one of all the water: its median, or its reach where not known."""
    volume = turning.volume
    return volume.mean_l * (2.0 if volume.is_lognormal else 1.0)


def incoming_of(turning: Turning, change: WaterChange) -> science.Initial:
    """Return the level of the new water: as told, with a small error, or what is believed of new water."""
    prior, told = turning.prior, change.incoming_mg_per_l.get(turning.constituent)
    if told is not None:
        return science.Initial(told, prior.emptied_sd)
    usual = prior.incoming if prior.incoming is not None else prior.initial
    return replace(usual, sd=max(usual.sd, prior.emptied_sd)) if change.emptied else usual


def reading_of(turning: Turning, reading: Reading, entry: Recorded, day: float) -> science.Reading:
    """Return a reading as a case takes it: a plain number, an interval between marks, or a bound."""
    used = method_used(turning, reading)
    return science.Reading(day, used.key, _observed(turning, reading, used.error), str(entry.id))


def method_used(turning: Turning, reading: Reading) -> MethodUsed:
    """Return the method of a reading; one without an error of its own has the crudest usual one."""
    named = method_by(turning.facts.household, reading)
    key = named.key or named.name
    if not _has_error(named.error):
        crude = method_of(turning.facts.household, None, reading.constituent).error
        return MethodUsed(f"{key}, error assumed", named.name, crude, is_assumed=True)
    if reading.scale != "nbs":
        # Moved to another scale a value may lie past the ends of its own.
        error = replace(named.error, lower_limit=None, upper_limit=None)
        return MethodUsed(f"{key}, {reading.scale} scale", named.name, error, is_assumed=False)
    return MethodUsed(key, named.name, named.error, is_assumed=not named.key)


def _has_error(error: Method) -> bool:
    if error.marks:
        return len(error.marks) > 1 and all(low < high for low, high in pairwise(error.marks))
    return max(error.absolute_sd, error.relative_sd, error.resolution) > 0.0


def _observed(turning: Turning, reading: Reading, error: Method) -> Observed:
    seen = observed_of(reading)
    step = _scale_step(turning.facts, reading)
    if seen.value is not None and is_plain(error, seen):
        return Observed(value=seen.value + step)
    spread = reading_range(error, seen)
    if spread.high == float("inf"):
        return Observed(above=spread.low + step)
    if not spread.low < spread.high:
        return Observed(value=spread.low + step)
    return Observed(low=spread.low + step, high=spread.high + step)


def _scale_step(facts: Facts, reading: Reading) -> float:
    """Return what moves a pH from its own scale to the one our limits are on."""
    if reading.scale == "nbs":
        return 0.0
    return judged_range(facts, reading).centre - range_of(facts.household, reading).centre

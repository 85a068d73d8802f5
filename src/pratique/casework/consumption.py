"""What a system takes up of a constituent in a day, how that changes, and what balances it, in sentences."""

import math
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.reckoning.priors import prior_of
from pratique.casework.reckoning.reckoned import Reckoned, reckoned
from pratique.casework.salts import counted_mg
from pratique.casework.sheets import Reason
from pratique.casework.words import amount, plus_minus, sentence_case
from pratique.knowledge import Figure
from pratique.knowledge.consumption import Uptake, uptakes
from pratique.ledger.states import StockState, SystemState
from pratique.science.estimation.case import Pulse
from pratique.science.estimation.reading import NORMAL_95
from pratique.units import to_canonical

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.consumption import Consumption
    from pratique.science.estimation.exposure import Spread

_ALKALINITY = "alkalinity"


@dataclass(frozen=True)
class ConsumptionLine:
    """What is said of one constituent's uptake, what that rests on, and the cautions of what balances it.

    `is_withheld` where the sentence only says what would make it known.
    """

    constituent: str
    words: str
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...] = ()
    is_withheld: bool = False


def consumption_lines(facts: Facts, system: SystemState) -> tuple[ConsumptionLine, ...]:
    """Return a line for each constituent that is read in a system and taken up by what lives there."""
    read = set(facts.constituents_read(system.key))
    found = (_line(facts, system, told) for key, told in uptakes().items() if key in read)
    return tuple(one for one in found if one is not None)


def _line(facts: Facts, system: SystemState, told: Uptake) -> ConsumptionLine | None:
    held = reckoned(facts, system, told.key)
    if held is None or held.posterior is None or held.ledger.ends_early:
        return None
    from pratique.science.estimation.consumption import consumption_of, plus_minus_of  # noqa: PLC0415 - loads the loops

    case = held.ledger.case
    found = consumption_of(case, held.posterior, window_days=knowledge.figure("consumption.window_days").value)
    reasons = _reasons(held, told, found.per_day)
    error = plus_minus_of(found.per_day)
    if error > max(told.widest_plus_minus, abs(found.per_day.mean)):
        return ConsumptionLine(told.key, _unknown_words(held, told, found.per_day), reasons, is_withheld=True)
    is_none = abs(found.per_day.mean) <= error
    words = f"{_uptake_words(held, told, found.per_day)}{'.' if is_none else _change_words(told, found)}"
    if any(isinstance(event, Pulse) for event in case.events):
        words += " What the food written down gives off is counted apart."
    balance, cautions = _balance(facts, held, told, found)
    return ConsumptionLine(told.key, f"{words}{balance}", reasons, cautions)


def _uptake_words(held: Reckoned, told: Uptake, per_day: "Spread") -> str:
    from pratique.science.estimation.consumption import plus_minus_of  # noqa: PLC0415 - loads the compiled loops

    name, unit = knowledge.constituent(told.key).name, _unit(told)
    error = plus_minus_of(per_day)
    system = held.ledger.system.name
    if per_day.mean - error > 0.0:
        return f"{system} takes up {plus_minus(per_day.mean, error, told.decimals, unit)} of {name} a day"
    if per_day.mean + error < 0.0:
        rise = plus_minus(-per_day.mean, error, told.decimals, unit)
        return f"{sentence_case(name)} in {system} rises by {rise} a day of itself"
    taken = plus_minus(per_day.mean, error, told.decimals, unit)
    return f"What {system} takes up of {name} cannot be told from none: {taken} a day"


def _change_words(told: Uptake, found: "Consumption") -> str:
    """Return how the uptake changes; a change that cannot be told from none is said to be small or not known."""
    from pratique.science.estimation.consumption import plus_minus_of  # noqa: PLC0415 - loads the compiled loops

    change = found.change_per_week
    if change is None:
        return "."
    error = plus_minus_of(change)
    if abs(change.mean) <= error:
        is_small = error <= told.widest_plus_minus
        return ", much as a week ago." if is_small else "; how that changes is not known yet."
    # What rises of itself is an uptake below 0: it rises the faster the further that falls.
    is_more = (change.mean > 0.0) == (found.per_day.mean > 0.0)
    verb = "rising" if is_more else "falling"
    more = plus_minus(abs(change.mean), error, told.decimals, _unit(told))
    return f", and that is {verb} by {more} a day each week."


def _balance(facts: Facts, held: Reckoned, told: Uptake, found: "Consumption") -> tuple[str, tuple[str, ...]]:
    """Return what balances an uptake in a sentence, with its cautions; nothing where nothing is taken up or dosed."""
    from pratique.science.estimation.consumption import plus_minus_of  # noqa: PLC0415 - loads the compiled loops

    balancing = found.amount_per_day
    error = plus_minus_of(balancing)
    stock = _stock_for(facts, held.ledger.system, told.key)
    if found.per_day.mean - plus_minus_of(found.per_day) <= 0.0 or (stock is None and told.salt is None):
        return "", ()
    if refused := _why_no_dose(facts, held, told):
        return f" {refused}", ()
    per_unit = _mg_per_unit(told)
    if stock is not None:
        strength, unit, of = stock.strength_mg_per_ml / per_unit, "mL", stock.name
        substance = knowledge.substance_or_unknown(stock.substance)
    else:
        substance = knowledge.substance(told.salt or "")
        per_gram = counted_mg(substance, 1.0)
        assert per_gram is not None  # noqa: S101 - every salt named in consumption.toml has a formula
        strength, unit, of = per_gram / per_unit, "g", substance.everyday_name or substance.name
    cautions = tuple(one.text for one in substance.cautions)
    most = _most_per_day(told).value
    if found.per_day.mean > most:
        least = amount(balancing.mean / strength * most / found.per_day.mean, 0 if unit == "mL" else 1, unit)
        raised = amount(most, told.decimals, _unit(told))
        return (
            f" Add no more than {least} of {of} a day, all that is dosed now counted in: it raises the water by "
            f"{raised}, the most for a day. That does not balance it: change water as well.",
            cautions,
        )
    told_amount = _rounded(balancing.mean / strength, error / strength, unit)
    return f" {told_amount} of {of} a day balances it, all that is dosed now counted in.", cautions


def _why_no_dose(facts: Facts, held: Reckoned, told: Uptake) -> str:
    """Return why what balances an uptake is not said, or nothing."""
    system, name = held.ledger.system, knowledge.constituent(told.key).name
    if not held.ledger.is_volume_known:
        return f"What balances it is not said: {system.name}'s net volume is not known."
    if held.newest_reading is None or facts.now - held.newest_reading.happened_at > speaks_for(told.key):
        return f"What balances it is not said: the newest reading is too old. Read {name} again."
    if held.is_newest_surprising:
        return f"What balances it is not said: the newest reading does not fit the others. Read {name} again."
    figure = knowledge.constituent(told.key)
    if held.now is None or held.now.mean >= figure.usual_upper:
        usual = amount(figure.usual_upper, figure.decimals, figure.unit)
        return f"Add nothing now: {name} is above what is usual, {usual}."
    return ""


def speaks_for(constituent: str) -> timedelta:
    """Return how long a reading of a constituent speaks for the water."""
    return timedelta(hours=knowledge.figure(f"reading.stale_hours.{constituent}").value)


def _stock_for(facts: Facts, system: SystemState, constituent: str) -> StockState | None:
    """Return the stock that raises a constituent: the only one, or the only one of the substance dosed last here."""
    substances = {one.key for one in knowledge.substances() if one.constituent == constituent}
    shelf = [one for one in facts.household.stocks.values() if one.substance in substances]
    dosed = [one.topic for one in facts.doses_of(system.key) if one.topic in substances]
    if dosed:
        shelf = [one for one in shelf if one.substance == dosed[-1]]
    return shelf[0] if len(shelf) == 1 and shelf[0].strength_mg_per_ml > 0.0 else None


def _mg_per_unit(told: Uptake) -> float:
    """Return the milligrams a dose counts as that raise a litre by one unit."""
    return 1.0 / to_canonical(1.0, "mg/L CaCO3", "dKH") if told.key == _ALKALINITY else 1.0


def _most_per_day(told: Uptake) -> Figure:
    """Return by how much a constituent is raised in a day at most, whatever would balance it."""
    return knowledge.figure(f"consumption.most_per_day.{told.key}")


def _unknown_words(held: Reckoned, told: Uptake, per_day: "Spread") -> str:
    """Return that an uptake is not known, how wide it lies, and what would make it known."""
    system, name = held.ledger.system.name, knowledge.constituent(told.key).name
    readings = len(held.ledger.case.readings)
    if readings < 2:
        return f"What {system} takes up of {name} a day is not known: read it twice or more, some days apart."
    low, high = (amount(one, told.decimals) for one in (per_day.quantiles[0], per_day.quantiles[-1]))
    return (
        f"What {system} takes up of {name} a day is not known well enough to say: somewhere from {low} to {high} "
        f"{_unit(told)}. Read it every other day for a week, and write down what is dosed."
    )


def _reasons(held: Reckoned, told: Uptake, per_day: "Spread") -> tuple[Reason, ...]:
    prior = prior_of(told.key)
    before = plus_minus(
        0.0 - prior.source.mean_per_day, NORMAL_95 * prior.source.sd_per_day, told.decimals, _unit(told)
    )
    status = "guess" if prior.is_guess else "common practice"
    found = [
        Reason(f"Before any reading, an uptake of {before} a day is believed.", prior.basis, status),
        Reason("Told only where its spread is small enough to go by.", told.source, told.status.value),
    ]
    most = _most_per_day(told)
    if per_day.mean > most.value:
        raised = amount(most.value, told.decimals, _unit(told))
        found.append(Reason(f"No more than {raised} is added in a day.", most.source, most.status.value))
    found += [Reason(one, "as written in this ledger", "guess") for one in held.ledger.assumed]
    return tuple(found)


def _unit(told: Uptake) -> str:
    return knowledge.constituent(told.key).unit


def _rounded(value: float, error: float, unit: str) -> str:
    """Return an amount with its error, both to the error's first digit."""
    decimals = max(0, -math.floor(math.log10(error))) if error > 0.0 else 1
    return plus_minus(value, error, decimals, unit)

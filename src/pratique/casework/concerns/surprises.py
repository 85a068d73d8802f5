"""Concerns about a newest reading that does not fit all else that is known of the water: read it again first."""

from collections.abc import Iterator

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.concerns.water import is_stale
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.copper_water import water_copper
from pratique.casework.facts import Facts, TakenReading
from pratique.casework.methods import range_of, reading_words
from pratique.casework.reckoning.causes import cause_words
from pratique.casework.reckoning.reckoned import Reckoned, Surprise, reckoned
from pratique.casework.sheets import Concern, Evidence, NextStep, Weight
from pratique.casework.words import plus_minus, sentence_case, when
from pratique.ledger.kinds.water import Reading
from pratique.ledger.states import SystemState

# One reading alone has nothing to fit or not.
_FEWEST = 2


def surprise_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield a concern for each newest reading, not grown old yet, that lies far off what all else makes one expect.

    Once a later reading agrees with the rest, that one is the newest and nothing is left to say.
    """
    for system in facts.household.systems.values():
        for constituent in facts.constituents_read(system.key):
            found = _reckoned(facts, system, constituent)
            odd = _newest_odd(found) if found is not None else None
            if odd is not None and isinstance(odd.entry.payload, Reading):
                yield _concern(facts, system, odd, odd.entry.payload)


def _reckoned(facts: Facts, system: SystemState, constituent: str) -> Reckoned | None:
    """Return the reckoning of a constituent whose newest reading still speaks for the water; None for any other.

    What lies among the readings of the last weeks is not looked into, but for copper: every page of every day would
    reckon a dozen constituents to find none of them odd.
    """
    newest = facts.newest_reading(system.key, constituent)
    if newest is None or is_stale(facts, newest) or len(facts.read_of(system.key, constituent)) < _FEWEST:
        return None
    if constituent == COPPER:
        water = water_copper(facts, system)
        return water.reckoned if water is not None else None
    return None if _is_among_others(facts, newest) else reckoned(facts, system, constituent)


def _is_among_others(facts: Facts, newest: TakenReading) -> bool:
    """Return whether a reading, as far as it tells, lies between the lowest and the highest of those before it."""
    spread = range_of(facts.household, newest.reading)
    before = [
        point.number
        for point in facts.read_of(newest.reading.system, newest.reading.constituent)
        # Told apart by the moment first: of thousands only a few ids need be made.
        if point.number is not None and (point.happened_at != newest.at or point.entry != newest.id)
    ]
    return bool(before) and spread.low <= max(before) and spread.high >= min(before)


def _newest_odd(found: Reckoned) -> Surprise | None:
    newest = found.newest_reading
    if newest is None or not found.is_newest_surprising:
        return None
    return next((one for one in found.surprises if one.entry.id == newest.id), None)


def _concern(facts: Facts, system: SystemState, odd: Surprise, reading: Reading) -> Concern:
    figure = knowledge.constituent(reading.constituent)
    weight: Weight = "today" if reading.constituent == COPPER else "watch"
    unit = "" if reading.constituent == "ph" else figure.unit
    expected = plus_minus(max(figure.possible_lower, odd.expected), odd.plus_minus, figure.decimals, unit)
    said = [
        f"{sentence_case(figure.name)} {reading_words(facts.household, reading)} "
        f"{when(odd.entry.happened_at, facts.now, facts.zone)}; all else that is known makes one expect {expected}."
    ]
    if odd.causes:
        said.append(f"What may be behind it: {cause_words(odd.causes)}.")
    return Concern(
        key=f"surprise.{system.key}.{reading.constituent}",
        about=about(system),
        title=f"{system.name}: the newest {figure.name} reading does not fit",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=odd.entry.happened_at.astimezone(facts.zone).date(),
        said=tuple(said),
        next_steps=(NextStep("Read it again", form="readings", answers=(("system", system.key),)),),
        evidence=(Evidence(figure.name, odd.entry.happened_at, odd.entry.id),),
        reasons=(reason("reckoning.surprising_tail"),),
    )

"""Concerns about medicines that met in a water or in an animal, or followed each other too soon, while that counts."""

from collections.abc import Iterator, Mapping
from uuid import UUID

from pratique import knowledge
from pratique.casework.combining import InWater, Met, in_water, lived_in, meetings, name_of
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.medicines import Medicines
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason
from pratique.casework.words import clock, day_words, days_words, when
from pratique.ledger.states import AnimalState, SystemState

# In one water these have concerns of their own, which know more of copper.
_TOLD_ELSEWHERE = frozenset({"copper_forms", "copper_binder"})


def combining_concerns(facts: Facts, healths: Mapping[str, AnimalHealth]) -> Iterator[Concern]:
    """Yield what met in a system's water; then what met in an animal that brought the one in from another water."""
    medicines = next((one.medicines for one in healths.values()), None) or Medicines(facts)
    told: set[frozenset[str]] = set()
    for system in facts.household.systems.values():
        for met in meetings(in_water(facts, medicines, system), facts.now):
            told.add(_entries(met))
            if met.pair.key not in _TOLD_ELSEWHERE:
                yield _concern(facts, system, met)
    for health in healths.values():
        lived = [one for _, one in lived_in(facts, medicines, health.animal)]
        for met in meetings(lived, facts.now):
            if _entries(met) not in told:
                yield _concern(facts, health.animal, met)


def _entries(met: Met) -> frozenset[str]:
    return frozenset({met.earlier.entry, met.later.entry})


def _concern(facts: Facts, where: SystemState | AnimalState, met: Met) -> Concern:
    first, second, pair = met.earlier, met.later, met.pair
    came = when(second.began, facts.now, facts.zone).removeprefix("on ")
    is_system = isinstance(where, SystemState)
    place = where.name if is_system else f"{where.name}'s water"
    said = f"{name_of(second)} came into {place} {came}, {_before(facts, first)}. {pair.words}"
    own = (("system", where.key),) if is_system else ()
    substances = [one.substance if one.substance != "copper" else "copper_ionic" for one in (first, second)]
    cautions = [one.text for key in substances for one in knowledge.cautions_for(key)]
    return Concern(
        key=f"combined.{pair.key}.{where.key}",
        about=about(where),
        title=f"{where.name}: {first.name} and {second.name} must not meet",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=second.began.astimezone(facts.zone).date(),
        said=(
            said,
            f"Usually {days_words(pair.days_apart)} lie between them ({pair.status}). {_until(facts, met)}",
            "Give them air, watch how they breathe, add no more of either, and be ready to move them to clean water.",
        ),
        next_steps=(
            NextStep("Write the move", form="move"),
            NextStep("Write the water change", form="water-change", answers=own),
            NextStep("Count its breathing" if not is_system else "Write what you see", form="observation"),
        ),
        evidence=(_evidence(first), _evidence(second)),
        reasons=(Reason(pair.words, pair.source, pair.status.value),),
        cautions=tuple(dict.fromkeys(cautions)),
    )


def _before(facts: Facts, first: InWater) -> str:
    if first.until is None:
        return f"where {first.name} is still"
    moment = when(first.until, facts.now, facts.zone).removeprefix("on ")
    return f"and {first.name} was in {first.where} until {moment}"


def _until(facts: Facts, met: Met) -> str:
    if met.until is None:
        return "This counts as long as both are in the water."
    return f"This counts until {day_words(met.until.astimezone(facts.zone).date())}, {clock(met.until, facts.zone)}."


def _evidence(one: InWater) -> Evidence:
    return Evidence(one.name, one.began, UUID(one.entry))

"""Passages compared before the first fish is bought: how surely each is clear, what it costs, what recovery adds."""

from collections.abc import Mapping, Sequence
from math import ceil
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.compare_asked import PARASITES, Asked
from pratique.casework.compare_assumed import assumptions_of
from pratique.casework.compare_words import animals_words, event_words, gist_words, not_meant_words, recovery_words
from pratique.casework.sheets.compare import (
    ComparedPassage,
    Comparison,
    DayChance,
    EffectLine,
    KindLine,
    Likely,
    ParasiteLine,
    RecoveryLine,
    SpeciesLine,
)
from pratique.casework.sheets.lines import Reason
from pratique.knowledge import Protocol, Species
from pratique.knowledge.body_shapes import body_shape_of, body_shapes
from pratique.knowledge.passages_ahead import expectation

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.passage.compare import Batch, Beliefs, Compared
    from pratique.science.passage.compare_clear import ByDay, Effect
    from pratique.science.passage.compare_fitness import Borne, Fitness
    from pratique.science.passage.legs import Plan

_MOST_EFFECTS = 6
_ALWAYS = "label_and_vet"
_LEFT_OUT = "compared with the same passage without its recovery"


def compare(asked: Asked) -> Comparison:
    """Return the passages asked for side by side; the same isolates, keepers and animals go through each."""
    from pratique.science.passage.compare import beliefs_of  # noqa: PLC0415 - loads the compiled loops

    batch = batch_of(asked)
    beliefs = beliefs_of(PARASITES, batch)
    passages = tuple(_passage(protocol, asked, beliefs, batch) for protocol in asked.protocols)
    counts_from = expectation("clear.counts_from").value
    return Comparison(
        gist=gist_words(passages, counts_from),
        event=event_words(),
        animals=animals_words(asked.kinds),
        temperature_c=asked.temperature_c,
        counts_from=counts_from,
        passages=passages,
        assumptions=assumptions_of(asked, beliefs, passages),
        cautions=_cautions(asked.protocols),
    )


def batch_of(asked: Asked) -> "Batch":
    """Return the animals asked for as the science takes them."""
    from pratique.science.passage.compare import Batch  # noqa: PLC0415 - loads the compiled loops

    kinds = {key: _borne(knowledge.species(key), asked.temperature_c) for key in asked.kinds}
    return Batch(asked.animals, asked.temperature_c, kinds)


def _borne(kind: Species, temperature_c: float) -> "Borne":
    from pratique.science.health.fasting import fasting_loss_per_day  # noqa: PLC0415
    from pratique.science.passage.compare_fitness import Borne  # noqa: PLC0415

    return Borne(fasting_loss_per_day(weight_g(kind), temperature_c), kind.copper_caution)


def weight_g(kind: Species) -> float:
    """Return what one of a kind weighs when it is bought, by its adult length and the curve of its shape."""
    shape = body_shape_of(kind) or body_shapes()["any_fish"]
    low, high = kind.adult_length_cm or (8.0, 12.0)
    length_cm = expectation("arrival.part_of_adult_length").value * (low + high) / 2.0
    return float(shape.a * length_cm**shape.b)


def _passage(protocol: Protocol, asked: Asked, beliefs: "Beliefs", batch: "Batch") -> ComparedPassage:
    from pratique.science.passage.compare import all_looked, compared  # noqa: PLC0415
    from pratique.science.passage.compare_days import doses_of  # noqa: PLC0415
    from pratique.science.passage.legs import lay_out  # noqa: PLC0415

    plan = lay_out(protocol, asked.temperature_c)
    found = compared(plan, beliefs, batch)
    looked = all_looked(found.looked)
    tanks = found.moves
    return ComparedPassage(
        key=protocol.short_name or protocol.key,
        name=protocol.name,
        words=protocol.words,
        curve=_curve(found.clear),
        clear=Likely(*found.clear.at_end),
        if_no_sign=Likely(looked.probability, looked.low, looked.high) if looked else None,
        no_sign=looked.p_no_sign if looked else None,
        clear_on=found.clear.day_reached(expectation("clear.counts_from").value),
        days_to_clearance=found.cleared,
        days_total=plan.days_total,
        days_medicated=found.days_medicated,
        transfers=found.transfers,
        moves=found.moves,
        tanks=tanks,
        looks=found.looks,
        readings=_readings(plan, found.cleared),
        doses=len(doses_of(plan)),
        water_l=None if asked.volume_l is None else tanks * asked.volume_l,
        parasites=_parasites(protocol, found),
        kinds=tuple(_kind(key, one) for key, one in found.fitness.items()),
        recovery=_recovery(plan, found, beliefs, batch),
        effects=_effects(found),
        species=_species(protocol, asked.kinds),
        not_meant=not_meant_words([name_of(one) for one in PARASITES if one not in _meant(protocol)]),
    )


def name_of(parasite: str) -> str:
    """Return a parasite's name without its Latin one."""
    return knowledge.parasite(parasite).name.partition(" (")[0]


def _curve(found: "ByDay") -> tuple[DayChance, ...]:
    rows = zip(found.days, found.probability, found.low, found.high, strict=True)
    return tuple(DayChance(float(day), Likely(float(p), float(low), float(high))) for day, p, low, high in rows)


def _readings(plan: "Plan", cleared: float) -> int:
    """Return how many readings are due until clearance."""
    legs = [leg for leg in plan.legs if leg.ends <= cleared]
    return sum(ceil((leg.ends - leg.starts) / one.every_days) for leg in legs for one in leg.leg.readings)


def _meant(protocol: Protocol) -> frozenset[str]:
    """Return what a passage is meant against: by its courses and by its moves."""
    courses = {parasite for leg in protocol.legs for one in leg.courses for parasite in one.against}
    return frozenset(courses | {one.parasite for leg in protocol.legs for one in leg.moves})


def _parasites(protocol: Protocol, found: "Compared") -> tuple[ParasiteLine, ...]:
    lines = []
    for key, one in found.by_parasite.items():
        looked = found.looked.get(key)
        lines.append(
            ParasiteLine(
                key=key,
                name=name_of(key),
                clear=Likely(*one.at_end),
                if_no_sign=Likely(looked.probability, looked.low, looked.high) if looked else None,
                no_sign=looked.p_no_sign if looked else None,
                is_meant=key in _meant(protocol),
            )
        )
    return tuple(lines)


def _kind(key: str, found: "Fitness") -> KindLine:
    return KindLine(
        key=key,
        name=knowledge.species(key).name,
        fit=found.fit,
        weight=Likely(*found.weight_then),
        lowest=found.lowest,
        fit_on=found.fit_from(expectation("fit.counts_from").value),
    )


def _recovery(plan: "Plan", found: "Compared", beliefs: "Beliefs", batch: "Batch") -> RecoveryLine | None:
    """Return what the recovery adds, None for a passage without one."""
    from pratique.science.passage.compare import released  # noqa: PLC0415
    from pratique.science.passage.legs import lay_out, without_recovery  # noqa: PLC0415

    if found.recovers_on is None:
        return None
    without = released(lay_out(without_recovery(plan.protocol, _LEFT_OUT), plan.temperature_c), beliefs, batch)
    worst = min(found.fitness, key=lambda key: found.fitness[key].fit)
    line = RecoveryLine(
        days=found.cleared - without.day,
        clear_without=Likely(*without.clear),
        clear_with=Likely(*found.clear.at_end),
        fit_without=without.p_fit[worst],
        fit_with=found.fitness[worst].fit,
        weight_without=without.weight[worst],
        weight_with=found.fitness[worst].weight_then[0],
        worst=knowledge.species(worst).name,
        words="",
    )
    return recovery_words(line)


def _effects(found: "Compared") -> tuple[EffectLine, ...]:
    """Return the unknowns that move P(clear) of all parasites together most, over all parasites."""
    lines = [(name_of(key), one, _others(found, key)) for key, effects in found.effects.items() for one in effects]

    def moved(line: tuple[str, "Effect", float]) -> float:
        return abs(line[1].at_high - line[1].at_low) * line[2]

    most = sorted(lines, key=moved, reverse=True)[:_MOST_EFFECTS]
    return tuple(EffectLine(f"{name}: {one.words}", one.at_low * rest, one.at_high * rest) for name, one, rest in most)


def _others(found: "Compared", parasite: str) -> float:
    """Return P(clear) at clearance of all other parasites together."""
    rest = 1.0
    for key, one in found.by_parasite.items():
        rest *= 1.0 if key == parasite else one.at_end[0]
    return rest


def _species(protocol: Protocol, kinds: Mapping[str, int]) -> tuple[SpeciesLine, ...]:
    from pratique.science.passage.sensitive import cautions_of  # noqa: PLC0415

    return tuple(
        SpeciesLine(
            words=f"{one.species.name}: {one.words}",
            instead=tuple(knowledge.protocol(key).short_name for key in one.instead),
            reason=Reason(one.words, one.source, one.status.value),
        )
        for one in cautions_of(protocol, [knowledge.species(key) for key in kinds])
    )


def _cautions(protocols: Sequence[Protocol]) -> tuple[str, ...]:
    """Return the cautions of every medicine named, each once, the label and the vet first."""
    substances = [one.substance for protocol in protocols for leg in protocol.legs for one in leg.courses]
    named = dict.fromkeys(one for one in substances if one is not None)
    found = [one for key in (*named, "copper_ionic") for one in knowledge.cautions_for(key)]
    ordered = sorted(found, key=lambda one: one.key != _ALWAYS)
    return tuple(dict.fromkeys(one.text for one in ordered if one.key == _ALWAYS or named.keys() & one.substances))

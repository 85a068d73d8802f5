"""What a drip, a routine of changes and evaporation come to: three ways of asking the card of water changes."""

from math import exp

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking
from pratique.casework.bench.card import BenchAnswer, Way
from pratique.casework.bench.levels import Levels, level_fields
from pratique.casework.bench.quantities import CHANGED, SALINITY, TEMPERATURE, VOLUME, part_of
from pratique.casework.bench.questions import net_volume, number, salinity, temperature
from pratique.casework.bench.saying import line, second, three_digits
from pratique.casework.bench.sources import DENSITY, MASS_BALANCE
from pratique.casework.sheets import NextStep
from pratique.science.chemistry.level_over_time import Routine, sawtooth
from pratique.science.chemistry.mixing import Water, after_evaporation, after_evaporation_by_mass

_VOLUME_WORDS = "If the water is really 10\u202f% less than thought, the same litres exchange a tenth more of it."


def _drip(asked: Asking) -> BenchAnswer:
    levels = Levels(asked, ("level", "incoming"))
    inputs = {
        "level": levels.needed("level", "Write the level now."),
        "incoming": levels.needed("incoming", "Write the level of the new water; 0 if it holds none."),
        "volume_l": asked.number("volume", VOLUME, "Write the net volume.", error="net_volume"),
        "dripped_l": asked.number("dripped", VOLUME, "Write how much goes through in all.", error="measured_volume"),
    }

    def after(level: float, incoming: float, volume_l: float, dripped_l: float) -> float:
        return Routine(exchange=dripped_l / volume_l, incoming=incoming).level_after(1.0, start=level)

    found = asked.carry(after, inputs)
    left = exp(-inputs["dripped_l"].value / inputs["volume_l"].value)
    return answered(
        asked,
        found,
        inputs,
        said={
            "unit": levels.unit,
            "decimals": three_digits(found.value),
            "words": "Once that much has gone through, the level is {}.",
        },
        working=(line("Part of the old water that is left", 100.0 * left, 1, "%"),),
        sources=(MASS_BALANCE,),
        volume_words=_VOLUME_WORDS,
    )


def _routine(asked: Asking) -> BenchAnswer:
    levels = Levels(asked, ("rise", "incoming"))
    inputs = {
        "rise": levels.needed("rise", "Write how far it rises between two changes."),
        "incoming": levels.needed("incoming", "Write the level of the new water; 0 if it holds none."),
        "volume_l": asked.number("volume", VOLUME, "Write the net volume.", error="net_volume"),
    }
    whole = part_of(inputs["volume_l"].value)
    inputs["changed_l"] = asked.number("changed_volume", whole, "Write how much is changed.", error="measured_volume")
    asked.keep_within(inputs["changed_l"], inputs["volume_l"])

    def peak(rise: float, incoming: float, volume_l: float, changed_l: float) -> float:
        return sawtooth(rise, changed_l / volume_l, incoming=incoming).peak

    found = asked.carry(peak, inputs)
    fraction = inputs["changed_l"].value / inputs["volume_l"].value
    lowest = sawtooth(inputs["rise"].value, fraction, incoming=inputs["incoming"].value).trough
    return answered(
        asked,
        found,
        inputs,
        said={
            "unit": levels.unit,
            "decimals": three_digits(found.value),
            "words": "Kept up, it settles: just before a change it stands at {}.",
        },
        working=(line("Part of the water that is changed", 100.0 * fraction, 1, "%"),),
        sources=(MASS_BALANCE,),
        volume_words=_VOLUME_WORDS,
        more=(second("Just after a change", lowest, three_digits(lowest), levels.unit),),
    )


def _evaporated(asked: Asking) -> BenchAnswer:
    inputs = {
        "salinity_psu": asked.number("salinity", SALINITY, "Write the salinity before.", error="salinity"),
        "volume_l": asked.number("volume", VOLUME, "Write the net volume of the full tank.", error="net_volume"),
        "evaporated_l": asked.number("evaporated", VOLUME, "Write how much is gone.", error="measured_volume"),
        "temperature_c": asked.number("temperature", TEMPERATURE, "Write the temperature.", error="temperature"),
    }

    asked.keep_within(inputs["evaporated_l"], inputs["volume_l"])

    def after(salinity_psu: float, volume_l: float, evaporated_l: float, temperature_c: float) -> float:
        water = Water(volume_l, salinity_psu, temperature_c)
        return after_evaporation_by_mass(water, evaporated_l=evaporated_l)

    found = asked.carry(after, inputs)
    at = {name: one.value for name, one in inputs.items()}
    by_volume = after_evaporation(at["salinity_psu"], volume_l=at["volume_l"], evaporated_l=at["evaporated_l"])
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "PSU", "decimals": 2, "words": "With that much gone the salinity is {}."},
        working=(line("By volumes alone, without density", by_volume, 2, "PSU"),),
        sources=(MASS_BALANCE, DENSITY),
        volume_words="If the water is really 10\u202f% less than thought, the salinity rises a tenth further.",
        more=(second("Fresh water to put back", at["evaporated_l"], three_digits(at["evaporated_l"]), "L"),),
        entry=NextStep(
            "Write the top-off into the ledger",
            form="top-off",
            answers=(("volume", f"{at['evaporated_l']:.4g}"), ("volume_unit", "L")),
        ),
    )


ROUTINE = (
    Way(
        key="drip",
        words="A slow drip",
        fields=(
            *level_fields("level", "Level now", required=True, hint="In any unit; all levels here in the same."),
            *level_fields("incoming", "Level of the new water", initial="0"),
            *net_volume(),
            *number("dripped", "Water that goes through", VOLUME, required=True),
        ),
        reckon=_drip,
        told_by="dripped",
    ),
    Way(
        key="routine",
        words="The same change again and again",
        fields=(
            *level_fields("rise", "Rise between two changes", required=True),
            *level_fields("incoming", "Level of the new water", initial="0"),
            *net_volume(),
            *number("changed_volume", "Water changed", CHANGED, required=True),
        ),
        reckon=_routine,
        told_by="rise",
    ),
)
EVAPORATION = Way(
    key="evaporation",
    words="Water that evaporated",
    fields=(
        *salinity(),
        *net_volume(),
        *number("evaporated", "Water that evaporated", VOLUME, required=True),
        *temperature(),
    ),
    reckon=_evaporated,
    told_by="evaporated",
)

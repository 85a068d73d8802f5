"""The card for making up water: new salt water, raising what is there, a blend of two, and a salinity in steps."""

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking
from pratique.casework.bench.card import BenchAnswer, Card, Way
from pratique.casework.bench.mix_steps import STEPS
from pratique.casework.bench.quantities import PERCENT, SALINITY, TEMPERATURE, VOLUME
from pratique.casework.bench.questions import number, temperature
from pratique.casework.bench.saying import extrapolated, line, second, three_digits
from pratique.casework.bench.sources import DENSITY, MASS_BALANCE
from pratique.science.chemistry.density import VALIDITY, density_kg_per_m3
from pratique.science.chemistry.mixing import Water, blend, salt_for_new_water_g, salt_to_raise_g

_G_PER_KG = 1000.0
_CHECK = "Mixes differ and draw damp: let it dissolve and aerate for a day, then read it before it is used."
_PART = number(
    "salt_part",
    "Part of the mix that is salt",
    PERCENT,
    initial="100",
    hint="Most mixes hold some moisture; 100 if you do not know.",
)


def _new_water(asked: Asking) -> BenchAnswer:
    inputs = {
        "volume_l": asked.number("volume", VOLUME, "Write how much water to make.", error="measured_volume"),
        "target": asked.number("target", SALINITY, "Write the salinity it is to have."),
        "temperature_c": asked.number("temperature", TEMPERATURE, "Write the temperature."),
        "part": asked.number("salt_part", PERCENT, "Write 100 if you do not know."),
    }
    now = asked.optional("salinity", SALINITY)
    asked.settle()
    if now is not None:
        inputs["salinity_psu"] = now

    def grams(
        volume_l: float, target: float, temperature_c: float, part: float, salinity_psu: float | None = None
    ) -> float:
        if salinity_psu is None:
            return salt_for_new_water_g(Water(volume_l, target, temperature_c), salt_part=part / 100.0)
        return salt_to_raise_g(Water(volume_l, salinity_psu, temperature_c), target, salt_part=part / 100.0)

    found = asked.carry(grams, inputs)
    is_large = found.value >= _G_PER_KG
    scaled = found.times(1.0 / _G_PER_KG) if is_large else found
    target, warmth = inputs["target"].value, inputs["temperature_c"].value
    how = (
        "Dissolve {} of dry salt in part of the water, then fill up."
        if now is None
        else "Dissolve {} of dry salt in it."
    )
    return answered(
        asked,
        scaled,
        inputs,
        said={
            "unit": "kg" if is_large else "g",
            "decimals": 2 if is_large else three_digits(found.value),
            "words": how,
        },
        working=(
            line("Density of the water made", density_kg_per_m3(target, warmth), 1, "kg/m³"),
            line("Salt in a litre of it", found.value / inputs["volume_l"].value, 1, "g"),
        ),
        sources=(DENSITY, MASS_BALANCE),
        extrapolated=extrapolated(VALIDITY, {"salinity": target, "temperature": warmth}),
        volume_words="A tenth less water than thought comes out a tenth saltier.",
        warnings=(_CHECK,),
    )


def _two_waters(asked: Asking) -> BenchAnswer:
    inputs = {
        "volume_1": asked.number("volume_1", VOLUME, "Write how much of the first.", error="measured_volume"),
        "salinity_1": asked.number("salinity_1", SALINITY, "Write its salinity.", error="salinity"),
        "temperature_1": asked.number("temperature_1", TEMPERATURE, "Write its temperature."),
        "volume_2": asked.number("volume_2", VOLUME, "Write how much of the second.", error="measured_volume"),
        "salinity_2": asked.number("salinity_2", SALINITY, "Write its salinity.", error="salinity"),
        "temperature_2": asked.number("temperature_2", TEMPERATURE, "Write its temperature."),
    }

    def both(**at: float) -> Water:
        first = Water(at["volume_1"], at["salinity_1"], at["temperature_1"])
        return blend(first, Water(at["volume_2"], at["salinity_2"], at["temperature_2"]))

    found = asked.carry(lambda **at: both(**at).salinity_psu, inputs)
    made = both(**{name: one.value for name, one in inputs.items()})
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "PSU", "decimals": 2, "words": "Together they have a salinity of {}."},
        working=(line("Their mass together", made.mass_kg(), three_digits(made.mass_kg()), "kg"),),
        sources=(DENSITY, MASS_BALANCE),
        extrapolated=extrapolated(VALIDITY, {"salinity": made.salinity_psu, "temperature": made.temperature_c}),
        more=(
            second("Their volume together", made.volume_l, three_digits(made.volume_l), "L"),
            second("Their temperature together", made.temperature_c, 1, "°C"),
        ),
    )


_TARGET = number("target", "Salinity wanted", SALINITY, required=True, exact=True)
MIX_CARD = Card(
    name="mix",
    question="Make up water",
    title="Salt water",
    words="Salt for new water, what two waters make together, and a change of salinity in steps.",
    ways=(
        Way(
            key="salt",
            words="Dry salt for water",
            fields=(
                *number("volume", "Water to make", VOLUME, required=True),
                *_TARGET,
                *temperature(),
                *number("salinity", "Salinity it has already", SALINITY, hint="Left empty: fresh water."),
                *_PART,
            ),
            reckon=_new_water,
        ),
        Way(
            key="blend",
            words="Two waters together",
            fields=(
                *number("volume_1", "First water", VOLUME, required=True),
                *number("salinity_1", "Its salinity", SALINITY, required=True),
                *number("temperature_1", "Its temperature", TEMPERATURE, required=True),
                *number("volume_2", "Second water", VOLUME, required=True),
                *number("salinity_2", "Salinity of the second", SALINITY, required=True),
                *number("temperature_2", "Temperature of the second", TEMPERATURE, required=True),
            ),
            reckon=_two_waters,
            told_by="volume_1",
        ),
        STEPS,
    ),
)

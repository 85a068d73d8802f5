"""The card for salinity, by whatever instrument is at hand."""

from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Card, Line, Way
from pratique.casework.bench.quantities import CONDUCTIVITY, DENSITY, PLAIN, SALINITY, SPECIFIC_GRAVITY, TEMPERATURE
from pratique.casework.bench.questions import choice, number, temperature
from pratique.casework.bench.salinity_told import salinity_told
from pratique.casework.bench.saying import line, reason_of, second
from pratique.casework.bench.sources import DENSITY as DENSITY_SOURCE
from pratique.casework.bench.sources import PRACTICAL_SALINITY, REFRACTIVE_INDEX
from pratique.casework.sheets import Reason
from pratique.casework.writing.fields import Field
from pratique.knowledge import figure
from pratique.science.chemistry import refraction
from pratique.science.chemistry.density import salinity_from_density
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.hydrometer import GLASS_EXPANSION, salinity_from_hydrometer
from pratique.science.chemistry.salinity import VALIDITY as CONDUCTIVITY_VALIDITY
from pratique.science.chemistry.salinity import practical_salinity_from_conductivity
from pratique.science.chemistry.specific_gravity import (
    REFERENCES,
    ReferencePair,
    parse_reference,
    salinity_from_specific_gravity,
)

_REFERRED_C = 25.0
_SAME_C = 0.05
_METER = "conductivity_meter"
_NEEDS_TEMPERATURE = "Write the temperature of the water that was read."
_NEEDS_PAIR = (
    "A specific gravity means little without its two temperatures: choose the pair that stands on the instrument or in "
    "its leaflet. Left unsaid it makes 2.6 units of salinity."
)


def _pair_words(name: str) -> str:
    """Return a pair of temperatures with its degrees: `20/4 °C`, `25 °C/60 °F`."""
    if "F" not in name:
        return f"{name}\u202f°C"
    return "/".join(f"{one[:-1]}\u202f°F" if one.endswith("F") else f"{one}\u202f°C" for one in name.split("/"))


_PAIRS = (
    *choice(
        "reference",
        "Its two temperatures",
        [(name, _pair_words(name)) for name in REFERENCES],
        hint="Of the sample and of the pure water, as on the instrument.",
        required=True,
    ),
    Field(name="other_reference", label="Another pair", hint="Such as 15/4, or 60F/60F."),
)


def _warmth(asked: Asking) -> Measured:
    return asked.number("temperature", TEMPERATURE, _NEEDS_TEMPERATURE, error="temperature")


def _from_conductivity(asked: Asking) -> BenchAnswer:
    conductivity = asked.number("conductivity", CONDUCTIVITY, "Write what the meter shows.", error="conductivity")
    compensation = asked.choice("compensation")
    inputs = {"conductivity_ms_per_cm": conductivity}
    if compensation == "referred":
        found = asked.carry(lambda conductivity_ms_per_cm: _raw(conductivity_ms_per_cm, _REFERRED_C), inputs)
        return salinity_told(
            asked,
            found,
            inputs,
            sources=(PRACTICAL_SALINITY,),
            method=_METER,
            validity=CONDUCTIVITY_VALIDITY,
            working=(Line("The meter has referred it to 25\u202f°C already."),),
        )
    inputs["temperature_c"] = _warmth(asked)
    asked.settle()
    if not compensation and abs(inputs["temperature_c"].value - _REFERRED_C) > _SAME_C:
        raise asked.refuse(
            "compensation",
            "Say whether the meter shows conductivity as it is, or referred to 25\u202f°C, as most do that have a "
            "thermometer in them. A degree taken the wrong way is 0.8 in salinity.",
        )
    found = asked.carry(_raw, inputs)
    return salinity_told(
        asked, found, inputs, sources=(PRACTICAL_SALINITY,), method=_METER, validity=CONDUCTIVITY_VALIDITY
    )


def _raw(conductivity_ms_per_cm: float, temperature_c: float) -> float:
    return practical_salinity_from_conductivity(conductivity_ms_per_cm, temperature_c)


def _from_specific_gravity(asked: Asking) -> BenchAnswer:
    gravity = asked.number(
        "specific_gravity", SPECIFIC_GRAVITY, "Write the specific gravity, such as 1.026.", error="specific_gravity"
    )
    pair = _pair(asked)
    warmth = asked.optional("temperature", TEMPERATURE)
    asked.settle()
    if warmth is not None and abs(warmth.value - pair.temperature_c) > _SAME_C:
        raise asked.refuse(
            "temperature",
            f"A specific gravity {pair.name} is that of water at {pair.temperature_c:.1f}\u202f°C. Read in water of "
            "another warmth it needs the correction for a hydrometer: choose “A hydrometer”.",
        )
    inputs = {"specific_gravity": gravity}
    found = asked.carry(
        lambda specific_gravity: salinity_from_specific_gravity(
            specific_gravity, temperature_c=pair.temperature_c, reference_c=pair.reference_c
        ),
        inputs,
    )
    return salinity_told(asked, found, inputs, sources=(DENSITY_SOURCE,), working=_pair_lines(pair))


def _from_hydrometer(asked: Asking) -> BenchAnswer:
    material = asked.choice(
        "material", "Say whether it is a glass float or a plastic swing arm; only glass is corrected."
    )
    error = "swing_arm" if material == "swing-arm" else "specific_gravity"
    reading = asked.number("hydrometer", SPECIFIC_GRAVITY, "Write what it shows, such as 1.026.", error=error)
    pair = _pair(asked)
    inputs = {"reading": reading, "temperature_c": _warmth(asked)}
    asked.settle()
    if material == "swing-arm":
        found = asked.carry(
            lambda reading: salinity_from_specific_gravity(
                reading, temperature_c=pair.temperature_c, reference_c=pair.reference_c
            ),
            {"reading": reading},
        )
        words = "How a plastic arm swells is not known, so it is read as it is. Bubbles make it read high."
        return salinity_told(
            asked,
            found,
            inputs,
            sources=(DENSITY_SOURCE,),
            method="hydrometer_swing_arm",
            working=_pair_lines(pair),
            warnings=(words,),
        )

    def corrected(reading: float, temperature_c: float) -> float:
        return salinity_from_hydrometer(
            reading, calibrated_at_c=pair.temperature_c, reference_c=pair.reference_c, sample_c=temperature_c
        )

    found = asked.carry(corrected, inputs)
    without = salinity_from_specific_gravity(
        reading.value, temperature_c=pair.temperature_c, reference_c=pair.reference_c
    )
    return salinity_told(
        asked,
        found,
        inputs,
        sources=(DENSITY_SOURCE, _glass()),
        method="hydrometer_glass",
        working=(*_pair_lines(pair), line("Without correction for warmth it would read", without, 1, "PSU")),
    )


def _from_density(asked: Asking) -> BenchAnswer:
    inputs = {
        "density_kg_per_m3": asked.number("density", DENSITY, "Write the density.", error="density"),
        "temperature_c": _warmth(asked),
    }
    return salinity_told(asked, asked.carry(_by_density, inputs), inputs, sources=(DENSITY_SOURCE,))


def _by_density(density_kg_per_m3: float, temperature_c: float) -> float:
    return salinity_from_density(density_kg_per_m3, temperature_c)


def _from_refractive_index(asked: Asking) -> BenchAnswer:
    inputs = {
        "refractive_index": asked.number(
            "refractive_index", PLAIN, "Write the refractive index, such as 1.3389.", error="refractive_index"
        ),
        "temperature_c": _warmth(asked),
    }
    found = asked.carry(_by_index, inputs)
    return salinity_told(asked, found, inputs, sources=(REFRACTIVE_INDEX,), validity=refraction.VALIDITY)


def _by_index(refractive_index: float, temperature_c: float) -> float:
    return refraction.salinity_from_refractive_index(refractive_index, temperature_c)


def _from_refractometer(asked: Asking) -> BenchAnswer:
    inputs = {"reading": asked.number("refractometer", SALINITY, "Write what it shows.", error="refractometer")}
    scale = asked.choice(
        "scale",
        "Say which scale it is marked in: natural seawater, or plain salt (brine). It stands in the leaflet; a "
        f"seawater standard of 35 shows {figure(refraction.BRINE).value:g} on a brine scale.",
    )
    is_bare = asked.choice("correction") == "none"
    if is_bare:
        needed = "Write how warm it was when it was set right."
        inputs["set_at_c"] = asked.number("set_at", TEMPERATURE, needed, error="temperature")
        inputs["temperature_c"] = asked.number(
            "temperature", TEMPERATURE, "Write how warm the sample on the glass is.", error="temperature"
        )
    asked.settle()
    read = refraction.salinity_from_brine_scale if scale == "brine" else _as_it_is

    def salinity(reading: float, set_at_c: float = 0.0, temperature_c: float = 0.0) -> float:
        if not is_bare:
            return read(reading)
        return refraction.salinity_without_compensation(read(reading), calibrated_at_c=set_at_c, sample_c=temperature_c)

    found = asked.carry(salinity, inputs)
    confused = refraction.error_of_confused_scales_psu(inputs["reading"].value)
    uncorrected = "One degree away from where it was set is about 0.56 in salinity, unless it corrects for warmth."
    return salinity_told(
        asked,
        found,
        inputs,
        sources=(_brine(), REFRACTIVE_INDEX),
        method="refractometer",
        validity=refraction.VALIDITY,
        working=(line("Without correction for warmth it would read", read(inputs["reading"].value), 1, "PSU"),)
        if is_bare
        else (),
        warnings=() if is_bare else (uncorrected,),
        more=(second("Taking one scale for the other would cost", confused, 1, "PSU"),),
    )


def _as_it_is(reading: float) -> float:
    return refraction.salinity_from_refractometer(reading, scale="seawater")


def _brine() -> Reason:
    return reason_of(figure(refraction.BRINE), "What a scale made for plain salt in water shows in seawater.")


def _glass() -> Reason:
    glass = figure(GLASS_EXPANSION)
    return reason_of(glass, f"A glass hydrometer swells with warmth by {glass.value:f} of its volume a degree.")


def _pair(asked: Asking) -> ReferencePair:
    """Return the two temperatures that were named; a problem, and any pair, where there are none."""
    name = "other_reference" if asked.given("other_reference") else "reference"
    text = asked.text(name, _NEEDS_PAIR)
    if text in REFERENCES or not text:
        return REFERENCES[text or "25/25"]
    try:
        return parse_reference(text)
    except DomainError as problem:
        asked.problem(name, str(problem))
        return REFERENCES["25/25"]


def _pair_lines(pair: ReferencePair) -> tuple[Line, ...]:
    return (
        line("The sample is taken at", pair.temperature_c, 1, "°C"),
        line("and held against pure water at", pair.reference_c, 1, "°C"),
    )


_COMPENSATION = (("raw", "As it is"), ("referred", "Referred to 25\u202f°C"))
_MATERIALS = (("glass", "A glass float"), ("swing-arm", "A plastic swing arm"))
_CORRECTIONS = (("atc", "Corrects for it (ATC)"), ("none", "Does not"))
_SCALES = (("seawater", "Natural seawater"), ("brine", "Plain salt (brine)"))

SALINITY_CARD = Card(
    name="salinity",
    question="What does this reading mean?",
    title="Salinity",
    words="Practical salinity from a conductivity meter, a hydrometer, a refractometer or a density.",
    ways=(
        Way(
            key="conductivity",
            words="A conductivity meter",
            fields=(
                *number("conductivity", "Conductivity", CONDUCTIVITY, required=True),
                *choice("compensation", "The meter shows it", _COMPENSATION),
                *temperature(required=False, hint="Not needed where the meter refers to 25\u202f°C."),
            ),
            reckon=_from_conductivity,
            told_by="conductivity",
        ),
        Way(
            key="hydrometer",
            words="A hydrometer",
            fields=(
                *number("hydrometer", "Hydrometer reading", SPECIFIC_GRAVITY, required=True),
                *choice("material", "It is", _MATERIALS, required=True),
                *_PAIRS,
                *temperature(),
            ),
            reckon=_from_hydrometer,
            told_by="hydrometer",
        ),
        Way(
            key="refractometer",
            words="A refractometer",
            fields=(
                *number("refractometer", "Refractometer reading", SALINITY, required=True),
                *choice("scale", "Its scale is for", _SCALES, required=True),
                *choice("correction", "Where its warmth changes, it", _CORRECTIONS, initial="atc"),
                *number("set_at", "Set right at", TEMPERATURE, hint="Only where it does not correct for warmth."),
                *temperature(required=False, hint="Of the sample on its glass; only where it does not correct."),
            ),
            reckon=_from_refractometer,
            told_by="refractometer",
        ),
        Way(
            key="specific-gravity",
            words="A specific gravity",
            fields=(
                *number("specific_gravity", "Specific gravity", SPECIFIC_GRAVITY, required=True),
                *_PAIRS,
                *temperature(required=False, hint="Only to check it against the pair."),
            ),
            reckon=_from_specific_gravity,
            told_by="specific_gravity",
        ),
        Way(
            key="density",
            words="A density",
            fields=(*number("density", "Density", DENSITY, required=True), *temperature()),
            reckon=_from_density,
            told_by="density",
        ),
        Way(
            key="refractive-index",
            words="A refractive index",
            fields=(*number("refractive_index", "Refractive index", PLAIN, required=True), *temperature()),
            reckon=_from_refractive_index,
            told_by="refractive_index",
        ),
    ),
)

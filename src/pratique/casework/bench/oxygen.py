"""The card for oxygen: what the water can hold, how full it is, and how long it lasts when the flow stops."""

from dataclasses import replace

from pratique import knowledge
from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking
from pratique.casework.bench.card import BenchAnswer, Card, Way
from pratique.casework.bench.oxygen_lasting import LASTING
from pratique.casework.bench.oxygen_water import WATER_FIELDS, OxygenWater, full_mg_per_l
from pratique.casework.bench.quantities import CONCENTRATION, PERCENT
from pratique.casework.bench.questions import number
from pratique.casework.bench.saying import line, reason_of, second, with_error
from pratique.casework.sheets import NextStep, Reason
from pratique.science.chemistry.oxygen import percent_of_saturation
from pratique.units import split_quantity


def _saturation(asked: Asking) -> BenchAnswer:
    water = OxygenWater(asked)
    found = asked.carry(full_mg_per_l, water.inputs)
    good = knowledge.figure("oxygen.good_mg_per_l")
    return answered(
        asked,
        found,
        water.inputs,
        said={"unit": "mg/L", "decimals": 2, "words": "This water holds {} of oxygen when it is full."},
        sources=(*water.sources, reason_of(good, f"Good from {good.value:g}\u202f{good.unit} on.")),
        extrapolated=water.extrapolated,
        more=(second("What is wanted at least, as a part of that", 100.0 * good.value / found.value, 0, "%"),),
    )


def _reading(asked: Asking) -> BenchAnswer:
    unit = (split_quantity(asked.text("oxygen"))[1] or asked.unit("oxygen")).strip()
    is_percent = unit == "%"
    measure, error = (PERCENT, "") if is_percent else (CONCENTRATION, "oxygen")
    oxygen = asked.number("oxygen", measure, "Write what the meter shows.", error=error)
    water = OxygenWater(asked)
    inputs = {"oxygen": oxygen, **water.inputs}

    def other(oxygen: float, **given: float) -> float:
        full = full_mg_per_l(**given)
        return oxygen / 100.0 * full if is_percent else 100.0 * oxygen / full

    found, full = asked.carry(other, inputs), asked.carry(full_mg_per_l, water.inputs)
    mg_per_l = found.value if is_percent else oxygen.value
    # Science refuses an oxygen that no water holds.
    percent_of_saturation(mg_per_l, salinity_psu=water.salinity.value, temperature_c=water.temperature.value)
    judged, reason = _judged(mg_per_l)
    told = answered(
        asked,
        found,
        inputs,
        said={"unit": "%", "decimals": 0, "words": f"The water is {{}} full. {judged}"},
        working=(line("Oxygen when full", full.value, 2, "mg/L"),),
        sources=(*water.sources, reason),
        extrapolated=water.extrapolated,
        more=(second("Oxygen when full", full.value, 2, "mg/L", full.plus_minus),),
        entry=_entry(mg_per_l),
    )
    return _in_mg_per_l(told, judged) if is_percent else told


def _in_mg_per_l(told: BenchAnswer, judged: str) -> BenchAnswer:
    words = f"That is {with_error(told.value, told.plus_minus, 2, 'mg/L')} of oxygen. {judged}"
    return replace(told, unit="mg/L", decimals=2, words=words)


def _judged(mg_per_l: float) -> tuple[str, Reason]:
    told = (
        ("oxygen.urgent_mg_per_l", "That is too little to live on: aerate now."),
        ("oxygen.watch_mg_per_l", "That is little: aerate more."),
    )
    for key, words in told:
        figure = knowledge.figure(key)
        if mg_per_l < figure.value:
            return words, reason_of(figure, f"The line is drawn at {figure.value:g}\u202f{figure.unit}.")
    figure = knowledge.figure("oxygen.good_mg_per_l")
    words = "That is good." if mg_per_l >= figure.value else "That will do, but more is better."
    return words, reason_of(figure, f"Good from {figure.value:g}\u202f{figure.unit} on.")


def _entry(mg_per_l: float) -> NextStep:
    answers = (("oxygen", f"{mg_per_l:.3g}"), ("oxygen_unit", "mg/L"))
    return NextStep("Write the reading into the ledger", form="readings", answers=answers)


_READ = replace(number("oxygen", "Oxygen", CONCENTRATION, required=True)[0], units=("mg/L", "%"))
OXYGEN = Card(
    name="oxygen",
    question="What does this reading mean?",
    title="Oxygen",
    words="How much oxygen the water can hold, how full it is, and how long it lasts when the flow stops.",
    ways=(
        Way(key="full", words="What full water holds", fields=WATER_FIELDS, reckon=_saturation),
        Way(
            key="reading",
            words="An oxygen reading",
            fields=(_READ, number("oxygen", "Oxygen", CONCENTRATION)[1], *WATER_FIELDS),
            reckon=_reading,
            told_by="oxygen",
        ),
        LASTING,
    ),
)

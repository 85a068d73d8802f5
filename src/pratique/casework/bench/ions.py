"""The card for the balance of calcium, magnesium and alkalinity, and for what was used up between two tests."""

from collections.abc import Mapping

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Card, Way
from pratique.casework.bench.quantities import ALKALINITY, CONCENTRATION, SALINITY, TEMPERATURE
from pratique.casework.bench.questions import number, salinity, temperature
from pratique.casework.bench.saying import extrapolated, line, second
from pratique.casework.bench.sources import CALCIFICATION, DENSITY, DKH_CONVENTION, REFERENCE_COMPOSITION
from pratique.casework.sheets import NextStep
from pratique.casework.words import listed
from pratique.science.chemistry.alkalinity import DKH_PER_MEQ, alkalinity_as
from pratique.science.chemistry.ions import (
    CALCIUM_MG_PER_L_PER_DKH,
    VALIDITY,
    IonBalance,
    consumption_ratio,
    ion_balance,
)


def _balance(asked: Asking) -> BenchAnswer:
    inputs = {
        "calcium": asked.number("calcium", CONCENTRATION, "Write the calcium.", error="calcium"),
        "magnesium": asked.number("magnesium", CONCENTRATION, "Write the magnesium.", error="magnesium"),
        "alkalinity": asked.number("alkalinity", ALKALINITY, "Write the alkalinity.", error="alkalinity"),
        "salinity_psu": asked.number("salinity", SALINITY, "Write the salinity.", error="salinity"),
        "temperature_c": asked.number("temperature", TEMPERATURE, "Write the temperature.", error="temperature"),
    }
    found = asked.carry(lambda **at: _at(**at).calcium.at_35, inputs)
    magnesium = asked.carry(lambda **at: _at(**at).magnesium.at_35, inputs)
    alkalinity = asked.carry(lambda **at: _at(**at).alkalinity.at_35 * DKH_PER_MEQ, inputs)
    at = _at(**{name: one.value for name, one in inputs.items()})
    words = f"For its salinity this water has {_shares(at)}. At salinity 35 its calcium would be {{}}."
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "mg/L", "decimals": 0, "words": words},
        working=(
            line("Calcium of the ocean at salinity 35", at.calcium.reference, 0, "mg/L"),
            line("Magnesium of the ocean at salinity 35", at.magnesium.reference, 0, "mg/L"),
            line("Alkalinity of the ocean at salinity 35", at.alkalinity.reference * DKH_PER_MEQ, 1, "dKH"),
        ),
        sources=(REFERENCE_COMPOSITION, DENSITY, DKH_CONVENTION),
        extrapolated=extrapolated(VALIDITY, {"salinity": inputs["salinity_psu"].value}),
        more=(
            second("Magnesium at salinity 35", magnesium.value, 0, "mg/L", magnesium.plus_minus),
            second("Alkalinity at salinity 35", alkalinity.value, 1, "dKH", alkalinity.plus_minus),
            second("Magnesium to calcium, by mass", at.magnesium_by_calcium, 2),
            second("The same in the ocean", at.reference_magnesium_by_calcium, 2),
        ),
        entry=_entry(inputs),
    )


def _at(calcium: float, magnesium: float, alkalinity: float, salinity_psu: float, temperature_c: float) -> IonBalance:
    return ion_balance(
        calcium_mg_per_l=calcium,
        magnesium_mg_per_l=magnesium,
        alkalinity_meq_per_l=alkalinity_as(alkalinity, "dKH", "meq/L"),
        salinity_psu=salinity_psu,
        temperature_c=temperature_c,
    )


def _shares(at: IonBalance) -> str:
    told = {"calcium": at.calcium, "magnesium": at.magnesium, "alkalinity": at.alkalinity}
    return listed([f"{100.0 * one.share:.0f}\u202f% of the ocean's {name}" for name, one in told.items()])


def _entry(inputs: Mapping[str, Measured]) -> NextStep:
    read = {"calcium": "mg/L", "magnesium": "mg/L", "alkalinity": "dKH"}
    answers = [(name, f"{inputs[name].value:.4g}") for name in read]
    units = [(f"{name}_unit", unit) for name, unit in read.items()]
    return NextStep("Write these readings into the ledger", form="readings", answers=(*answers, *units))


def _used(asked: Asking) -> BenchAnswer:
    inputs = {
        "before": asked.number(
            "calcium_before", CONCENTRATION, "Write the calcium of the first test.", error="calcium"
        ),
        "after": asked.number("calcium_after", CONCENTRATION, "Write the calcium of the second test.", error="calcium"),
        "alkalinity_before": asked.number(
            "alkalinity_before", ALKALINITY, "Write the alkalinity of the first test.", error="alkalinity"
        ),
        "alkalinity_after": asked.number(
            "alkalinity_after", ALKALINITY, "Write the alkalinity of the second test.", error="alkalinity"
        ),
    }
    dosed = {
        "dosed_calcium": asked.number("dosed_calcium", CONCENTRATION, "Write 0 if none was dosed."),
        "dosed_alkalinity": asked.number("dosed_alkalinity", ALKALINITY, "Write 0 if none was dosed."),
    }
    asked.settle()
    given: Mapping[str, Measured] = {**inputs, **dosed}

    def ratio(**at: float) -> float:
        alkalinity_used = at["alkalinity_before"] - at["alkalinity_after"] + at["dosed_alkalinity"]
        used = consumption_ratio(
            calcium_used_mg_per_l=at["before"] - at["after"] + at["dosed_calcium"],
            alkalinity_used_meq_per_l=alkalinity_as(alkalinity_used, "dKH", "meq/L"),
        )
        return used.of_calcification

    found = asked.carry(ratio, given)
    at = {name: one.value for name, one in given.items()}
    calcium_used = at["before"] - at["after"] + at["dosed_calcium"]
    alkalinity_used = at["alkalinity_before"] - at["alkalinity_after"] + at["dosed_alkalinity"]
    return answered(
        asked,
        found,
        given,
        said={
            "unit": "",
            "decimals": 2,
            "words": f"Calcium went {{}} times as fast as chalk takes it. {_meant(found.value, found.plus_minus)}",
        },
        working=(
            line("Calcium used up", calcium_used, 0, "mg/L"),
            line("Alkalinity used up", alkalinity_used, 2, "dKH"),
            line("Chalk takes, for 1\u202fdKH", CALCIUM_MG_PER_L_PER_DKH, 2, "mg/L of calcium"),
        ),
        sources=(CALCIFICATION, DKH_CONVENTION),
        more=(second("Calcium that chalk would have taken", alkalinity_used * CALCIUM_MG_PER_L_PER_DKH, 0, "mg/L"),),
    )


def _meant(ratio: float, plus_minus: float) -> str:
    if ratio - plus_minus <= 1.0 <= ratio + plus_minus:
        return "Within its error that is what growing corals and coralline algae take."
    if ratio < 1.0:
        return (
            "More alkalinity went than calcium: nitrification takes alkalinity alone, or a reading or a dose is wrong."
        )
    return "More calcium went than alkalinity: a reading is wrong, or the two are not dosed in balance."


_BALANCE = (
    *number("calcium", "Calcium", CONCENTRATION, required=True),
    *number("magnesium", "Magnesium", CONCENTRATION, required=True),
    *number("alkalinity", "Alkalinity", ALKALINITY, required=True),
    *salinity(),
    *temperature(),
)
_USED = (
    *number("calcium_before", "Calcium, first test", CONCENTRATION, required=True),
    *number("calcium_after", "Calcium, second test", CONCENTRATION, required=True),
    *number("dosed_calcium", "Calcium dosed between them", CONCENTRATION, initial="0"),
    *number("alkalinity_before", "Alkalinity, first test", ALKALINITY, required=True),
    *number("alkalinity_after", "Alkalinity, second test", ALKALINITY, required=True),
    *number("dosed_alkalinity", "Alkalinity dosed between them", ALKALINITY, initial="0"),
)

IONS_CARD = Card(
    name="ions",
    question="What does this reading mean?",
    title="Is the balance right?",
    words="Calcium, magnesium and alkalinity held against salinity, and against each other as they are used up.",
    ways=(
        Way(key="balance", words="One set of readings", fields=_BALANCE, reckon=_balance, told_by="calcium"),
        Way(key="used", words="Used up between two tests", fields=_USED, reckon=_used, told_by="calcium_before"),
    ),
)

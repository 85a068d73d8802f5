"""The card for ammonia: how much of the total is the poisonous part, by two published routes."""

from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.bench.answering import answered, carry_skewed
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Card, Line, Secondary, Way
from pratique.casework.bench.quantities import PH, SALINITY, TEMPERATURE, Measure
from pratique.casework.bench.questions import choice, number, ph, salinity, scale_of, temperature
from pratique.casework.bench.saying import carried, extrapolated, line, reason_of, second, three_digits
from pratique.casework.bench.sources import AMMONIA_RIGOROUS, AMMONIA_SIMPLE, BASES, PH_SCALES
from pratique.casework.sheets import NextStep, Reason
from pratique.science.chemistry.ammonia import un_ionised_ammonia_mg_n_per_l
from pratique.science.chemistry.ammonia_constants import VALIDITY
from pratique.science.chemistry.ammonia_rigorous import (
    BothRoutes,
    Route,
    un_ionised_both,
    un_ionised_rigorous_mg_n_per_l,
)
from pratique.science.chemistry.ammonia_species import TotalAsN
from pratique.science.chemistry.ph_scales import PhScale, ph_on_scale
from pratique.science.chemistry.uncertainty import Propagated
from pratique.units import basis_of, show, split_quantity, to_basis, to_canonical

_UNIT = "mg/L NH3-N"


@dataclass(frozen=True)
class _TotalMeasure(Measure):
    """Total ammonia in mg/L of whatever it is counted as; what that is, is asked for by itself."""

    def to_canonical(self, number: float, unit: str) -> float:
        basis = basis_of(unit)
        return to_canonical(number, unit or self.canonical, self.canonical if basis is None else f"mg/L {basis}")


_TOTAL = _TotalMeasure("mg/L", ("mg/L", "µg/L"))
_COUNTED = {"N": "nitrogen (NH3-N, TAN)", "NH3": "NH3", "NH4": "NH4"}
_ENTRY_UNITS = {"N": "mg/L as N", "NH3": "mg/L NH3", "NH4": "mg/L NH4"}
_ASK = (
    "Say what the test counts: nitrogen (N), NH3 or NH4. It stands on the chart or in the meter's sheet; the same "
    "water has three different numbers."
)


def _reckon(asked: Asking) -> BenchAnswer:
    basis = _basis(asked)
    scale = scale_of(asked.choice("ph_scale"))
    inputs = {
        "total": asked.number("total", _TOTAL, "Write what the test shows.", error="total_ammonia"),
        "ph": asked.number("ph", PH, "Write the pH; without it the poisonous part cannot be told.", error="ph"),
        "temperature_c": asked.number("temperature", TEMPERATURE, "Write the temperature.", error="temperature"),
        "salinity_psu": asked.number("salinity", SALINITY, "Write the salinity.", error="salinity"),
    }
    asked.settle()
    routes = _both_with_errors(asked, inputs, scale, to_basis(1.0, basis, "N"))
    both, nbs = _both(inputs, scale, to_basis(1.0, basis, "N"))
    found = routes[both.cautious_route]
    decimals = max(3, three_digits(found.value))
    level, reason = _judged(found.value)
    at_most, of_most = _judged(found.high)
    return answered(
        asked,
        found,
        inputs,
        said={"unit": _UNIT, "decimals": decimals, "words": f"Un-ionised ammonia is {{}}. {level}"},
        working=(
            line("Total ammonia counted as nitrogen", to_basis(inputs["total"].value, basis, "N"), 3, "mg/L"),
            line("pH on the NBS scale", nbs, 2),
            line("By the rigorous route", both.rigorous.mg_per_l, decimals, _UNIT),
            line("By the simple route", both.simple.mg_per_l, decimals, _UNIT),
            Line(f"The more cautious of the two is taken: the {both.cautious_route} one."),
        ),
        sources=(AMMONIA_RIGOROUS, AMMONIA_SIMPLE, PH_SCALES, BASES, *dict.fromkeys((reason, of_most))),
        warnings=(f"It may be as high as {show(found.high, decimals, _UNIT)}. {at_most}",) if at_most != level else (),
        extrapolated=extrapolated(
            VALIDITY, {"salinity": inputs["salinity_psu"].value, "temperature": inputs["temperature_c"].value}
        ),
        more=_more(both, routes, decimals, to_basis(inputs["total"].value, basis, "N")),
        entry=_entry(inputs["total"], basis),
    )


def _both_with_errors(
    asked: Asking, inputs: dict[str, Measured], scale: PhScale, as_n: float
) -> dict[Route, Propagated]:
    """Return un-ionised ammonia in mg N/L by each route, with the error its inputs give it."""

    def rigorous(total: float, ph: float, temperature_c: float, salinity_psu: float) -> float:
        nbs = ph_on_scale(ph, scale, "nbs", salinity_psu=salinity_psu, temperature_c=temperature_c)
        return un_ionised_rigorous_mg_n_per_l(total * as_n, nbs, salinity_psu=salinity_psu, temperature_c=temperature_c)

    def simple(total: float, ph: float, temperature_c: float, salinity_psu: float) -> float:
        nbs = ph_on_scale(ph, scale, "nbs", salinity_psu=salinity_psu, temperature_c=temperature_c)
        return un_ionised_ammonia_mg_n_per_l(total * as_n, nbs, temperature_c, salinity_psu)

    return {"rigorous": carry_skewed(asked, rigorous, inputs), "simple": carry_skewed(asked, simple, inputs)}


def _both(inputs: dict[str, Measured], scale: PhScale, as_n: float) -> tuple[BothRoutes, float]:
    """Return both routes at the inputs themselves, and the pH as a hobby meter would read it."""
    salt, warmth = inputs["salinity_psu"].value, inputs["temperature_c"].value
    nbs = ph_on_scale(inputs["ph"].value, scale, "nbs", salinity_psu=salt, temperature_c=warmth)
    return un_ionised_both(TotalAsN(inputs["total"].value * as_n), nbs, salinity_psu=salt, temperature_c=warmth), nbs


def _more(both: BothRoutes, routes: dict[Route, Propagated], decimals: int, total: float) -> tuple[Secondary, ...]:
    as_nh3 = to_basis(1.0, "N", "NH3")
    cautious = routes[both.cautious_route]
    return (
        carried("The same counted as NH3", cautious, decimals, "mg/L NH3", times=as_nh3),
        *(carried(f"By the {name} route", one, decimals, _UNIT) for name, one in routes.items()),
        second("The two routes differ by", 100.0 * both.spread, 0, "%"),
        *((second("Part that is un-ionised", 100.0 * cautious.value / total, 1, "%"),) if total else ()),
    )


def _basis(asked: Asking) -> str:
    """Return what the test counts, from the unit that was written or the choice; a problem where the two differ."""
    written = basis_of(split_quantity(asked.text("total"))[1] or asked.unit("total"))
    chosen = asked.choice("counted_as", "" if written else _ASK)
    if written is not None and written not in _COUNTED:
        asked.problem("total", f"Total ammonia is counted as N, NH3 or NH4, not as {written}.")
        return "N"
    if written and chosen and written != chosen:
        asked.problem("counted_as", f"The number says {written}, this says {chosen}. {_ASK}")
    return written or chosen or "N"


def _judged(level: float) -> tuple[str, Reason]:
    """Return what a level means, and the figure it was held against."""
    told = (
        ("ammonia.urgent_mg_n_per_l", "That kills: change water now."),
        ("ammonia.act_mg_n_per_l", "That does harm: act today."),
        ("ammonia.watch_mg_n_per_l", "That should be watched."),
    )
    for key, words in told:
        figure = knowledge.figure(key)
        if level >= figure.value:
            return words, reason_of(figure, f"The line is drawn at {figure.value:g}\u202f{figure.unit}.")
    figure = knowledge.figure("ammonia.watch_mg_n_per_l")
    return "That is below what is watched.", reason_of(figure, f"Watched from {figure.value:g}\u202f{figure.unit} on.")


def _entry(total: Measured, basis: str) -> NextStep:
    answers = (("total_ammonia", f"{total.value:.6g}"), ("total_ammonia_unit", _ENTRY_UNITS[basis]))
    return NextStep("Write the total into the ledger", form="readings", answers=answers)


AMMONIA = Card(
    name="ammonia",
    question="What does this reading mean?",
    title="Ammonia",
    words="How much of a total ammonia reading is the poisonous, un-ionised part.",
    ways=(
        Way(
            key="total",
            words="A total ammonia reading",
            fields=(
                *number("total", "Total ammonia", _TOTAL, required=True),
                *choice("counted_as", "The test counts", _COUNTED.items(), required=True),
                *ph(),
                *temperature(),
                *salinity(),
            ),
            reckon=_reckon,
        ),
    ),
)

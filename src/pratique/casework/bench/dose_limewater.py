"""Limewater (kalkwasser) by the litre: what it adds in a day and does to pH and Ω; one way of asking the dose card."""

from pratique import knowledge
from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Way
from pratique.casework.bench.dose_effects import EFFECT_FIELDS, asked_effects
from pratique.casework.bench.quantities import VOLUME, Measure
from pratique.casework.bench.questions import net_volume, number
from pratique.casework.bench.saying import line, reason_of, second
from pratique.casework.bench.sources import CALCIFICATION, DKH_CONVENTION, MASS_BALANCE
from pratique.science.chemistry.alkalinity import DKH_PER_MEQ
from pratique.science.chemistry.ions import CALCIUM_MG_PER_MEQ
from pratique.science.chemistry.ph_after_dosing import limewater_meq_per_l

SATURATED = "limewater.saturated_meq_per_l"
# Ca(OH)2, as effects are told apart: by Hill formula.
_LIME = "CaH2O2"
_STRENGTH = Measure("meq/L", ("meq/L", "dKH"), above_zero=True)
_ALL_AT_ONCE = (
    "Drip it in slowly, best at night, where the flow is strong: pH and Ω beside it are those of the whole day's "
    "limewater mixed in at once, and where it drips in they are higher still."
)


def _reckon(asked: Asking) -> BenchAnswer:
    effects = asked_effects(asked)
    inputs = {
        "limewater_l": asked.number("limewater", VOLUME, "Write how much limewater.", error="measured_volume"),
        "net_volume_l": asked.number("volume", VOLUME, "Write the net volume.", error="net_volume"),
        "strength_meq_per_l": _strength(asked),
    }

    def dkh(limewater_l: float, net_volume_l: float, strength_meq_per_l: float) -> float:
        added = limewater_meq_per_l(limewater_l, net_volume_l=net_volume_l, strength_meq_per_l=strength_meq_per_l)
        return added * DKH_PER_MEQ

    found = asked.carry(dkh, inputs)
    added = found.value / DKH_PER_MEQ
    did = effects.of(_LIME, added)
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "dKH", "decimals": 2, "words": "So much limewater a day adds {} a day."},
        working=(line("The same", added, 3, "meq/L"),),
        sources=(MASS_BALANCE, DKH_CONVENTION, CALCIFICATION, *did.sources),
        cautions=tuple(one.text for one in knowledge.substance("calcium_hydroxide").cautions),
        warnings=(_ALL_AT_ONCE, *did.warnings),
        volume_words="If the water is really 10\u202f% less than thought, it adds a ninth more.",
        extrapolated=did.extrapolated,
        more=(second("Calcium it adds a day", added * CALCIUM_MG_PER_MEQ, 1, "mg/L"), *did.more),
    )


def _strength(asked: Asking) -> Measured:
    """Return how strong the limewater is: as it was read, or saturated."""
    given = asked.optional("limewater_strength", _STRENGTH)
    if given is not None:
        return given
    saturated = knowledge.figure(SATURATED)
    shown = f"{saturated.value:g}\u202f{saturated.unit}"
    if "limewater_strength" not in asked.problems:
        words = f"The limewater is taken as clear and saturated, {shown}; old or weakly stirred limewater holds less."
        asked.assume(words, reason_of(saturated, words))
    return Measured("limewater_strength", "Strength of the limewater", saturated.value, 0.0, shown)


LIMEWATER = Way(
    key="limewater",
    words="Limewater (kalkwasser)",
    fields=(
        *number(
            "limewater", "Limewater a day", VOLUME, required=True, hint="In place of what evaporates; the clear part."
        ),
        *net_volume(),
        *number(
            "limewater_strength", "Strength of the limewater", _STRENGTH, hint="Left empty: saturated at 25\u202f°C."
        ),
        *EFFECT_FIELDS,
    ),
    reckon=_reckon,
    told_by="limewater",
)

"""A dose weighed as a dry salt: how much of it, what else it brings, and a stock where it is too little to weigh."""

from dataclasses import dataclass, replace

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Line, Secondary, Way
from pratique.casework.bench.dose_effects import EFFECT_FIELDS, Effects, asked_effects
from pratique.casework.bench.quantities import MASS, PERCENT, VOLUME
from pratique.casework.bench.questions import net_volume, number
from pratique.casework.bench.salts import (
    KnownSalt,
    asked_salt,
    asked_target,
    constituent_field,
    measure_of,
    refuse_beyond_band,
    salt_fields,
)
from pratique.casework.bench.saying import line, second, three_digits
from pratique.casework.bench.sources import DKH_CONVENTION, MOLAR_MASSES
from pratique.casework.sheets import NextStep
from pratique.science.chemistry.alkalinity import DKH_PER_MEQ
from pratique.science.chemistry.constituents_of_salts import TARGETS
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.reagents import brought_along, grams_to_raise
from pratique.science.chemistry.stock_solutions import (
    can_be_weighed,
    solubility_g_per_l,
    stock_for,
    weighing_plus_minus_g,
)
from pratique.science.chemistry.uncertainty import Propagated
from pratique.units import show

RAISE_UNITS = ("mg/L", "µg/L", "dKH", "meq/L", "mg/L CaCO3")
_MG_PER_G = 1000.0
_NO_RISE = "Write how far it is to rise."


@dataclass(frozen=True)
class SaltDose:
    """A salt, what it is to raise, the rise in mg/L (alkalinity: dKH), and the inputs with their errors."""

    known: KnownSalt
    target: str
    inputs: dict[str, Measured]
    balance: Measured | None

    @property
    def per_unit(self) -> float:
        """Return what science counts for one of the rise's units: meq for a dKH, itself for all else."""
        return 1.0 / DKH_PER_MEQ if self.target == "alkalinity" else 1.0

    @property
    def copper_mg_per_l(self) -> float:
        """Return the copper that the rise brings, also where something else in the salt is meant."""
        given = self.known.salt
        return self.inputs["rise"].value * self.per_unit * given.per_gram("Cu") / given.per_gram(self.target)

    def grams(self, rise: float, volume_l: float, purity: float, weighing: float = 0.0) -> float:
        """Return the grams of powder; DomainError as science has it."""
        given = self.known.salt
        part = purity / 100.0
        return weighing + grams_to_raise(
            given, self.target, raise_by=rise * self.per_unit, volume_l=volume_l, purity=part
        )


def asked_dose(asked: Asking, *, rise: str, volume: str, error: str) -> SaltDose:
    """Return the dose of a salt that was asked for. Raises NotAnswered with every problem."""
    known = asked_salt(asked)
    given = {
        "volume_l": asked.number(volume, VOLUME, "Write how much water it is.", error=error),
        "purity": asked.number("purity", PERCENT, "Write how pure the powder is; 100 if nothing is said."),
    }
    if not 0.0 < given["purity"].value <= 100.0:
        asked.problem("purity", f"Purity lies above 0 and up to 100\u202f%; {given['purity'].shown} does not.")
    balance = asked.optional("balance", MASS)
    if known is None:
        # What the rise is counted in depends on the salt, so it is read only once that is known.
        asked.text(rise, _NO_RISE)
        raise asked.unanswered()
    target = asked_target(asked, known, number=rise)
    if target not in known.salt.targets():
        asked.problem("constituent", f"{known.salt.formula} does not raise {TARGETS[target].words}.")
    risen = asked.number(rise, measure_of(target), _NO_RISE)
    dose = SaltDose(known, target, {"rise": risen, **given}, balance)
    if {"Cu", target} <= set(known.salt.targets()):
        refuse_beyond_band(asked, risen, known.substance, dose.copper_mg_per_l)
    asked.settle()
    return dose


def _reckon(asked: Asking) -> BenchAnswer:
    effects = asked_effects(asked)
    dose = asked_dose(asked, rise="raise", volume="volume", error="net_volume")
    told = salt_told(asked, dose, volume_words=_volume_words(dose))
    found = (
        effects.of(dose.known.salt.hill, dose.inputs["rise"].value * dose.per_unit)
        if dose.target == "alkalinity"
        else None
    )
    return _with_effects(told, found) if found is not None else told


def salt_told(asked: Asking, dose: SaltDose, *, volume_words: str) -> BenchAnswer:
    """Return the answer for a dose of a salt: the grams or milligrams, and what goes with them."""
    found, weighable = _weighed(asked, dose)
    steps = () if weighable else _stock_steps(dose, found.value)
    is_small = found.value < 1.0
    factor, unit = (_MG_PER_G, "mg") if is_small else (1.0, "g")
    scaled = replace(
        found,
        value=found.value * factor,
        plus_minus=found.plus_minus * factor,
        low=found.low * factor,
        high=found.high * factor,
    )
    decimals = three_digits(scaled.value)
    name = dose.known.name
    return answered(
        asked,
        scaled,
        dose.inputs,
        said={
            "unit": unit,
            "decimals": decimals,
            "words": f"Dissolve {{}} of {name}. {_too_little(weighable, steps)}".strip(),
        },
        working=_working(dose, found.value),
        sources=(MOLAR_MASSES, *((DKH_CONVENTION,) if dose.target == "alkalinity" else ())),
        cautions=dose.known.cautions,
        volume_words=volume_words,
        more=_along(dose, found.value),
        steps=steps,
        entry=_entry(dose, scaled.value, decimals, unit),
    )


def _weighed(asked: Asking, dose: SaltDose) -> tuple[Propagated, bool]:
    """Return the grams, with the error of weighing them where they can be weighed at all."""
    found = asked.carry(dose.grams, dose.inputs)
    if dose.balance is None:
        return found, True
    step = dose.balance.value
    if not can_be_weighed(found.value, balance_step_g=step):
        return found, False
    weighing = Measured("balance", "Weighing", 0.0, weighing_plus_minus_g(step), dose.balance.shown)
    return asked.carry(dose.grams, {**dose.inputs, "weighing": weighing}), True


def _too_little(weighable: bool, steps: tuple[Line, ...]) -> str:
    if weighable:
        return ""
    if steps:
        return "That is too little for your balance: make a stock solution of it first."
    return "That is too little for your balance, and what it can weigh does not dissolve in a litre: use a finer one."


def _stock_steps(dose: SaltDose, grams: float) -> tuple[Line, ...]:
    """Return how to make a stock that carries the dose; nothing where no bottle dissolves what can be weighed."""
    step = dose.balance.value if dose.balance is not None else 0.0
    dissolves = solubility_g_per_l(dose.known.salt)
    try:
        offer = stock_for(grams * _MG_PER_G, balance_step_g=step, dissolves_g_per_l=dissolves)
    except DomainError:
        return ()
    first = show(offer.salt_g, three_digits(offer.salt_g), "g")
    lines = [Line(f"Weigh {first} of it, dissolve it, and fill up to {offer.bottle_ml:.0f}\u202fmL. Label the bottle.")]
    if offer.dilutions:
        times = "once" if offer.dilutions == 1 else f"{offer.dilutions} times"
        lines.append(Line(f"Dilute it tenfold {times}: take 10\u202fmL and fill up to 100\u202fmL with clean water."))
    lines.append(Line("Of the last solution, dose", show(offer.dose_ml, three_digits(offer.dose_ml), "mL")))
    return tuple(lines)


def _working(dose: SaltDose, grams: float) -> tuple[Line, ...]:
    known, words = dose.known, TARGETS[dose.target].words
    per_gram = known.salt.per_gram(dose.target) / dose.per_unit
    unit = "dKH in 1\u202fL" if dose.target == "alkalinity" else "mg"
    needed = dose.inputs["rise"].value * dose.inputs["volume_l"].value
    return (
        line(f"Molar mass of {known.salt.formula}", known.salt.molar_mass_g_per_mol, 2, "g/mol"),
        line(f"1\u202fg of it brings, as {words}", per_gram, three_digits(per_gram), unit),
        line(f"Wanted in all, of {words}", needed, three_digits(needed), "dKH × L" if "dKH" in unit else "mg"),
        line("So much powder", grams, three_digits(grams) + (2 if grams < 1.0 else 0), "g"),
    )


def _along(dose: SaltDose, grams: float) -> tuple[Secondary, ...]:
    """Return what else the dose brings, by its targets, leaving out other ways of counting the same atoms."""
    purity = dose.inputs["purity"].value / 100.0
    brought = brought_along(dose.known.salt, grams=grams, volume_l=dose.inputs["volume_l"].value, purity=purity)
    found = []
    for target, rise in brought.items():
        if target == dose.target:
            continue
        is_alkalinity = target == "alkalinity"
        value, unit = (rise * DKH_PER_MEQ, "dKH") if is_alkalinity else (rise, "mg/L")
        found.append(second(f"It also raises {TARGETS[target].words} by", value, three_digits(value), unit))
    return tuple(found)


def _volume_words(dose: SaltDose) -> str:
    rise, volume = dose.inputs["rise"], dose.inputs["volume_l"]
    digits = three_digits(rise.value)
    unit = "dKH" if dose.target == "alkalinity" else "mg/L"
    less = show(rise.value / 0.9, digits, unit)
    return (
        f"If the water is really 10\u202f% less than {volume.shown}, this dose raises it by {less} in place of "
        f"{show(rise.value, digits, unit)}."
    )


def _entry(dose: SaltDose, value: float, decimals: int, unit: str) -> NextStep | None:
    substance = dose.known.substance
    if substance is None:
        return None
    answers = (("substance", substance.key), ("amount", f"{value:.{decimals}f}"), ("amount_unit", unit))
    return NextStep(f"Write the dose of {substance.name} into the ledger", form="dose", answers=answers)


def _with_effects(told: BenchAnswer, found: Effects) -> BenchAnswer:
    return replace(
        told,
        more=(*told.more, *found.more),
        warnings=(*told.warnings, *found.warnings),
        sources=(*told.sources, *found.sources),
        extrapolated=(*told.extrapolated, *found.extrapolated),
    )


POWDER_FIELDS = (
    *salt_fields(),
    constituent_field(),
    *number("purity", "Purity of the powder", PERCENT, initial="100"),
    *number(
        "balance",
        "The last digit of your balance",
        MASS,
        exact=True,
        hint="Such as 0.01\u202fg. Left empty: anything can be weighed.",
    ),
)
SALT = Way(
    key="salt",
    words="A dry salt",
    fields=(
        *POWDER_FIELDS[:2],
        *net_volume(),
        *(
            replace(one, units=RAISE_UNITS) if one.name == "raise" else one
            for one in number("raise", "Raise it by", measure_of("Ca"), required=True, exact=True)
        ),
        *POWDER_FIELDS[2:],
        *EFFECT_FIELDS,
    ),
    reckon=_reckon,
)

"""A dose from a stock solution, and the make-up dose that new water needs: two ways of asking the dose card."""

from pratique import knowledge
from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Way
from pratique.casework.bench.dose_salt import POWDER_FIELDS, RAISE_UNITS, SaltDose, asked_dose, salt_told
from pratique.casework.bench.quantities import CONCENTRATION, STRENGTH, VOLUME
from pratique.casework.bench.questions import choice, net_volume, number
from pratique.casework.bench.salts import refuse_beyond_band
from pratique.casework.bench.saying import line, three_digits
from pratique.casework.bench.sources import MASS_BALANCE
from pratique.casework.sheets import NextStep
from pratique.casework.words import sentence_case
from pratique.casework.writing.fields import Field
from pratique.knowledge import Substance
from pratique.science.chemistry.dilution import make_up_mg, stock_ml
from pratique.units import show

_NEEDED = "Say what is in the stock: ionic, chelated and amine-bound copper are never dosed alike."


def _from_stock(asked: Asking) -> BenchAnswer:
    return _millilitres(asked, rise="raise", volume="volume", error="net_volume")


def _millilitres(asked: Asking, *, rise: str, volume: str, error: str) -> BenchAnswer:
    substance = _contents(asked)
    inputs = {
        "rise": asked.number(rise, CONCENTRATION, "Write how far it is to rise."),
        "volume_l": asked.number(volume, VOLUME, "Write how much water it is.", error=error),
        "strength": asked.number("strength", STRENGTH, "Write how strong the stock is.", error="stock_strength"),
    }
    if substance is not None and substance.form is not None:
        refuse_beyond_band(asked, inputs["rise"], substance, inputs["rise"].value)
    found = asked.carry(_stock_ml, inputs)
    decimals = three_digits(found.value)
    name = substance.name if substance is not None else "the stock"
    milligrams = make_up_mg(inputs["rise"].value, inputs["volume_l"].value)
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "mL", "decimals": decimals, "words": f"Dose {{}} of the stock of {name}."},
        working=(line("Wanted in all", milligrams, three_digits(milligrams), "mg"),),
        sources=(MASS_BALANCE,),
        cautions=tuple(one.text for one in substance.cautions) if substance is not None else (),
        volume_words=_volume_words(inputs["rise"], inputs["volume_l"]),
        entry=_entry(substance, found.value, decimals),
    )


def _stock_ml(rise: float, volume_l: float, strength: float) -> float:
    return stock_ml(make_up_mg(rise, volume_l), strength)


def _contents(asked: Asking) -> Substance | None:
    key = asked.choice("contents", _NEEDED)
    return knowledge.substance(key) if key else None


def _volume_words(rise: Measured, volume: Measured) -> str:
    digits = three_digits(rise.value)
    return (
        f"If the water is really 10\u202f% less than {volume.shown}, this dose raises it by "
        f"{show(rise.value / 0.9, digits, 'mg/L')} in place of {show(rise.value, digits, 'mg/L')}."
    )


def _entry(substance: Substance | None, millilitres: float, decimals: int) -> NextStep | None:
    if substance is None:
        return None
    answers = (("substance", substance.key), ("amount", f"{millilitres:.{decimals}f}"), ("amount_unit", "mL"))
    return NextStep(f"Write the dose of {substance.name} into the ledger", form="dose", answers=answers)


def _make_up(asked: Asking) -> BenchAnswer:
    """Return what the new water of a change needs: its own litres to the target, not the whole tank."""
    if asked.given("strength") or asked.given("contents"):
        if asked.given("substance") or asked.given("formula"):
            asked.problem("strength", "Give the stock or the salt, not both.")
        return _millilitres(asked, rise="target", volume="changed_volume", error="measured_volume")
    dose: SaltDose = asked_dose(asked, rise="target", volume="changed_volume", error="measured_volume")
    words = "Dose the new water alone, before it goes in: the tank's own water already has its part."
    return salt_told(asked, dose, volume_words=words)


def _stock_fields(*, required: bool) -> tuple[Field, ...]:
    substances = [one for one in knowledge.substances() if one.constituent is not None and not one.may_be]
    options = [(one.key, sentence_case(one.name)) for one in substances]
    return (
        *choice("contents", "The stock is of", options, required=required),
        *number(
            "strength",
            "Strength of the stock",
            STRENGTH,
            required=required,
            hint="Milligrams of what counts, such as the copper itself, in a millilitre.",
        ),
    )


STOCK = Way(
    key="stock",
    words="A stock solution",
    fields=(
        *_stock_fields(required=True),
        *net_volume(),
        *number("raise", "Raise it by", CONCENTRATION, required=True, exact=True),
    ),
    reckon=_from_stock,
    told_by="strength",
)
_TARGET = Field(
    name="target",
    label="Level the new water is to have",
    widget=number("target", "", CONCENTRATION)[0].widget,
    required=True,
    units=RAISE_UNITS,
)
MAKE_UP = Way(
    key="make-up",
    words="New water for a change",
    fields=(
        *number("changed_volume", "Water changed", VOLUME, required=True),
        _TARGET,
        *_stock_fields(required=False),
        *POWDER_FIELDS,
    ),
    reckon=_make_up,
    told_by="changed_volume",
)

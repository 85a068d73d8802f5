"""The card for making a stock solution: how much salt goes in, and how strong it really is."""

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Card, Line, Way
from pratique.casework.bench.quantities import MASS, PERCENT, SMALL_VOLUME, STRENGTH
from pratique.casework.bench.questions import number
from pratique.casework.bench.salts import KnownSalt, asked_salt, asked_target, constituent_field, salt_fields
from pratique.casework.bench.saying import line, second, three_digits
from pratique.casework.bench.sources import MOLAR_MASSES
from pratique.casework.sheets import NextStep
from pratique.science.chemistry.constituents_of_salts import TARGETS
from pratique.science.chemistry.stock_solutions import (
    grams_for_stock,
    solubility_g_per_l,
    stock_strength_per_ml,
    weighing_plus_minus_g,
)
from pratique.units import show

_NOT_ALKALINITY = "A stock is reckoned here in mg of one thing in a mL; for alkalinity weigh each dose on its own."


def _to_make(asked: Asking) -> BenchAnswer:
    known, target = _salt(asked, "strength")
    inputs = {
        "strength": asked.number("strength", STRENGTH, "Write how strong it is to be, such as 1\u202fmg/mL."),
        "volume_ml": asked.number("bottle", SMALL_VOLUME, "Write how much of it to make.", error="measured_volume"),
        "purity": _purity(asked),
    }
    asked.settle()

    def grams(strength: float, volume_ml: float, purity: float) -> float:
        return grams_for_stock(
            known.salt, target, strength_mg_per_ml=strength, volume_ml=volume_ml, purity=purity / 100.0
        )

    found = asked.carry(grams, inputs)
    _refuse_undissolved(asked, known, target, salt_g=found.value, volume_ml=inputs["volume_ml"].value)
    decimals = three_digits(found.value)
    words = f"Dissolve {{}} of {known.name} and fill up to {inputs['volume_ml'].shown}. Label the bottle."
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "g", "decimals": decimals, "words": words},
        working=_working(known, target),
        sources=(MOLAR_MASSES,),
        cautions=known.cautions,
        entry=_entry(known, inputs["strength"].value, 100.0 * found.plus_minus / found.value),
    )


def _as_made(asked: Asking) -> BenchAnswer:
    known, target = _salt(asked, "weighed")
    weighed = asked.number("weighed", MASS, "Write how much was weighed out.")
    balance = asked.optional("balance", MASS)
    inputs = {
        "salt_g": _with_balance(weighed, balance),
        "volume_ml": asked.number(
            "bottle", SMALL_VOLUME, "Write how much it was filled up to.", error="measured_volume"
        ),
        "purity": _purity(asked),
    }
    asked.settle()

    def strength(salt_g: float, volume_ml: float, purity: float) -> float:
        return stock_strength_per_ml(known.salt, target, salt_g=salt_g, volume_ml=volume_ml, purity=purity / 100.0)

    found = asked.carry(strength, inputs)
    decimals = three_digits(found.value)
    relative = 100.0 * found.plus_minus / found.value
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "mg/mL", "decimals": decimals, "words": f"The stock holds {{}} of {TARGETS[target].words}."},
        working=_working(known, target),
        sources=(MOLAR_MASSES,),
        cautions=known.cautions,
        warnings=_undissolved(known, salt_g=weighed.value, volume_ml=inputs["volume_ml"].value),
        more=(second("Its error, as a part of it", relative, 1, "%"),),
        entry=_entry(known, found.value, relative),
    )


def _refuse_undissolved(asked: Asking, known: KnownSalt, target: str, *, salt_g: float, volume_ml: float) -> None:
    """Raise NotAnswered where so much does not dissolve, with the strongest stock that does."""
    most = solubility_g_per_l(known.salt)
    if most is None or 1000.0 * salt_g <= most * volume_ml:
        return
    strength = most * known.salt.per_gram(target) / 1000.0
    strongest = show(strength, three_digits(strength), "mg/mL")
    raise asked.refuse("strength", f"{_dissolves(known, most)} The strongest stock holds about {strongest}.")


def _undissolved(known: KnownSalt, *, salt_g: float, volume_ml: float) -> tuple[str, ...]:
    most = solubility_g_per_l(known.salt)
    if most is None or 1000.0 * salt_g <= most * volume_ml:
        return ()
    return (f"{_dissolves(known, most)} What lies at the bottom is not in the solution: it is weaker than this.",)


def _dissolves(known: KnownSalt, most: float) -> str:
    return f"Only about {show(most, three_digits(most), 'g')} of {known.name} dissolve in a litre."


def _with_balance(weighed: Measured, balance: Measured | None) -> Measured:
    """Return the weighing with the error its balance gives it, where no ± was given with the number."""
    if balance is None or weighed.plus_minus:
        return weighed
    error = weighing_plus_minus_g(balance.value)
    return Measured(weighed.name, weighed.label, weighed.value, error, weighed.shown)


def _salt(asked: Asking, number_name: str) -> tuple[KnownSalt, str]:
    """Return the salt and what counts in it. Raises NotAnswered where either is not clear."""
    known = asked_salt(asked)
    if known is None:
        raise asked.unanswered()
    target = asked_target(asked, known, number=number_name)
    if target == "alkalinity":
        asked.problem("constituent", _NOT_ALKALINITY)
    elif target not in known.salt.targets():
        asked.problem("constituent", f"{known.salt.formula} holds no {TARGETS[target].words}.")
    return known, target


def _purity(asked: Asking) -> Measured:
    purity = asked.number("purity", PERCENT, "Write how pure the powder is; 100 if nothing is said.")
    if not 0.0 < purity.value <= 100.0:
        asked.problem("purity", "Purity lies above 0 and up to 100\u202f%.")
    return purity


def _working(known: KnownSalt, target: str) -> tuple[Line, ...]:
    per_gram = known.salt.per_gram(target)
    return (
        line(f"Molar mass of {known.salt.formula}", known.salt.molar_mass_g_per_mol, 2, "g/mol"),
        line(f"1\u202fg of it holds, of {TARGETS[target].words}", per_gram, three_digits(per_gram), "mg"),
    )


def _entry(known: KnownSalt, strength: float, error_percent: float) -> NextStep | None:
    if known.substance is None:
        return None
    answers = (
        ("substance", known.substance.key),
        ("strength", f"{strength:.4g}"),
        ("plus-minus-percent", f"{error_percent:.2g}"),
    )
    return NextStep("Write the stock into the ledger", form="stock", answers=answers)


_POWDER = (*salt_fields(), constituent_field())
_BOTTLE = number("bottle", "Volume of the stock", SMALL_VOLUME, required=True)
_PURITY = number("purity", "Purity of the powder", PERCENT, initial="100")

STOCK_CARD = Card(
    name="stock",
    question="Make up water",
    title="Stock solution",
    words="How much salt makes a stock of a strength, or how strong the one you made is.",
    ways=(
        Way(
            key="make",
            words="To be made",
            fields=(*_POWDER, *number("strength", "Strength", STRENGTH, required=True, exact=True), *_BOTTLE, *_PURITY),
            reckon=_to_make,
            told_by="strength",
        ),
        Way(
            key="made",
            words="Made already",
            fields=(
                *_POWDER,
                *number("weighed", "Salt weighed out", MASS, required=True),
                *number("balance", "The last digit of your balance", MASS, exact=True, hint="Such as 0.01\u202fg."),
                *_BOTTLE,
                *_PURITY,
            ),
            reckon=_as_made,
            told_by="weighed",
        ),
    ),
)

"""The form for a dose: what went into a system's water, how much, and how much of that counts."""

from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.copper_level import after_dose, running_with
from pratique.casework.copper_water import WaterCopper
from pratique.casework.salts import counted_mg, counted_name
from pratique.casework.words import amount, sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.combining import combining_question
from pratique.casework.writing.dangers import (
    copper_water,
    harm_question,
    has_copper,
    open_courses,
)
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import meant
from pratique.casework.writing.lookups import find, find_system
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import (
    MOMENT,
    WORDS,
    first,
    states,
    substance_options,
    system_field,
    with_initial,
)
from pratique.knowledge import CopperForm, Substance
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Dose
from pratique.ledger.states import CourseState, StockState, SystemState
from pratique.units import WrongUnit, parse_number, split_quantity, to_canonical

_ROUNDING = 1e-9
PURE = "mg copper"


@dataclass(frozen=True, slots=True)
class Amount:
    """How much went in: mL of a stock, g of what was weighed, and mg of the constituent where that is known."""

    millilitres: float | None = None
    grams: float | None = None
    milligrams: float | None = None


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions; the stock and substance of the system's open course are filled in."""
    system = system_field(household)
    names = {one.value: one.words for one in system.options}
    courses = open_courses(household, meant(first(answers, "system") or str(system.initial), names) or "")
    chosen = any(answers.get(name) for name in ("stock", "substance"))
    stock = courses[0].stock if courses and not chosen else None
    substance = courses[0].substance if courses and not chosen and stock is None else ""
    has_stock = stock is not None or bool(answers.get("stock"))
    asked = (
        system,
        Field(
            name="stock",
            label="Stock solution",
            widget=Widget.CHOICE,
            options=(Option("", "No stock solution"), *states(household.stocks.values())),
            initial=stock or "",
        ),
        Field(
            name="substance",
            label="Substance, if not from a stock",
            widget=Widget.CHOICE,
            options=(Option("", "As in the stock solution"), *substance_options()),
            initial=substance,
        ),
        Field(
            name="amount",
            label="Amount",
            widget=Widget.NUMBER,
            required=True,
            units=("mL", PURE, "g", "mg") if has_stock else ("g", "mg", PURE, "mL"),
            hint="Of a stock solution in mL. Without one, the salt that was weighed, or the copper alone.",
        ),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the dose. What went in is written down however wrong it was: it is only asked about. Raises Problems."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    system = find_system(asked)
    stock = find(asked, "stock", asked.household.stocks, "stock solution")
    substance = _substance(asked, stock)
    given = _amount(asked, stock, substance)
    if system is not None and substance is not None:
        _ask(asked, system, substance, given)
    confirmed = asked.settle()
    if system is None or substance is None or given is None:
        return []
    course = _course(asked, system, substance)
    return asked.entries(
        Dose(
            system=system.key,
            substance=substance.key,
            stock=stock.key if stock else None,
            amount_ml=given.millilitres,
            amount_g=given.grams,
            amount_mg=given.milligrams,
            course=course.key if course else None,
            words=asked.words,
            confirmed=confirmed,
        )
    )


def _substance(asked: Asked, stock: StockState | None) -> Substance | None:
    chosen = asked.choice("substance")
    if stock is None:
        if not chosen and not asked.text("stock"):
            asked.problem("substance", "Choose the stock solution or the substance that went in.")
        return knowledge.substance_or_unknown(chosen) if chosen else None
    held = knowledge.substance_or_unknown(stock.substance)
    if chosen and chosen != held.key:
        asked.problem(
            "substance", f"{stock.name} holds {held.name}. Choose “No stock solution”, or leave the substance open."
        )
    return held


def _amount(asked: Asked, stock: StockState | None, substance: Substance | None) -> Amount | None:
    text = asked.text("amount", "Write how much went in.")
    if not text:
        return None
    number_text, written_unit = split_quantity(text)
    unit = written_unit or asked.unit("amount")
    try:
        number = parse_number(number_text or text)
        millilitres, milligrams = (None, number) if _is_pure(unit) else _in_ml_or_mg(number, unit)
    except ValueError as error:
        asked.problem("amount", str(error))
        return None
    if number <= 0:
        asked.problem("amount", f"An amount is more than 0; {plain(number)} is not.")
        return None
    if _is_pure(unit):
        if substance is not None and substance.constituent != CONSTITUENT:
            asked.problem(
                "amount",
                f"{sentence_case(substance.name)} holds no copper; write the g or mg of it that were weighed.",
            )
        return Amount(milligrams=milligrams)
    if millilitres is not None:
        return Amount(millilitres=millilitres, milligrams=millilitres * stock.strength_mg_per_ml if stock else None)
    if stock is not None:
        asked.problem("amount", f"Write how many mL of {stock.name} went in, or choose “No stock solution”.")
    grams = (milligrams or 0.0) / 1000
    return Amount(grams=grams, milligrams=counted_mg(substance, grams) if substance else None)


def _is_pure(unit: str) -> bool:
    return unit.strip().casefold() in {PURE, "mg cu"}


def _in_ml_or_mg(number: float, unit: str) -> tuple[float | None, float | None]:
    try:
        return to_canonical(number, unit, "mL"), None
    except WrongUnit:
        try:
            return None, to_canonical(number, unit, "mg")
        except WrongUnit:
            raise WrongUnit(f"An amount is in mL, g or mg, not {unit}.") from None


def _ask(asked: Asked, system: SystemState, substance: Substance, given: Amount | None) -> None:
    """Ask about everything that is surprising in a dose."""
    household = asked.household
    harm = harm_question(household, system, substance)
    if harm is not None:
        asked.doubt("system", harm)
    if substance.binds_copper and has_copper(household, system, asked.at):
        asked.doubt(
            "substance",
            f"Urgent: {system.name} holds copper, and {substance.name} may make copper turn toxic at once. "
            "Watch the animals' breathing and be ready to move them. Did it really go in?",
        )
    held = open_courses(household, system.key, constituent=CONSTITUENT) if substance.takes_up_copper else []
    if held:
        asked.doubt(
            "substance",
            f"{sentence_case(substance.name)} takes copper out of {system.name}, where {held[0].name} is under way; no "
            "day counts for sure until copper is read again. Did it really go in?",
        )
    _ask_about_others(asked, system, substance)
    if substance.may_be and given is not None and given.grams is not None:
        asked.doubt("substance", _which_salt(substance))
    if substance.form is None:
        return
    _ask_about_form(asked, system, substance, substance.form)
    if system.net_volume_l is None:
        asked.doubt(
            "system",
            f"{system.name}'s net volume is not known, so what this does to the level is not known either, until it is "
            f"read. Write the dose all the same? The net volume can be written under {system.name}.",
        )
    elif given is not None and given.milligrams is None:
        asked.doubt(
            "amount", "Without the strength of a stock solution the level is not known until it is read. Write it so?"
        )
    elif given is not None and given.milligrams is not None:
        _ask_about_level(asked, system, substance.form, given.milligrams)


def _ask_about_others(asked: Asked, system: SystemState, substance: Substance) -> None:
    """Ask about what must not meet what went in, where that is not asked about more closely elsewhere."""
    closer = {"copper_binder"} if substance.binds_copper else set()
    if substance.form is not None and open_courses(asked.household, system.key, constituent=CONSTITUENT):
        closer.add("copper_forms")
    animals = asked.household.living_in(system.key)
    question = combining_question(asked, system, substance, animals, besides=closer)
    if question is not None:
        asked.doubt("substance", question)


def _which_salt(substance: Substance) -> str:
    names = " or ".join(knowledge.substance(one).name for one in substance.may_be)
    return (
        f"How much {counted_name(substance)} this holds depends on the water in the salt; the label says it. It may be "
        f"{names}: choose {'one' if len(substance.may_be) > 1 else 'that'} if you can. Write it as it is?"
    )


def _ask_about_form(asked: Asked, system: SystemState, substance: Substance, form: CopperForm) -> None:
    for course in open_courses(asked.household, system.key, constituent=CONSTITUENT):
        held = knowledge.substance_or_unknown(course.substance)
        if held.form is not None and held.form != form:
            asked.doubt(
                "substance",
                f"Urgent: {course.name} in {system.name} holds {held.name}; this is {substance.name}. Two forms of "
                "copper must never be mixed, and neither band counts for the mixture. Did it really go in?",
            )


def _ask_about_level(asked: Asked, system: SystemState, form: CopperForm, milligrams: float) -> None:
    """Ask once where a dose may have passed the upper limit: by the high end of what is reckoned where that is known.

    Where nothing told the level before, anything may have been there, and the doses alone decide.
    """
    water = copper_water(asked.household, system, asked.at, form=form, without=asked.desk.amends)
    mean, high = _level_after(system, water, milligrams)
    courses = open_courses(asked.household, system.key, constituent=CONSTITUENT)
    upper = courses[0].hard_upper if courses else knowledge.copper_band(form).hard_upper
    is_known = water.level is not None
    if (high if is_known else mean) <= upper + _ROUNDING:
        return
    figure = knowledge.constituent(CONSTITUENT)
    limit, middle, most = (amount(one, figure.decimals, figure.unit) for one in (upper, mean, high))
    said = f"would then hold about {middle}" if not is_known or mean > upper else f"may then hold up to {most}"
    asked.doubt(
        "amount",
        f"By the ledger {system.name} {said} of copper, above the upper limit of {limit}. Did this much really go in?",
    )


def _level_after(system: SystemState, water: WaterCopper, milligrams: float) -> tuple[float, float]:
    """Return the mean and the high end of the level after a dose; by that dose alone where nothing is reckoned."""
    running = running_with(water.told, water.reckoned)
    after = after_dose(running, milligrams) if running is not None else None
    alone = milligrams / (system.net_volume_l or system.gross_volume_l or 1.0)
    return after or (alone, alone)


def _course(asked: Asked, system: SystemState, substance: Substance) -> CourseState | None:
    """Return the course the dose belongs to: the one of its substance that was under way at that moment."""
    for course in asked.household.courses_of(system.key):
        begun = course.started is not None and course.started <= asked.at
        if course.substance == substance.key and begun and (course.stopped is None or asked.at <= course.stopped):
            return course
    return None


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a dose as answers to this form."""
    dose = entry.payload
    if not isinstance(dose, Dose):
        return {}
    amounts = ((dose.amount_ml, "mL"), (dose.amount_g, "g"), (dose.amount_mg, PURE))
    number, unit = next((number, unit) for number, unit in amounts if number is not None)
    return {
        "system": dose.system,
        "stock": dose.stock or "",
        "substance": "" if dose.stock else dose.substance,
        "amount": plain(number),
        "amount_unit": unit,
        **told(entry, household, dose.words),
    }


DOSE = Form(
    name="dose",
    title="Dose",
    group="every day",
    fields=fields,
    write=write,
    kinds=("dose",),
    answers_of=answers_of,
)

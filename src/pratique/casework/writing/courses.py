"""The form that plans a course of treatment. A plan outside what is safe is refused, not asked about."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.protocol_kept import protocol_of
from pratique.casework.words import sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.combining import MIN_OVERRIDE_LETTERS
from pratique.casework.writing.course_checks import check_band, check_system, check_who
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import key_from, meant
from pratique.casework.writing.lookups import find, find_system
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, WORDS, first, states, system_field, with_initial
from pratique.knowledge import CopperForm, Substance
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Course
from pratique.ledger.states import BatchState

BAND = ("target-lower", "target-upper", "hard-upper")
_UNITS = ("mg/L", "µg/L")


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions; band and days are filled in from the form of copper and the batch's protocol."""
    batch = household.batches.get(_key(answers, "batch", {key: one.name for key, one in household.batches.items()}))
    substance = _substance_beforehand(household, answers, batch)
    days = required_days(household, batch, substance.form)
    asked = (
        Field(
            name="name",
            label="Name",
            hint="Left empty: the batch and the substance.",
            initial="",
        ),
        system_field(household),
        Field(
            name="batch",
            label="Batch",
            widget=Widget.CHOICE,
            options=(Option("", "No batch"), *states(household.batches.values())),
        ),
        Field(
            name="stock",
            label="Stock solution",
            widget=Widget.CHOICE,
            options=(Option("", "No stock solution"), *states(household.stocks.values())),
        ),
        Field(
            name="substance",
            label="Substance",
            widget=Widget.CHOICE,
            required=True,
            options=tuple(Option(one.key, sentence_case(one.name)) for one in _medicines()),
            initial=substance.key,
        ),
        *_band_fields(substance),
        Field(
            name="required-days",
            label="Unbroken days needed",
            widget=Widget.NUMBER,
            required=True,
            initial=plain(days) if days is not None else "",
        ),
        Field(
            name="override",
            label="Why it is planned all the same",
            widget=Widget.LONG_TEXT,
            hint="For a band above the usual limit, or too soon after what it must not meet. The ledger keeps it.",
        ),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def _medicines() -> list[Substance]:
    """Return the medicines, copper first."""
    return sorted(
        (one for one in knowledge.substances() if one.is_medicine), key=lambda one: one.constituent != CONSTITUENT
    )


def _key(answers: Answers, name: str, names: dict[str, str]) -> str:
    return meant(first(answers, name), names) or ""


def _substance_beforehand(household: Household, answers: Answers, batch: BatchState | None) -> Substance:
    stock = household.stocks.get(_key(answers, "stock", {key: one.name for key, one in household.stocks.items()}))
    chosen = _key(answers, "substance", {one.key: one.name for one in knowledge.substances()})
    if chosen:
        return knowledge.substance_or_unknown(chosen)
    if stock is not None:
        return knowledge.substance_or_unknown(stock.substance)
    form = protocol_of(household, batch.protocol).copper_form if batch is not None else None
    return next(one for one in _medicines() if one.form == (form or CopperForm.IONIC))


def _band_fields(substance: Substance) -> list[Field]:
    band = knowledge.copper_band(substance.form) if substance.form is not None else None
    labels = ("Target from", "Target to", "Upper limit")
    figures = (band.target_lower, band.target_upper, band.hard_upper) if band is not None else (None, None, None)
    return [
        Field(
            name=name,
            label=label,
            widget=Widget.NUMBER,
            required=True,
            units=_UNITS,
            initial=plain(figure) if figure is not None else "",
            group="Band",
        )
        for name, label, figure in zip(BAND, labels, figures, strict=True)
    ]


def required_days(household: Household, batch: BatchState | None, form: CopperForm | None) -> float | None:
    """Return the days at target that the batch's protocol asks for, or else the first protocol of this copper form."""
    chosen = [protocol_of(household, batch.protocol)] if batch is not None else []
    for protocol in (*chosen, *(one for one in knowledge.protocols() if form is not None and one.copper_form == form)):
        for leg in protocol.legs:
            for criterion in leg.criteria:
                if criterion.key == "days_at_target":
                    return criterion.required
    return None


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the planned course. Raises Problems for a plan that could kill, and Doubts for one that might harm."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    system = find_system(asked, needed="Choose the system that is treated.")
    batch = find(asked, "batch", asked.household.batches, "batch")
    stock = find(asked, "stock", asked.household.stocks, "stock solution")
    chosen = asked.choice("substance", "Choose the substance.")
    substance = knowledge.substance_or_unknown(chosen) if chosen else None
    band = [asked.zero_or_more(name, "mg/L", "Write this end of the band.") for name in BAND]
    days = asked.number("required-days", needed="Write how many unbroken days are needed.", above=0)
    if substance is not None:
        check_band(asked, substance, stock, band)
        if system is not None:
            check_system(asked, system, substance)
            check_who(asked, system, substance, batch)
    confirmed = asked.settle()
    lower, upper, hard = band
    if system is None or substance is None or days is None or lower is None or upper is None or hard is None:
        return []
    name = asked.line("name") or " ".join(part for part in (batch.name if batch else "", _short(substance)) if part)
    before = asked.desk.amends
    course = Course(
        key=before.raw["key"] if before else key_from(name, asked.household.courses),
        name=sentence_case(name),
        system=system.key,
        substance=substance.key,
        stock=stock.key if stock else None,
        target_lower=lower,
        target_upper=upper,
        hard_upper=hard,
        required_days=days,
        batch=batch.key if batch else None,
        words=_words(asked),
        confirmed=confirmed,
    )
    return asked.entries(course)


def _short(substance: Substance) -> str:
    return CONSTITUENT if substance.constituent == CONSTITUENT else substance.name


def _words(asked: Asked) -> str:
    override = asked.text("override")
    return "\n".join(part for part in (asked.words, override if len(override) >= MIN_OVERRIDE_LETTERS else "") if part)


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a planned course as answers to this form."""
    course = entry.payload
    if not isinstance(course, Course):
        return {}
    band = (course.target_lower, course.target_upper, course.hard_upper)
    return {
        "name": course.name,
        "system": course.system,
        "batch": course.batch or "",
        "stock": course.stock or "",
        "substance": course.substance,
        **{name: plain(number) for name, number in zip(BAND, band, strict=True)},
        **{f"{name}_unit": "mg/L" for name in BAND},
        "required-days": plain(course.required_days),
        **told(entry, household, course.words),
    }


COURSE = Form(
    name="course",
    title="Plan a course",
    group="treatment",
    fields=fields,
    write=write,
    kinds=("course",),
    answers_of=answers_of,
)

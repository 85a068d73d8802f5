"""The forms for water taken out and replaced, and for what evaporated."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.invertebrates import harmed_in
from pratique.casework.words import amount
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import find_system
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import impossible, plain, units_of
from pratique.casework.writing.options import MOMENT, WORDS, system_field, volumes, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import TopOff, WaterChange
from pratique.ledger.states import SystemState

_INCOMING = "incoming-copper"


def change_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions of a water change."""
    asked = (
        system_field(household),
        Field(name="volume", label="Water changed", widget=Widget.NUMBER, units=volumes(household)),
        Field(
            name="emptied",
            label="Emptied and refilled",
            widget=Widget.YES,
            hint="All of the old water went out.",
        ),
        Field(
            name=_INCOMING,
            label="Copper in the new water",
            widget=Widget.NUMBER,
            units=units_of(knowledge.constituent(CONSTITUENT)),
            hint="Left empty: none. A dose given afterwards is written as a dose.",
        ),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_change(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the water change. Raises Problems and Doubts."""
    asked = Asked(desk, answers, change_fields(desk.household, answers, desk.now))
    system = find_system(asked)
    emptied = asked.is_yes("emptied")
    volume_l = asked.number("volume", "L", above=0)
    if emptied and asked.given("volume"):
        asked.problem("volume", "Write how much was changed, or that all was emptied, not both.")
    if not emptied and not asked.given("volume"):
        asked.problem("volume", "Write how much was changed, or that the tank was emptied and refilled.")
    copper = _incoming(asked, system)
    _ask_about_volume(asked, system, volume_l)
    confirmed = asked.settle()
    if system is None:
        return []
    change = WaterChange(
        system=system.key,
        volume_l=volume_l,
        emptied=emptied,
        incoming_mg_per_l={CONSTITUENT: copper} if copper is not None else {},
        words=asked.words,
        confirmed=confirmed,
    )
    return asked.entries(change)


def _incoming(asked: Asked, system: SystemState | None) -> float | None:
    figure = knowledge.constituent(CONSTITUENT)
    copper = asked.zero_or_more(_INCOMING, figure.unit)
    if copper is None:
        return None
    wrong = impossible(figure, copper)
    if wrong is not None:
        asked.problem(_INCOMING, wrong)
    harmed = harmed_in(asked.household, system) if system is not None else ""
    if copper > 0 and system is not None and harmed:
        asked.doubt(
            _INCOMING,
            f"Urgent: copper kills invertebrates, and {system.name} holds {harmed}. If this water went in, move them "
            "to clean water now. Did it really hold copper?",
        )
    return copper


def _ask_about_volume(asked: Asked, system: SystemState | None, volume_l: float | None) -> None:
    if system is not None and volume_l is not None and volume_l > system.gross_volume_l:
        asked.doubt(
            "volume",
            f"{amount(volume_l, 0, 'L')} is more than the {amount(system.gross_volume_l, 0, 'L')} {system.name} "
            "holds. Is it right?",
        )


def answers_of_change(entry: Recorded, household: Household) -> Answers:
    """Return a water change as answers to its form."""
    change = entry.payload
    if not isinstance(change, WaterChange):
        return {}
    copper = change.incoming_mg_per_l.get(CONSTITUENT)
    return {
        "system": change.system,
        "volume": plain(change.volume_l) if change.volume_l is not None else "",
        "volume_unit": "L",
        "emptied": "yes" if change.emptied else "",
        _INCOMING: plain(copper) if copper is not None else "",
        f"{_INCOMING}_unit": knowledge.constituent(CONSTITUENT).unit,
        **told(entry, household, change.words),
    }


def top_off_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions of a top-off."""
    volume = Field(
        name="volume", label="Fresh water added", widget=Widget.NUMBER, required=True, units=volumes(household)
    )
    return with_initial((system_field(household), volume, MOMENT, WORDS), answers)


def write_top_off(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the top-off. Raises Problems and Doubts."""
    asked = Asked(desk, answers, top_off_fields(desk.household, answers, desk.now))
    system = find_system(asked)
    volume_l = asked.number("volume", "L", "Write how much was added.", above=0)
    _ask_about_volume(asked, system, volume_l)
    confirmed = asked.settle()
    if system is None or volume_l is None:
        return []
    return asked.entries(TopOff(system=system.key, volume_l=volume_l, words=asked.words, confirmed=confirmed))


def answers_of_top_off(entry: Recorded, household: Household) -> Answers:
    """Return a top-off as answers to its form."""
    added = entry.payload
    if not isinstance(added, TopOff):
        return {}
    answers = {"system": added.system, "volume": plain(added.volume_l), "volume_unit": "L"}
    return answers | told(entry, household, added.words)


WATER_CHANGE = Form(
    name="water-change",
    title="Water change",
    group="every day",
    fields=change_fields,
    write=write_change,
    kinds=("water-change",),
    answers_of=answers_of_change,
)
TOP_OFF = Form(
    name="top-off",
    title="Top-off",
    group="every day",
    fields=top_off_fields,
    write=write_top_off,
    kinds=("top-off",),
    answers_of=answers_of_top_off,
)

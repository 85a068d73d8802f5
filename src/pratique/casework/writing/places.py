"""The forms that set up, or change, a system and its compartments."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from pratique.casework.words import amount
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import key_from, meant
from pratique.casework.writing.lookups import find
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import (
    MOMENT,
    VOLUMES,
    WORDS,
    YES_NO,
    first,
    states,
    system_field,
    volumes,
    with_initial,
)
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds import places
from pratique.ledger.states import State, SystemState
from pratique.units import to_canonical

_ROLES = (
    Option("display", "Display"),
    Option("quarantine", "Quarantine"),
    Option("recovery", "Clean tank to recover in"),
    Option("holding", "Holding tank"),
)
_VOLUMES = {
    "gross-volume": "gross_volume_l",
    "net-volume": "net_volume_l",
    "net-plus-minus": "net_volume_plus_minus_l",
}
# Litres taken for gallons, or the other way round, differ by more than this; a tank hardly ever grows so.
_FAR = 1.5
_FORMS = (
    Option("box", "Box"),
    Option("divider", "Divider"),
    Option("sump", "Sump"),
    Option("refugium", "Refugium"),
)


def which_field(kept: Iterable[State], new: str) -> Field:
    """Return the question whether something new is set up or one of those kept is changed."""
    options = (Option("", new), *states(kept))
    return Field(name="key", label="New, or a change to", widget=Widget.CHOICE, options=options)


def chosen[S: State](answers: Answers, kept: dict[str, S]) -> S | None:
    """Return the kept one that answers given beforehand want to change."""
    return kept.get(meant(first(answers, "key"), {key: one.name for key, one in kept.items()}) or "")


def key_of[S: State](asked: Asked, kept: dict[str, S], what: str, name: str) -> str:
    """Return the key of what is set up: the one changed or amended, or a new one made from its name."""
    if asked.desk.amends is not None:
        return str(asked.desk.amends.raw["key"])
    changed = find(asked, "key", kept, what)
    if changed is not None:
        return changed.key
    if any(one.name.casefold() == name.casefold() for one in kept.values()):
        asked.doubt("name", f"There is a {what} called {name} already. Is this another one?")
    return key_from(name, kept)


def system_fields(household: Household, beforehand: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a system; those of one that is changed are filled in.

    A page that speaks of a system names it `system`, as everywhere; here that is the one to be changed.
    """
    answers = {"key": beforehand["system"], **beforehand} if "system" in beforehand else beforehand
    now = chosen(answers, household.systems)
    asked = (
        which_field(household.systems.values(), "A new system"),
        Field(name="name", label="Name", required=True, initial=now.name if now else ""),
        Field(
            name="role",
            label="What it is for",
            widget=Widget.CHOICE,
            required=True,
            options=_ROLES,
            initial=now.role if now else "",
        ),
        *_volume_fields(now, volumes(household)),
        Field(
            name="invertebrates",
            label="Keeps invertebrates",
            widget=Widget.CHOICE,
            options=YES_NO,
            hint="Corals, shrimps, snails, crabs, worms: copper kills them.",
            initial="yes" if now and now.keeps_invertebrates else "no",
        ),
        MOMENT,
        replace(WORDS, initial=now.words if now else ""),
    )
    return with_initial(asked, answers)


def _volume_fields(now: SystemState | None, units: tuple[str, ...]) -> tuple[Field, ...]:
    def initial(volume_l: float | None) -> str:
        return _shown(volume_l, units[0])

    return (
        Field(
            name="gross-volume",
            label="Gross volume, sump included",
            widget=Widget.NUMBER,
            required=True,
            units=units,
            initial=initial(now.gross_volume_l if now else None),
        ),
        Field(
            name="net-volume",
            label="Net volume of water",
            widget=Widget.NUMBER,
            units=units,
            hint="Without it no dose can be reckoned.",
            initial=initial(now.net_volume_l if now else None),
        ),
        Field(
            name="net-plus-minus",
            label="± of the net volume",
            widget=Widget.NUMBER,
            units=units,
            hint="95 in 100 times it lies within.",
            initial=initial(now.net_volume_plus_minus_l if now else None),
        ),
    )


def _shown(volume_l: float | None, unit: str) -> str:
    """Return a volume as a form shows it; nobody knows a tank to less than a hundredth of a gallon."""
    if volume_l is None or unit == "L":
        return "" if volume_l is None else plain(volume_l)
    return plain(round(to_canonical(volume_l, "L", unit), 2))


def write_system(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the system as it is now. Raises Problems and Doubts."""
    asked = Asked(desk, answers, system_fields(desk.household, answers, desk.now))
    name = asked.line("name", "Write a name for the system.")
    role = asked.choice("role", "Choose what it is for.")
    before = _volumes_before(asked)
    asked.text("gross-volume", "Write how much the tank holds, filled to the brim.")
    gross_l, net_l, plus_minus_l = (_volume(asked, field, before.get(field)) for field in _VOLUMES)
    if gross_l is not None and net_l is not None:
        _check_net(asked, gross_l, net_l)
    if plus_minus_l is not None and net_l is None:
        asked.problem("net-volume", "Write the net volume that the ± belongs to.")
    keeps = asked.choice("invertebrates") == "yes"
    key = key_of(asked, asked.household.systems, "system", name)
    confirmed = asked.settle()
    payload = places.System.model_validate(
        {
            "key": key,
            "name": name,
            "role": role,
            "gross_volume_l": gross_l,
            "net_volume_l": net_l,
            "net_volume_plus_minus_l": plus_minus_l,
            "keeps_invertebrates": keeps,
            "words": asked.words,
            "confirmed": confirmed,
        }
    )
    return asked.entries(payload)


def _volumes_before(asked: Asked) -> dict[str, float]:
    """Return the volumes in L that stood until now, by field: those of the entry amended, or of the system changed."""
    amended, changed = asked.desk.amends, chosen({"key": asked.text("key")}, asked.household.systems)
    kept = amended.raw if amended is not None else changed.model_dump() if changed is not None else {}
    return {field: kept[name] for field, name in _VOLUMES.items() if kept.get(name) is not None}


def _volume(asked: Asked, field: str, before_l: float | None) -> float | None:
    """Return a volume in L; one sent back as it was shown is exactly the one before, one far from it is asked about."""
    unit = asked.unit(field)
    if before_l is not None and unit in VOLUMES and asked.text(field) == _shown(before_l, unit):
        return before_l
    is_error = field == "net-plus-minus"
    volume_l = asked.zero_or_more(field, "L") if is_error else asked.number(field, "L", above=0)
    if before_l is None or volume_l is None or is_error:
        return volume_l
    if max(volume_l, before_l) > _FAR * min(volume_l, before_l):
        was, now = amount(before_l, 0, "L"), amount(volume_l, 0, "L")
        asked.doubt(field, f"Until now it was {was}; this is {now}. Is it right?")
    return volume_l


def _check_net(asked: Asked, gross_l: float, net_l: float) -> None:
    net, gross = amount(net_l, 0, "L"), amount(gross_l, 0, "L")
    if net_l > 2 * gross_l:
        asked.problem("net-volume", f"{net} of water is more than twice the {gross} the tank holds; write less.")
    elif net_l > gross_l:
        asked.doubt(
            "net-volume", f"{net} of water is more than the {gross} the tank holds. Does the sump hold the rest?"
        )


def answers_of_system(entry: Recorded, household: Household) -> Answers:
    """Return a system as answers to its form."""
    told_of = entry.payload
    if not isinstance(told_of, places.System):
        return {}
    unit = volumes(household)[0]
    return {
        "name": told_of.name,
        "role": told_of.role,
        **{field: _shown(getattr(told_of, name), unit) for field, name in _VOLUMES.items()},
        **{f"{field}_unit": unit for field in _VOLUMES},
        "invertebrates": "yes" if told_of.keeps_invertebrates else "no",
        **told(entry, household, told_of.words),
    }


def compartment_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a compartment."""
    now = chosen(answers, household.compartments)
    system = system_field(household)
    asked = (
        which_field(household.compartments.values(), "A new compartment"),
        Field(name="name", label="Name", required=True, initial=now.name if now else ""),
        replace(system, label="Whose water it shares", initial=now.system if now else system.initial),
        Field(
            name="form",
            label="What it is",
            widget=Widget.CHOICE,
            required=True,
            options=_FORMS,
            initial=now.form if now else "",
        ),
        MOMENT,
    )
    return with_initial(asked, answers)


def write_compartment(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the compartment as it is now. Raises Problems and Doubts."""
    asked = Asked(desk, answers, compartment_fields(desk.household, answers, desk.now))
    name = asked.line("name", "Write a name for the compartment.")
    asked.text("system", "Choose the system whose water it shares.")
    system = find(asked, "system", asked.household.systems, "system")
    form = asked.choice("form", "Choose what it is.")
    key = key_of(asked, asked.household.compartments, "compartment", name)
    if key in asked.household.systems:
        asked.problem("name", f"{name} is the name of a system; give the compartment another one.")
    confirmed = asked.settle()
    if system is None:
        return []
    return asked.entries(
        places.Compartment.model_validate(
            {"key": key, "name": name, "system": system.key, "form": form, "confirmed": confirmed}
        )
    )


def answers_of_compartment(entry: Recorded, household: Household) -> Answers:
    """Return a compartment as answers to its form."""
    told_of = entry.payload
    if not isinstance(told_of, places.Compartment):
        return {}
    answers = {"name": told_of.name, "system": told_of.system, "form": str(told_of.form)}
    return answers | {"moment": told(entry, household)["moment"]}


SYSTEM = Form(
    name="system",
    title="A system",
    group="set up",
    fields=system_fields,
    write=write_system,
    kinds=("system",),
    answers_of=answers_of_system,
)
COMPARTMENT = Form(
    name="compartment",
    title="A compartment",
    group="set up",
    fields=compartment_fields,
    write=write_compartment,
    kinds=("compartment",),
    answers_of=answers_of_compartment,
)

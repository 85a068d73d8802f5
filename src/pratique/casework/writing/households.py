"""The form that sets up, or changes, the household as a whole."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import available_timezones

from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import nearest
from pratique.casework.writing.options import with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds import places


def household_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about the household as a whole."""
    now = household.state
    asked = (
        Field(name="name", label="Name of the household", required=True, initial=now.name if now else ""),
        Field(
            name="zone",
            label="Time zone",
            required=True,
            hint="Such as Europe/London. The day on every page is the day there.",
            initial=now.zone if now else "",
        ),
        Field(
            name="people",
            label="Who writes",
            hint="Names, parted by commas.",
            initial=", ".join(now.people) if now else "",
        ),
        Field(
            name="volume-unit",
            label="Volumes in",
            widget=Widget.CHOICE,
            options=(Option("L", "Litres"), Option("US gal", "US gallons")),
            initial=now.volume_unit if now else "L",
        ),
        Field(
            name="temperature-unit",
            label="Temperatures in",
            widget=Widget.CHOICE,
            options=(Option("°C", "°C"), Option("°F", "°F")),
            initial=now.temperature_unit if now else "°C",
        ),
    )
    return with_initial(asked, answers)


def write_household(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the household as it is now to be known. Raises Problems and Doubts."""
    asked = Asked(desk, answers, household_fields(desk.household, answers, desk.now))
    name = asked.line("name", "Write a name for the household.")
    zone = _zone(asked)
    people = asked.many("people")
    if any(len(person) > 80 for person in people):
        asked.problem("people", "Part the names by commas; one name can have at most 80 letters.")
    volume_unit, temperature_unit = asked.choice("volume-unit"), asked.choice("temperature-unit")
    confirmed = asked.settle()
    payload = places.Household.model_validate(
        {
            "name": name,
            "zone": zone,
            "people": people,
            "volume_unit": volume_unit or "L",
            "temperature_unit": temperature_unit or "°C",
            "confirmed": confirmed,
        }
    )
    return [replace(entry, zone=zone) for entry in asked.entries(payload)]


def _zone(asked: Asked) -> str:
    text = asked.text("zone", "Write the time zone, such as Europe/London.")
    zones = {zone: zone.rpartition("/")[2].replace("_", " ") for zone in available_timezones()}
    exact = {zone.casefold(): zone for zone in zones}
    if not text or text.casefold() in exact:
        return exact.get(text.casefold(), "")
    near = nearest(text, zones)
    asked.problem(
        "zone", f"“{text}” is not a time zone." + (f" Did you mean {near}?" if near else " Write Europe/London.")
    )
    return ""


def answers_of_household(entry: Recorded, _household: Household) -> Answers:
    """Return the household as answers to its form."""
    told_of = entry.payload
    if not isinstance(told_of, places.Household):
        return {}
    return {
        "name": told_of.name,
        "zone": told_of.zone,
        "people": ", ".join(told_of.people),
        "volume-unit": told_of.volume_unit,
        "temperature-unit": told_of.temperature_unit,
    }


HOUSEHOLD = Form(
    name="household",
    title="The household",
    group="set up",
    fields=household_fields,
    write=write_household,
    kinds=("household",),
    answers_of=answers_of_household,
)

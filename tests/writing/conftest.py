"""Harbour Row at the desk: a display with a box, a quarantine tank, a clean tank, and the animals in them."""

from datetime import UTC, datetime

import pytest

from pratique.casework.writing.desk import Answers, Desk, Doubts, Problems
from pratique.casework.writing.forms import write_form
from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, Recorded, new_entry_id
from pratique.ledger.household import load_household
from pratique.ledger.kinds import animals, care, places
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.queries import entry_count

NOW = datetime(2026, 11, 25, 18, 30, tzinfo=UTC)
ZONE = "Europe/London"


def at(day: int, hour: int = 12, minute: int = 0, *, month: int = 11) -> datetime:
    """Return a moment of autumn 2026; London keeps UTC from 25 October on."""
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


def put(payload: Payload, moment: datetime) -> Recorded:
    """Put an entry straight into the ledger, as another day's writing would have."""
    entry = NewEntry(id=new_entry_id(), payload=payload, happened_at=moment, zone=ZONE, author="keeper", source="cli")
    return append([entry], now=moment)[0].entry


def desk(*confirmed: str, now: datetime = NOW) -> Desk:
    """Return a desk with the household as it stands now and a fresh entry id."""
    return Desk(
        household=load_household(),
        now=now,
        author="keeper",
        source="cli",
        entry_id=new_entry_id(),
        confirmed=frozenset(confirmed),
    )


def problems_of(form: str, answers: Answers) -> dict[str, str]:
    """Return what is wrong with the answers, thin spaces as plain ones; nothing may have been written."""
    before = entry_count()
    with pytest.raises(Problems) as caught:
        write_form(form, desk(), answers)
    assert entry_count() == before
    return {name: sentence.replace("\u202f", " ") for name, sentence in caught.value.fields.items()}


def doubts_of(form: str, answers: Answers, *confirmed: str) -> dict[str, str]:
    """Return what is asked about the answers, in the very words to confirm; nothing may have been written."""
    before = entry_count()
    with pytest.raises(Doubts) as caught:
        write_form(form, desk(*confirmed), answers)
    assert entry_count() == before
    return caught.value.fields


@pytest.fixture
def harbour_row(db: None) -> None:
    """Set the household up in October."""
    opened = at(1, month=10)
    put(places.Household(name="Harbour Row", zone=ZONE, people=("keeper", "helper")), opened)
    put(
        places.System(
            key="skerry",
            name="Skerry",
            role="display",
            gross_volume_l=480,
            net_volume_l=390,
            net_volume_plus_minus_l=15,
            keeps_invertebrates=True,
        ),
        opened,
    )
    put(
        places.System(
            key="lazaret",
            name="Lazaret",
            role="quarantine",
            gross_volume_l=90,
            net_volume_l=80,
            net_volume_plus_minus_l=2,
        ),
        opened,
    )
    put(places.System(key="haven", name="Haven", role="recovery", gross_volume_l=110), opened)
    put(places.Compartment(key="creel", name="Creel", system="skerry", form="box"), opened)
    put(places.Stock(key="blue-bottle", name="Blue bottle", substance="copper_ionic", strength_mg_per_ml=1.0), opened)
    _animals()


def _animals() -> None:
    put(animals.Batch(key="b1", name="B1", protocol="copper_ionic_30"), at(18, month=10))
    for key, name, species in (
        ("tomini-bristletooth", "Tomini bristletooth", "tomini_bristletooth"),
        ("maiden-goby", "Maiden goby", "maiden_goby"),
        ("six-line-wrasse", "Six-line wrasse", "six_line_wrasse"),
    ):
        put(animals.Arrival(key=key, name=name, species=species, system="lazaret", batch="b1"), at(18, month=10))
    put(
        animals.Arrival(key="cleaner-shrimp", name="Cleaner shrimp", species="cleaner_shrimp", system="skerry"),
        at(2, month=10),
    )


@pytest.fixture
def ionic_course(harbour_row: None) -> None:
    """Begin a course of ionic copper in Lazaret on 20 October."""
    put(
        care.Course(
            key="b1-copper",
            name="B1 copper",
            system="lazaret",
            substance="copper_ionic",
            stock="blue-bottle",
            target_lower=0.15,
            target_upper=0.20,
            hard_upper=0.25,
            required_days=30,
            batch="b1",
        ),
        at(20, 8, month=10),
    )
    put(care.CourseStart(course="b1-copper", system="lazaret"), at(20, 9, month=10))

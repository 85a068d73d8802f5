"""A long ledger made for measuring: five years, forty animals, a hundred thousand entries. Invented, seeded."""

import random
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import UUID

from pratique.ledger.canonical import GENESIS, chained_digest, entry_line
from pratique.ledger.entries import NewEntry
from pratique.ledger.kinds import animals, care, places, water
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.models import ChainHead, Entry
from pratique.ledger.projections import rebuild

ENTRIES = 100_000
ANIMALS = 40
YEARS = 5
ZONE = "Europe/London"
SYSTEMS = ("display", "second-display", "quarantine", "recovery")
_ROLES = ("display", "display", "quarantine", "recovery")
_SPECIES = ("blue_green_chromis", "royal_gramma", "six_line_wrasse", "maiden_goby", "tomini_bristletooth")
_DAILY = ("temperature", "ph", "salinity", "total_ammonia")
_LEVELS = {"temperature": 25.5, "ph": 8.1, "salinity": 35.0, "total_ammonia": 0.1, "copper": 0.18}
_ERRORS = {"temperature": 0.3, "ph": 0.05, "salinity": 0.5, "total_ammonia": 0.05, "copper": 0.01}
_METHODS = {
    "temperature": "thermometer",
    "ph": "ph_meter",
    "salinity": "refractometer",
    "total_ammonia": "ammonia_photometer",
    "copper": "copper_photometer",
}


def fill(now: datetime, *, entries: int = ENTRIES, seed: int = 7) -> int:
    """Put the long ledger into an empty database; return how many entries it holds."""
    digest, rows = GENESIS, []
    chance = random.Random(seed)  # noqa: S311 - nothing secret hangs on it
    for moment, payload in _told(now, entries, chance):
        new = NewEntry(
            id=UUID(int=_uuid7_bits(moment, chance)),
            payload=payload,
            happened_at=moment,
            zone=ZONE,
            author="keeper",
            source="cli",
        )
        text = new.payload_text()
        line = entry_line(
            id=new.id,
            kind=payload.kind,
            version=payload.version,
            happened_at=moment,
            zone=ZONE,
            recorded_at=moment,
            author="keeper",
            source="cli",
            amends=None,
            withdraws=None,
            payload=text,
        )
        digest = chained_digest(digest, line)
        rows.append(
            Entry(
                id=new.id,
                kind=payload.kind,
                version=payload.version,
                happened_at=moment,
                zone=ZONE,
                recorded_at=moment,
                author="keeper",
                source="cli",
                payload=text,
                digest=digest,
            )
        )
    Entry.objects.bulk_create(rows, batch_size=2000)
    ChainHead.objects.update_or_create(pk=1, defaults={"digest": digest, "count": len(rows)})
    rebuild()
    print(f"filled: {len(rows)} entries, {ANIMALS} animals, {YEARS} years", file=sys.stderr)
    return len(rows)


def _uuid7_bits(moment: datetime, chance: random.Random) -> int:
    milliseconds = int(moment.timestamp() * 1000)
    return (milliseconds << 80) | (7 << 76) | (chance.getrandbits(12) << 64) | (2 << 62) | chance.getrandbits(62)


def _told(now: datetime, entries: int, chance: random.Random) -> Iterator[tuple[datetime, Payload]]:
    start = now - timedelta(days=YEARS * 365)
    opening = list(_opening())
    for number, payload in enumerate(opening):
        yield start + timedelta(seconds=number), payload
    days = YEARS * 365
    left = entries - len(opening)
    for day in range(days):
        # Spread evenly, so that the last sixty days are as busy as the first.
        count = left * (day + 1) // days - left * day // days
        for number in range(count):
            moment = start + timedelta(days=day, hours=1, seconds=number * 1200)
            if moment >= now:
                moment = now - timedelta(seconds=entries - number)
            yield moment, _payload(day, number, chance)


def _opening() -> Iterator[Payload]:
    yield places.Household(name="Harbour Row", zone=ZONE)
    for key, role in zip(SYSTEMS, _ROLES, strict=True):
        yield places.System(
            key=key,
            name=key.replace("-", " ").capitalize(),
            role=role,  # type: ignore[arg-type]
            gross_volume_l=300,
            net_volume_l=250,
            net_volume_plus_minus_l=15,
        )
    yield places.Stock(key="stock", name="copper stock", substance="copper_ionic", strength_mg_per_ml=1.0)
    yield animals.Batch(key="b", name="B", protocol="copper_ionic_14_move")
    for number in range(ANIMALS):
        yield animals.Arrival(
            key=f"animal-{number}",
            name=f"Animal {number}",
            species=_SPECIES[number % len(_SPECIES)],
            system=SYSTEMS[number % len(SYSTEMS)],
            batch="b" if number % 4 == 2 else None,
        )
    yield care.Course(
        key="course",
        name="Copper",
        system="quarantine",
        substance="copper_ionic",
        stock="stock",
        target_lower=0.15,
        target_upper=0.2,
        hard_upper=0.25,
        required_days=30,
        batch="b",
    )


def _payload(day: int, number: int, chance: random.Random) -> Payload:
    if day == YEARS * 365 - 30 and number == 0:
        return care.CourseStart(course="course", system="quarantine")
    system = SYSTEMS[number % len(SYSTEMS)]
    turn = (number // len(SYSTEMS)) % 12
    here = [f"animal-{one}" for one in range(ANIMALS) if SYSTEMS[one % len(SYSTEMS)] == system]
    if turn < 3:
        return _feeding(system, here, chance)
    if turn < 8:
        return _reading(system, turn + number, chance, is_copper=system == "quarantine" and turn == 7)
    if turn < 10:
        return animals.Observation(animal=chance.choice(here), beats_per_min=float(chance.randrange(70, 100, 3)))
    if turn == 11 and system == "quarantine":
        return water.Dose(system=system, substance="copper_ionic", stock="stock", amount_ml=2.8, amount_mg=2.8)
    return water.WaterChange(system=system, volume_l=15.0)


def _feeding(system: str, here: list[str], chance: random.Random) -> animals.Feeding:
    fed = {one: chance.choice((2, 3, 3, 4, 4)) for one in here if chance.random() < 0.8}
    foods = (animals.FoodGiven(food="frozen_mysis", amount_g=2.0),)
    return animals.Feeding(system=system, foods=foods, offered_to=tuple(here), fed=fed)


def _reading(system: str, turn: int, chance: random.Random, *, is_copper: bool) -> water.Reading:
    constituent = "copper" if is_copper else _DAILY[turn % len(_DAILY)]
    level = max(0.01, chance.gauss(_LEVELS[constituent], _ERRORS[constituent]))
    return water.Reading(system=system, constituent=constituent, value=round(level, 2), method=_METHODS[constituent])


def now() -> datetime:
    """Return the moment the ledger ends."""
    return datetime.now(UTC)

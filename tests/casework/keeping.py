"""A small household to write entries into: readable test data for casework."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry, new_entry_id
from pratique.ledger.kinds import animals, care, places, water
from pratique.ledger.kinds.payload import Payload

NOON = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


class Keeper:
    """Writes entries at moments given in days from noon of 1 March 2026."""

    def __init__(self) -> None:
        self.write(-30, places.Household(name="Harbour Row", zone="UTC"))

    def write(self, day: float, payload: Payload) -> UUID:
        """Append one entry and return its id."""
        entry = NewEntry(
            id=new_entry_id(),
            payload=payload,
            happened_at=NOON + timedelta(days=day),
            zone="UTC",
            author="keeper",
            source="cli",
        )
        return append([entry], now=entry.happened_at)[0].entry.id

    def quarantine(self, *, net_volume_l: float | None = 80.0) -> None:
        """Set up Lazaret with a royal gramma in it, and a copper course begun on day 0 with a 1 mg/mL stock."""
        self.write(
            -20,
            places.System(
                key="lazaret",
                name="Lazaret",
                role="quarantine",
                gross_volume_l=90,
                net_volume_l=net_volume_l,
                net_volume_plus_minus_l=4.0 if net_volume_l else None,
            ),
        )
        self.write(
            -20, places.Stock(key="stock", name="copper stock", substance="copper_ionic", strength_mg_per_ml=1.0)
        )
        self.write(-10, animals.Arrival(key="gramma", name="Royal gramma", species="royal_gramma", system="lazaret"))

    def plan(
        self,
        *,
        key: str = "copper",
        day: float = -0.1,
        substance: str = "copper_ionic",
        stock: str | None = "stock",
        band: tuple[float, float, float] = (0.15, 0.20, 0.25),
    ) -> None:
        """Plan a course in Lazaret, of ionic copper unless said otherwise."""
        lower, upper, hard = band
        course = care.Course(
            key=key,
            name=key.capitalize(),
            system="lazaret",
            substance=substance,
            stock=stock,
            target_lower=lower,
            target_upper=upper,
            hard_upper=hard,
            required_days=14,
        )
        self.write(day, course)

    def course(
        self,
        *,
        substance: str = "copper_ionic",
        stock: str | None = "stock",
        band: tuple[float, float, float] = (0.15, 0.20, 0.25),
    ) -> None:
        """Plan and begin a copper course in Lazaret on day 0."""
        self.plan(substance=substance, stock=stock, band=band)
        self.write(0, care.CourseStart(course="copper", system="lazaret"))

    def dose(self, day: float, milligrams: float, *, system: str = "lazaret") -> UUID:
        """Dose copper."""
        return self.write(day, water.Dose(system=system, substance="copper_ionic", amount_mg=milligrams))

    def read(self, day: float, constituent: str, value: float, method: str | None, *, system: str = "lazaret") -> UUID:
        """Read a constituent."""
        return self.write(day, water.Reading(system=system, constituent=constituent, value=value, method=method))


def at(day: float) -> datetime:
    """Return the moment a day number stands for."""
    return NOON + timedelta(days=day)

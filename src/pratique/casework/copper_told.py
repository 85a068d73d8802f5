"""What the ledger's entries tell of one form of copper in a system's water, and what they leave not known.

Forms of copper never share a band or a method: a dose of another form counts for nothing here, and from then on no
reading tells the two apart, until the system is emptied.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache

from pratique import knowledge
from pratique.casework.methods import method_by, observed_of, range_of
from pratique.casework.timeline import hours_of
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.ledger.queries import entries_about
from pratique.ledger.states import SystemState
from pratique.science.estimation import mass_balance
from pratique.science.estimation.reading import NORMAL_95

CONSTITUENT = "copper"


@cache
def copper_substances() -> tuple[str, ...]:
    """Return the substances that put copper into the water."""
    return tuple(one.key for one in knowledge.substances() if one.constituent == CONSTITUENT)


@cache
def binder_substances() -> tuple[str, ...]:
    """Return the substances that must not meet copper."""
    return tuple(one.key for one in knowledge.substances() if one.binds_copper)


def copper_entries(system: str, *, since: datetime, until: datetime) -> list[Recorded]:
    """Return what tells of copper in a system, in the order things happened.

    That is the copper readings, the doses of copper and of what binds it, and the water changes.
    """
    # A reading's topic is its constituent, a dose's its substance, a change's none or "emptied": no two share one.
    topics = (CONSTITUENT, *copper_substances(), *binder_substances(), "", "emptied")
    kinds = ("reading", "dose", "water-change")
    return entries_about(f"system/{system}", kinds, topics=topics, since=since, until=until)


@dataclass
class Told:
    """The entries of one form of copper, sorted. All but `readings` and `events` begin anew when a system is emptied.

    `readings` are those that can read the form, in water that holds no other; `bounded` those of them, and the
    emptyings, that set the level without asking what was before.
    """

    form: CopperForm
    readings: list[Recorded] = field(default_factory=list)
    bounded: list[Recorded] = field(default_factory=list)
    doses: list[Recorded] = field(default_factory=list)
    uncounted: list[Recorded] = field(default_factory=list)
    foreign: list[Recorded] = field(default_factory=list)
    binders: list[Recorded] = field(default_factory=list)
    events: list[mass_balance.Event] = field(default_factory=list)

    @property
    def newest_reading(self) -> Recorded | None:
        """Return the newest reading that tells the level."""
        return self.readings[-1] if self.readings else None


def told_by(household: Household, entries: Iterable[Recorded], form: CopperForm) -> Told:
    """Return a system's entries, given in the order things happened, sorted by what they tell of one form."""
    told = Told(form)
    for entry in entries:
        told.events.extend(_sort(told, household, entry))
    return told


def _sort(told: Told, household: Household, entry: Recorded) -> Iterator[mass_balance.Event]:
    at, name = hours_of(entry.happened_at), str(entry.id)
    match entry.payload:
        case Reading() as reading:
            method = method_by(household, reading)
            if not told.foreign and method.reads(told.form):
                told.readings.append(entry)
                if range_of(household, reading).high < float("inf"):
                    told.bounded.append(entry)
                yield mass_balance.Reading(at, method.error, observed_of(reading), name)
        case Dose() as dose:
            yield _dosed(told, entry, dose)
        case WaterChange(emptied=True) as change:
            for kind in (told.doses, told.uncounted, told.foreign, told.binders):
                kind.clear()
            told.bounded.append(entry)
            yield mass_balance.Fill(at, change.incoming_mg_per_l.get(CONSTITUENT, 0.0), name)
        case WaterChange(volume_l=float(litres)) as change:
            yield mass_balance.Change(at, litres, change.incoming_mg_per_l.get(CONSTITUENT, 0.0), name)


def _dosed(told: Told, entry: Recorded, dose: Dose) -> mass_balance.Event:
    at, name = hours_of(entry.happened_at), str(entry.id)
    substance = knowledge.substance_or_unknown(dose.substance)
    if substance.form is None:
        told.binders.append(entry)
        return mass_balance.Untold(at, only_adds=False, entry=name)
    told.doses.append(entry)
    if substance.form != told.form:
        told.foreign.append(entry)
        return mass_balance.Untold(at, only_adds=False, entry=name)
    if dose.amount_mg is None:
        told.uncounted.append(entry)
        return mass_balance.Untold(at, only_adds=True, entry=name)
    return mass_balance.Dose(at, dose.amount_mg, name)


def since_last_known(
    household: Household, entries: list[Recorded], form: CopperForm, *, moment: datetime
) -> list[Recorded]:
    """Return the entries from the last one before a moment at which the level was known, or all where it never was."""
    bounded = told_by(household, (one for one in entries if one.happened_at <= moment), form).bounded
    return entries[entries.index(bounded[-1]) :] if bounded else entries


def track_of(system: SystemState, told: Told, *, until: datetime) -> mass_balance.Track | None:
    """Return the reckoned level, not known before the first reading, or None where the net volume is not known."""
    if system.net_volume_l is None:
        return None
    return mass_balance.balance(
        told.events,
        net_volume_l=system.net_volume_l,
        net_volume_sd_l=(system.net_volume_plus_minus_l or 0.0) / NORMAL_95,
        initial_mg_per_l=None,
        until=hours_of(until),
    )

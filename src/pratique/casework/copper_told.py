"""What the ledger's entries tell of one form of copper in a system's water, and what they leave not known.

Forms of copper never share a band or a method: a dose of another form counts for nothing here, and from then on no
reading tells the two apart, until the system is emptied.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache

from pratique import knowledge
from pratique.casework.methods import method_by, range_of
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.ledger.queries import entries_about

CONSTITUENT = "copper"


@cache
def copper_substances() -> tuple[str, ...]:
    """Return the substances that put copper into the water."""
    return tuple(one.key for one in knowledge.substances() if one.constituent == CONSTITUENT)


@cache
def _lowering_substances() -> tuple[str, ...]:
    """Return the substances that must not meet copper, and those that take it out of the water."""
    return tuple(one.key for one in knowledge.substances() if one.binds_copper or one.takes_up_copper)


def copper_entries(system: str, *, since: datetime, until: datetime) -> list[Recorded]:
    """Return what tells of copper in a system, in the order things happened.

    That is the copper readings, the doses of copper and of what binds it or takes it up, and the water changes.
    """
    # A reading's topic is its constituent, a dose's its substance, a change's none or "emptied": no two share one.
    topics = (CONSTITUENT, *copper_substances(), *_lowering_substances(), "", "emptied")
    kinds = ("reading", "dose", "water-change")
    return entries_about(f"system/{system}", kinds, topics=topics, since=since, until=until)


@dataclass
class Told:
    """The entries of one form of copper, sorted. All but `readings` and `bounded` begin anew when a system is emptied.

    `readings` are those that can read the form, in water that holds no other; `bounded` those of them, and the
    emptyings, that set the level without asking what was before; `uncounted` the doses of which no amount counts.
    """

    form: CopperForm
    readings: list[Recorded] = field(default_factory=list)
    bounded: list[Recorded] = field(default_factory=list)
    doses: list[Recorded] = field(default_factory=list)
    uncounted: list[Recorded] = field(default_factory=list)
    foreign: list[Recorded] = field(default_factory=list)
    binders: list[Recorded] = field(default_factory=list)
    removers: list[Recorded] = field(default_factory=list)

    @property
    def newest_reading(self) -> Recorded | None:
        """Return the newest reading that tells the level."""
        return self.readings[-1] if self.readings else None

    @property
    def is_level_known(self) -> bool:
        """Return whether the level was set by a reading or an emptying, and nothing untold happened since."""
        if self.foreign or not self.bounded:
            return False
        known = self.bounded[-1].happened_at
        return all(one.happened_at < known for one in (*self.uncounted, *self.binders, *self.removers))


def told_by(household: Household, entries: Iterable[Recorded], form: CopperForm) -> Told:
    """Return a system's entries, given in the order things happened, sorted by what they tell of one form."""
    told = Told(form)
    for entry in entries:
        _sort(told, household, entry)
    return told


def _sort(told: Told, household: Household, entry: Recorded) -> None:
    match entry.payload:
        case Reading() as reading:
            if not told.foreign and method_by(household, reading).reads(told.form):
                told.readings.append(entry)
                if range_of(household, reading).high < float("inf"):
                    told.bounded.append(entry)
        case Dose() as dose:
            _dosed(told, entry, dose)
        case WaterChange(emptied=True):
            for kind in (told.doses, told.uncounted, told.foreign, told.binders, told.removers):
                kind.clear()
            told.bounded.append(entry)


def _dosed(told: Told, entry: Recorded, dose: Dose) -> None:
    substance = knowledge.substance_or_unknown(dose.substance)
    if substance.form is None:
        (told.binders if substance.binds_copper else told.removers).append(entry)
        return
    told.doses.append(entry)
    if substance.form != told.form:
        told.foreign.append(entry)
    elif dose.amount_mg is None:
        told.uncounted.append(entry)


def since_last_known(
    household: Household, entries: list[Recorded], form: CopperForm, *, moment: datetime
) -> list[Recorded]:
    """Return the entries from the last one before a moment at which the level was known, or all where it never was."""
    bounded = told_by(household, (one for one in entries if one.happened_at <= moment), form).bounded
    return entries[entries.index(bounded[-1]) :] if bounded else entries

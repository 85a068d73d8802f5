"""Which of the entries that tell of a constituent can be counted, and why the others cannot."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pratique import knowledge
from pratique.casework.copper_told import CONSTITUENT as COPPER
from pratique.casework.methods import method_by, range_of
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.water import Dose, Reading, WaterChange

_MIXED = "Another form of copper is in the water too, and no reading tells the two apart."
_AFTER = "After another form of copper went in, nothing can be told of this one until the system is emptied."


@dataclass(frozen=True)
class LeftOut:
    """An entry that is not counted, and a sentence why."""

    entry: Recorded
    why: str


@dataclass(frozen=True)
class Sorted:
    """The entries that count, in the order things happened; those that do not; and from which on nothing is known."""

    counted: tuple[Recorded, ...]
    left_out: tuple[LeftOut, ...]
    lost_from: Recorded | None = None
    lost_words: str = ""


def sorted_entries(household: Household, entries: Sequence[Recorded], form: CopperForm | None) -> Sorted:
    """Return a system's entries, given in the order things happened, sorted by whether they count.

    A dose of another form of copper counts as something that moved the level; no reading after it counts until the
    system is emptied, and where it was not emptied nothing after it does.
    """
    counted: list[Recorded] = []
    left_out: list[LeftOut] = []
    foreign: Recorded | None = None
    for entry in entries:
        match entry.payload:
            case Reading() as reading:
                why = _MIXED if foreign is not None else _unread(household, reading, form)
                if why:
                    left_out.append(LeftOut(entry, why))
                    continue
            case Dose() as dose if foreign is None and is_foreign(dose, form):
                foreign = entry
            case WaterChange(emptied=True):
                foreign = None
            case None:
                left_out.append(LeftOut(entry, "It was written by a newer version of the program."))
                continue
        counted.append(entry)
    if foreign is None:
        return Sorted(tuple(counted), tuple(left_out))
    at = counted.index(foreign)
    left_out += [LeftOut(one, _AFTER) for one in counted[at:]]
    return Sorted(tuple(counted[:at]), tuple(left_out), foreign, _AFTER)


def is_foreign(dose: Dose, form: CopperForm | None) -> bool:
    """Return whether a dose is one of copper in another form."""
    dosed = knowledge.substance_or_unknown(dose.substance).form
    return form is not None and dosed is not None and dosed is not form


def is_emptying(entry: Recorded) -> bool:
    """Return whether all water was let out."""
    return isinstance(entry.payload, WaterChange) and entry.payload.emptied


def anchor(household: Household, counted: Sequence[Recorded], since: datetime | None) -> int:
    """Return the place of the entry a case starts at: the last emptying, else reading, before a moment, else the first.

    A reading that only says “above” tells too little to start from.
    """
    before = [n for n, one in enumerate(counted) if since is not None and one.happened_at <= since]
    emptied = [n for n in before if is_emptying(counted[n])]
    read = [n for n in before if _has_two_ends(household, counted[n])]
    return (emptied or read or [0])[-1]


def _has_two_ends(household: Household, entry: Recorded) -> bool:
    payload = entry.payload
    return isinstance(payload, Reading) and range_of(household, payload).high < float("inf")


def _unread(household: Household, reading: Reading, form: CopperForm | None) -> str:
    if reading.constituent != COPPER or form is None:
        return ""
    method = method_by(household, reading)
    return "" if method.reads(form) else f"{method.name} does not read {form.value} copper."

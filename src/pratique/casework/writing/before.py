"""The household as it would be without some entries: what a correction, or a form sent twice, is checked against."""

from collections.abc import Iterable
from dataclasses import replace

from pratique.ledger.entries import Recorded
from pratique.ledger.folding import SHAPING_KINDS, fold
from pratique.ledger.household import Household
from pratique.ledger.kinds import places, protocols
from pratique.ledger.projections import shaping_entries
from pratique.ledger.states import (
    AnimalState,
    BatchState,
    CaseState,
    CompartmentState,
    CourseState,
    HouseholdState,
    MethodState,
    ProtocolState,
    State,
    StockState,
    SystemState,
)


def household_without(household: Household, entries: Iterable[Recorded]) -> Household:
    """Return the household as the other entries alone would make it."""
    left_out = list(entries)
    ids = {entry.id for entry in left_out}
    touched = {link.subject for entry in left_out if entry.payload is not None for link in entry.payload.links()}
    folded: dict[str, State | None] = {
        subject: fold(subject, [one for one in shaping_entries(subject) if one.id not in ids])
        for subject in touched
        if subject.partition("/")[0] in SHAPING_KINDS
    }
    own = folded.get("household", household.state)
    return replace(
        household,
        state=own if isinstance(own, HouseholdState) else None,
        systems=_with(household.systems, "system", folded, SystemState),
        compartments=_with(household.compartments, "compartment", folded, CompartmentState),
        methods=_with(household.methods, "method", folded, MethodState),
        stocks=_with(household.stocks, "stock", folded, StockState),
        batches=_with(household.batches, "batch", folded, BatchState),
        animals=_with(household.animals, "animal", folded, AnimalState),
        courses=_with(household.courses, "course", folded, CourseState),
        cases=_with(household.cases, "case", folded, CaseState),
        protocols=_with(household.protocols, "protocol", folded, ProtocolState),
    )


def _with[S: State](kept: dict[str, S], type_: str, folded: dict[str, State | None], state: type[S]) -> dict[str, S]:
    changed = {subject.partition("/")[2]: one for subject, one in folded.items() if subject.startswith(f"{type_}/")}
    others = {key: one for key, one in kept.items() if key not in changed}
    return others | {key: one for key, one in changed.items() if isinstance(one, state)}


def left_behind(household: Household, target: Recorded) -> tuple[State, ...]:
    """Return what would be left in a place nobody knows, or on a passage without legs, if an entry did not stand."""
    if target.amends is None and isinstance(target.payload, protocols.Protocol):
        key = target.payload.key
        return household.following(key) if key not in household_without(household, [target]).protocols else ()
    if target.amends is not None or not isinstance(target.payload, places.System | places.Compartment):
        # Where an amendment is withdrawn, what it amended stands again.
        return ()
    without, key = household_without(household, [target]), target.payload.key
    if isinstance(target.payload, places.System):
        return household.leaning_on(key) if key not in without.systems else ()
    if key in without.compartments:
        return ()
    return tuple(one for one in household.living if one.place is not None and one.place.compartment == key)

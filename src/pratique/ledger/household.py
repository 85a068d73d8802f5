"""The whole household at one moment, read in one query: systems, animals, courses, cases and the rest."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from uuid import UUID
from zoneinfo import ZoneInfo

from pratique.ledger.folding import fold
from pratique.ledger.models import Subject
from pratique.ledger.projections import shaping_entries_until
from pratique.ledger.states import (
    STATE_TYPES,
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


@dataclass(frozen=True)
class Household:
    """Everything the household keeps, by key. `state` is None until the household is set up."""

    state: HouseholdState | None
    systems: dict[str, SystemState]
    compartments: dict[str, CompartmentState]
    methods: dict[str, MethodState]
    stocks: dict[str, StockState]
    batches: dict[str, BatchState]
    animals: dict[str, AnimalState]
    courses: dict[str, CourseState]
    cases: dict[str, CaseState]
    protocols: dict[str, ProtocolState] = field(default_factory=dict)

    @cached_property
    def zone(self) -> ZoneInfo:
        """Return the keeper's time zone, UTC until the household is set up."""
        return ZoneInfo(self.state.zone if self.state else "UTC")

    @cached_property
    def living(self) -> tuple[AnimalState, ...]:
        """Return the animals that are alive, by name."""
        return tuple(sorted((one for one in self.animals.values() if one.life == "alive"), key=lambda one: one.name))

    def system_or_missing(self, key: str) -> SystemState:
        """Return a system; for one that is not set up (yet, or any more) a stand-in of which nothing is known.

        The stand-in is named by its key and has no net volume, so nothing is reckoned of its water.
        """
        return self.systems.get(key) or SystemState(
            key=key,
            name=key,
            entry=UUID(int=0),
            role="holding",
            gross_volume_l=0.0,
            net_volume_l=None,
            net_volume_plus_minus_l=None,
            keeps_invertebrates=False,
            words="",
            since=datetime(9999, 1, 1, tzinfo=UTC),
        )

    def leaning_on(self, system: str) -> tuple[State, ...]:
        """Return all that needs a system to be set up: who ever lived in its water, compartments, courses, cases."""
        animals = [one for one in self.animals.values() if any(stay.system == system for stay in one.stays)]
        cases = [one for one in self.cases.values() if one.system == system]
        return (*animals, *self.compartments_of(system), *self.courses_of(system), *cases)

    def following(self, protocol: str) -> tuple[BatchState, ...]:
        """Return the batches that follow a protocol."""
        return tuple(one for one in self.batches.values() if one.protocol == protocol)

    def missing_systems(self) -> tuple[str, ...]:
        """Return the keys of systems that something leans on now and that are not set up."""
        leaning = [one.place.system for one in self.living if one.place is not None]
        leaning += [one.system for one in self.compartments.values()]
        leaning += [one.system for one in self.courses.values() if one.standing != "finished"]
        leaning += [one.system for one in self.cases.values() if one.closed is None]
        return tuple(sorted(set(leaning) - set(self.systems)))

    def living_in(self, system: str) -> tuple[AnimalState, ...]:
        """Return the living animals in a system's water, those in its compartments too."""
        return tuple(one for one in self.living if one.place is not None and one.place.system == system)

    def compartments_of(self, system: str) -> tuple[CompartmentState, ...]:
        """Return the compartments that share a system's water."""
        return tuple(one for one in self.compartments.values() if one.system == system)

    def courses_of(self, system: str) -> tuple[CourseState, ...]:
        """Return a system's courses, the oldest first."""
        found = [one for one in self.courses.values() if one.system == system]
        return tuple(sorted(found, key=lambda one: one.started or one.planned))

    def place_name(self, system: str, compartment: str | None) -> str:
        """Return a place in the keeper's words: `Skerry`, or `Creel in Skerry`."""
        name = self.system_or_missing(system).name
        if compartment is None:
            return name
        inner = self.compartments[compartment].name if compartment in self.compartments else compartment
        return f"{inner} in {name}"


def load_household() -> Household:
    """Read the present state of everything the household keeps."""
    return _gathered(_stored_states())


def load_household_at(moment: datetime) -> Household:
    """Fold the household as it was at an earlier moment, by all that is known of it now."""
    return _gathered(
        (subject.partition("/")[0], state)
        for subject, entries in shaping_entries_until(moment).items()
        if (state := fold(subject, entries)) is not None
    )


def _gathered(found: Iterable[tuple[str, State]]) -> Household:
    states: dict[str, dict[str, State]] = {type_: {} for type_ in STATE_TYPES}
    for type_, state in found:
        states[type_][state.key] = state
    household = states["household"].get("")
    return Household(
        state=household if isinstance(household, HouseholdState) else None,
        systems=_of(states["system"], SystemState),
        compartments=_of(states["compartment"], CompartmentState),
        methods=_of(states["method"], MethodState),
        stocks=_of(states["stock"], StockState),
        batches=_of(states["batch"], BatchState),
        animals=_of(states["animal"], AnimalState),
        courses=_of(states["course"], CourseState),
        cases=_of(states["case"], CaseState),
        protocols=_of(states["protocol"], ProtocolState),
    )


def _stored_states() -> Iterator[tuple[str, State]]:
    for type_, text in Subject.objects.values_list("type", "state").order_by("key"):
        yield type_, STATE_TYPES[type_].model_validate_json(text)


def _of[S: State](states: dict[str, State], type_: type[S]) -> dict[str, S]:
    return {key: state for key, state in states.items() if isinstance(state, type_)}

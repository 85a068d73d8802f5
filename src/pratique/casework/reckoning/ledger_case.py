"""One case out of the ledger: what its entries tell of one constituent in one system's water."""

from collections.abc import Container, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from pratique import knowledge
from pratique.casework.copper_told import CONSTITUENT as COPPER
from pratique.casework.facts import LOOK_BACK, Facts
from pratique.casework.reckoning.events import MethodUsed, Turning, events_of, incoming_of, method_used, reading_of
from pratique.casework.reckoning.priors import prior_of, strength_sd_of, volume_of
from pratique.casework.reckoning.sorting import LeftOut, anchor, is_emptying, sorted_entries
from pratique.casework.reckoning.telling import telling_entries
from pratique.casework.words import amount
from pratique.knowledge import CopperForm
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Dose, Reading, WaterChange
from pratique.ledger.states import StockState, SystemState
from pratique.science.estimation.case import Case, Event, Initial

_DAY = timedelta(days=1)
_HOUR = timedelta(hours=1)
_LEAST_SPAN = timedelta(minutes=1)


@dataclass(frozen=True)
class LedgerCase:
    """A case of the reckoning with the entries behind it.

    `entries` are those it rests on, the oldest first; `left_out` those that are not counted, each with the reason.
    `ends_early` says in a sentence why nothing is known after `end`, or is empty. `assumed` says what nobody told.
    """

    system: SystemState
    constituent: str
    form: CopperForm | None
    start: datetime
    end: datetime
    case: Case
    entries: tuple[Recorded, ...]
    left_out: tuple[LeftOut, ...]
    is_volume_known: bool
    ends_early: str = ""
    assumed: tuple[str, ...] = ()

    def day_of(self, moment: datetime) -> float:
        """Return a moment as days since the case's start."""
        return (moment - self.start) / _DAY

    def moment_of(self, day: float) -> datetime:
        """Return the moment so many days after the case's start."""
        return self.start + timedelta(days=day)

    def entry(self, name: str) -> Recorded | None:
        """Return the entry behind an event or a reading of the case, by the name science carries."""
        return next((one for one in self.entries if str(one.id) == name), None)


def ledger_case(  # noqa: PLR0913 - what, where, from when to when, and what to leave out
    facts: Facts,
    system: SystemState,
    constituent: str,
    *,
    since: datetime | None,
    until: datetime,
    form: CopperForm | None = None,
    without: Container[UUID] | None = None,
) -> LedgerCase | None:
    """Return the case of a constituent in a system, or None where nothing at all tells of it.

    It starts at the last emptying before `since`, else at the last reading before it, else a day before the first
    thing told; without `since` that first thing is looked for as far back as any look goes. It ends at `until`, on
    the full hour where that is now, so that every page of an hour shares one reckoning.
    """
    form = (form or CopperForm.IONIC) if constituent == COPPER else None
    back_to = facts.since if since is None else since - LOOK_BACK
    prior = prior_of(constituent, form=form)
    found = telling_entries(facts, system.key, constituent, prior, since=back_to, until=min(until, facts.now))
    told = sorted_entries(facts.household, [one for one in found if without is None or one.id not in without], form)
    if not told.counted:
        return None
    counted = told.counted[anchor(facts.household, told.counted, since) :]
    start = _start(counted[0])
    end = told.lost_from.happened_at if told.lost_from else _end(facts, until, counted[-1].happened_at)
    end = max(end, start + _LEAST_SPAN)
    turning = Turning(facts, constituent, form, prior, volume_of(system))
    left_out = tuple(one for one in told.left_out if one.entry.happened_at >= start)
    return LedgerCase(
        system=system,
        constituent=constituent,
        form=form,
        start=start,
        end=end,
        case=_case(turning, counted, start, end),
        entries=counted,
        left_out=left_out,
        is_volume_known=system.net_volume_l is not None,
        ends_early=told.lost_words,
        assumed=_assumed(turning, system, counted),
    )


def _start(first: Recorded) -> datetime:
    """Return where a case starts that begins with an entry: there, or a little before what tells the level.

    Then the grid lies on half hours: what people do and write down happens on full ones, and a dose made up minutes
    after a change should not show as a dip only because a point of the grid falls between the two.
    """
    if is_emptying(first):
        return first.happened_at
    before = first.happened_at - (_HOUR if isinstance(first.payload, Reading) else _DAY)
    return _full_hour(before) - _HOUR / 2


def _end(facts: Facts, until: datetime, newest: datetime) -> datetime:
    if until < facts.now:
        return until
    return max(_full_hour(facts.now), newest)


def _full_hour(moment: datetime) -> datetime:
    return moment.replace(minute=0, second=0, microsecond=0)


def _case(turning: Turning, counted: Sequence[Recorded], start: datetime, end: datetime) -> Case:
    prior, first = turning.prior, counted[0]
    initial, events, readings = prior.initial, list[Event](), []
    methods: dict[str, MethodUsed] = {}
    if is_emptying(first) and isinstance(first.payload, WaterChange):
        new = incoming_of(turning, first.payload)
        initial = Initial(new.mean, new.sd)
        # The emptying stays as a refill where the source of new water is another one than the case's.
        counted = counted if prior.emptied_source is not None else counted[1:]
    for entry in counted:
        day = (entry.happened_at - start) / _DAY
        if isinstance(entry.payload, Reading):
            used = method_used(turning, entry.payload)
            methods[used.key] = used
            readings.append(reading_of(turning, entry.payload, entry, day))
        else:
            events += events_of(turning, entry, day)
    return Case(
        constituent=turning.constituent,
        unit=prior.unit,
        span_days=(end - start) / _DAY,
        initial=initial,
        grid_hours=prior.grid_hours,
        volume=turning.volume,
        loss=prior.loss,
        source=prior.source,
        level_walk_sd_per_sqrt_day=prior.level_walk,
        stock_strength_relative_sd=strength_sd_of(prior, _stocks(turning, counted)),
        methods={key: used.error for key, used in sorted(methods.items())},
        events=tuple(events),
        readings=tuple(readings),
        draws=prior.draws,
    )


def _stocks(turning: Turning, counted: Sequence[Recorded]) -> list[StockState]:
    """Return the stocks that were dosed from."""
    stocks = turning.facts.household.stocks
    keys = {one.payload.stock for one in counted if isinstance(one.payload, Dose)}
    return [stocks[key] for key in sorted(key for key in keys if key is not None) if key in stocks]


def _assumed(turning: Turning, system: SystemState, counted: Sequence[Recorded]) -> tuple[str, ...]:
    """Return what the case rests on that nobody told, in sentences."""
    found = []
    if system.net_volume_l is None and turning.prior.has_litres:
        litres = amount(turning.volume.mean_l, 0, "L")
        found.append(f"The net volume is not known: about {litres} is taken beforehand, widely.")
    if turning.prior.is_guess:
        found.append("What is lost and gained a day is a guess beforehand; the readings teach it.")
    read = [one.payload for one in counted if isinstance(one.payload, Reading)]
    if any(method_used(turning, one).is_assumed for one in read):
        name = knowledge.constituent(turning.constituent).name
        found.append(f"Where a reading names no method with an error, the crudest usual error for {name} is taken.")
    return tuple(found)

"""What is taken to go on as in the last week where nobody says otherwise, written on into the days ahead."""

import math
from collections.abc import Iterator
from dataclasses import replace

from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.science.estimation.case import Change, Dose, Event, Pulse

WEEK_DAYS = 7.0
FOOD_GOES_ON = "In the days ahead food is taken to go on as in the last week."


def food_going_on(held: Reckoned, *, until_day: float) -> tuple[Pulse, ...]:
    """Return the food of the last week written on: animals are fed on whatever else is done or left.

    Where feeding began within that week only the days since then come again, so that no fasting is made up.
    """
    pulses = tuple(one for one in _of_last_week(held) if isinstance(one, Pulse))
    if not pulses:
        return ()
    fed_days = math.ceil(held.ledger.case.span_days - pulses[0].day)
    return _written_on(held, pulses, every_days=max(1.0, min(WEEK_DAYS, float(fed_days))), until_day=until_day)


def all_going_on(held: Reckoned, *, until_day: float) -> tuple[Event, ...]:
    """Return the doses, changes and food of the last week written on.

    Copper is dosed on advice from day to day, so nothing of it is taken to go on.
    """
    if held.ledger.constituent == COPPER:
        return ()
    done = tuple(one for one in _of_last_week(held) if isinstance(one, Dose | Change))
    going_on = (
        *_written_on(held, done, every_days=WEEK_DAYS, until_day=until_day),
        *food_going_on(held, until_day=until_day),
    )
    return tuple(sorted(going_on, key=lambda one: one.day))


def _of_last_week(held: Reckoned) -> Iterator[Event]:
    case = held.ledger.case
    return (one for one in case.events if one.day > case.span_days - WEEK_DAYS)


def _written_on[Done: (Event, Pulse)](
    held: Reckoned, events: tuple[Done, ...], *, every_days: float, until_day: float
) -> tuple[Done, ...]:
    if held.running is None:
        return ()
    found: list[Done] = []
    for event in events:
        day = event.day + every_days
        while day <= until_day:
            if day > held.running.day:
                found.append(replace(event, day=day))
            day += every_days
    return tuple(sorted(found, key=lambda one: one.day))

"""What a concern about ammonia says, in sentences."""

from collections.abc import Sequence

from pratique import knowledge
from pratique.casework.ammonia import UNIT, AmmoniaAt
from pratique.casework.copper import CONSTITUENT, course_copper
from pratique.casework.dosing_words import make_up_words
from pratique.casework.facts import Facts
from pratique.casework.methods import range_of, reading_words
from pratique.casework.timeline import hours_of
from pratique.casework.words import ago, amount, listed, when
from pratique.ledger.states import CourseState, SystemState
from pratique.science.chemistry.dilution import change_fraction_to_reach

COMPANION_NAMES = {"ph": "pH", "temperature": "temperature", "salinity": "salinity"}


def said_now(facts: Facts, system: SystemState, newest: AmmoniaAt, run: Sequence[AmmoniaAt]) -> tuple[str, ...]:
    """Return what is so now, and what a water change does; `run` is the climb that ends now, if there is one."""
    if newest.is_beyond:
        return _beyond(facts, system, newest)
    moment = when(newest.at, facts.now, facts.zone)
    total = reading_words(facts.household, newest.taken.reading)
    said = []
    if newest.value is not None:
        said.append(f"Un-ionised ammonia {newest.level_words} {moment}, from total ammonia {total}.")
    else:
        said.append(
            f"Not known: {_why_not_known(newest)}. Total ammonia was {total} {moment}; "
            f"at worst {amount(newest.worst, 3, UNIT)} of it is un-ionised."
        )
    if run:
        said.append(_climb_words(facts, newest, run[0]))
    return (*said, *_what_a_change_does(facts, system, newest))


def said_then(facts: Facts, system: SystemState, newest: AmmoniaAt) -> tuple[str, ...]:
    """Return what was last seen, where that is too long ago to say how the water is."""
    total = reading_words(facts.household, newest.taken.reading)
    if newest.value is not None:
        level = f", of which {newest.level_words} was un-ionised"
    elif newest.is_beyond:
        level = ", above what the test can read"
    else:
        level = f", of which at worst {amount(newest.worst, 3, UNIT)} was un-ionised"
    moment = when(newest.at, facts.now, facts.zone)
    said = [f"Total ammonia was last seen {moment} ({ago(newest.at, facts.now)}): {total}{level}."]
    changed = [one for one in facts.changes_of(system.key) if one.happened_at > newest.at]
    if changed:
        said.append(f"Water was changed {when(changed[-1].happened_at, facts.now, facts.zone)}.")
    return (*said, "Nothing has been read since, so how it is now is not known. Read it again.")


def copper_course_in(facts: Facts, system: SystemState) -> CourseState | None:
    """Return the open course of copper in a system's water, if there is one."""
    open_ones = (one for one in facts.household.courses_of(system.key) if one.standing == "open")
    return next(
        (one for one in open_ones if knowledge.substance_or_unknown(one.substance).constituent == CONSTITUENT), None
    )


def _beyond(facts: Facts, system: SystemState, newest: AmmoniaAt) -> tuple[str, ...]:
    end = amount(range_of(facts.household, newest.taken.reading).low, 2, UNIT)
    moment = when(newest.at, facts.now, facts.zone)
    said = [
        f"Total ammonia {moment}: more than {end}, which is as far as that reading goes. Of {end} alone up to "
        f"{amount(newest.worst, 3, UNIT)} may be un-ionised, and there is more.",
        "To know it, dilute the sample with salt water that has no ammonia (one part in four), read again, and "
        "multiply. Do not wait for that with a water change; how large it must be is not said.",
    ]
    if copper_course_in(facts, system) is not None:
        said.append("A change takes copper with it: read the copper afterwards, before making it up.")
    return tuple(said)


def _climb_words(facts: Facts, newest: AmmoniaAt, first: AmmoniaAt) -> str:
    days = max((hours_of(newest.at) - hours_of(first.at)) / 24, 1 / 24)
    a_day = ((newest.value or 0.0) - (first.value or 0.0)) / days
    return (
        f"It has risen with every reading since {when(first.at, facts.now, facts.zone).removeprefix('on ')}, "
        f"by about {amount(a_day, 3, 'mg/L')} a day."
    )


def _why_not_known(newest: AmmoniaAt) -> str:
    if not newest.missing:
        return "pH, temperature or salinity lies outside what the relation was made for"
    names = listed([COMPANION_NAMES[one] for one in newest.missing])
    beyond = {one.reading.constituent for one in newest.companions} & set(newest.missing)
    state = "missing or old" if not beyond else "missing, old or beyond what its test can read"
    return f"{names} {'is' if len(newest.missing) == 1 else 'are'} {state}"


def _what_a_change_does(facts: Facts, system: SystemState, newest: AmmoniaAt) -> list[str]:
    if system.net_volume_l is None:
        return ["How much water to change is not said: the net volume is not known."]
    level = newest.cautious
    target = knowledge.figure("ammonia.watch_mg_n_per_l").value
    if level <= target:
        return []
    # More at once would be a shock of its own.
    fraction = min(knowledge.figure("change.largest_fraction").value, change_fraction_to_reach(level, target))
    litres = fraction * system.net_volume_l
    left = level * (1 - fraction)
    return [
        f"Changing {amount(litres, 0, 'L')} (matched in salinity and temperature) would leave at most about "
        f"{amount(left, 3, 'mg/L')}.",
        *_what_it_takes_of_copper(facts, system, litres),
    ]


def _what_it_takes_of_copper(facts: Facts, system: SystemState, litres: float) -> list[str]:
    course = copper_course_in(facts, system)
    if course is None:
        return []
    words = make_up_words(facts, course_copper(facts, course), changed_l=litres)
    return [words] if words else []

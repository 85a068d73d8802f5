"""What a planned course is refused for, and what is asked about it before it is written."""

from collections import defaultdict
from collections.abc import Sequence

from pratique import knowledge
from pratique.casework.copper import CONSTITUENT
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.invertebrates import harmed_in, is_invertebrate
from pratique.casework.timeline import at_days
from pratique.casework.words import day_words, listed, sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.combining import MIN_OVERRIDE_LETTERS, check_combining
from pratique.casework.writing.dangers import open_courses
from pratique.casework.writing.numbers import plain
from pratique.knowledge import Band, Species, Substance
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, BatchState, StockState, SystemState

_ROUNDING = 1e-9


def check_band(asked: Asked, substance: Substance, stock: StockState | None, band: Sequence[float | None]) -> None:
    """Refuse a band out of order or above what is safe, and a stock of another substance or form."""
    if stock is not None and stock.substance != substance.key:
        held = knowledge.substance_or_unknown(stock.substance)
        why = " Forms of copper never share a stock or a band." if held.form is not None and substance.form else ""
        asked.problem(
            "stock", f"{stock.name} holds {held.name}, but the course is of {substance.name}. Choose one of both.{why}"
        )
    lower, upper, hard = band
    if lower is not None and upper is not None and lower >= upper:
        asked.problem("target-upper", f"The target goes upwards: write more than {plain(lower)} here.")
    if upper is not None and hard is not None and upper > hard:
        asked.problem("hard-upper", f"The upper limit is never below the target: write {plain(upper)} or more.")
    if substance.form is None:
        return
    figure = knowledge.copper_band(substance.form)
    _check_reach(asked, substance, figure, band)


def _check_reach(asked: Asked, substance: Substance, figure: Band, band: Sequence[float | None]) -> None:
    lower, upper, hard = band
    usual = f"{plain(figure.target_lower)} to {plain(figure.target_upper)}\u202f{figure.unit}"
    if upper is not None and upper < figure.target_lower - _ROUNDING:
        asked.problem("target-upper", f"The band of {substance.name} is {usual}; this lies wholly below it.")
    elif lower is not None and lower < figure.target_lower - _ROUNDING:
        asked.doubt(
            "target-lower", f"The band of {substance.name} is {usual}; under it parasites may live on. Keep it?"
        )
    if hard is None or hard <= figure.hard_upper + _ROUNDING:
        return
    limit = f"{plain(figure.hard_upper)}\u202f{figure.unit}"
    if len(asked.text("override")) < MIN_OVERRIDE_LETTERS:
        asked.problem(
            "hard-upper",
            f"{sentence_case(substance.name)} is not planned above {limit}. Write {plain(figure.hard_upper)} or less, "
            "or say under “Why it is planned all the same” what makes it necessary.",
        )
    else:
        asked.doubt(
            "hard-upper", f"This plans {substance.name} above {limit}, where animals die. Keep it in your words?"
        )


def check_system(asked: Asked, system: SystemState, substance: Substance) -> None:
    """Refuse a course in water of unknown volume, in water that invertebrates share, or beside an open one."""
    if system.net_volume_l is None:
        asked.problem(
            "system",
            f"{system.name}'s net volume is not known, so no dose can be reckoned. Write it under {system.name} first: "
            "fill the tank from a measured bucket, or take off what sand, rock and the gap at the top take up.",
        )
    harmed = harmed_in(asked.household, system)
    if harmed and substance.constituent == CONSTITUENT:
        asked.problem(
            "system",
            f"Copper kills invertebrates, and {system.name} holds {harmed}. Treat in a tank whose water none of them "
            "shares, boxes and sump included.",
        )
    elif harmed and substance.harms_invertebrates:
        asked.doubt("system", f"{sentence_case(substance.name)} can harm {harmed} in {system.name}. Plan it so?")
    for course in open_courses(asked.household, system.key):
        asked.problem("system", f"{course.name} is under way in {system.name}. Stop it before another one is planned.")
    before = asked.desk.amends
    for course in asked.household.courses_of(system.key):
        if course.standing == "planned" and (before is None or before.raw.get("key") != course.key):
            asked.doubt("system", f"{course.name} is planned for {system.name} already. Plan a second one?")


def check_who(asked: Asked, system: SystemState, substance: Substance, batch: BatchState | None) -> None:
    """Ask about animals that take copper badly, and about those that were moved or medicated not long ago."""
    animals = _treated(asked.household, system, batch)
    check_combining(asked, system, substance, animals)
    if substance.constituent == CONSTITUENT:
        for animal in animals:
            kind = knowledge.species_or_unknown(animal.species)
            if kind.copper_caution == "high":
                other = _other_ways(kind)
                asked.doubt("substance", f"{animal.name}: {kind.copper_note} {other}Plan it all the same?")
    tired: dict[tuple[str, str], list[str]] = defaultdict(list)
    facts = Facts(asked.household, asked.at)
    for animal in animals:
        rest = AnimalHealth(facts, animal).rest
        if rest.binding is not None and not rest.is_rested:
            day = day_words(at_days(rest.clear_on_day).astimezone(asked.household.zone).date())
            tired[rest.binding.words, day].append(animal.name)
    for (words, day), names in tired.items():
        verb = "counts" if len(names) == 1 else "count"
        asked.doubt("batch", f"{listed(names)}: {words}, and {verb} as rested from {day}. Plan it all the same?")


def _other_ways(kind: Species) -> str:
    """Return which other protocols are open to a kind that takes copper badly, or nothing."""
    known = next(
        (
            one
            for one in knowledge.alternatives()
            if one.agent == CONSTITUENT and (kind.family in one.families or kind.copper_caution in one.cautions)
        ),
        None,
    )
    if known is None:
        return ""
    names = [f"“{knowledge.protocol(key).name}”" for key in known.protocols]
    return f"Another way for it: {' or '.join(names)} ({known.status}). "


def _treated(household: Household, system: SystemState, batch: BatchState | None) -> tuple[AnimalState, ...]:
    """Return the living fishes in the system's water, and those of the batch wherever they are."""
    keys = {animal.key for animal in household.living_in(system.key)} | set(batch.animals if batch else ())
    return tuple(animal for animal in household.living if animal.key in keys and not is_invertebrate(animal))

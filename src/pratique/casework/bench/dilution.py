"""The card for thinning something out: one change, several, a drip, a routine, and what evaporates."""

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Card, Secondary, Way
from pratique.casework.bench.dilution_routine import EVAPORATION, ROUTINE
from pratique.casework.bench.levels import Levels, level_fields
from pratique.casework.bench.quantities import CHANGED, COUNT, VOLUME, part_of
from pratique.casework.bench.questions import net_volume, number
from pratique.casework.bench.saying import line, second, three_digits
from pratique.casework.bench.sources import MASS_BALANCE
from pratique.casework.sheets import NextStep
from pratique.knowledge import figure
from pratique.science.chemistry.dilution import after_n_changes, change_fraction_to_reach, changes_to_fall_below
from pratique.science.chemistry.domain import DomainError
from pratique.units import show

_LEVELS = ("level", "incoming", "target")
_VOLUME_WORDS = "If the water is really 10\u202f% less than thought, each change takes out a tenth more than reckoned."
_MOST_CHANGES = 1000


def _changes(asked: Asking) -> BenchAnswer:
    levels = Levels(asked, _LEVELS)
    inputs = {
        "level": levels.needed("level", "Write the level now."),
        "incoming": levels.needed("incoming", "Write the level of the new water; 0 if it holds none."),
        "volume_l": asked.number("volume", VOLUME, "Write the net volume.", error="net_volume"),
    }
    whole = part_of(inputs["volume_l"].value)
    needed = "Write how much is changed, such as 20\u202fL or 25\u202f%."
    inputs["changed_l"] = asked.number("changed_volume", whole, needed, error="measured_volume")
    times = _times(asked)
    asked.keep_within(inputs["changed_l"], inputs["volume_l"])
    asked.settle()

    def after(level: float, incoming: float, volume_l: float, changed_l: float) -> float:
        return after_n_changes(level, changed_l / volume_l, changes=times, incoming=incoming)

    found = asked.carry(after, inputs)
    fraction = inputs["changed_l"].value / inputs["volume_l"].value
    decimals = three_digits(found.value)
    often = "After this change" if times == 1 else f"After {times} such changes"
    return answered(
        asked,
        found,
        inputs,
        said={"unit": levels.unit, "decimals": decimals, "words": f"{often} the level is {{}}."},
        working=(
            line("Part of the water that is changed", 100.0 * fraction, 1, "%"),
            line("How often", float(times), 0),
            line("Part of the old water that is left", 100.0 * (1.0 - fraction) ** times, 1, "%"),
        ),
        sources=(MASS_BALANCE,),
        volume_words=_VOLUME_WORDS,
        warnings=_too_much(fraction),
        entry=_entry(inputs["changed_l"].value) if times == 1 else None,
    )


def _times(asked: Asking) -> int:
    times = asked.number("times", COUNT, "Write how often; 1 for a single change.")
    if times.value != times.value or "times" in asked.problems:
        return 1
    if times.value != int(times.value) or not 1 <= times.value <= _MOST_CHANGES:
        asked.problem("times", f"This must be a whole number from 1 to {_MOST_CHANGES}; {times.shown} is not.")
        return 1
    return int(times.value)


def _to_reach(asked: Asking) -> BenchAnswer:
    levels = Levels(asked, _LEVELS)
    inputs = {
        "level": levels.needed("level", "Write the level now."),
        "target": levels.needed("target", "Write the level that is wanted."),
        "incoming": levels.needed("incoming", "Write the level of the new water; 0 if it holds none."),
        "volume_l": asked.number("volume", VOLUME, "Write the net volume.", error="net_volume"),
    }
    size = asked.optional("changed_volume", part_of(inputs["volume_l"].value))
    asked.settle()

    def litres(level: float, target: float, incoming: float, volume_l: float) -> float:
        return volume_l * change_fraction_to_reach(level, target, incoming=incoming)

    found = asked.carry(litres, inputs)
    fraction = found.value / inputs["volume_l"].value
    decimals = three_digits(found.value)
    return answered(
        asked,
        found,
        inputs,
        said={"unit": "L", "decimals": decimals, "words": "One change of {} brings it there."},
        working=(line("Part of the water", 100.0 * fraction, 1, "%"),),
        sources=(MASS_BALANCE,),
        volume_words=_VOLUME_WORDS,
        warnings=_too_much(fraction),
        more=_in_smaller_ones(asked, inputs, size),
        entry=_entry(found.value),
    )


def _in_smaller_ones(asked: Asking, inputs: dict[str, Measured], size: Measured | None) -> tuple[Secondary, ...]:
    """Return how many changes of the size asked for do the same."""
    if size is None:
        return ()
    fraction = min(size.value / inputs["volume_l"].value, 1.0)
    level, target, incoming = (inputs[name].value for name in ("level", "target", "incoming"))
    if level < target:
        return ()
    try:
        # A hair above the target counts as there.
        times = changes_to_fall_below(level, fraction, limit=target * (1.0 + 1e-9), incoming=incoming)
    except DomainError as problem:
        raise asked.not_in_domain(problem, (size,)) from None
    words = f"Changes of {size.shown} that do it, at the least"
    return (second(words, float(times), 0),)


def _too_much(fraction: float) -> tuple[str, ...]:
    limit = figure("change.largest_fraction")
    if fraction <= limit.value:
        return ()
    most = show(100.0 * limit.value, 0, "%")
    return (f"More than {most} at once is a shock of its own: split it, and match warmth, salinity and pH.",)


def _entry(litres: float) -> NextStep:
    answers = (("volume", f"{litres:.4g}"), ("volume_unit", "L"))
    return NextStep("Write the water change into the ledger", form="water-change", answers=answers)


_LEVEL = level_fields("level", "Level now", required=True, hint="In any unit; all levels here in the same.")
_INCOMING = level_fields("incoming", "Level of the new water", initial="0")
_CHANGED = number("changed_volume", "Water changed", CHANGED, required=True)

DILUTION_CARD = Card(
    name="dilution",
    question="Thin it out",
    title="Water changes",
    words="What changing water does to a level, how much it takes, and what a routine or evaporation comes to.",
    ways=(
        Way(
            key="changes",
            words="One change or several",
            fields=(
                *_LEVEL,
                *_INCOMING,
                *net_volume(),
                *_CHANGED,
                *number("times", "How often", COUNT, initial="1", exact=True),
            ),
            reckon=_changes,
        ),
        Way(
            key="reach",
            words="To reach a level",
            fields=(
                *_LEVEL,
                *level_fields("target", "Level wanted", required=True),
                *_INCOMING,
                *net_volume(),
                *number(
                    "changed_volume",
                    "Or in changes of",
                    CHANGED,
                    exact=True,
                    hint="Left empty: one change.",
                ),
            ),
            reckon=_to_reach,
            told_by="target",
        ),
        *ROUTINE,
        EVAPORATION,
    ),
)

"""One parasite in a tank without fish: reckoned once, and told by day."""

from math import ceil
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.reckoning.memory import MEMORY
from pratique.casework.sheets.compare import DayChance, Likely
from pratique.casework.sheets.fallow import FallowLine
from pratique.casework.words import days_words, percent, sentence_case
from pratique.science.health.parasites.limits import fallow_days, limits_of

# Its stages are drawn with a heavy import: only what really reckons loads it.
if TYPE_CHECKING:
    from pratique.science.passage.fallow import Fallow

_SMALL = 2**14
_SEED = 7
# Warmer or colder by less than this is the same water to the model, and is reckoned once.
_SAME_C = 0.5


def fallow_line(parasite: str, temperature_c: float, fishes: int, day: float | None) -> FallowLine:
    """Return one parasite's line; without a curve where the temperature leaves its end unknown."""
    known, limits = knowledge.parasite(parasite), limits_of(parasite, temperature_c)
    name = known.name.partition(" (")[0]
    if limits.may_sleep or not limits.develops:
        words = "not known: in water so cold or so warm, what waits may sleep and hatch later"
        return FallowLine(key=parasite, name=name, words=words)
    usual = _reckoned(parasite, temperature_c, known.burden_cap.value * fishes)
    light = _reckoned(parasite, temperature_c, knowledge.figure("fallow.light_infection").value)
    enough = usual.day_reached(knowledge.figure("gate.clear_probability").value)
    return FallowLine(
        key=parasite,
        name=name,
        words="",
        curve=tuple(DayChance(float(at), _likely(usual, int(at))) for at in usual.days),
        now=None if day is None else _likely(usual, min(int(day), len(usual.days) - 1)),
        enough_day=enough,
        sure_day=usual.day_reached(knowledge.figure("fallow.sure_probability").value),
        light_day=light.day_reached(knowledge.figure("gate.clear_probability").value),
        longest_day=usual.longest_days,
    )


def line_words(one: FallowLine) -> str:
    """Return a line in a sentence."""
    if one.enough_day is None or one.sure_day is None or one.light_day is None or one.longest_day is None:
        return f"{sentence_case(one.name)}: {one.words or 'not within the days looked at'}."
    levels = [percent(knowledge.figure(key).value) for key in ("gate.clear_probability", "fallow.sure_probability")]
    now = f"{percent(one.now.value)} likely gone by now; " if one.now is not None else ""
    return (
        f"{sentence_case(one.name)}: {now}{levels[0]} from day {one.enough_day:g}, {levels[1]} from day "
        f"{one.sure_day:g}; after a light infection {levels[0]} from day {one.light_day:g}; the longest wait ever told "
        f"of is over after {days_words(one.longest_day)}."
    )


def _likely(found: "Fallow", at: int) -> Likely:
    return Likely(float(found.probability[at]), float(found.low[at]), float(found.high[at]))


def _reckoned(parasite: str, temperature_c: float, on_the_fish: float) -> "Fallow":
    near = _SAME_C * round(temperature_c / _SAME_C)
    key = ("fallow", parasite, near, on_the_fish)

    def reckon() -> "Fallow":
        from pratique.science.passage.fallow import fallow  # noqa: PLC0415 - see above

        days = ceil(fallow_days(limits_of(parasite, near))) + 1
        rows = int(knowledge.figure("clearance.isolates").value)
        return fallow(parasite, temperature_c=near, on_the_fish=on_the_fish, days=days, rows=rows, seed=_SEED)

    return MEMORY.recall(key, reckon, size_of=lambda _: _SMALL)

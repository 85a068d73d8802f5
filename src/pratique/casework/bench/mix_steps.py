"""A change of salinity as swaps of water that keep within a pace: one way of asking the card for making up water."""

from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking
from pratique.casework.bench.card import BenchAnswer, Line, Way
from pratique.casework.bench.quantities import HOURS, PER_DAY, SALINITY, VOLUME
from pratique.casework.bench.questions import net_volume, number, salinity
from pratique.casework.bench.saying import line, three_digits
from pratique.casework.bench.sources import MASS_BALANCE
from pratique.casework.words import counted
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.salinity_steps import Pace, Step, salinity_steps
from pratique.units import show

_MOST_SHOWN = 60


def _reckon(asked: Asking) -> BenchAnswer:
    inputs = {
        "salinity_psu": asked.number("salinity", SALINITY, "Write the salinity now.", error="salinity"),
        "target": asked.number("target", SALINITY, "Write the salinity wanted."),
        "incoming": asked.number("incoming", SALINITY, "Write the salinity of the new water; 0 for fresh water."),
        "volume_l": asked.number("volume", VOLUME, "Write the net volume.", error="net_volume"),
    }
    pace = asked.number("pace", PER_DAY, "Write how much it may move in a day; the animals set it.")
    between = asked.number("hours_between", HOURS, "Write the hours between two swaps.")
    asked.settle()

    def schedule(salinity_psu: float, target: float, incoming: float, volume_l: float) -> tuple[Step, ...]:
        within = Pace(pace.value, between.value)
        return salinity_steps(salinity_psu, target, incoming_psu=incoming, volume_l=volume_l, pace=within)

    at = {name: one.value for name, one in inputs.items()}
    try:
        steps = schedule(**at)
    except DomainError as problem:
        raise asked.not_in_domain(problem, inputs.values()) from None
    count = len(steps)

    def litres(salinity_psu: float, target: float, incoming: float, volume_l: float) -> float:
        # The number of steps holds; only their size follows the readings.
        per_step = abs(target - salinity_psu) * 24.0 / between.value / max(count, 1) * (1.0 + 1e-9)
        if not per_step:
            return 0.0
        moved = salinity_steps(
            salinity_psu, target, incoming_psu=incoming, volume_l=volume_l, pace=Pace(per_step, between.value)
        )
        return sum(step.litres for step in moved)

    found = asked.carry(litres, inputs)
    swaps = "One swap" if count == 1 else f"{counted(count)} swaps"
    hours = steps[-1].at_hours if steps else 0.0
    return answered(
        asked,
        found,
        inputs,
        said={
            "unit": "L",
            "decimals": three_digits(found.value),
            "words": f"{swaps} of water, {{}} in all, over {show(hours, 0, 'h')}.",
        },
        working=(
            Line("At most in a day", pace.shown),
            line("Moved by each swap", (at["target"] - at["salinity_psu"]) / max(count, 1), 2, "PSU"),
        ),
        sources=(MASS_BALANCE,),
        volume_words="If the water is really 10\u202f% less than thought, each swap moves it a tenth further.",
        steps=_shown(steps, "US gal" if inputs["volume_l"].shown.endswith("US gal") else "L"),
        warnings=(
            "Read the salinity before each swap, and stop where an animal breathes hard. What pace an animal bears "
            "depends on it and on the way: ask before going lower than it has lived in.",
        ),
    )


def _shown(steps: tuple[Step, ...], unit: str) -> tuple[Line, ...]:
    litres = VOLUME.to_canonical(1.0, unit)
    swaps = [(one, one.litres / litres) for one in steps[:_MOST_SHOWN]]
    shown = [
        Line(
            f"After {one.at_hours:.0f}\u202fh swap {show(water, three_digits(water), unit)}",
            f"{one.from_psu:.1f} → {show(one.to_psu, 1, 'PSU')}",
        )
        for one, water in swaps
    ]
    left = len(steps) - len(shown)
    return (*shown, *((Line(f"and {left} more, each moving as much"),) if left else ()))


STEPS = Way(
    key="steps",
    words="Another salinity in steps",
    fields=(
        *salinity(),
        *number("target", "Salinity wanted", SALINITY, required=True, exact=True),
        *number(
            "incoming", "Salinity of the new water", SALINITY, required=True, exact=True, hint="0 for fresh water."
        ),
        *net_volume(),
        *number("pace", "It may move in a day by", PER_DAY, required=True, exact=True),
        *number("hours_between", "Hours between two swaps", HOURS, initial="24", exact=True),
    ),
    reckon=_reckon,
    told_by="pace",
)

"""How long the oxygen lasts when the flow stops: one way of asking the oxygen card."""

from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.bench.answering import answered
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.card import BenchAnswer, Secondary, Way
from pratique.casework.bench.oxygen_water import WATER_FIELDS, OxygenWater, full_mg_per_l
from pratique.casework.bench.quantities import CONCENTRATION, COUNT, MASS, PER_HOUR, VOLUME
from pratique.casework.bench.questions import net_volume, number
from pratique.casework.bench.saying import extrapolated, line, reason_of, second
from pratique.casework.bench.sources import FISH_OXYGEN, FORMALIN_OXYGEN, MASS_BALANCE, OXYGEN, REEF_FISH_OXYGEN
from pratique.casework.sheets import Reason
from pratique.science.chemistry.oxygen_demand import (
    VALIDITY,
    Breath,
    FishDemand,
    demand_of_fishes,
    formalin_demand_mg_per_l,
)

_LIMIT = "oxygen.urgent_mg_per_l"
STILL_WATER = "oxygen.kla_still_water_per_h"
AIRSTONE = "oxygen.kla_good_airstone_per_h"


@dataclass(frozen=True)
class _Tank:
    """Still water with fish in it; levels in mg/L, demands in mg/h."""

    full: float
    start: float
    limit: float
    gas_per_h: float
    demand: FishDemand

    def hours(self, demand_mg_per_h: float, volume_l: float) -> float | None:
        """Return how long until the limit is reached; None for never."""
        breath = Breath(self.full, demand_mg_per_h / volume_l, self.gas_per_h)
        return breath.hours_to(self.limit, start_mg_per_l=self.start)


def _reckon(asked: Asking) -> BenchAnswer:
    water = OxygenWater(asked)
    mass = asked.number("fish_mass", MASS, "Write what one fish weighs; a guess will do.")
    fishes = _whole(asked)
    volume = asked.number("volume", VOLUME, "Write the net volume.", error="net_volume")
    tank = _tank(asked, water, mass, fishes)
    inputs = {"volume_l": volume}
    if tank.hours(tank.demand.upper, volume.value) is None:
        raise asked.refuse(
            "gas_exchange",
            f"With this much air getting in, the oxygen never falls to {tank.limit:g}\u202fmg/L. Write 0 for water "
            "that stands still, which is what to fear.",
        )
    found = asked.carry(lambda volume_l: tank.hours(tank.demand.upper, volume_l) or 0.0, inputs)
    limit = knowledge.figure(_LIMIT)
    words = f"Fed or active, the fish bring the oxygen down to {tank.limit:g}\u202fmg/L in about {{}}."
    return answered(
        asked,
        found,
        {"fish_mass": mass, **inputs, **water.inputs},
        said={"unit": "h", "decimals": 1, "words": words},
        working=(
            line("How many fish", float(fishes), 0),
            line("Oxygen when full", tank.full, 2, "mg/L"),
            line("Oxygen to begin with", tank.start, 2, "mg/L"),
            line("All the fish at rest breathe", tank.demand.resting, 1, "mg/h"),
            line("The same fish fed or active, at most", tank.demand.upper, 1, "mg/h"),
        ),
        sources=(
            *water.sources,
            *_sources(asked),
            reason_of(limit, f"Too little below {limit.value:g}\u202f{limit.unit}."),
        ),
        extrapolated=(
            *water.extrapolated,
            *extrapolated(VALIDITY, {"temperature": water.temperature.value, "mass": mass.value}),
        ),
        more=_at_rest(tank, volume.value),
        warnings=("Bacteria, corals and rot breathe too and are not in this sum. Aerate first, reckon later.",),
        volume_words="A net volume 10\u202f% smaller than thought is used up 10\u202f% sooner.",
    )


def _tank(asked: Asking, water: OxygenWater, mass: Measured, fishes: int) -> _Tank:
    now = asked.optional("oxygen_now", CONCENTRATION, error="oxygen")
    formalin = asked.optional("formalin", CONCENTRATION)
    gas = asked.number("gas_exchange", PER_HOUR, "Write how fast air gets in; 0 if the water stands still.")
    full = asked.carry(full_mg_per_l, water.inputs).value
    if now is None:
        asked.assume("No oxygen reading was given, so the water is taken as full.", OXYGEN)
    lost = formalin_demand_mg_per_l(formalin.value) if formalin is not None else 0.0
    start = max((full if now is None else now.value) - lost, 0.0)
    one = demand_of_fishes([mass.value], water.temperature.value)
    all_of_them = FishDemand(one.resting * fishes, one.lower * fishes, one.upper * fishes)
    return _Tank(full, start, knowledge.figure(_LIMIT).value, gas.value, all_of_them)


def _at_rest(tank: _Tank, volume_l: float) -> tuple[Secondary, ...]:
    hours = tank.hours(tank.demand.resting, volume_l)
    return (second("At rest the same fish would take", hours, 1, "h"),) if hours is not None else ()


def _whole(asked: Asking) -> int:
    count = asked.optional("fish_count", COUNT)
    if count is None:
        return 1
    if count.value != int(count.value) or not 1 <= count.value <= 10_000:
        asked.problem("fish_count", f"This must be a whole number from 1 to 10\u202f000; {count.shown} is not.")
        return 1
    return int(count.value)


def _sources(asked: Asking) -> tuple[Reason, ...]:
    formalin = (FORMALIN_OXYGEN,) if asked.given("formalin") else ()
    return (FISH_OXYGEN, REEF_FISH_OXYGEN, MASS_BALANCE, *formalin)


LASTING = Way(
    key="stops",
    words="The flow stops",
    fields=(
        *number("fish_mass", "One fish weighs", MASS, required=True, exact=True, hint="A guess will do."),
        *number("fish_count", "How many such fish", COUNT, initial="1", exact=True),
        *net_volume(),
        *WATER_FIELDS,
        *number("oxygen_now", "Oxygen now", CONCENTRATION, hint="Left empty: the water is full."),
        *number(
            "formalin",
            "Formalin in the water",
            CONCENTRATION,
            exact=True,
            hint="It takes oxygen out. Left empty: none.",
        ),
        *number(
            "gas_exchange",
            "How fast air gets in",
            PER_HOUR,
            initial="0",
            exact=True,
            hint=(
                f"0 is still water under a lid, about {knowledge.figure(STILL_WATER).value:g} a still open surface, "
                f"{knowledge.figure(AIRSTONE).value:g} a good airstone."
            ),
        ),
    ),
    reckon=_reckon,
    told_by="fish_mass",
)

"""How a reading of the story comes about: the true value, the instrument, and what the keeper wrote down."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from random import Random
from types import MappingProxyType

from pratique.demo.instruments import look
from pratique.demo.story.conditions import conditions
from pratique.demo.story.diary import Diary
from pratique.knowledge import method
from pratique.ledger.kinds.water import Reading

USUAL_METHODS: Mapping[str, str] = MappingProxyType(
    {
        "total_ammonia": "ammonia_photometer",
        "nitrite": "nitrite_colour_chart",
        "nitrate": "nitrate_colour_chart",
        "phosphate": "phosphate_photometer",
        "silicate": "silicate_photometer",
        "ph": "ph_meter",
        "temperature": "thermometer",
        "salinity": "refractometer",
        "alkalinity": "alkalinity_syringe",
        "calcium": "calcium_titration",
        "magnesium": "magnesium_titration",
    }
)


@dataclass(frozen=True)
class Seen:
    """A true value about to be read, in the unit of its constituent, and the method it is read by."""

    system: str
    constituent: str
    method: str
    truth: float


def write_reading(diary: Diary, minute: int, seen: Seen, rng: Random, *, words: str = "") -> None:
    """Read a true value by its method and write down what was shown."""
    shown = {
        key: number for key, number in asdict(look(method(seen.method), seen.truth, rng)).items() if number is not None
    }
    reading = Reading(system=seen.system, constituent=seen.constituent, method=seen.method, words=words, **shown)
    diary.write(minute, reading)


def of_conditions(system: str, constituent: str, minute: int) -> float:
    """Return the true pH, temperature or salinity of a system."""
    around = conditions(system, minute)
    return {"ph": around.ph, "temperature": around.temperature_c, "salinity": around.salinity_psu}[constituent]

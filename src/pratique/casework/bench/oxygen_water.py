"""The water that holds oxygen: its salinity, its warmth, and the air over it."""

from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.quantities import PRESSURE, SALINITY, TEMPERATURE
from pratique.casework.bench.questions import number, salinity, temperature
from pratique.casework.bench.saying import extrapolated
from pratique.casework.bench.sources import OXYGEN, OXYGEN_PRESSURE
from pratique.casework.sheets import Reason
from pratique.science.chemistry.oxygen import VALIDITY, oxygen_from_percent_mg_per_l

_HPA_PER_ATM = 1013.25
WATER_FIELDS = (
    *salinity(),
    *temperature(),
    *number("pressure", "Air pressure", PRESSURE, hint="Left empty: one atmosphere, as at the sea."),
)


class OxygenWater:
    """What was given of the water."""

    def __init__(self, asked: Asking) -> None:
        self.salinity = asked.number("salinity", SALINITY, "Write the salinity.", error="salinity")
        self.temperature = asked.number("temperature", TEMPERATURE, "Write the temperature.", error="temperature")
        self.pressure = asked.optional("pressure", PRESSURE)

    @property
    def inputs(self) -> dict[str, Measured]:
        """What was given, by the names of the arguments of `full_mg_per_l`."""
        given = {"salinity_psu": self.salinity, "temperature_c": self.temperature}
        return given | ({"pressure_hpa": self.pressure} if self.pressure is not None else {})

    @property
    def extrapolated(self) -> tuple[str, ...]:
        """Which published range the water leaves."""
        return extrapolated(VALIDITY, {"salinity": self.salinity.value, "temperature": self.temperature.value})

    @property
    def sources(self) -> tuple[Reason, ...]:
        """What its oxygen rests on."""
        return (OXYGEN, OXYGEN_PRESSURE) if self.pressure is not None else (OXYGEN,)


def full_mg_per_l(salinity_psu: float, temperature_c: float, pressure_hpa: float = _HPA_PER_ATM) -> float:
    """Return the oxygen in mg/L of water in balance with the air over it; DomainError as science has it."""
    return oxygen_from_percent_mg_per_l(
        100.0, salinity_psu=salinity_psu, temperature_c=temperature_c, pressure_atm=pressure_hpa / _HPA_PER_ATM
    )

"""The chemistry against its peers: how many times as fast, and how far the answers lie apart.

Runs alone as `python -m benchmarks.chemistry`, and at the end of `make bench`.
"""

from collections.abc import Callable

import gsw
import numpy as np
import PyCO2SYS

from benchmarks.duels import Duel, run_all
from pratique.science.chemistry.carbonate_pairs import state_from_alkalinity_ph
from pratique.science.chemistry.density import density_kg_per_m3, salinity_from_density
from pratique.science.chemistry.salinity import (
    conductivity_from_practical_salinity,
    practical_salinity_from_conductivity,
)
from pratique.science.chemistry.specific_gravity import specific_gravity

SAMPLES = 100_000
# Our name for each answer compared, and the peer's.
ANSWERS = {
    "dic_umol_per_kg": "dic",
    "pco2_uatm": "pCO2",
    "carbonate_umol_per_kg": "carbonate",
    "bicarbonate_umol_per_kg": "bicarbonate",
    "omega_aragonite": "saturation_aragonite",
    "omega_calcite": "saturation_calcite",
    "revelle_factor": "revelle_factor",
    "ph_nbs": "pH_nbs",
}


def carbonate_many() -> Duel:
    """Alkalinity and pH of many samples over the range of keepers' waters; both give every species, Ω and buffer."""
    at = np.random.default_rng(20).uniform
    alkalinity, ph = at(2300, 4500, SAMPLES), at(7.6, 8.6, SAMPLES)
    salinity, temperature = at(30, 40, SAMPLES), at(18, 32, SAMPLES)

    def ours() -> object:
        return state_from_alkalinity_ph(
            alkalinity, ph, ph_scale="total", salinity_psu=salinity, temperature_c=temperature
        )

    def theirs() -> dict[str, np.ndarray]:
        return PyCO2SYS.sys(alkalinity, ph, 1, 3, salinity=salinity, temperature=temperature)

    def apart() -> str:
        state, peer = ours(), theirs()
        worst = max(float(np.max(np.abs(getattr(state, name) / peer[key] - 1))) for name, key in ANSWERS.items())
        return f"largest difference of any answer {100 * worst:.4f} % (bar 0.05 %)"

    return Duel(
        what=f"carbonate system from alkalinity and pH, {SAMPLES:,} samples",
        peer="PyCO2SYS, the same samples in one call",
        bar="at least 20 times as fast",
        ours=ours,
        theirs=theirs,
        rounds=7,
        apart=apart,
    )


def carbonate_one() -> Duel:
    """One sample, as a page or a command asks for it; the peer is given the same NBS scale."""

    def apart() -> str:
        state = state_from_alkalinity_ph(2793.0, 8.2, salinity_psu=35.0, temperature_c=25.0)
        peer = PyCO2SYS.sys(2793.0, 8.2, 1, 3, salinity=35.0, temperature=25.0, opt_pH_scale=4)
        worst = max(abs(getattr(state, name) / float(peer[key]) - 1.0) for name, key in ANSWERS.items())
        return f"largest difference of any answer {100 * worst:.4f} %"

    return Duel(
        what="carbonate system from alkalinity and pH, one sample",
        peer="PyCO2SYS, one sample",
        bar="at least 1,000 times as fast",
        ours=lambda: state_from_alkalinity_ph(2793.0, 8.2, salinity_psu=35.0, temperature_c=25.0),
        theirs=lambda: PyCO2SYS.sys(2793.0, 8.2, 1, 3, salinity=35.0, temperature=25.0, opt_pH_scale=4),
        rounds=10,
        calls=1000,
        apart=apart,
    )


def _seawater() -> tuple[np.ndarray, np.ndarray]:
    """Return salinities and temperatures of keepers' waters, as many as every duel over many samples takes."""
    at = np.random.default_rng(21).uniform
    return at(5, 45, SAMPLES), at(10, 35, SAMPLES)


def _beside_gsw(what: str, ours: Callable[[], np.ndarray], theirs: Callable[[], np.ndarray], peer: str) -> Duel:
    return Duel(
        what=f"salinity: {what}, {SAMPLES:,} samples",
        peer=peer,
        bar="no slower than 1.1 times plain gsw, so 0.91 or more",
        ours=ours,
        theirs=theirs,
        rounds=25,
        apart=lambda: f"largest relative difference {float(np.max(np.abs(ours() / theirs() - 1))):.1e}",
    )


def salinity_of_conductivity() -> Duel:
    """Practical salinity of many raw conductivities."""
    salinity, celsius = _seawater()
    conductivity = gsw.C_from_SP(salinity, celsius, 0.0)
    return _beside_gsw(
        "practical salinity from conductivity",
        lambda: practical_salinity_from_conductivity(conductivity, celsius),
        lambda: gsw.SP_from_C(conductivity, celsius, 0.0),
        "gsw.SP_from_C",
    )


def conductivity_of_salinity() -> Duel:
    """Raw conductivity of many salinities."""
    salinity, celsius = _seawater()
    return _beside_gsw(
        "conductivity from practical salinity",
        lambda: conductivity_from_practical_salinity(salinity, celsius),
        lambda: gsw.C_from_SP(salinity, celsius, 0.0),
        "gsw.C_from_SP",
    )


def density_of_salinity() -> Duel:
    """Density of many waters."""
    salinity, celsius = _seawater()
    return _beside_gsw(
        "density",
        lambda: density_kg_per_m3(salinity, celsius),
        lambda: gsw.rho_t_exact(gsw.SR_from_SP(salinity), celsius, 0.0),
        "gsw.rho_t_exact of gsw.SR_from_SP",
    )


def specific_gravity_of_salinity() -> Duel:
    """Specific gravity of many waters against pure water of 25 °C."""
    salinity, celsius = _seawater()
    return _beside_gsw(
        "specific gravity",
        lambda: specific_gravity(salinity, temperature_c=celsius, reference_c=25.0),
        lambda: gsw.rho_t_exact(gsw.SR_from_SP(salinity), celsius, 0.0) / gsw.rho_t_exact(0.0, 25.0, 0.0),
        "gsw.rho_t_exact twice",
    )


def salinity_of_density() -> Duel:
    """Salinity of many densities; the peer has no inverse of the exact form and goes round by its shorter one."""
    salinity, celsius = _seawater()
    density = gsw.rho_t_exact(gsw.SR_from_SP(salinity), celsius, 0.0)

    def theirs() -> np.ndarray:
        absolute = 35.0
        for _ in range(6):
            absolute = gsw.SA_from_rho(density, gsw.CT_from_t(absolute, celsius, 0.0), 0.0)
        return gsw.SP_from_SR(absolute)

    return _beside_gsw(
        "practical salinity from density",
        lambda: salinity_from_density(density, celsius),
        theirs,
        "gsw.CT_from_t and gsw.SA_from_rho in six rounds, twelve calls to our five: gsw inverts its shorter form only",
    )


def salinity_of_one_conductivity() -> Duel:
    """One reading, as a page or a command asks for it: what refusing nonsense costs."""
    return Duel(
        what="salinity: practical salinity from conductivity, one sample",
        peer="gsw.SP_from_C, one sample",
        bar="no bar: the difference is the price of refusing nonsense",
        ours=lambda: practical_salinity_from_conductivity(53.07, 25.0),
        theirs=lambda: gsw.SP_from_C(53.07, 25.0, 0.0),
        rounds=15,
        calls=2000,
        their_calls=2000,
    )


DUELS = (
    carbonate_many,
    carbonate_one,
    salinity_of_conductivity,
    conductivity_of_salinity,
    density_of_salinity,
    specific_gravity_of_salinity,
    salinity_of_density,
    salinity_of_one_conductivity,
)


if __name__ == "__main__":
    run_all(DUELS)

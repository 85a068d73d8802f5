"""What turning ammonia into nitrate costs in oxygen and alkalinity: NH4+ + 2 O2 -> NO3- + 2 H+ + H2O."""

from pratique.units import to_canonical

# Standard atomic masses, abridged (IUPAC 2021), g/mol.
_N, _O, _CA, _C = 14.007, 15.999, 40.078, 12.011
_EQUIVALENTS_PER_MOL = 2.0


def oxygen_per_nitrogen_g_per_g() -> float:
    """Return the g of oxygen that each g of ammonia nitrogen takes on its way to nitrate (stoichiometry)."""
    return 2.0 * 2.0 * _O / _N


def alkalinity_per_nitrogen_meq_per_mg() -> float:
    """Return the meq of alkalinity that each mg of ammonia nitrogen takes on its way to nitrate (stoichiometry)."""
    return _EQUIVALENTS_PER_MOL / _N


def calcium_carbonate_per_nitrogen_g_per_g() -> float:
    """Return the same alkalinity as g of CaCO3 for each g of nitrogen (stoichiometry)."""
    return _EQUIVALENTS_PER_MOL * (_CA + _C + 3.0 * _O) / 2.0 / _N


def alkalinity_fall_dkh(nitrogen_mg_per_l: float) -> float:
    """Return the dKH that this many mg/L of nitrogen take on their way to nitrate (1 meq/L is 2.8 dKH)."""
    return to_canonical(nitrogen_mg_per_l * alkalinity_per_nitrogen_meq_per_mg(), "meq/L", "dKH")

"""What seawater is made of at any salinity, and how far a tank's calcium, magnesium and alkalinity stand from it.

The major ions keep their proportions, so their amounts follow salinity and are judged at salinity 35. Not here: the
grams of a salt that move one (`reagents`).
"""

from dataclasses import dataclass
from typing import Literal, overload

from pratique.science.chemistry.alkalinity import DKH_PER_MEQ, meq_per_l_from_umol_per_kg
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.domain import DomainError, Number, require_at_least, require_finite, require_within
from pratique.science.chemistry.validity import Validity

type Ion = Literal["Cl", "Na", "SO4", "Mg", "Ca", "K", "HCO3", "CO3", "Br", "B(OH)3", "B(OH)4", "OH", "Sr", "F"]

STANDARD_SALINITY_PSU = 35.0
VALIDITY = (Validity("Salinity", 2.0, 42.0, "PSU", "Millero et al. 2008, span recalled"),)

# Millero, Feistel, Wright & McDougall 2008, Deep-Sea Res. I 55:50, Reference Composition at practical salinity 35:
# mg/kg and g/mol. Hydroxide is recalled.
REFERENCE_COMPOSITION: dict[Ion, tuple[float, float]] = {
    "Cl": (19352.71, 35.453),
    "Na": (10781.45, 22.98977),
    "SO4": (2712.35, 96.0626),
    "Mg": (1283.72, 24.305),
    "Ca": (412.08, 40.078),
    "K": (399.10, 39.0983),
    "HCO3": (104.81, 61.01684),
    "CO3": (14.34, 60.0089),
    "Br": (67.28, 79.904),
    "B(OH)3": (19.44, 61.833),
    "B(OH)4": (7.95, 78.8404),
    "OH": (0.14, 17.00734),
    "Sr": (7.95, 87.62),
    "F": (1.30, 18.9984),
}
# Equivalents of alkalinity a mole brings.
_EQUIVALENTS: dict[Ion, int] = {"HCO3": 1, "CO3": 2, "B(OH)4": 1, "OH": 1}

# Two equivalents a mole of calcium carbonate: 20.039 mg of calcium for each meq, 7.157 mg/L for each dKH.
CALCIUM_MG_PER_MEQ = 40.078 / 2.0
CALCIUM_MG_PER_L_PER_DKH = CALCIUM_MG_PER_MEQ / DKH_PER_MEQ


@overload
def ion_mg_per_kg(ion: Ion, salinity_psu: float) -> float: ...
@overload
def ion_mg_per_kg(ion: Ion, salinity_psu: Number) -> Number: ...
def ion_mg_per_kg(ion: Ion, salinity_psu: Number) -> Number:
    """Return an ion's mg per kg of seawater at practical salinity 0 to 50; published for 2 to 42.

    Raises DomainError outside 0 to 50 and for an ion not in the table. Source: Millero et al. 2008, in proportion to
    salinity. Check: rows ION-*.
    """
    return _scaled(_row(ion)[0], salinity_psu)


@overload
def ion_mmol_per_kg(ion: Ion, salinity_psu: float) -> float: ...
@overload
def ion_mmol_per_kg(ion: Ion, salinity_psu: Number) -> Number: ...
def ion_mmol_per_kg(ion: Ion, salinity_psu: Number) -> Number:
    """Return an ion's mmol per kg of seawater; range, errors and source as `ion_mg_per_kg`. Check: rows IONMOL-*."""
    mg_per_kg, g_per_mol = _row(ion)
    return _scaled(mg_per_kg / g_per_mol, salinity_psu)


@overload
def ion_mg_per_l(ion: Ion, salinity_psu: float, temperature_c: float) -> float: ...
@overload
def ion_mg_per_l(ion: Ion, salinity_psu: Number, temperature_c: Number) -> Number: ...
def ion_mg_per_l(ion: Ion, salinity_psu: Number, temperature_c: Number) -> Number:
    """Return an ion's mg per litre of seawater, by its density; otherwise as `ion_mg_per_kg`. Check: rows IONL-*."""
    return ion_mg_per_kg(ion, salinity_psu) * density_kg_per_m3(salinity_psu, temperature_c) / 1000.0


@overload
def reference_alkalinity_umol_per_kg(salinity_psu: float) -> float: ...
@overload
def reference_alkalinity_umol_per_kg(salinity_psu: Number) -> Number: ...
def reference_alkalinity_umol_per_kg(salinity_psu: Number) -> Number:
    """Return the ocean's alkalinity in µmol/kg, which follows salinity: about 2,300 at 35; as `ion_mg_per_kg`."""
    at_35 = sum(charge * ion_mmol_per_kg(ion, STANDARD_SALINITY_PSU) for ion, charge in _EQUIVALENTS.items())
    return _scaled(1000.0 * at_35, salinity_psu)


@dataclass(frozen=True)
class Standing:
    """One constituent as read, as it would be at salinity 35, and the ocean's there; `share` is their ratio."""

    read: float
    at_35: float
    reference: float

    @property
    def share(self) -> float:
        """Return how much there is for the salinity, as a part of the ocean's."""
        return self.at_35 / self.reference


@dataclass(frozen=True)
class IonBalance:
    """Calcium and magnesium in mg/L and alkalinity in meq/L against the ocean's, and magnesium over calcium by mass."""

    calcium: Standing
    magnesium: Standing
    alkalinity: Standing
    magnesium_by_calcium: float
    reference_magnesium_by_calcium: float


def ion_balance(
    *,
    calcium_mg_per_l: float,
    magnesium_mg_per_l: float,
    alkalinity_meq_per_l: float,
    salinity_psu: float,
    temperature_c: float,
) -> IonBalance:
    """Return how calcium, magnesium and alkalinity stand for the salinity, 5 to 50, at one temperature.

    Raises DomainError for a salinity outside that, a temperature outside density's, calcium that is not above 0, or
    magnesium or alkalinity below it.
    Source: Millero et al. 2008 and TEOS-10 density.
    """
    require_within("Salinity", salinity_psu, lower=5.0, upper=50.0)
    require_at_least("Calcium", calcium_mg_per_l, lower=1e-3)
    require_at_least("Magnesium", magnesium_mg_per_l, lower=0.0)
    require_at_least("Alkalinity", alkalinity_meq_per_l, lower=0.0)
    here = density_kg_per_m3(salinity_psu, temperature_c)
    standard = density_kg_per_m3(STANDARD_SALINITY_PSU, temperature_c)
    to_35 = STANDARD_SALINITY_PSU / salinity_psu * standard / here

    def standing(read: float, reference: float) -> Standing:
        return Standing(read, read * to_35, reference)

    calcium = ion_mg_per_l("Ca", STANDARD_SALINITY_PSU, temperature_c)
    magnesium = ion_mg_per_l("Mg", STANDARD_SALINITY_PSU, temperature_c)
    alkalinity = meq_per_l_from_umol_per_kg(reference_alkalinity_umol_per_kg(STANDARD_SALINITY_PSU), standard)
    return IonBalance(
        calcium=standing(calcium_mg_per_l, calcium),
        magnesium=standing(magnesium_mg_per_l, magnesium),
        alkalinity=standing(alkalinity_meq_per_l, alkalinity),
        magnesium_by_calcium=magnesium_mg_per_l / calcium_mg_per_l,
        reference_magnesium_by_calcium=magnesium / calcium,
    )


@dataclass(frozen=True)
class Consumption:
    """Calcium used for each meq of alkalinity used, and its part of what making calcium carbonate takes (20.039)."""

    calcium_mg_per_meq: float
    of_calcification: float


def consumption_ratio(*, calcium_used_mg_per_l: float, alkalinity_used_meq_per_l: float) -> Consumption:
    """Return the calcium used per alkalinity used, over the same days and with what was dosed counted in.

    Far from 1 over a week it tells of a wrong reading, of nitrification, which uses alkalinity alone, or of unbalanced
    dosing. Raises DomainError where no alkalinity was used. Source: stoichiometry. Check: rows CAALK-*.
    """
    require_finite("The calcium used", calcium_used_mg_per_l)
    require_finite("The alkalinity used", alkalinity_used_meq_per_l)
    if not alkalinity_used_meq_per_l > 0.0:
        raise DomainError("The ratio needs alkalinity that was used up; here there was none.")
    ratio = calcium_used_mg_per_l / alkalinity_used_meq_per_l
    return Consumption(ratio, ratio / CALCIUM_MG_PER_MEQ)


def _row(ion: Ion) -> tuple[float, float]:
    if ion not in REFERENCE_COMPOSITION:
        raise DomainError(f"“{ion}” is not in the table of seawater's ions; it has {', '.join(REFERENCE_COMPOSITION)}.")
    return REFERENCE_COMPOSITION[ion]


def _scaled(at_35: float, salinity_psu: Number) -> Number:
    require_within("Salinity", salinity_psu, lower=0.0, upper=50.0)
    return at_35 * salinity_psu / STANDARD_SALINITY_PSU

"""The published relations that answers of the bench rest on, as their sources are shown."""

from pratique.casework.sheets import Reason
from pratique.knowledge import Status


def _source(words: str, source: str, status: Status = Status.PUBLISHED) -> Reason:
    return Reason(words, source, status)


PRACTICAL_SALINITY = _source(
    "Practical salinity from conductivity, the scale of 1978.", "UNESCO 1983, Technical Paper 44, by the gsw library"
)
DENSITY = _source(
    "Density of seawater, the exact form of TEOS-10 at the reference composition.",
    "IOC, SCOR & IAPSO 2010; Millero et al. 2008, by the gsw library",
)
REFRACTIVE_INDEX = _source("Refractive index of seawater.", "Quan & Fry 1995", Status.FROM_MEMORY)
AMMONIA_RIGOROUS = _source("Ammonia's constant in seawater, total scale.", "Clegg & Whitfield 1995")
AMMONIA_SIMPLE = _source(
    "Ammonia's constant with the pH as a hobby meter reads it.",
    "Khoo, Culberson & Bates 1977 (abstract), held to the table of Bower & Bidwell 1978",
    Status.FROM_MEMORY,
)
PH_SCALES = _source(
    "From the NBS scale to the total scale; good to about 0.02.", "Takahashi et al. 1982", Status.FROM_MEMORY
)
CARBONATE = _source("Constants of carbonic acid in seawater.", "Lueker, Dickson & Keeling 2000")
BORATE = _source(
    "Borate, water, sulphate and fluoride.", "Dickson 1990; Millero 1995; Perez & Fraga 1987; Uppström 1974"
)
SOLUBILITY = _source("When calcium carbonate dissolves or forms.", "Mucci 1983; Weiss 1974 for carbon dioxide")
PRECIPITATION = _source(
    "Above 7 for aragonite, carbonate falls out and takes more alkalinity with it than was added.", "Moras et al. 2022"
)
DKH_CONVENTION = _source(
    "1 meq/L is 2.8 dKH and 50 mg/L CaCO3, as test kits count (exactly 2.8039 and 50.043).",
    "molar mass of CaO, IUPAC 2021; the rounding is custom of the trade",
    Status.COMMON_PRACTICE,
)
OXYGEN = _source("Oxygen at saturation in seawater under one atmosphere.", "Garcia & Gordon 1992, by the gsw library")
OXYGEN_PRESSURE = _source(
    "What air pressure does to it.", "Benson & Krause 1984; Weiss & Price 1980", Status.FROM_MEMORY
)
FISH_OXYGEN = _source("What resting fish breathe, by mass and temperature.", "Clarke & Johnston 1999")
REEF_FISH_OXYGEN = _source("How reef fish differ by mass.", "Nilsson et al. 2007")
FORMALIN_OXYGEN = _source(
    "Every 5 mg/L of formalin takes about 1 mg/L of oxygen.", "Francis-Floyd, Use of Formalin to Control Fish Parasites"
)
MOLAR_MASSES = _source("Molar masses of the elements.", "IUPAC isotopic abundances, by the molmass library")
MASS_BALANCE = _source(
    "What goes in and out must add up, with everything well mixed.", "mass balance, closed form; recomputed"
)
REFERENCE_COMPOSITION = _source("What seawater is made of.", "Millero, Feistel, Wright & McDougall 2008")
CALCIFICATION = _source(
    "Each meq of alkalinity that goes into chalk takes 20.04 mg of calcium.", "CaCO3, molar masses, recomputed"
)
BASES = _source("Molar masses for turning one way of counting into another.", "IUPAC 2021, abridged")
UNITS = _source("Lengths, volumes, masses and temperatures.", "international definitions, by the pint library")

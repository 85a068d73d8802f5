"""Harbour Row as it was set up: systems, boxes, the copper stock, and who lived there already."""

from pratique.demo.days import FIRST_DAY, at
from pratique.demo.story.diary import Diary
from pratique.demo.truth import TRUTH
from pratique.ledger.kinds.animals import Arrival
from pratique.ledger.kinds.places import Compartment, Household, Stock, System

_HERE_BEFORE = "Here before this ledger began."
_SYSTEMS = (
    System(
        key="skerry",
        name="Skerry",
        role="display",
        gross_volume_l=480.0,
        net_volume_l=395.0,
        net_volume_plus_minus_l=25.0,
        keeps_invertebrates=True,
        words="Reef display with a sump.",
    ),
    System(
        key="lazaret",
        name="Lazaret",
        role="quarantine",
        gross_volume_l=90.0,
        net_volume_l=TRUTH.lazaret_believed_l,
        net_volume_plus_minus_l=6.0,
        words="Bare glass, two pipes, a sponge filter. Net volume reckoned from its inner sides.",
    ),
    System(
        key="haven",
        name="Haven",
        role="recovery",
        gross_volume_l=110.0,
        net_volume_l=98.0,
        net_volume_plus_minus_l=6.0,
        words="Clean tank with an old sponge filter; it has never held a sick fish.",
    ),
)
_COMPARTMENTS = (
    Compartment(key="sump", name="Sump", system="skerry", form="sump"),
    Compartment(key="creel", name="Creel", system="skerry", form="box"),
)
_RESIDENTS: tuple[tuple[str, str, str, int | None, float | None], ...] = (
    ("chromis", "Chromis shoal", "blue_green_chromis", 5, 6.0),
    ("dottyback", "Dottyback", "orchid_dottyback", 1, 6.0),
    ("cleaner-shrimps", "Cleaner shrimp pair", "cleaner_shrimp", 2, 5.0),
    ("trochus-snails", "Trochus snails", "trochus_snail", None, None),
    ("soft-corals", "Soft corals", "soft_coral", None, None),
    ("stony-corals", "Large-polyped stony corals", "lps_coral", None, None),
)


def write_places(diary: Diary) -> None:
    """Write the household, its systems and compartments, the stock, and the residents of Skerry."""
    start = at(FIRST_DAY, "10:00")
    diary.write(start, Household(name="Harbour Row", zone=diary.zone.key, people=("keeper", "helper")))
    for minute, told in enumerate((*_SYSTEMS, *_COMPARTMENTS), start=start + 2):
        diary.write(minute, told)
    stock = Stock(
        key="copper-stock",
        name="Copper sulfate stock",
        substance="copper_ionic",
        strength_mg_per_ml=1.0,
        strength_plus_minus_percent=5.0,
    )
    diary.write(start + 12, stock)
    for minute, (key, name, species, count, length_cm) in enumerate(_RESIDENTS, start=start + 20):
        arrival = Arrival(
            key=key, name=name, species=species, count=count, system="skerry", length_cm=length_cm, words=_HERE_BEFORE
        )
        diary.write(minute, arrival)

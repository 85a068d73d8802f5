"""The card for a dose: a dry salt, a stock solution, limewater, or what the new water of a change needs."""

from pratique.casework.bench.card import Card
from pratique.casework.bench.dose_limewater import LIMEWATER
from pratique.casework.bench.dose_salt import SALT
from pratique.casework.bench.dose_stock import MAKE_UP, STOCK

DOSE_CARD = Card(
    name="dose",
    question="Move a value",
    title="Dose",
    words="How much of a salt or a stock solution moves one value by so much.",
    ways=(SALT, STOCK, MAKE_UP, LIMEWATER),
)

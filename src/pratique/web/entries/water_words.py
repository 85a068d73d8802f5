"""Entries about the water, in words."""

from collections.abc import Callable

from pratique import knowledge
from pratique.casework.methods import reading_words
from pratique.casework.salts import counted_name
from pratique.casework.words import amount, listed
from pratique.ledger.household import Household
from pratique.ledger.kinds import water
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.figure_names import known, substance_name
from pratique.web.entries.names import name_of


def _reading(told: water.Reading, household: Household) -> str:
    figure = knowledge.constituent_or_unknown(told.constituent)
    method = household.methods.get(told.method or "") or (told.method and known(knowledge.method, told.method))
    by = f", by {method.name}" if method else ""
    place = household.place_name(told.system, told.compartment)
    return f"{place}: {figure.name} {reading_words(household, told)}{by}"


def _dose(told: water.Dose, household: Household) -> str:
    stock = household.stocks.get(told.stock or "")
    of = stock.name if stock else substance_name(told.substance)
    if told.amount_ml is not None:
        much = amount(told.amount_ml, 1, "mL")
    elif told.amount_g is not None:
        much = amount(told.amount_g, 2, "g")
    else:
        much = amount(told.amount_mg or 0.0, 1, "mg")
    figure = known(knowledge.substance, told.substance)
    carries = ""
    if told.amount_mg is not None and figure is not None and counted_name(figure):
        carries = f", which carries {amount(told.amount_mg, 1, 'mg')} of {counted_name(figure)}"
    return f"{name_of(household, f'system/{told.system}')}: {much} of {of} dosed{carries}"


def _water_change(told: water.WaterChange, household: Household) -> str:
    name = name_of(household, f"system/{told.system}")
    if told.volume_l is None:
        done = f"{name} was emptied and refilled"
    else:
        done = f"{name}: {amount(told.volume_l, 1, 'L')} of water changed"
    incoming = [
        f"{amount(level, 2, knowledge.constituent_or_unknown(key).unit)} {knowledge.constituent_or_unknown(key).name}"
        for key, level in told.incoming_mg_per_l.items()
    ]
    return f"{done}, the new water with {listed(incoming)}" if incoming else done


def _top_off(told: water.TopOff, household: Household) -> str:
    return f"{name_of(household, f'system/{told.system}')}: {amount(told.volume_l, 1, 'L')} of fresh water topped up"


SAYINGS: dict[type[Payload], Callable[..., str]] = {
    water.Reading: _reading,
    water.Dose: _dose,
    water.WaterChange: _water_change,
    water.TopOff: _top_off,
}

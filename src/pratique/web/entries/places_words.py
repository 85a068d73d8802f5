"""Entries that set things up, in words."""

from collections.abc import Callable

from pratique.casework.words import amount, listed, percent
from pratique.ledger.household import Household
from pratique.ledger.kinds import places, protocols
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.figure_names import substance_name
from pratique.web.entries.names import name_of


def _household(told: places.Household, _household: Household) -> str:
    people = f", kept by {listed(told.people)}" if told.people else ""
    return f"the household {told.name}{people}, in the time zone {told.zone}"


def _system(told: places.System, _household: Household) -> str:
    net = f", {amount(told.net_volume_l, 0, 'L')} net" if told.net_volume_l is not None else ", net volume not known"
    error = told.net_volume_plus_minus_l
    spread = f" ± {amount(error, 0, 'L')}" if error and told.net_volume_l is not None else ""
    return f"{told.name}, a {told.role} system of {amount(told.gross_volume_l, 0, 'L')} gross{net}{spread}"


def _compartment(told: places.Compartment, household: Household) -> str:
    return f"{told.name}, a {told.form} in {name_of(household, f'system/{told.system}')} that shares its water"


def _method(told: places.Method, _household: Household) -> str:
    return f"the method {told.name}"


def _stock(told: places.Stock, _household: Household) -> str:
    strength = amount(told.strength_mg_per_ml, 2, "mg/mL")
    sure = percent(told.strength_plus_minus_percent / 100)
    return f"stock solution {told.name}: {substance_name(told.substance)}, {strength} ± {sure}"


def _protocol(told: protocols.Protocol, _household: Household) -> str:
    return f"the protocol “{told.name}” is kept, as {told.key}"


SAYINGS: dict[type[Payload], Callable[..., str]] = {
    places.Household: _household,
    places.System: _system,
    places.Compartment: _compartment,
    places.Method: _method,
    places.Stock: _stock,
    protocols.Protocol: _protocol,
}

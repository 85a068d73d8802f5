"""One cell into the payload of an entry, held to what is possible."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from pratique.knowledge.constituents import Constituent, constituent
from pratique.knowledge.foods import food
from pratique.knowledge.substances import Substance, substance
from pratique.ledger.household import Household
from pratique.ledger.importing.mapping import Target
from pratique.ledger.importing.values import read_amount, read_shape
from pratique.ledger.kinds.animals import Feeding, FoodGiven
from pratique.ledger.kinds.care import Note
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.kinds.water import Dose, Reading, TopOff, WaterChange
from pratique.ledger.states import StockState
from pratique.units import THIN_SPACE, WrongUnit, show, to_canonical

TICKS = {"x", "yes", "y", "✓"}
LONGEST_WORDS = 4000


class CellRefused(ValueError):
    """The cell cannot become an entry; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where it happened, as far as the line says."""

    system: str | None
    compartment: str | None = None


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell with something in it: its text, its unit where that stands beside it, and where it happened."""

    text: str
    unit: str | None
    place: Place
    decimal_mark: Literal[".", ","] | None


def payload_of(cell: Cell, target: Target, household: Household) -> Payload:
    """Return what the cell records; raises ValueError with a sentence where it cannot be."""
    if target.holds == "note":
        return _note(cell)
    if cell.place.system is None:
        raise CellRefused("There is no system in this line; say `system` or `only_system` in the mapping.")
    makers: dict[str, Callable[[Cell, Target, str, Household], Payload]] = {
        "reading": _reading,
        "water-change": _water_change,
        "top-off": _top_off,
        "dose": _dose,
        "feeding": _feeding,
    }
    return makers[target.holds](cell, target, cell.place.system, household)


def _note(cell: Cell) -> Note:
    if len(cell.text) > LONGEST_WORDS:
        raise CellRefused(f"These words are longer than {LONGEST_WORDS} characters; part them into two lines.")
    subjects = (f"system/{cell.place.system}",) if cell.place.system is not None else ()
    return Note(words=cell.text, subjects=subjects)


def _reading(cell: Cell, target: Target, system: str, _household: Household) -> Reading:
    figure = constituent(str(target.constituent))
    numbers = read_shape(cell.text, cell.unit or target.unit, figure.unit, decimal_mark=cell.decimal_mark)
    for number in numbers.values():
        _check_possible(number, figure)
    return Reading.model_validate(
        {
            "system": system,
            "compartment": cell.place.compartment,
            "constituent": figure.key,
            "method": target.method,
            "scale": target.scale or "nbs",
            "confirmed": _doubts(list(numbers.values()), figure),
            **numbers,
        }
    )


def _check_possible(number: float, figure: Constituent) -> None:
    # Seawater's specific gravity in a column of salinities: the commonest slip of all (common practice, no source).
    if figure.key == "salinity" and 1.0 <= number <= 1.05:
        raise CellRefused(
            f"{number} looks like a specific gravity; salinity is in PSU here. The bench turns one into the other: "
            f"pratique bench salinity --specific-gravity {number} --reference 25/25 where the instrument says 25/25."
        )
    if not figure.possible_lower <= number <= figure.possible_upper:
        said = f"{number:g}{THIN_SPACE}{figure.unit} of {figure.name}"
        upper = show(figure.possible_upper, 0, figure.unit)
        raise CellRefused(f"{said} cannot be: it lies between {figure.possible_lower:g} and {upper}.")


def _doubts(numbers: list[float], figure: Constituent) -> tuple[str, ...]:
    odd = next((one for one in numbers if not figure.usual_lower <= one <= figure.usual_upper), None)
    if odd is None:
        return ()
    return (
        f"Imported without being asked about: {figure.name} {show(odd, figure.decimals, figure.unit)} is outside the "
        f"usual {figure.usual_lower:g} to {figure.usual_upper:g}.",
    )


def _positive(cell: Cell, unit: str | None, canonical: str, what: str) -> float:
    amount = read_amount(cell.text, cell.unit or unit, canonical, decimal_mark=cell.decimal_mark)
    if amount <= 0:
        raise CellRefused(f"{what} of {cell.text} cannot be; it is more than nothing.")
    return amount


def _water_change(cell: Cell, target: Target, system: str, household: Household) -> WaterChange:
    if "%" in cell.text:
        raise CellRefused("A share of the tank is not a volume; write the water change in litres or US gallons.")
    volume_l = _positive(cell, target.unit, "L", "A water change")
    return WaterChange(system=system, volume_l=volume_l, confirmed=_too_much(volume_l, system, household))


def _top_off(cell: Cell, target: Target, system: str, household: Household) -> TopOff:
    volume_l = _positive(cell, target.unit, "L", "A top-off")
    return TopOff(system=system, volume_l=volume_l, confirmed=_too_much(volume_l, system, household))


def _too_much(volume_l: float, system: str, household: Household) -> tuple[str, ...]:
    state = household.systems[system]
    if volume_l <= state.gross_volume_l:
        return ()
    held = show(state.gross_volume_l, 0, "L")
    return (f"Imported without being asked about: {show(volume_l, 0, 'L')} is more than {state.name} holds ({held}).",)


def _dose(cell: Cell, target: Target, system: str, household: Household) -> Dose:
    stock = household.stocks[target.stock] if target.stock is not None else None
    dosed = substance(stock.substance if stock is not None else str(target.substance))
    field, amount = _dose_amount(cell, target)
    state = household.systems[system]
    doubts: tuple[str, ...] = ()
    if dosed.harms_invertebrates and state.keeps_invertebrates:
        doubts = (f"Imported without being asked about: {dosed.name} in {state.name}, which keeps invertebrates.",)
    return Dose.model_validate(
        {
            "system": system,
            "substance": dosed.key,
            "stock": target.stock,
            field: amount,
            "amount_mg": _mg_of_stock(field, amount, dosed, stock),
            "confirmed": doubts,
        }
    )


def _mg_of_stock(field: str, amount: float, dosed: Substance, stock: StockState | None) -> float | None:
    """Return the milligrams in mL of a stock by the strength it was written with, or None where that is not known.

    What a salt holds is not asked here: an entry's id is made of what the line says, and a better figure for a salt
    must not make another entry of the same line.
    """
    if dosed.constituent is None or field != "amount_ml" or stock is None or stock.strength_mg_per_ml is None:
        return None
    return float(f"{amount * stock.strength_mg_per_ml:.6g}")


def _dose_amount(cell: Cell, target: Target) -> tuple[str, float]:
    """Return the field and the amount: millilitres of what is in the bottle, or grams of what is on the balance."""
    unit = cell.unit or target.unit
    for field, canonical in (("amount_ml", "mL"), ("amount_g", "g")):
        try:
            if unit is not None:
                to_canonical(1.0, unit, canonical)
        except WrongUnit:
            continue
        return field, _positive(cell, unit, canonical, "A dose")
    raise WrongUnit(f"A dose is in mL, or in g or mg of the substance, not {unit}.")


def _feeding(cell: Cell, target: Target, system: str, _household: Household) -> Feeding:
    place = {"system": system, "compartment": cell.place.compartment}
    if target.food is None:
        return Feeding.model_validate({**place, "words": cell.text[:LONGEST_WORDS]})
    if cell.text.lower() in TICKS:
        return Feeding.model_validate({**place, "foods": (FoodGiven(food=target.food),)})
    unit = cell.unit or target.unit
    portion_g = food(target.food).grams_per_portion
    if unit is None or unit.lower() in {"portion", "portions"}:
        portions = _positive(cell, "g", "g", "A feeding")
        grams = portions * portion_g if portion_g is not None else None
    else:
        grams = _positive(cell, unit, "g", "A feeding")
    return Feeding.model_validate({**place, "foods": (FoodGiven(food=target.food, amount_g=grams),)})

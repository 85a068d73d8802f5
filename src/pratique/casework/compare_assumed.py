"""What a comparison takes for granted: every guess with its status, its spread, and what it does to the result."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.compare_asked import Asked
from pratique.casework.sheets.compare import Assumption, ComparedPassage
from pratique.casework.sheets.lines import Reason
from pratique.casework.words import percent, sentence_case
from pratique.knowledge.passages_ahead import Expectation, expectations

if TYPE_CHECKING:
    from pratique.knowledge.parasites import Parasite, Uncertain
    from pratique.science.passage.compare import Beliefs

# The guesses of a parasite that are shown, in words, and the unknown of the sensitivities that each one moves.
_OF_PARASITE = (
    ("initially_infected_probability", "how likely an animal brings it", ""),
    ("initial_burden", "how many an infected animal brings", "how many came along"),
    ("infection_probability", "how likely a swimmer settles", "how many settle out of one hatching"),
    ("copper_half_kill_mg_per_l", "copper that keeps half from settling", "how much copper keeps them from settling"),
    (
        "carried_on_move",
        "how likely one off the fish is carried along in a move",
        "how many are carried along in a move",
    ),
    ("bath_kill_fraction", "part of those on the animals that a dose kills", "how many live through a bath"),
    ("detection_at_burden_10", "how likely one look finds ten of them", ""),
)


def assumptions_of(asked: Asked, beliefs: "Beliefs", passages: Sequence[ComparedPassage]) -> tuple[Assumption, ...]:
    """Return what is assumed of the parasites, then of the animals and the keeper."""
    found = [one for key in beliefs.by_day for one in _of_parasite(knowledge.parasite(key), asked, passages)]
    return (*found, *(_of_animals(one) for one in expectations().values()))


def _of_parasite(known: "Parasite", asked: Asked, passages: Sequence[ComparedPassage]) -> Iterator[Assumption]:
    name = known.name.partition(" (")[0]
    for field, words, unknown in _OF_PARASITE:
        figure: Uncertain = getattr(known, field)
        if figure.low >= figure.high:
            continue
        yield Assumption(
            words=f"{sentence_case(name)}: {words}",
            value=_value(figure.value, figure.low, figure.high, figure.unit),
            effect=_effect(field, name, unknown, known.key, asked, passages),
            reason=Reason(words, figure.source, figure.status.value),
        )


def _effect(field: str, name: str, unknown: str, key: str, asked: Asked, passages: Sequence[ComparedPassage]) -> str:
    """Return what a guess does to P(clear), of the passages it moves most."""
    if field == "initially_infected_probability":
        brought = 1.0 - (1.0 - knowledge.parasite(key).initially_infected_probability.value) ** asked.animals
        sure = [f"{one.name}: {percent(_if_brought(one, key, brought))}" for one in passages]
        return f"{percent(brought)} that the batch brings it; were it sure to, clear of it with {'; '.join(sure)}"
    if field == "detection_at_burden_10":
        found = [one for one in passages if any(line.key == key and line.no_sign for line in one.parasites)]
        lines = [line for one in found for line in one.parasites if line.key == key and line.if_no_sign]
        told = [f"{percent(line.clear.value)} to {percent(line.if_no_sign.value)}" for line in lines if line.if_no_sign]
        names = [one.name for one in found]
        pairs = "; ".join(f"{one}: {two}" for one, two in zip(names, told, strict=True))
        return (
            f"Clean looks raise the chance of being clear of it, {pairs}"
            if pairs
            else "No passage here asks for a look"
        )
    moved = [
        f"{one.name}: {percent(line.at_low)} to {percent(line.at_high)}"
        for one in passages
        for line in one.effects
        if line.words == f"{name}: {unknown}"
    ]
    return f"Clear from where it is lowest to where it is highest: {'; '.join(moved)}" if moved else "Moves little"


def _if_brought(passage: ComparedPassage, key: str, brought: float) -> float:
    line = next(one for one in passage.parasites if one.key == key)
    return max(0.0, 1.0 - (1.0 - line.clear.value) / brought) if brought > 0.0 else 1.0


def _of_animals(told: Expectation) -> Assumption:
    moves = "the chance of being clear" if told.key.startswith(("copper.", "clear.")) else "weight and fitness only"
    return Assumption(
        words=told.words,
        value=_value(told.value, told.low, told.high, told.unit),
        effect=f"Moves {moves}",
        reason=Reason(told.words, told.source, told.status.value),
    )


def _value(value: float, low: float, high: float, unit: str) -> str:
    shown = f"\u202f{unit}" if unit not in {"1", "chance", "fraction"} else ""
    return f"{value:g} ({low:g} to {high:g}){shown}" if low < high else f"{value:g}{shown}"

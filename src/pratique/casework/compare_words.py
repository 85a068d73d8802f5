"""How a comparison of passages is said in sentences."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pratique import knowledge
from pratique.casework.sheets.compare import ComparedPassage, Likely, RecoveryLine
from pratique.casework.words import days_words, listed, percent
from pratique.units import THIN_SPACE


def event_words() -> str:
    """Return what "clear" means, named the same everywhere."""
    return "Clear means: no living stage on the animals or in water moved with them."


def animals_words(kinds: Mapping[str, int]) -> str:
    """Return the animals as a list: `royal gramma and 2 Banggai cardinalfish`."""
    names = [(knowledge.species(key).name, count) for key, count in kinds.items()]
    return listed([name if count == 1 else f"{count} × {name}" for name, count in names])


def likely_words(found: Likely) -> str:
    """Return a chance with its range: `52 % (12 % to 99 %)`."""
    return f"{percent(found.value)} ({percent(found.low)} to {percent(found.high)})"


def weight_words(part: float) -> str:
    """Return a weight over that of a well-fed animal, in whole per cent."""
    return f"{100.0 * part:.0f}{THIN_SPACE}%"


def gist_words(passages: Sequence[ComparedPassage], counts_from: float) -> str:
    """Return which passage is surest to be clear, and which leaves the animals fittest."""
    surest = max(passages, key=lambda one: one.clear.value)
    fittest = max(passages, key=lambda one: one.worst.fit)
    clear = f"{surest.name} is the surest to be clear by what is done alone: {percent(surest.clear.value)}"
    short = "" if surest.clear.value >= counts_from else f", short of the {percent(counts_from)} that count as clear"
    if fittest.key == surest.key:
        fit = f"Were they free of disease all along, they would be fittest after it too: {percent(fittest.worst.fit)}."
    else:
        fit = (
            f"Were they free of disease all along, {fittest.name[:1].lower()}{fittest.name[1:]} would leave them "
            f"fittest: {percent(fittest.worst.fit)} likely to be fit at clearance, against {percent(surest.worst.fit)}."
        )
    return f"{clear}{short}. {fit}"


def looks_words(passage: ComparedPassage) -> str:
    """Return what looks without a sign add, or that none is asked for."""
    if passage.if_no_sign is None or passage.no_sign is None:
        return "It asks for no look before clearance."
    return (
        f"If none of {passage.looks} daily looks finds a sign, which is {percent(passage.no_sign)} likely, it is clear "
        f"at clearance with {likely_words(passage.if_no_sign)}; a sign means treating again."
    )


def not_meant_words(names: Sequence[str]) -> str:
    """Return what a passage is not meant against, or nothing."""
    if not names:
        return ""
    told = listed(names)
    return (
        f"Not meant against {told}. By custom of the trade {told} may come along; where its chance of being clear is "
        "high all the same, that rests on guesses of what is carried along in a move."
    )


def recovery_words(line: RecoveryLine) -> RecoveryLine:
    """Return the line with what recovery adds in one sentence."""
    words = (
        f"{days_words(line.days)} of recovery bring {line.worst} from {percent(line.fit_without)} to "
        f"{percent(line.fit_with)} likely to be fit, and from {weight_words(line.weight_without)} to "
        f"{weight_words(line.weight_with)} of a well-fed weight; the chance of being clear goes from "
        f"{percent(line.clear_without.value)} to {percent(line.clear_with.value)}."
    )
    return replace(line, words=words)

"""What is to be compared: passages, kinds of animals, temperature and tank, as a keeper writes them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.protocol_kept import protocol_named, protocols_known
from pratique.casework.words import listed
from pratique.knowledge import Protocol, Species
from pratique.units import THIN_SPACE, parse_quantity

# Only named here: a comparison of shipped passages opens no ledger, and its models must not load then.
if TYPE_CHECKING:
    from pratique.ledger.household import Household

PARASITES = ("white_spot", "velvet", "flukes")
MOST_PASSAGES = 5
_MOST_ANIMALS = 50
_FEWEST = 2


class NotCompared(ValueError):
    """Something cannot be compared: a sentence for each field that is wrong."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        super().__init__(" ".join(fields.values()))
        self.fields = dict(fields)


@dataclass(frozen=True)
class Asked:
    """What to compare: protocols, how many of each kind, the temperature in °C, and the tank in litres if told."""

    protocols: tuple[Protocol, ...]
    kinds: Mapping[str, int]
    temperature_c: float
    volume_l: float | None = None

    @property
    def animals(self) -> int:
        """Return how many animals are to come."""
        return sum(self.kinds.values())


def asked_of(
    protocols: Sequence[str | Protocol],
    species: Sequence[str],
    *,
    temperature: str,
    volume: str = "",
    household: "Household | None" = None,
) -> Asked:
    """Return what a keeper asked for; raises NotCompared with a sentence at each field that is wrong.

    With a household, protocols of its own are known by their names too.
    """
    wrong: dict[str, str] = {}

    def kept[T](name: str, read: Callable[[], T]) -> T | None:
        try:
            return read()
        except ValueError as problem:
            wrong[name] = str(problem)
            return None

    plans = kept("protocol", lambda: _protocols(protocols, household))
    kinds = kept("species", lambda: _kinds(species))
    temperature_c = kept("temperature", lambda: _temperature_c(temperature))
    volume_l = kept("volume", lambda: _volume_l(volume)) if volume.strip() else None
    if wrong or plans is None or kinds is None or temperature_c is None:
        raise NotCompared(wrong)
    return Asked(plans, kinds, temperature_c, volume_l)


def _protocols(told: Sequence[str | Protocol], household: "Household | None") -> tuple[Protocol, ...]:
    found: dict[str, Protocol] = {}
    for one in told:
        protocol = one if isinstance(one, Protocol) else _protocol(one, household)
        found[protocol.key] = protocol
    if len(found) < _FEWEST:
        raise ValueError(f"Choose two passages or more to compare; there are {_names(household)}.")
    if len(found) > MOST_PASSAGES:
        raise ValueError(f"Choose {MOST_PASSAGES} passages at the most, so that the picture can be read.")
    return tuple(found.values())


def _protocol(name: str, household: "Household | None") -> Protocol:
    known = knowledge.protocol if household is None else partial(protocol_named, household)
    try:
        found = known(name.strip())
    except KeyError:
        raise ValueError(f"There is no passage called “{name.strip()}”; there are {_names(household)}.") from None
    if not found.legs[0].key:
        raise ValueError(f"{found.name} cannot be compared. {found.words}")
    return found


def _names(household: "Household | None") -> str:
    known = knowledge.protocols() if household is None else protocols_known(household)
    return listed([one.short_name or one.key for one in known])


def _kinds(told: Sequence[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for one in (part.strip() for text in told for part in text.split(",")):
        if not one:
            continue
        name, _, count = one.partition(":")
        kind = _kind(name.strip())
        found[kind.key] = found.get(kind.key, 0) + _count(count, name.strip())
    if not found:
        raise ValueError("Name the kinds of fish that are to come, such as yellow_tang.")
    if sum(found.values()) > _MOST_ANIMALS:
        raise ValueError(f"One passage is reckoned for {_MOST_ANIMALS} animals at the most; make it two batches.")
    return found


def _kind(name: str) -> Species:
    wanted = name.casefold().replace("-", " ").replace("_", " ")
    for one in knowledge.all_species():
        if wanted in {one.key.replace("_", " ").casefold(), one.name.casefold(), one.latin.casefold()}:
            if one.is_invertebrate:
                raise ValueError(
                    f"{one.name} is no fish. A passage with copper would kill it, and it carries no parasite of fishes "
                    "on itself: compare passages for the fishes only."
                )
            return one
    fishes = [one for one in knowledge.all_species() if not one.is_invertebrate]
    near = [one.key for one in fishes if any(word in f"{one.key} {one.latin}".casefold() for word in wanted.split())]
    hint = f" Near to it: {listed(near[:6])}." if near else " The page of this comparison lists all that are known."
    raise ValueError(f"“{name}” is no kind of fish known here.{hint}")


def _count(text: str, name: str) -> int:
    if not text.strip():
        return 1
    if not text.strip().isdecimal() or int(text) < 1:
        raise ValueError(f"“{text.strip()}” is no number of animals; write {name}:2 for two.")
    return int(text)


def _temperature_c(text: str) -> float:
    lower, upper = (knowledge.figure(f"temperature.safe_{end}_c").value for end in ("lower", "upper"))
    if not text.strip():
        raise ValueError(f"Write the temperature of the water, such as 26{THIN_SPACE}°C.")
    found = parse_quantity(text, "°C")
    if not lower <= found <= upper:
        raise ValueError(
            f"{found:g}{THIN_SPACE}°C is outside what reef fishes are kept at, {lower:g} to {upper:g}{THIN_SPACE}°C; "
            "plan a passage within it."
        )
    return found


def _volume_l(text: str) -> float:
    found = parse_quantity(text, "L")
    if not 0.0 < found < 1e6:
        raise ValueError("The tank must hold more than 0 L; write its net volume, such as 60 L.")
    return found

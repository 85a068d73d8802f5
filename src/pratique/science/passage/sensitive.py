"""Which animals take a protocol badly, and which other protocol is open to them."""

from collections.abc import Iterable
from dataclasses import dataclass

from pratique import knowledge
from pratique.knowledge import Alternative, Protocol, Species


@dataclass(frozen=True)
class SpeciesCaution:
    """A kind of animal that takes an agent of a protocol badly, why, and the protocols that leave the agent out."""

    species: Species
    agent: str
    words: str
    instead: tuple[str, ...]
    source: str
    status: knowledge.Status


def cautions_of(protocol: Protocol, species: Iterable[Species]) -> tuple[SpeciesCaution, ...]:
    """Return what each kind of animal takes badly in a protocol, in the order of the animals."""
    agents = dict.fromkeys(course.agent for leg in protocol.legs for course in leg.courses)
    found = []
    for kind in dict.fromkeys(species):
        for agent in agents:
            if not kind.is_invertebrate and (known := _alternative(agent, kind)) is not None:
                note = kind.copper_note if agent == "copper" and known.cautions else ""
                words = f"{known.words} {note}".strip()
                instead = tuple(key for key in known.protocols if key != protocol.key)
                found.append(SpeciesCaution(kind, agent, words, instead, known.source, known.status))
    return tuple(found)


def _alternative(agent: str, kind: Species) -> Alternative | None:
    return next(
        (
            one
            for one in knowledge.alternatives()
            if one.agent == agent and (kind.family in one.families or kind.copper_caution in one.cautions)
        ),
        None,
    )

"""Stand-ins for keys this version does not know, as a ledger restored from a newer one may hold.

Nothing is taken for harmless because it is not known: the worst that matters is assumed, and the name says so.
"""

from pratique.knowledge.constituents import Constituent, constituent
from pratique.knowledge.protocols import GateCriterion, Leg, Protocol, protocol
from pratique.knowledge.species import Species, species
from pratique.knowledge.status import Status
from pratique.knowledge.substances import Substance, substance

_SOURCE = "our own: what is not known is taken to be as bad as it may be"
# The one criterion of a protocol that is not known: no fact answers it, so its gate stays shut.
PROTOCOL_KNOWN = "protocol_known"


def species_or_unknown(key: str) -> Species:
    """Return a kind of animal; for an unknown one a stand-in that is taken to bear no copper."""
    try:
        return species(key)
    except KeyError:
        return Species(
            key=key,
            name=f"{_plain(key)} (a kind not known to this version)",
            latin="",
            family="family not known",
            copper_caution="high",
            copper_note="Whether this kind bears copper is not known to this version: take it that it does not",
            is_invertebrate=False,
            feeds_per_day=1.0,
            source=_SOURCE,
            status=Status.GUESS,
        )


def substance_or_unknown(key: str) -> Substance:
    """Return a substance; for an unknown one a stand-in that counts as a medicine and harms invertebrates."""
    try:
        return substance(key)
    except KeyError:
        return Substance(
            key=key,
            name=f"{_plain(key)} (a substance not known to this version)",
            harms_invertebrates=True,
            is_medicine=True,
            source=_SOURCE,
            status=Status.GUESS,
        )


def protocol_or_unknown(key: str) -> Protocol:
    """Return a protocol; for an unknown one a stand-in of a single leg whose gate stays shut."""
    try:
        return protocol(key)
    except KeyError:
        asked = GateCriterion(
            key=PROTOCOL_KNOWN,
            words="What this protocol asks for",
            required=1.0,
            unit="yes",
            source=_SOURCE,
            status=Status.GUESS,
        )
        return Protocol(
            key=key,
            name=f"{_plain(key)} (a protocol not known to this version)",
            words="This version does not know the protocol, so it cannot say which legs it has or when one may begin.",
            legs=(
                Leg(
                    key="",
                    name="A leg not known to this version",
                    system_role="a place that is not known",
                    criteria=(asked,),
                    source=_SOURCE,
                    status=Status.GUESS,
                ),
            ),
            source=_SOURCE,
            status=Status.GUESS,
        )


def constituent_or_unknown(key: str) -> Constituent:
    """Return a constituent; for an unknown one a stand-in without a unit that refuses and doubts no value."""
    try:
        return constituent(key)
    except KeyError:
        most = float("inf")
        return Constituent(
            key=key,
            name=f"{_plain(key)} (not known to this version)",
            unit="",
            symbol="",
            possible_lower=-most,
            possible_upper=most,
            usual_lower=-most,
            usual_upper=most,
            decimals=2,
            source=_SOURCE,
            status=Status.GUESS,
        )


def _plain(key: str) -> str:
    return key.replace("_", " ")

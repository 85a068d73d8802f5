"""What is dosed into water, and what it does besides."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.cautions import Caution, cautions_for
from pratique.knowledge.copper import CopperForm
from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status
from pratique.knowledge.thresholds import figure

_BINDER, _REMOVER = "copper_binder", "carbon_removes"


@dataclass(frozen=True)
class Substance:
    """A generic substance: the constituent it raises, its copper form if it has one, and whom it harms.

    `fraction_figure` names the figure that says how much of the weighed salt is the constituent. `formula` is that of
    the salt as it is weighed, its water told; `raises` is all it raises that a keeper reads or doses, by symbol, the
    constituent first. A salt sold with and without water that does not say which has no formula; it `may_be` others.
    `everyday_name` is the trade's own word for it, never a brand.
    """

    key: str
    name: str
    harms_invertebrates: bool
    is_medicine: bool
    source: str
    status: Status
    constituent: str | None = None
    form: CopperForm | None = None
    fraction_figure: str | None = None
    formula: str | None = None
    raises: tuple[str, ...] = ()
    may_be: tuple[str, ...] = ()
    everyday_name: str | None = None

    @property
    def fraction_of_salt(self) -> float | None:
        """Return how much of the weighed salt is what counts, as a fraction; None where that is not known here."""
        return figure(self.fraction_figure).value if self.fraction_figure is not None else None

    @property
    def binds_copper(self) -> bool:
        """Return whether it must not meet copper, by its cautions."""
        return self.form is None and any(one.key == _BINDER for one in self.cautions)

    @property
    def takes_up_copper(self) -> bool:
        """Return whether it takes copper out of the water, by its cautions: nothing turns toxic, but a course fails."""
        return any(one.key == _REMOVER for one in self.cautions)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Return the cautions that must stand wherever a dose of it is shown."""
        return cautions_for(self.key)


@cache
def _substances() -> Mapping[str, Substance]:
    return read("substances.toml", Substance)


def substances() -> tuple[Substance, ...]:
    """Return every substance."""
    return tuple(_substances().values())


def substance(key: str) -> Substance:
    """Return one substance; KeyError with a plain sentence for an unknown key."""
    return pick(_substances(), key, what="substance")

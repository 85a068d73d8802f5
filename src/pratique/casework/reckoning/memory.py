"""What was reckoned once is kept while the program runs, by the content of its case.

A case says everything its answer rests on, so nothing kept ever grows old; what was not asked for longest goes first.
Pages, rounds and commands share what is kept.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from threading import Lock
from typing import TYPE_CHECKING, Any

from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band, Case, Dose, Event, Reading

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.exposure import Exposure
    from pratique.science.estimation.posterior import Posterior
    from pratique.science.estimation.running import Running
    from pratique.science.estimation.surprises import Cause, Explanation, Fit

_MOST_BYTES = 256 * 2**20
_SMALL = 2**14
_NOT_ITSELF = frozenset({"methods", "events", "readings", "band", "required_days"})


@dataclass
class Memory:
    """Results by key, together no larger than `most_bytes`; safe from many threads, which may do the same work twice.

    A case that cannot be reckoned is kept too: its sentence is raised again.
    """

    most_bytes: int
    held: OrderedDict[Hashable, tuple[Any, int]] = field(default_factory=OrderedDict)
    bytes_held: int = 0
    lock: Lock = field(default_factory=Lock)

    def recall[T](self, key: Hashable, make: Callable[[], T], *, size_of: Callable[[T], int]) -> T:
        """Return what is kept under a key, made now if nothing is. Raises the DomainError that making it raised."""
        with self.lock:
            if key in self.held:
                self.held.move_to_end(key)
                kept: T | DomainError = self.held[key][0]
                return _given(kept)
        try:
            made: T | DomainError = make()
        except DomainError as problem:
            # Without its traceback, which holds every array on the way to it.
            made = problem.with_traceback(None)
        size = _SMALL if isinstance(made, DomainError) else size_of(made)
        with self.lock:
            if key not in self.held:
                self.held[key] = (made, size)
                self.bytes_held += size
            while self.bytes_held > self.most_bytes and len(self.held) > 1:
                self.bytes_held -= self.held.popitem(last=False)[1][1]
        return _given(made)


def _given[T](made: T | DomainError) -> T:
    if isinstance(made, DomainError):
        raise DomainError(str(made))
    return made


MEMORY = Memory(_MOST_BYTES)


def posterior_of(case: Case) -> "Posterior":
    """Return the posterior of a case. Raises DomainError as `reckon` does."""
    return MEMORY.recall(("posterior", content_of(case)), lambda: _reckoned(_bare(case)), size_of=_bytes_of)


def running_of(case: Case) -> "Running":
    """Return where a case has led, with its volume open for what may be added. Raises DomainError as `reckon` does."""
    opened = _with_open_volume(case)
    return MEMORY.recall(("running", content_of(opened)), lambda: _run(_bare(opened)), size_of=lambda _: _SMALL)


def fits_in(case: Case) -> "tuple[Fit, ...]":
    """Return how each reading of a case fits the others. Raises DomainError as `reckon` does."""
    return MEMORY.recall(("fits", content_of(case)), lambda: _fits(_bare(case)), size_of=lambda _: _SMALL)


def causes_in(case: Case, number: int, *, level_spread: float) -> "tuple[Cause, ...]":
    """Return what may lie behind a reading of a case, the likeliest first. Raises DomainError as `reckon` does."""
    key = ("causes", number, level_spread, content_of(case))
    return MEMORY.recall(key, lambda: _causes(_bare(case), number, level_spread), size_of=lambda _: _SMALL)


def explanations_in(case: Case, number: int, *, level_spread: float) -> "tuple[Explanation, ...]":
    """Return a case as it would be under each thing that may lie behind one of its readings, without entries' names."""
    key = ("explanations", number, level_spread, content_of(case))
    return MEMORY.recall(key, lambda: _explained(_bare(case), number, level_spread), size_of=lambda _: _SMALL)


def log_evidence_in(case: Case) -> float:
    """Return the log evidence of a case. Raises DomainError as `reckon` does."""
    return posterior_of(case).log_evidence


def exposure_in(case: Case, band: Band, days: tuple[float, float], required_days: float | None) -> "Exposure":
    """Return the exposure between two days of a case's grid. Raises DomainError as `reckon` does."""
    key = ("exposure", band, days, required_days, content_of(case))
    return MEMORY.recall(key, lambda: _exposed(case, band, days, required_days), size_of=lambda _: _SMALL)


def content_of(case: Case) -> Hashable:
    """Return what the answer to a case depends on, as a key.

    That is all but the names of entries, which nothing in the water depends on, and the band it is judged by.
    """
    rest = tuple(value for name, value in vars(case).items() if name not in _NOT_ITSELF)
    methods = tuple(sorted(case.methods.items(), key=lambda one: one[0]))
    return rest, methods, tuple(map(_nameless, case.events)), tuple(map(_nameless, case.readings))


def _nameless(one: Event | Reading) -> Hashable:
    """Return what an event or a reading says, without the name of its entry: much faster than a copy of each."""
    return type(one), *(value for name, value in vars(one).items() if name != "entry")


def _bare(case: Case) -> Case:
    """Return a case without what changes nothing in the water, so that what is kept holds nobody's entries."""
    return replace(
        case,
        events=tuple(replace(one, entry="") for one in case.events),
        readings=tuple(replace(one, entry="") for one in case.readings),
        band=None,
        required_days=None,
    )


def _with_open_volume(case: Case) -> Case:
    if case.needs_volume or case.volume.sd_l == 0.0:
        return case
    return replace(case, events=(*case.events, Dose(case.span_days, 0.0)))


def _reckoned(case: Case) -> "Posterior":
    import numpy as np  # noqa: PLC0415 - with the loops

    from pratique.science.estimation.posterior import reckon  # noqa: PLC0415 - loads the compiled loops

    # Far-fetched beliefs overflow on the way; what comes out is checked to be finite.
    with np.errstate(all="ignore"):
        return reckon(case)


def _run(case: Case) -> "Running":
    import numpy as np  # noqa: PLC0415 - with the loops

    from pratique.science.estimation.running import running_from  # noqa: PLC0415 - loads the compiled loops

    with np.errstate(all="ignore"):
        return running_from(case)


def _fits(case: Case) -> "tuple[Fit, ...]":
    import numpy as np  # noqa: PLC0415 - with the loops

    from pratique.science.estimation.surprises import fits_of  # noqa: PLC0415 - loads the compiled loops

    nodes = posterior_of(case).nodes
    with np.errstate(all="ignore"):
        return fits_of(case, nodes)


def _causes(case: Case, number: int, level_spread: float) -> "tuple[Cause, ...]":
    import numpy as np  # noqa: PLC0415 - with the loops

    from pratique.science.estimation.surprises import causes_of  # noqa: PLC0415 - loads the compiled loops

    with np.errstate(all="ignore"):
        return causes_of(case, number, level_spread=level_spread)


def _explained(case: Case, number: int, level_spread: float) -> "tuple[Explanation, ...]":
    import numpy as np  # noqa: PLC0415 - with the loops

    from pratique.science.estimation.surprises import explanations_of  # noqa: PLC0415 - loads the compiled loops

    with np.errstate(all="ignore"):
        return explanations_of(case, number, level_spread=level_spread)


def _exposed(case: Case, band: Band, days: tuple[float, float], required_days: float | None) -> "Exposure":
    from pratique.science.estimation.exposure import exposure_of  # noqa: PLC0415 - loads the compiled loops

    found, (first, last) = posterior_of(case), days
    return exposure_of(found.trajectories, found.days, band, start_day=first, end_day=last, required_days=required_days)


def _bytes_of(found: "Posterior") -> int:
    arrays = (*vars(found).values(), *vars(found.trajectories).values(), *vars(found.nodes).values())
    return _SMALL + sum(getattr(one, "nbytes", 0) for one in arrays)

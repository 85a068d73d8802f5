"""What a protocol must hold to besides its form: its legs, its copper, its moves, and what its gates can ask."""

import re
from collections.abc import Iterator

from pratique import knowledge
from pratique.casework.protocol_lines import Path
from pratique.knowledge import CopperForm, CoursePlan, Leg, MovesPlan, Protocol
from pratique.science.passage.gates import Criterion, PassageFacts, judge
from pratique.science.passage.legs import MIN_REASON_LETTERS, RECOVERY

type Wrong = tuple[Path, str]

LEGS = ("receive", "treat", RECOVERY, "introduce", "settle")
_ROLES = ("quarantine", "clean", "box", "display")
_HOURS_PER_DAY = 24.0
_LONGEST_NAME = 80
_KEY = re.compile(r"[a-z0-9]+([-_][a-z0-9]+)*")
_KEY_WORDS = "write lower-case letters and digits, joined by underscores or hyphens"
_ROUNDING = 1e-9


def mistakes_of(protocol: Protocol) -> Iterator[Wrong]:
    """Yield where a protocol of the right form still cannot be followed, and what would be right."""
    yield from _wrong_names(protocol)
    yield from _wrong_legs(protocol)
    for index, leg in enumerate(protocol.legs):
        path: Path = ("legs", index)
        yield from _wrong_leg(leg, path)
        for number, moves in enumerate(leg.moves):
            yield from _wrong_moves(moves, (*path, "moves", number))
        for number, course in enumerate(leg.courses):
            yield from _wrong_course(protocol, course, (*path, "courses", number))
        yield from _short_copper(leg, path)
    if protocol.copper_form is not None and not any(_is_copper(one) for leg in protocol.legs for one in leg.courses):
        yield ("copper_form",), "no leg has a course of copper: take this line out, or write the course."


def _wrong_names(protocol: Protocol) -> Iterator[Wrong]:
    """Yield a key or a name that the ledger, an address or a command could not hold."""
    if not _KEY.fullmatch(protocol.key) or len(protocol.key) > _LONGEST_NAME:
        yield (), f"“{protocol.key}” is no key: {_KEY_WORDS}, such as my_copper_30."
    if protocol.short_name and not _KEY.fullmatch(protocol.short_name):
        yield ("short_name",), f"“{protocol.short_name}” is no short name: {_KEY_WORDS}, such as my-copper-30."
    if not protocol.name.strip() or len(protocol.name) > _LONGEST_NAME:
        yield ("name",), f"a name has 1 to {_LONGEST_NAME} letters, and this has {len(protocol.name.strip())}."


def _wrong_legs(protocol: Protocol) -> Iterator[Wrong]:
    keys = [leg.key for leg in protocol.legs]
    for index, key in enumerate(keys):
        if key not in LEGS:
            yield ("legs", index, "key"), f"there is no leg “{key}”: a passage goes {', '.join(LEGS)}."
        elif key in keys[:index]:
            yield ("legs", index, "key"), f"the leg “{key}” is there twice; take one out."
    known = [key for key in keys if key in LEGS]
    if known != sorted(known, key=LEGS.index):
        yield ("legs", 0), f"the legs are out of order: a passage goes {', '.join(LEGS)}."
    for missing in (key for key in LEGS if key not in keys):
        if missing != RECOVERY:
            yield (), f"the leg “{missing}” is missing: a passage goes {', '.join(LEGS)}."
        elif len(protocol.recovery_dropped.strip()) < MIN_REASON_LETTERS:
            yield (
                ("recovery_dropped",) if protocol.recovery_dropped else (),
                f"the leg “{RECOVERY}” is missing. Write it, or say why these animals go without it: "
                'recovery_dropped = "…", in words that stay in the ledger.',
            )
    if RECOVERY in keys and protocol.recovery_dropped:
        yield ("recovery_dropped",), f"the leg “{RECOVERY}” is there, so nothing was dropped: take this line out."


def _wrong_leg(leg: Leg, path: Path) -> Iterator[Wrong]:
    if leg.system_role not in _ROLES:
        yield (*path, "system_role"), f"there is no place “{leg.system_role}”: write one of {', '.join(_ROLES)}."
    if not leg.criteria:
        yield path, f"the leg “{leg.key}” has no gate: write at least one [[… .criteria]], or it would never be shut."
    for index, one in enumerate(leg.criteria):
        try:
            judge(Criterion(one.key, one.words, one.required, one.unit), PassageFacts())
        except ValueError:
            yield (
                (*path, "criteria", index, "key"),
                f"nothing in the ledger answers “{one.key}”: write one of {', '.join(_criterion_keys())}.",
            )
    for index, reading in enumerate(leg.readings):
        known = [one.key for one in knowledge.constituents()]
        if reading.constituent not in known:
            yield (
                (*path, "readings", index, "constituent"),
                f"“{reading.constituent}” is nothing that is read: write one of {', '.join(known)}.",
            )
        if reading.every_days <= 0.0:
            yield (*path, "readings", index, "every_days"), "write more than 0 days, such as every_days = 1."


def _criterion_keys() -> list[str]:
    return sorted({one.key for shipped in knowledge.protocols() for leg in shipped.legs for one in leg.criteria})


def _wrong_moves(moves: MovesPlan, path: Path) -> Iterator[Wrong]:
    known = {one.key: one for one in knowledge.parasites()}
    if moves.parasite not in known:
        yield (*path, "parasite"), f"there is no parasite “{moves.parasite}”: write one of {', '.join(known)}."
        return
    most = known[moves.parasite].off_host_bounds.shortest_days * _HOURS_PER_DAY
    if not 0.0 < moves.every_hours <= most + _ROUNDING:
        yield (
            (*path, "every_hours"),
            f"moves {moves.every_hours:g} hours apart let cysts hatch beside the animals, which can begin after "
            f"{most:g} hours: write {most:g} or less.",
        )


def _is_copper(course: CoursePlan) -> bool:
    return course.agent == "copper"


def _wrong_course(protocol: Protocol, course: CoursePlan, path: Path) -> Iterator[Wrong]:
    parasites = [one.key for one in knowledge.parasites()]
    for name in (*course.against, *([course.second_dose_by] if course.second_dose_by is not None else [])):
        if name not in parasites:
            where = "against" if name in course.against else "second_dose_by"
            yield (*path, where), f"there is no parasite “{name}”: write one of {', '.join(parasites)}."
    if course.agent == "low_salinity":
        yield from _wrong_salinity(course, path)
        return
    medicines = {one.key: one for one in knowledge.substances() if one.is_medicine}
    if course.substance not in medicines:
        told = f"“{course.substance}” is no medicine known here" if course.substance else "the substance is missing"
        yield (*path, "substance"), f"{told}: write one of {', '.join(medicines)}."
        return
    form = medicines[course.substance].form
    if _is_copper(course) != (form is not None):
        right = "bath" if form is None else "copper"
        yield (*path, "agent"), f'{medicines[course.substance].name} is given otherwise: write agent = "{right}".'
    elif form is not None:
        yield from _wrong_copper(protocol, course, form, path)


def _wrong_salinity(course: CoursePlan, path: Path) -> Iterator[Wrong]:
    if course.substance is not None:
        yield (*path, "substance"), "lowered salinity is no medicine: take this line out."
    if None in _band(course):
        yield path, "a course of lowered salinity needs target_lower, target_upper and hard_upper, in PSU."
    elif not _is_in_order(course):
        yield (*path, "target_lower"), "a band goes up: target_lower, target_upper, then hard_upper."


def _band(course: CoursePlan) -> tuple[float | None, float | None, float | None]:
    return course.target_lower, course.target_upper, course.hard_upper


def _is_in_order(course: CoursePlan) -> bool:
    lower, upper, hard = (one or 0.0 for one in _band(course))
    return lower < upper <= hard


def _wrong_copper(protocol: Protocol, course: CoursePlan, form: CopperForm, path: Path) -> Iterator[Wrong]:
    """Yield a form that is not the protocol's, and a band that is not its form's: the forms never share one."""
    if protocol.copper_form != form:
        told = f"“{protocol.copper_form}”" if protocol.copper_form is not None else "no copper"
        yield (
            (*path, "substance"),
            f"this is {form} copper, and the protocol says {told}. Forms of copper never share a band, a stock or a "
            f'test: write copper_form = "{form}" at the head, and only courses of that form.',
        )
    band = _band(course)
    if band == (None, None, None):
        return
    figure = knowledge.copper_band(form)
    usual = f"{figure.target_lower:g} to {figure.target_upper:g} {figure.unit}, never above {figure.hard_upper:g}"
    if None in band or not _is_in_order(course):
        yield (
            (*path, "target_lower"),
            f"a band has three figures that go up: target_lower, target_upper, hard_upper. For {form} copper: {usual}. "
            "Leave all three out to take these.",
        )
        return
    lower, upper, hard = (one or 0.0 for one in band)
    if hard > figure.hard_upper + _ROUNDING or lower < figure.target_lower - _ROUNDING:
        whose = _form_of_band(lower, upper, other_than=form)
        told = f"this is the band of {whose} copper" if whose is not None else "this band leaves what is known"
        name = "hard_upper" if hard > figure.hard_upper + _ROUNDING else "target_lower"
        yield (*path, name), f"{told}; {form} copper is held at {usual}."


def _form_of_band(lower: float, upper: float, *, other_than: CopperForm) -> CopperForm | None:
    for form in CopperForm:
        figure = knowledge.copper_band(form)
        is_inside = figure.target_lower - _ROUNDING <= lower < upper <= figure.target_upper + _ROUNDING
        if form != other_than and is_inside:
            return form
    return None


def _short_copper(leg: Leg, path: Path) -> Iterator[Wrong]:
    """Yield a gate that asks for more days at target than the leg's copper lasts."""
    lasting = max((one.days for one in leg.courses if _is_copper(one)), default=0.0)
    for index, one in enumerate(leg.criteria):
        if one.key == "days_at_target" and one.required > lasting + _ROUNDING:
            yield (
                (*path, "criteria", index, "required"),
                f"the gate asks for {one.required:g} days at target, and the leg's copper lasts {lasting:g}: make both "
                "the same, or the gate will never open.",
            )

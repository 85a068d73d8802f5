"""A protocol laid out in words: its legs on their days, its moves, and what is dosed when."""

from pratique import knowledge
from pratique.casework.words import days_words
from pratique.knowledge import Protocol
from pratique.science.passage.legs import Plan, PlannedCourse, lay_out
from pratique.units import THIN_SPACE


def usual_temperature_c() -> float:
    """Return the middle of the band reef fishes are held at, in °C."""
    return (knowledge.figure("temperature.lower_c").value + knowledge.figure("temperature.upper_c").value) / 2.0


def protocol_lines(protocol: Protocol, temperature_c: float) -> tuple[str, ...]:
    """Return a protocol's name, its days and its legs as lines; DomainError for a temperature outside 0 to 45 °C."""
    plan = lay_out(protocol, temperature_c)
    head = f"{protocol.name}: {days_words(plan.days_total)} if all goes well at {temperature_c:g}{THIN_SPACE}°C."
    legs = [line for leg in plan.legs for line in _leg_lines(plan, leg.leg.key)]
    dropped = [f"Without recovery: {protocol.recovery_dropped}"] if protocol.recovery_dropped else []
    return head, *legs, *dropped


def _leg_lines(plan: Plan, key: str) -> list[str]:
    leg = plan.leg(key)
    if leg is None:
        return []
    lines = [f"  day {leg.starts:g} to {leg.ends:g}: {leg.leg.name}"]
    if leg.moves:
        lines.append(f"    into a clean tank on day {', '.join(f'{day:g}' for day in leg.moves)}")
    lines += [f"    {_course_words(one)}" for one in leg.courses]
    return lines


def _course_words(one: PlannedCourse) -> str:
    if not one.doses:
        return f"{one.course.name}: at target from day {one.at_target_from:g} to {one.at_target_until:g}"
    kept = "" if one.is_window_kept else "; no day kills all that hatch before they lay, so a third may be needed"
    return f"{one.course.name}: day {' and '.join(f'{day:g}' for day in one.doses)}{kept}"

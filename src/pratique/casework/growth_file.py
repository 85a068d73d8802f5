"""A growth case written down in a file: what was found, and the tools and minutes at hand; needs no ledger."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pratique import knowledge
from pratique.science.growths.differential import table

TOOLS = ("eye", "torch", "kitchen filter", "microscope", "test kit")
_UNSURE = "unsure"
_MEMBERS = ("findings", "tools", "minutes")
_MOST_CHARACTERS = 100_000


class GrowthRefused(ValueError):
    """A growth file that cannot be read, in one sentence."""


@dataclass(frozen=True)
class GrowthFile:
    """The answers by finding, and the findings that the tools and minutes at hand can reach."""

    answers: Mapping[str, bool]
    in_reach: tuple[str, ...]


def read_growth(text: str) -> GrowthFile:
    """Return what a file says; half of a case is fine. Raises GrowthRefused."""
    told = _members(text)
    findings = told.get("findings", {})
    if not isinstance(findings, dict):
        raise GrowthRefused('"findings" holds answers by name: {"dust_on_sand": true, "smells": false}.')
    known = (*table().findings, *table().context)
    for key, answer in findings.items():
        if key not in known:
            raise GrowthRefused(f"There is no finding “{key}”.{_nearest(key, known)}")
        if answer is not True and answer is not False and answer != _UNSURE:
            raise GrowthRefused(f'“{key}” is answered by true, false or "{_UNSURE}", not by {json.dumps(answer)}.')
    answers = {key: answer for key, answer in findings.items() if answer is True or answer is False}
    return GrowthFile(answers, _in_reach(told))


def _members(text: str) -> dict[str, Any]:
    if len(text) > _MOST_CHARACTERS:
        raise GrowthRefused("The file is far longer than a growth case can be.")
    try:
        told = json.loads(text)
    except ValueError as problem:
        raise GrowthRefused(f"This is not JSON: {problem}.") from None
    if not isinstance(told, dict):
        raise GrowthRefused('A growth case is one object: {"findings": {"dust_on_sand": true}}.')
    for one in told:
        if one not in _MEMBERS:
            raise GrowthRefused(f"A growth case has no “{one}”.{_nearest(one, _MEMBERS)}")
    return told


def _in_reach(told: Mapping[str, Any]) -> tuple[str, ...]:
    tools, minutes = told.get("tools", list(TOOLS)), told.get("minutes")
    if not isinstance(tools, list) or any(one not in TOOLS for one in tools):
        raise GrowthRefused(f'"tools" names those at hand out of: {", ".join(TOOLS)}.')
    if minutes is not None and (isinstance(minutes, bool) or not isinstance(minutes, int | float) or minutes < 0):
        raise GrowthRefused('"minutes" is how much time there is, a number from 0 up.')
    return tuple(
        one.key
        for one in knowledge.finding_kinds()
        if one.tool in tools and (minutes is None or one.minutes <= minutes)
    )


def _nearest(name: str, known: tuple[str, ...]) -> str:
    near = get_close_matches(name, known, n=1)
    return f" Did you mean “{near[0]}”?" if near else f" There are: {', '.join(known)}."

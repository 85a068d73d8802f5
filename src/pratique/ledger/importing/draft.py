"""A mapping to begin with: asked for column by column, or written down for the keeper to finish."""

import json
from collections.abc import Callable, Iterable

from pratique.knowledge.constituents import Constituent, constituents
from pratique.ledger.importing.table import Table

type Ask = Callable[[str, tuple[str, ...]], str]

PARTS = ("date", "time", "system")
LONG_PARTS = ("what", "value", "unit")
HOLDS = ("reading", "water-change", "top-off", "dose", "feeding", "note", "ignore")
_USUAL_HEADINGS = {
    "date": {"date", "day", "datum"},
    "time": {"time", "hour"},
    "system": {"system", "tank", "aquarium"},
    "note": {"note", "notes", "comment", "comments", "remarks"},
}
_SETTINGS = """\
# What is left out is not guessed: such lines are kept aside.
{zone}                      # the time zone of the dates, such as "Europe/London"
{date_order}                # how 03/04/2026 is meant: "day first" or "month first"
{time_of_day}               # for lines with a date but no time, such as "19:00"
{decimal_mark}              # "," or "."; only needed where 1,234 occurs
"""


def draft_mapping(table: Table) -> str:
    """Return a TOML mapping for this table with what its headings say filled in and the rest left to the keeper."""
    parts, columns = _recognised(table.columns)
    lines = ["# How to read this spreadsheet. Fill in what is empty, take the # away where a line is to count.", ""]
    lines += [f"{part} = {_quoted(parts.get(part, ''))}" for part in ("date",)]
    lines += [f"{'' if part in parts else '# '}{part} = {_quoted(parts.get(part, ''))}" for part in ("time", "system")]
    lines += ['# only_system = ""          # where no column names the system', "", *_open_settings(), ""]
    lines += ["[systems]", '# "the word in the file" = "the key of the system"', ""]
    for column in table.columns:
        if column not in parts.values():
            lines += [f"[columns.{_quoted(column)}]", *_target_lines(columns.get(column)), ""]
    return "\n".join(lines)


def asked_mapping(table: Table, ask: Ask) -> str:
    """Return a TOML mapping from what the keeper answers; `ask` takes a question and the possible answers (or none)."""
    parts: dict[str, str] = {}
    targets: dict[str, dict[str, str]] = {}
    for column in table.columns:
        holds = ask(f"What does the column “{column}” hold?", (*PARTS, *LONG_PARTS, *HOLDS))
        if holds in {*PARTS, *LONG_PARTS}:
            parts[holds] = column
        else:
            targets[column] = asked_target(f"“{column}”", holds, ask)
    things: dict[str, dict[str, str]] = {}
    if "what" in parts:
        for thing in _words_in(table, parts["what"]):
            things[thing] = asked_target(f"“{thing}”", ask(f"What is “{thing}”?", HOLDS), ask, unit="unit" not in parts)
    settings = {
        "zone": ask("Which time zone are the dates in, such as Europe/London? (empty: keep those lines aside)", ()),
        "date_order": ask("How is 03/04/2026 meant?", ("day first", "month first", "")),
        "time_of_day": ask("What time for lines with a date only, such as 19:00? (empty: keep them aside)", ()),
        "decimal_mark": ask("Which decimal mark is used?", (".", ",", "")),
    }
    if "system" not in parts:
        settings["only_system"] = ask("Which system is all of it about? (its key)", ())
    return _written(parts, settings, targets, things)


def asked_target(name: str, holds: str, ask: Ask, *, unit: bool = True) -> dict[str, str]:
    """Return what a column or a word holds, by asking what is still missing for it."""
    target = {"holds": holds}
    if holds == "reading":
        target["constituent"] = ask(f"Which constituent is {name}?", tuple(one.key for one in constituents()))
    if holds == "dose":
        target["stock"] = ask(f"Which stock solution is {name}? (its key; empty: a substance as it is)", ())
        if not target["stock"]:
            target["substance"] = ask(f"Which substance is {name}? (its key)", ())
    if holds == "feeding":
        target["food"] = ask(f"Which food is {name}? (its key; empty: the cell is words)", ())
    if target.get("constituent") == "ph":
        scales = ("nbs", "total", "free", "")
        target["scale"] = ask(f"Which pH scale is {name} on? (empty: as a hobby meter reads it, NBS)", scales)
    elif unit and holds in {"reading", "water-change", "top-off", "dose"}:
        target["unit"] = ask(f"In which unit is {name}, such as mg/L NO3-N, °F or US gal?", ())
    return {field: said for field, said in target.items() if said}


def _written(
    parts: dict[str, str],
    settings: dict[str, str],
    targets: dict[str, dict[str, str]],
    things: dict[str, dict[str, str]],
) -> str:
    top = {part: parts[part] for part in PARTS if part in parts} | settings
    lines = [f"{field} = {_quoted(said)}" for field, said in top.items() if said]
    if "what" in parts:
        lines += ["", "[long]", *(f"{part} = {_quoted(parts[part])}" for part in LONG_PARTS if part in parts)]
    for table, named in (("columns", targets), ("things", things)):
        for name, target in named.items():
            lines += [
                "",
                f"[{table}.{_quoted(name)}]",
                *(f"{field} = {_quoted(said)}" for field, said in target.items()),
            ]
    return "\n".join(lines) + "\n"


def _recognised(columns: Iterable[str]) -> tuple[dict[str, str], dict[str, Constituent | str]]:
    parts: dict[str, str] = {}
    found: dict[str, Constituent | str] = {}
    for column in columns:
        words = set(column.casefold().replace("-", " ").replace("(", " ").replace(")", " ").split())
        heading = next((part for part, usual in _USUAL_HEADINGS.items() if words & usual), None)
        if heading in PARTS and heading not in parts:
            parts[heading] = column
        elif heading == "note":
            found[column] = "note"
        else:
            named = next((one for one in constituents() if words & _names_of(one)), None)
            if named is not None:
                found[column] = named
    return parts, found


def _names_of(figure: Constituent) -> set[str]:
    last_word = figure.name.casefold().split()[-1]
    return {figure.key, last_word, figure.symbol.casefold(), *({"temp"} if figure.key == "temperature" else set())}


def _target_lines(guess: Constituent | str | None) -> list[str]:
    if guess == "note":
        return ['holds = "note"']
    if isinstance(guess, Constituent):
        unit = [f'unit = ""          # as it is in this column, such as "{guess.unit}"']
        if guess.key == "ph":
            unit = ['# scale = "total"          # only where it is not as a hobby meter reads it (NBS); or "free"']
        return ['holds = "reading"', f'constituent = "{guess.key}"', *unit]
    return [f'holds = ""          # one of: {", ".join(HOLDS)}']


def _open_settings() -> list[str]:
    names = ("zone", "date_order", "time_of_day", "decimal_mark")
    return _SETTINGS.format(**{name: f'# {name} = ""' for name in names}).splitlines()


def _words_in(table: Table, column: str) -> list[str]:
    place = table.columns.index(column)
    words = [line.cells[place].strip() for line in table.lines if line.cells is not None and len(line.cells) > place]
    return [word for word in dict.fromkeys(words) if word]


def _quoted(text: str) -> str:
    """Return a TOML string: JSON's escapes are TOML's too, but for the one control character JSON leaves alone."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")

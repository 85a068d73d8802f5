"""The form that keeps a protocol of the keeper's own: its text is checked, and every mistake is told with its line."""

from collections.abc import Iterator
from datetime import datetime

from pratique import knowledge
from pratique.casework.protocol_copies import copy_of
from pratique.casework.protocol_files import Mistake, ProtocolRefused, line_of, read_protocol
from pratique.casework.protocol_kept import own_protocols
from pratique.casework.words import listed
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.dangers import open_courses
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.moments import told
from pratique.casework.writing.options import MOMENT, WORDS, first, with_initial
from pratique.knowledge import Protocol
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds import protocols
from pratique.ledger.states import BatchState

_LONGEST_QUOTE = 48


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions; the text begins with a copy of what is chosen, unless something else was typed there."""
    starts = _starts(household)
    chosen, typed = first(answers, "start"), _in_lines(first(answers, "text")).strip()
    is_untouched = not typed or typed in {one.strip() for one in starts.values()}
    asked = (
        Field(
            name="start",
            label="Begin with a copy of",
            widget=Widget.CHOICE,
            options=(Option("", "Nothing, or what stands below"), *_start_options(household)),
            hint="A worked example to change. What you have typed yourself is never replaced.",
        ),
        Field(name="text", label="The protocol", widget=Widget.SOURCE, required=True),
        Field(
            name="file",
            label="Or its file",
            widget=Widget.FILE,
            hint="A text file, such as ours.toml. Its text then stands above, to be put right there.",
            fills="text",
        ),
        MOMENT,
        WORDS,
    )
    given = {**answers, "text": starts[chosen]} if chosen in starts and is_untouched else answers
    return with_initial(asked, given)


def _start_options(household: Household) -> list[Option]:
    shipped = [Option(one.key, one.name) for one in knowledge.protocols()]
    own = [Option(f"own/{one.key}", one.name, "as it is kept now") for one in own_protocols(household)]
    return [*shipped, *own]


def _starts(household: Household) -> dict[str, str]:
    shipped = {one.key: copy_of(one.key, taken=household.protocols) for one in knowledge.protocols()}
    return shipped | {f"own/{one.key}": one.text for one in household.protocols.values()}


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the protocol kept. Raises Problems for a text that cannot be followed, and Doubts."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    text = _text(asked)
    protocol = _read(asked, text)
    if protocol is not None:
        _check_names(asked, protocol, text)
        _check_followers(asked, protocol)
    confirmed = asked.settle()
    if protocol is None:
        return []
    kept = protocols.Protocol(key=protocol.key, name=protocol.name, text=text, words=asked.words, confirmed=confirmed)
    return asked.entries(kept)


def _in_lines(text: str) -> str:
    """Return a text with plain line ends: a page sends others."""
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "")


def _text(asked: Asked) -> str:
    """Return the text of the file where one was given, or else what was typed, with its lines where they stood."""
    content = asked.content("file")
    if not content:
        return _in_lines(asked.verbatim("text", "Write the protocol, or choose its file."))
    try:
        return _in_lines(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        asked.problem("file", "This file cannot be read as text. Choose a file in TOML, such as ours.toml.")
        return ""


def _read(asked: Asked, text: str) -> Protocol | None:
    if not text.strip() or asked.problems:
        return None
    try:
        return read_protocol(text)
    except ProtocolRefused as refused:
        asked.problem("text", _told(text, refused.mistakes))
        return None


def _told(text: str, mistakes: tuple[Mistake, ...]) -> str:
    """Return the mistakes one below the other, each with its line and what stands there."""
    lines = ["", *text.split("\n")]
    quotes = [lines[one.line].strip() if one.line < len(lines) else "" for one in mistakes]
    cut = [one if len(one) <= _LONGEST_QUOTE else f"{one[:_LONGEST_QUOTE]}…" for one in quotes]
    return "\n".join(
        f"Line {one.line}{f', “{quote}”' if quote else ''}: {one.words}"
        for one, quote in zip(mistakes, cut, strict=True)
    )


def _check_names(asked: Asked, protocol: Protocol, text: str) -> None:
    """Refuse a name that means another protocol, and a text that is kept as it is."""
    wrong = [Mistake(line_of(text, *path), words) for path, words in _taken(asked, protocol)]
    if wrong:
        asked.problem("text", _told(text, tuple(wrong)))
    kept = asked.household.protocols.get(protocol.key)
    if kept is not None and kept.text.strip() == text.strip():
        asked.problem("text", f"{kept.name} is kept already, word for word. Change it, or leave it at that.")


def _taken(asked: Asked, protocol: Protocol) -> Iterator[tuple[tuple[str, ...], str]]:
    shipped = knowledge.protocols()
    before = asked.desk.amends
    if before is not None and before.raw["key"] != protocol.key:
        yield (protocol.key,), f"an amendment keeps the key, {before.raw['key']}; keep another protocol by itself."
    elif any(protocol.key in {one.key, one.short_name} for one in shipped):
        yield (protocol.key,), "this is the key of a shipped protocol; give yours one of its own, in every heading."
    others = [one for one in (*shipped, *own_protocols(asked.household)) if one.key != protocol.key]
    taken = {name for one in others for name in (one.key, one.short_name) if name}
    if protocol.short_name in taken:
        yield (protocol.key, "short_name"), "another protocol has this name; write another, or take the line out."


def _check_followers(asked: Asked, protocol: Protocol) -> None:
    """Refuse a text that takes the ground from under a batch, and ask once where a batch goes by the new one."""
    followers = asked.household.following(protocol.key)
    for batch in followers:
        keys = {one.key for one in protocol.legs}
        missing = [one.leg for one in batch.legs if one.leg not in keys]
        if missing:
            asked.problem("text", f"{batch.name} has begun the leg “{missing[-1]}”, and this text leaves it out.")
        _check_copper(asked, protocol, batch)
    if followers:
        verb = "follows" if len(followers) == 1 else "follow"
        asked.doubt(
            "text",
            f"{listed([one.name for one in followers])} {verb} {protocol.name}, and will go by this text from now on: "
            "its gates are judged anew. Keep it so?",
        )


def _check_copper(asked: Asked, protocol: Protocol, batch: BatchState) -> None:
    systems = asked.household.systems
    for course in (one for key in systems for one in open_courses(asked.household, key) if one.batch == batch.key):
        form = knowledge.substance_or_unknown(course.substance).form
        if form is not None and form != protocol.copper_form:
            asked.problem(
                "text",
                f"{course.name} of {batch.name} is under way with {form} copper, and this text is not of that form. "
                "Keep it when the course has ended, or under another key.",
            )


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a kept protocol as answers to this form."""
    kept = entry.payload
    if not isinstance(kept, protocols.Protocol):
        return {}
    return {"text": kept.text, **told(entry, household, kept.words)}


PROTOCOL = Form(
    name="protocol",
    title="Keep a protocol of your own",
    group="set up",
    fields=fields,
    write=write,
    kinds=("protocol",),
    answers_of=answers_of,
)

"""Answers as the form of a card can hold them: words that mean an option as the option, a salt's formula in its box."""

from collections.abc import Sequence

from pratique.casework.bench.card import Answers
from pratique.casework.bench.salts import salt_key
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.keys import meant


def as_drawn(fields: Sequence[Field], answers: Answers) -> dict[str, str]:
    """Return the answers with nothing that a list of options would lose when the form is sent again."""
    drawn = dict(answers)
    for field in fields:
        options = {one.value: one.words for one in field.options}
        text = drawn.get(field.name, "").strip()
        if field.widget is Widget.CHOICE and text and text not in options:
            drawn[field.name] = meant(text, options) or text
    salts = next((one for one in fields if one.name == "substance"), None)
    named = drawn.get("substance", "").strip()
    if salts is not None and (key := salt_key(named)) in {one.value for one in salts.options}:
        named = drawn["substance"] = key
    if salts is None or not named or drawn.get("formula", "").strip():
        return drawn
    if named not in {one.value for one in salts.options}:
        drawn |= {"substance": "", "formula": named}
    return drawn

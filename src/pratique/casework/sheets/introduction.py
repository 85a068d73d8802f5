"""What the page on letting an animal in shows: whom it has to fear and why, and the steps. No HTML here."""

from dataclasses import dataclass

from pratique.casework.sheets.lines import About, Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskLine:
    """What is to be feared from one resident: a rough chance in words, its reasons, and what is not known.

    `never` is the rule of custom against putting the two together, None where there is none.
    """

    about: About
    species_words: str
    chance_words: str
    reasons: tuple[Reason, ...]
    never: Reason | None
    not_known: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class IntroductionSheet:
    """How to let one animal into a system; `targets` are the other systems it might go into instead.

    `box` is None where no fish lives there that it could meet; `box_words` says how long it has been in one.
    """

    about: About
    batch: About | None
    target: About | None
    targets: tuple[About, ...]
    gist: str
    gate_words: str
    risks: tuple[RiskLine, ...]
    box: Reason | None
    box_words: str
    steps: tuple[Reason, ...]
    watch: tuple[Reason, ...]
    base: Reason
    left_out: str

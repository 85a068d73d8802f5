"""The pages that list things: their words, and the sentence each opens with."""

from dataclasses import dataclass

from pratique.casework.sheets import ListGroup
from pratique.casework.words import counted


@dataclass(frozen=True, slots=True)
class ListPage:
    """What a list page is called, how it counts, and where a thing that is missing is written down."""

    title: str
    one: str
    many: str
    empty: str
    form: str
    form_words: str
    ways_on: tuple[tuple[str, str], ...] = ()


SYSTEMS = ListPage(
    title="Systems",
    one="system",
    many="systems",
    empty="No system is written down yet. Begin with the tank you would worry about first.",
    form="system",
    form_words="Add a system",
)
ANIMALS = ListPage(
    title="Animals",
    one="animal or group",
    many="animals and groups",
    empty="No animal is written down yet. Write down who lives here, or receive a batch.",
    form="resident",
    form_words="Add an animal already here",
)
PASSAGES = ListPage(
    title="Passages",
    one="batch",
    many="batches",
    empty="No batch has arrived yet. Its passage begins when you receive it.",
    form="batch",
    form_words="Receive a batch",
    ways_on=(("compare", "Compare passages"), ("fallow", "A tank without fish")),
)
GROWTHS = ListPage(
    title="Growths",
    one="growth case",
    many="growth cases",
    empty="No growth is followed. Open a case when something grows that should not.",
    form="growth-case",
    form_words="Open a growth case",
)


def list_gist(groups: tuple[ListGroup, ...], page: ListPage) -> str:
    """Return how many things there are and how many ask for something: `Four systems. Act on one now.`"""
    lines = [line for group in groups for line in group.lines]
    if not lines:
        return page.empty
    now, today = (sum(line.weight == weight for line in lines) for weight in ("now", "today"))
    told = [
        f"act on {counted(now).lower()} now" if now else "",
        f"see to {counted(today).lower()} today" if today else "",
    ]
    asks = ", ".join(words for words in told if words) or "nothing here has to be acted on today"
    return f"{counted(len(lines))} {page.one if len(lines) == 1 else page.many}: {asks}."

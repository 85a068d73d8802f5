"""The whole story told into one diary."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from pratique.demo.story.animals import write_animals
from pratique.demo.story.diary import Diary, Told
from pratique.demo.story.display import write_display
from pratique.demo.story.feeding import meals, write_meals
from pratique.demo.story.growths import write_growths
from pratique.demo.story.lazaret import lazaret_trace, write_lazaret
from pratique.demo.story.notes import write_notes
from pratique.demo.story.passages import write_passages
from pratique.demo.story.places import write_places


def tell(seed: int, today: date, zone: ZoneInfo, now: datetime) -> list[Told]:
    """Return every entry of the story with when it was written down, in that order."""
    diary = Diary(seed, today, zone, now)
    eaten = meals(seed)
    trace = lazaret_trace(eaten)
    write_places(diary)
    write_passages(diary)
    write_lazaret(diary, trace)
    write_meals(diary, eaten)
    write_animals(diary, trace)
    write_display(diary)
    write_growths(diary)
    write_notes(diary)
    return diary.in_order()

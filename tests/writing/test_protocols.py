"""A protocol of the keeper's own: kept, followed, changed and taken back, on the form and on the command line."""

from pathlib import Path

import pytest
from tests.writing.conftest import NOW, at, desk, doubts_of, problems_of, put
from typer.testing import CliRunner, Result

from pratique import knowledge
from pratique.casework.compare_asked import NotCompared, asked_of
from pratique.casework.compare_start import start_of
from pratique.casework.gates import leg_now
from pratique.casework.passages import passage_sheet
from pratique.casework.protocol_copies import copy_of
from pratique.casework.protocol_files import read_protocol
from pratique.casework.protocol_kept import protocol_named, protocol_of, protocols_known
from pratique.casework.writing.desk import Problems
from pratique.casework.writing.forms import FORMS, withdraw, write_form
from pratique.cli import passage as passage_commands
from pratique.cli import protocol as protocol_commands
from pratique.cli import sending
from pratique.cli.main import app
from pratique.ledger.entries import Recorded
from pratique.ledger.household import load_household, load_household_at
from pratique.ledger.kinds import animals, care, protocols
from pratique.ledger.queries import entry_count, history

pytestmark = pytest.mark.usefixtures("harbour_row")

EXAMPLES = Path(__file__).parents[2] / "examples"
OWN = (EXAMPLES / "harbour_row_copper.toml").read_text(encoding="utf-8")
WRONG = EXAMPLES / "harbour_row_transfer_with_a_mistake.toml"
KEY = "harbour_row_copper"
LONGER = OWN.replace("days = 33.0", "days = 40.0").replace("\nname = ", "\n# A week more.\nname = ", 1)


def _keep(text: str = OWN, *confirmed: str) -> Recorded:
    return write_form("protocol", desk(*confirmed), {"text": text})[0]


def _follow() -> None:
    """Receive a batch that follows it, on 10 November."""
    put(animals.Batch(key="b3", name="B3", protocol=KEY), at(10))
    put(
        animals.Arrival(key="chromis", name="Chromis", species="blue_green_chromis", system="lazaret", batch="b3"),
        at(10),
    )
    put(animals.Leg(batch="b3", leg="receive"), at(10))


def test_a_batch_can_follow_a_protocol_of_ones_own() -> None:
    """The batch's form lists it beside the shipped ones, and its first leg begins."""
    _keep()
    options = {one.value for field in FORMS["batch"].fields(load_household(), {}, NOW) for one in field.options}
    assert {KEY, "copper_ionic_30"} <= options
    answers = {"name": "B3", "protocol": KEY, "system": "lazaret", "animal-1-species": "blue_green_chromis"}
    write_form("batch", desk(), answers)
    household = load_household()
    assert leg_now(household, household.batches["b3"]).key == "receive"
    assert protocol_of(household, KEY) == read_protocol(OWN)


def test_its_page_its_legs_and_its_course_go_by_it() -> None:
    """The same legs and criteria as the file, on the page, in the form for a leg, and in a course's days."""
    text = OWN.replace("required = 30.0", "required = 28.0")
    assert text != OWN
    _keep(text)
    _follow()
    sheet = passage_sheet(load_household(), "b3", now=NOW)
    assert sheet.protocol_name == "Harbour Row: copper, and three weeks of recovery"
    assert [one.key for one in sheet.legs] == ["receive", "treat", "recover", "introduce", "settle"]
    assert len(sheet.legs[0].gates[0].criteria) == len(protocol_of(load_household(), KEY).legs[0].criteria)
    course = {one.name: one.initial for one in FORMS["course"].fields(load_household(), {"batch": "b3"}, NOW)}
    assert (course["substance"], course["required-days"]) == ("copper_ionic", "28")
    leg = {one.name: one.initial for one in FORMS["leg"].fields(load_household(), {"batch": "b3"}, NOW)}
    assert leg["leg"] == "treat"


def test_mistakes_are_told_with_line_and_what_stands_there() -> None:
    """Nothing is written; the sentence quotes the line, so that it is found without counting."""
    text = WRONG.read_text(encoding="utf-8")
    line = next(number for number, one in enumerate(text.splitlines(), 1) if one.startswith("every_hours"))
    told = problems_of("protocol", {"text": text})["text"]
    assert told.startswith(f"Line {line}, “every_hours = 96.0”: moves 96 hours apart")


def test_lines_count_as_they_were_typed() -> None:
    """Empty lines at the head, and the line ends a page sends, shift nothing."""
    text = "\r\n\r\n" + OWN.replace("days = 2.0", "days = two", 1).replace("\n", "\r\n")
    line = next(number for number, one in enumerate(text.splitlines(), 1) if one.startswith("days = two"))
    assert problems_of("protocol", {"text": text})["text"].startswith(f"Line {line}, “days = two”")


def test_names_that_mean_another_protocol_are_refused() -> None:
    """A shipped key, a shipped short name, and what no address could hold; each with its line."""
    shipped = problems_of("protocol", {"text": knowledge.protocol_text("copper-30")})["text"]
    assert "this is the key of a shipped protocol" in shipped
    named = OWN.replace('copper_form = "ionic"', 'copper_form = "ionic"\nshort_name = "copper-30"', 1)
    assert "another protocol has this name" in problems_of("protocol", {"text": named})["text"]
    odd = OWN.replace(KEY, '"Our Copper"')
    assert "is no key" in problems_of("protocol", {"text": odd})["text"]


@pytest.mark.parametrize("key", [one.key for one in knowledge.protocols()])
def test_a_copy_of_each_shipped_protocol_can_be_kept_as_it_is(key: str) -> None:
    """The worked example to start from passes its own check, under a key of its own, as the keeper's guess."""
    fields = {one.name: one for one in FORMS["protocol"].fields(load_household(), {"start": key}, NOW)}
    text = str(fields["text"].initial)
    kept = _keep(text)
    own = protocol_of(load_household(), kept.raw["key"])
    shipped = knowledge.protocol(key)
    assert [one.key for one in own.legs] == [one.key for one in shipped.legs]
    assert (own.key, own.status) == (f"our_{key}", "guess")
    assert "source =" not in text
    assert copy_of(key, taken={own.key}).count(f"[our_{key}_2]") == 1


def test_choosing_another_beginning_never_replaces_what_was_typed() -> None:
    """A copy makes room for another copy; words of the keeper's own stay."""

    def text(**answers: str) -> str:
        fields = FORMS["protocol"].fields(load_household(), answers, NOW)
        return str(next(one.initial for one in fields if one.name == "text"))

    first = text(start="observation")
    assert "our_tank_transfer" in text(start="tank_transfer", text=first.replace("\n", "\r\n"))
    assert text(start="tank_transfer", text=f"{first}# mine") == f"{first}# mine"


def test_a_changed_text_is_asked_about_and_counts_from_then_on() -> None:
    """The batch goes by the newest text, and its page says since when; an earlier day keeps the earlier text."""
    _keep()
    _follow()
    put(protocols.Protocol(key=KEY, name="Ours", text=OWN), at(9))
    questions = doubts_of("protocol", {"text": LONGER})
    assert "B3 follows" in questions["text"]
    _keep(LONGER, *questions.values())
    household = load_household()
    assert protocol_of(household, KEY).legs[1].days == 40.0
    words = passage_sheet(household, "b3", now=NOW).protocol_words
    assert "Its text was changed on 25 November, after this batch began" in words
    assert protocol_of(load_household_at(at(20)), KEY).legs[1].days == 33.0
    assert "was changed" not in passage_sheet(load_household_at(at(20)), "b3", now=at(20)).protocol_words


def test_an_amended_text_counts_since_it_was_amended() -> None:
    """An amendment bears the day of what it amends, so the page tells the day it was recorded."""
    entry = put(protocols.Protocol(key=KEY, name="Ours", text=OWN), at(1))
    _follow()
    asked = "B3 follows Harbour Row: copper, and three weeks of recovery, and will go by this text from now on: "
    asked += "its gates are judged anew. Keep it so?"
    write_form("protocol", desk(asked), {"text": LONGER}, amends=entry.id)
    household = load_household()
    assert protocol_of(household, KEY).legs[1].days == 40.0
    assert "Its text was changed on 25 November" in passage_sheet(household, "b3", now=NOW).protocol_words


def test_a_text_that_takes_the_ground_from_under_a_batch_is_refused() -> None:
    """Not without the leg the batch is on, and not of another copper than is in its water."""
    _keep()
    _follow()
    put(animals.Leg(batch="b3", leg="recover"), at(20))
    start = LONGER.index(f"[[{KEY}.legs]]", LONGER.index('key = "treat"'))
    end = LONGER.index(f"[[{KEY}.legs]]", start + 1)
    why = 'recovery_dropped = "They came from a tank of ours and are strong."\n\n'
    shorter = LONGER[:start] + LONGER[end:]
    shorter = shorter.replace(f"[[{KEY}.legs]]", f"{why}[[{KEY}.legs]]", 1)
    assert (
        "has begun the leg “recover”, and this text leaves it out" in problems_of("protocol", {"text": shorter})["text"]
    )
    put(_course(), at(12))
    put(care.CourseStart(course="b3-copper", system="lazaret"), at(12))
    free = (
        copy_of("observation", taken=()).replace("our_observation", KEY).replace('short_name = "our-observation"', "")
    )
    assert "is under way with ionic copper" in problems_of("protocol", {"text": free})["text"]


def _course() -> care.Course:
    band = {"target_lower": 0.15, "target_upper": 0.2, "hard_upper": 0.25, "required_days": 30}
    return care.Course(
        key="b3-copper", name="B3 copper", system="lazaret", substance="copper_ionic", batch="b3", **band
    )


def test_what_a_batch_follows_cannot_be_withdrawn() -> None:
    """A later text can: then the earlier one counts again."""
    first = _keep()
    second = _keep(LONGER)
    _follow()
    withdraw(desk(), second.id, "Too long after all.")
    assert protocol_of(load_household(), KEY).legs[1].days == 33.0
    with pytest.raises(Problems, match="B3 would be left without legs and gates"):
        withdraw(desk(), first.id, "Not needed.")


def test_the_same_text_is_not_kept_twice_but_a_form_sent_twice_is_one() -> None:
    """A double tap is harmless; a second keeping of the very text says that it is there."""
    at_desk = desk()
    before = entry_count()
    assert write_form("protocol", at_desk, {"text": OWN}) == write_form("protocol", at_desk, {"text": OWN})
    assert entry_count() == before + 1
    assert "kept already, word for word" in problems_of("protocol", {"text": OWN})["text"]


def test_a_text_a_later_version_refuses_keeps_its_gate_shut() -> None:
    """What cannot be read is as good as unknown, and says on which line."""
    put(protocols.Protocol(key=KEY, name="Ours", text="[harbour_row_copper]\nname = 3\n"), at(9))
    _follow()
    household = load_household()
    found = protocol_of(household, KEY)
    assert found.name == "Ours (its text does not pass this version's check)"
    assert found.words.startswith("Line ")
    sheet = passage_sheet(household, "b3", now=NOW)
    assert not sheet.legs[0].gates[0].is_open
    with pytest.raises(NotCompared, match="cannot be compared"):
        asked_of(("copper-30", KEY), ["yellow_tang"], temperature="26", household=household)


def test_own_passages_are_compared_by_name() -> None:
    """Beside the shipped ones; a batch's comparison begins with its own."""
    _keep()
    _follow()
    household = load_household()
    asked = asked_of(("copper-30", KEY), ["yellow_tang"], temperature="26", household=household)
    assert [one.key for one in asked.protocols] == ["copper_ionic_30", KEY]
    assert start_of(household, "b3").protocols[0] == KEY
    assert protocol_named(household, KEY) in protocols_known(household)
    with pytest.raises(NotCompared, match=KEY):
        asked_of(("copper-30", "nothing"), ["yellow_tang"], temperature="26", household=household)


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch):
    """Run a command, the test's database in place of the home."""
    for commands in (protocol_commands, passage_commands, sending):
        monkeypatch.setattr(commands, "open_home", lambda: None)

    def invoke(*arguments: str) -> Result:
        return CliRunner().invoke(app, list(arguments))

    return invoke


def test_the_command_keeps_a_sound_file_and_shows_it_again(run, tmp_path: Path) -> None:
    """`pratique protocol keep FILE`, then by its key."""
    said = run("protocol", "keep", str(EXAMPLES / "harbour_row_copper.toml"), "--words", "For the next batch.")
    assert (said.exit_code, said.stdout.startswith("Written: protocol")) == (0, True)
    assert history(limit=1)[0].raw["text"] == OWN
    assert run("protocol", "show", KEY).stdout == OWN
    assert run("protocol", "list", "--own").stdout.startswith(f"{KEY}: Ionic copper")
    longer = tmp_path / "longer.toml"
    longer.write_text(LONGER, encoding="utf-8")
    said = run("protocol", "keep", str(longer), "--amends", str(history(limit=1)[0].id))
    assert said.exit_code == 0
    assert load_household().protocols[KEY].text == LONGER


def test_the_command_refuses_a_mistake_with_file_and_line(run) -> None:
    """As the check does; nothing is written."""
    before = entry_count()
    said = run("protocol", "keep", str(WRONG))
    assert (said.exit_code, said.stderr.startswith(f"{WRONG.name}, line ")) == (1, True)
    assert entry_count() == before
    assert run("protocol", "show", "nothing").exit_code == 1


def test_the_comparison_takes_an_own_passage_by_its_key(run) -> None:
    """Beside a shipped one; a name nobody knows is told with all that are known."""
    _keep()
    said = run("passage", "compare", "observation", KEY, "--species", "yellow_tang", "--json")
    assert (said.exit_code, f'"{KEY}"' in said.stdout) == (0, True)
    wrong = run("passage", "compare", "observation", "harbour", "--species", "yellow_tang")
    assert (wrong.exit_code, KEY in wrong.stderr) == (1, True)

"""A keeper's own protocol: each mistake is told with its line, and what would be right."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from pratique import knowledge
from pratique.casework.protocol_files import Mistake, ProtocolRefused, read_protocol
from pratique.cli.main import app
from pratique.science.passage.legs import lay_out

SHIPPED = [one.key for one in knowledge.protocols()]


def _line(text: str, start: str, *, nth: int = 1) -> int:
    found = [number for number, line in enumerate(text.splitlines(), 1) if line.startswith(start)]
    return found[nth - 1]


def _changed(name: str, old: str, new: str) -> tuple[str, int]:
    """Return a shipped file with one line changed, and that line."""
    text = knowledge.protocol_text(name)
    assert old in text
    return text.replace(old, new, 1), text[: text.index(old)].count("\n") + 1


@pytest.mark.parametrize("key", SHIPPED)
def test_a_shipped_protocol_is_a_sound_file_of_ones_own(key: str) -> None:
    """What is shipped can be copied and changed."""
    assert read_protocol(knowledge.protocol_text(key)) == knowledge.protocol(key)


def test_an_own_file_need_not_name_sources() -> None:
    """A keeper's own figures are the keeper's own, and count as a guess."""
    text = "\n".join(
        line
        for line in knowledge.protocol_text("observation").splitlines()
        if not line.startswith(("source", "status"))
    )
    own = read_protocol(text)
    assert (own.source, own.status) == ("the keeper's own", knowledge.Status.GUESS)
    assert own.legs[0].criteria[0].source == "the keeper's own"


@pytest.mark.parametrize(
    ("name", "old", "new", "told"),
    [
        ("copper-30", "days = 33.0", 'days = "thirty"', "write a number, 0 or more, such as days = 14"),
        ("copper-30", "days = 33.0", "days = -3", "write a number, 0 or more"),
        ("copper-30", "days = 33.0", "days = nan", "write a number, 0 or more"),
        ("copper-30", "days = 33.0", "days = true", "write a number, 0 or more"),
        ("copper-30", "days = 33.0", "days = thirty", "cannot be read. Write a number plain, such as 30"),
        ("copper-30", "feeding =", "feding =", "Did you mean “feeding”?"),
        ("copper-30", 'copper_form = "ionic"', 'copper_form = "ionised"', 'write one of "ionic", "chelated", "amine"'),
        ("copper-30", 'system_role = "clean"', 'system_role = "bucket"', "there is no place “bucket”"),
        ("copper-30", 'key = "treat"', 'key = "cure"', "there is no leg “cure”"),
        ("copper-30", 'key = "days_at_target"', 'key = "days_of_luck"', "nothing in the ledger answers “days_of_luck”"),
        ("copper-30", 'constituent = "copper"', 'constituent = "brass"', "“brass” is nothing that is read"),
        ("copper-30", "required = 30.0", "required = 31", "the leg's copper lasts 30"),
        ("copper-30", 'substance = "praziquantel"', 'substance = "tea"', "“tea” is no medicine known here"),
        ("copper-30", 'second_dose_by = "flukes"', 'second_dose_by = "ich"', "there is no parasite “ich”"),
        ("copper-30", "every_days = 1.0", "every_days = 0", "write more than 0 days"),
        ("tank-transfer", "every_hours = 72.0", "every_hours = 96", "write 72 or less"),
        ("tank-transfer", "every_hours = 72.0", "every_hours = 73", "let cysts hatch beside the animals"),
        ("lowered-salinity", "target_lower = 13.0", "target_lower = 19", "a band goes up"),
    ],
)
def test_a_mistake_is_told_with_its_line(name: str, old: str, new: str, told: str) -> None:
    """One changed line, one mistake at that line."""
    text, line = _changed(name, old, new)
    with pytest.raises(ProtocolRefused) as refused:
        read_protocol(text)
    assert (line, True) in [(one.line, told in one.words) for one in refused.value.mistakes]


def test_a_form_of_copper_in_another_forms_protocol_is_refused() -> None:
    """Forms never share a course."""
    text, line = _changed("copper-30", 'substance = "copper_ionic"', 'substance = "copper_amine"')
    with pytest.raises(ProtocolRefused, match="Forms of copper never share a band, a stock or a test") as refused:
        read_protocol(text)
    assert line in {one.line for one in refused.value.mistakes}


def test_a_band_of_another_form_is_refused_by_name() -> None:
    """1.5 to 2.5 mg/L is held with chelated copper only: common practice, no source."""
    band = "target_lower = 1.5\ntarget_upper = 2.5\nhard_upper = 3.0\nramp_days = 3.0"
    text, line = _changed("copper-30", "ramp_days = 3.0", band)
    with pytest.raises(
        ProtocolRefused, match="this is the band of chelated copper; ionic copper is held at"
    ) as refused:
        read_protocol(text)
    assert [one.line for one in refused.value.mistakes] == [line + 2]


def test_half_a_band_is_refused() -> None:
    """Three figures or none."""
    text, _ = _changed("copper-30", "ramp_days = 3.0", "target_lower = 0.15\nramp_days = 3.0")
    with pytest.raises(ProtocolRefused, match="a band has three figures"):
        read_protocol(text)


def _without_leg(text: str, key: str) -> str:
    legs = text.split("[[copper_ionic_30.legs]]\n")
    return "[[copper_ionic_30.legs]]\n".join(one for one in legs if not one.startswith(f'key = "{key}"'))


def test_a_missing_leg_is_named_at_the_head() -> None:
    """A passage has its five legs."""
    text = _without_leg(knowledge.protocol_text("copper-30"), "introduce")
    with pytest.raises(ProtocolRefused, match="the leg “introduce” is missing") as refused:
        read_protocol(text)
    assert refused.value.mistakes[0].line == _line(text, "[copper_ionic_30]")


def test_recovery_is_left_out_only_with_a_reason() -> None:
    """A word is no reason."""
    text = _without_leg(knowledge.protocol_text("copper-30"), "recover")
    with pytest.raises(ProtocolRefused, match="say why these animals go without it"):
        read_protocol(text)
    head = "[copper_ionic_30]\n"
    hasty = text.replace(head, f'{head}recovery_dropped = "no time"\n', 1)
    with pytest.raises(ProtocolRefused) as refused:
        read_protocol(hasty)
    assert refused.value.mistakes[0].line == _line(hasty, "recovery_dropped")
    said = text.replace(head, f'{head}recovery_dropped = "The display is empty and serves as the clean tank."\n', 1)
    assert [leg.key for leg in read_protocol(said).legs] == ["receive", "treat", "introduce", "settle"]


def test_every_mistake_is_told_not_only_the_first() -> None:
    """A file is mended in one go."""
    text = knowledge.protocol_text("copper-30").replace("days = 33.0", 'days = "x"').replace("feeding", "feding")
    with pytest.raises(ProtocolRefused) as refused:
        read_protocol(text)
    lines = [one.line for one in refused.value.mistakes]
    assert len(lines) == 6
    assert lines == sorted(lines)


@pytest.mark.parametrize(
    "text", ["", "a = 1", "[a]\nname = 'x'\n[b]\nname = 'y'\n", "[[a]]\nname = 'x'\n", "[a", "\x00"]
)
def test_what_is_no_protocol_is_refused_in_words(text: str) -> None:
    """Nothing, several tables, or no TOML at all."""
    with pytest.raises(ProtocolRefused, match=r"Line [123]: "):
        read_protocol(text)


@pytest.fixture
def run(tmp_path: Path) -> Callable[[str], tuple[int, str, str]]:
    """Check a text from the command line."""

    def check(text: str) -> tuple[int, str, str]:
        file = tmp_path / "mine.toml"
        file.write_text(text, encoding="utf-8")
        said = CliRunner().invoke(app, ["protocol", "check", str(file)])
        return said.exit_code, said.stdout, said.stderr

    return check


def test_the_command_tells_file_and_line(run: Callable[[str], tuple[int, str, str]]) -> None:
    """Exit code 1, on the error output."""
    text, line = _changed("tank-transfer", "every_hours = 72.0", "every_hours = 96")
    code, _, told = run(text)
    assert code == 1
    assert told.startswith(f"mine.toml, line {line}: ")


def test_the_command_lays_a_sound_file_out(run: Callable[[str], tuple[int, str, str]]) -> None:
    """Legs on their days, moves and doses."""
    code, told, _ = run(knowledge.protocol_text("tank-transfer"))
    assert code == 0
    assert "into a clean tank on day 1, 4, 7, 10" in told


def test_a_file_that_is_not_there_gets_a_sentence(tmp_path: Path) -> None:
    """No trace."""
    said = CliRunner().invoke(app, ["protocol", "check", str(tmp_path / "none.toml")])
    assert (said.exit_code, "cannot be read as text" in said.stderr) == (1, True)


EXAMPLES = Path(__file__).parents[3] / "examples"


def test_the_example_of_an_own_protocol_has_a_week_of_recovery_more() -> None:
    """Harbour Row's own: the shipped copper protocol, and seven days more in clean water."""
    own = read_protocol((EXAMPLES / "harbour_row_copper.toml").read_text(encoding="utf-8"))
    mine, shipped = lay_out(own, 26.0), lay_out(knowledge.protocol("copper-30"), 26.0)
    assert mine.days_total == shipped.days_total + 7.0


def test_the_example_with_a_mistake_is_refused_with_the_line() -> None:
    """Moves four days apart let cysts hatch from day 3 on (Colorni 1985)."""
    text = (EXAMPLES / "harbour_row_transfer_with_a_mistake.toml").read_text(encoding="utf-8")
    with pytest.raises(ProtocolRefused, match="moves 96 hours apart") as refused:
        read_protocol(text)
    assert [one.line for one in refused.value.mistakes] == [_line(text, "every_hours")]


_ODD = (
    '"x"',
    "-1",
    "true",
    "[]",
    '[1, "a"]',
    "{a = 1}",
    "[{a = 1}]",
    "nan",
    "1979-05-27",
    '"copper_amine"',
    "1e308",
    "=",
)


@settings(max_examples=150, deadline=None)
@given(key=st.sampled_from(SHIPPED), where=st.integers(0, 400), odd=st.sampled_from(_ODD), drops=st.booleans())
def test_no_slip_of_the_pen_is_more_than_a_sentence_with_a_line(key: str, where: int, odd: str, drops: bool) -> None:
    """Whatever one line is changed to, or left out, the file is read or refused with lines that are in it."""
    lines = knowledge.protocol_text(key).splitlines()
    at = where % len(lines)
    lines[at : at + 1] = [] if drops else [f"{lines[at].split('=')[0]}= {odd}"]
    mistakes: tuple[Mistake, ...] = ()
    try:
        lay_out(read_protocol("\n".join(lines)), 26.0)
    except ProtocolRefused as refused:
        mistakes = refused.mistakes
    assert all(1 <= one.line <= len(lines) + 1 and one.words.endswith(".") for one in mistakes)

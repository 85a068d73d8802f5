"""The keeper's word on the columns: what is wrong with it is said all at once, in sentences."""

import tomllib

import pytest
from tests.ledger.importing.sheets import WIDE, harbour_row_in_memory, read_sheet

from pratique.ledger.importing.draft import asked_mapping, draft_mapping
from pratique.ledger.importing.mapping import MappingRefused, check_mapping, read_mapping
from pratique.ledger.importing.table import read_table
from pratique.ledger.kinds.water import Reading

COLUMNS = ("date", "tank", "it", "that")


def _problems(text: str) -> str:
    with pytest.raises(MappingRefused) as refused:
        check_mapping(read_mapping(text), COLUMNS, harbour_row_in_memory())
    return str(refused.value)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("date = ", "not readable TOML"),
        ("", "The mapping does not say “date”"),
        ('date = "date"\ncolour = "blue"', "“colour”, which means nothing here"),
        ('date = "date"\ndate_order = "backwards"', "“date_order” does not fit"),
        ('date = "date"\n[columns.it]\nholds = "wishes"', "“columns.it.holds” does not fit"),
        ('date = "dates"', "a column “dates”, which the file does not have; did you mean “date”?"),
        ('date = "date"\nzone = "Harbour/Row"', "“Harbour/Row” is not a time zone"),
        ('date = "date"\nonly_system = "lazarett"', "no system “lazarett” in this household; did you mean “lazaret”?"),
        ('date = "date"\n[systems]\nQT = "lazaret/creel"', "There is no compartment “creel” in lazaret"),
        ('date = "date"\n[things.Cu]\nholds = "note"', "no [long] that says which column names them"),
        (f'{WIDE}[columns.it]\nholds = "reading"\nconstituent = "coper"\nunit = "mg/L"', "did you mean “copper”?"),
        (f'{WIDE}[columns.it]\nholds = "reading"\nconstituent = "copper"', "a reading needs a `unit`"),
        (f'{WIDE}[columns.it]\nholds = "reading"\nconstituent = "copper"\nunit = "°C"', "Concentration is in mg/L"),
        (f'{WIDE}[columns.it]\nholds = "reading"\nconstituent = "nitrate"\nunit = "ppm"', "ppm of what?"),
        (
            f'{WIDE}[columns.it]\nholds = "reading"\nconstituent = "copper"\nunit = "mg/L"\nscale = "total"',
            "only pH has a `scale`, not copper",
        ),
        (f'{WIDE}[columns.it]\nholds = "reading"\nconstituent = "ph"\nmethod = "ph_metre"', "mean “ph_meter”?"),
        (f'{WIDE}[columns.it]\nholds = "water-change"', "a water-change needs a `unit`"),
        (f'{WIDE}[columns.it]\nholds = "water-change"\nunit = "kg"', "Volume is in litres or US gallons, not kg"),
        (f'{WIDE}[columns.it]\nholds = "dose"\nunit = "mL"', "a dose needs a `substance` or a `stock`"),
        (
            f'{WIDE}[columns.it]\nholds = "dose"\nunit = "mL"\nstock = "rum"',
            "“rum” in this household; there is copper-",
        ),
        (f'{WIDE}[columns.it]\nholds = "dose"\nunit = "mL"\nsubstance = "rum"', "no substance “rum”"),
        (
            f'{WIDE}[columns.it]\nholds = "dose"\nunit = "mL"\nsubstance = "copper_sulfate"',
            "no substance “copper_sulfate”; there are copper_ionic, copper_chelated, copper_amine, ",
        ),
        (
            f'{WIDE}[columns.it]\nholds = "dose"\nunit = "mL"\nsubstance = "formalin"\nstock = "copper-stock"',
            "holds copper_ionic, not formalin",
        ),
        (f'{WIDE}[columns.it]\nholds = "feeding"\nfood = "frozen_misis"', "did you mean “frozen_mysis”?"),
    ],
)
def test_a_mapping_that_does_not_fit_gets_a_sentence(text: str, sentence: str) -> None:
    """Before any line is read."""
    assert sentence in _problems(text)


def test_everything_wrong_is_said_at_once() -> None:
    """So that it is corrected in one go."""
    told = _problems(f'{WIDE}[columns.it]\nholds = "water-change"\n[columns.what]\nholds = "note"')
    assert "a water-change needs a `unit`" in told
    assert "a column “what”" in told


def test_a_draft_knows_the_headings_it_can_and_leaves_the_rest_open() -> None:
    """The keeper finishes it; as it is, it is refused with sentences, not read wrongly."""
    table = read_table(b'Date;Tank;Temp (F);NO3-N;pH;Notes;Odd "one"\n')
    draft = draft_mapping(table)
    told = tomllib.loads(draft)
    assert (told["date"], told["system"]) == ("Date", "Tank")
    assert told["columns"]["Temp (F)"] == {"holds": "reading", "constituent": "temperature", "unit": ""}
    assert told["columns"]["NO3-N"]["constituent"] == "nitrate"
    assert told["columns"]["pH"] == {"holds": "reading", "constituent": "ph"}
    assert told["columns"]["Notes"] == {"holds": "note"}
    assert told["columns"]['Odd "one"'] == {"holds": ""}
    assert "zone" not in told
    with pytest.raises(MappingRefused, match="does not fit"):
        read_mapping(draft)


def _answering(answers: dict[str, str]) -> "tuple[list[str], object]":
    asked: list[str] = []

    def ask(question: str, choices: tuple[str, ...]) -> str:
        asked.append(question)
        said = next((said for start, said in answers.items() if question.startswith(start)), "")
        assert not choices or said in choices, f"{question} takes one of {choices}"
        return said

    return asked, ask


def test_a_mapping_can_be_asked_for_column_by_column() -> None:
    """What is answered reads the sheet; what is left empty is not guessed."""
    sheet = "day;tank;no3;cu;words\n2026-11-03 18:30;QT;5;2;fine\n"
    _asked, ask = _answering(
        {
            "What does the column “day”": "date",
            "What does the column “tank”": "system",
            "What does the column “no3”": "reading",
            "Which constituent is “no3”": "nitrate",
            "In which unit is “no3”": "ppm NO3-N",
            "What does the column “cu”": "dose",
            "Which stock solution is “cu”": "copper-stock",
            "In which unit is “cu”": "mL",
            "What does the column “words”": "note",
            "Which time zone": "Europe/London",
        }
    )
    mapping = asked_mapping(read_table(sheet.encode()), ask)  # type: ignore[arg-type]
    line = read_sheet(sheet.replace("QT", "lazaret"), mapping)[0]
    assert [entry.payload.kind for entry in line.entries] == ["reading", "dose", "note"]


def test_a_column_of_ph_is_asked_for_its_scale_and_not_for_a_unit() -> None:
    """Left empty it is NBS, as a hobby meter reads it (common practice, no source)."""
    sheet = "day;acid\n2026-11-03 18:30;8.05\n"
    answers = {
        "What does the column “day”": "date",
        "What does the column “acid”": "reading",
        "Which constituent is “acid”": "ph",
        "Which time zone": "Europe/London",
        "Which system": "lazaret",
    }
    for said, kept in (({"Which pH scale is “acid” on": "total"}, "total"), ({}, "nbs")):
        asked, ask = _answering(answers | said)
        mapping = asked_mapping(read_table(sheet.encode()), ask)  # type: ignore[arg-type]
        assert not any(question.startswith("In which unit") for question in asked)
        payload = read_sheet(sheet, mapping)[0].entries[0].payload
        assert payload == Reading(system="lazaret", constituent="ph", value=8.05, scale=kept)  # type: ignore[arg-type]


def test_a_long_table_can_be_asked_for_word_by_word() -> None:
    """Each word in the column of things is asked about once."""
    sheet = "day,what,value,unit\n2026-11-03 18:30,Cu,0.18,ppm\n2026-11-03 18:31,Cu,0.18,ppm\n"
    asked, ask = _answering(
        {
            "What does the column “day”": "date",
            "What does the column “what”": "what",
            "What does the column “value”": "value",
            "What does the column “unit”": "unit",
            "What is “Cu”": "reading",
            "Which constituent is “Cu”": "copper",
            "Which time zone": "Europe/London",
            "Which system": "lazaret",
        }
    )
    mapping = asked_mapping(read_table(sheet.encode()), ask)  # type: ignore[arg-type]
    assert asked.count("What is “Cu”?") == 1
    assert [len(line.entries) for line in read_sheet(sheet, mapping)] == [1, 1]

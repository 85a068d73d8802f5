"""Small sheets and the household they are read for."""

from datetime import UTC, datetime
from uuid import UUID

from pratique.casework.salts import with_counted_mg
from pratique.ledger.household import Household
from pratique.ledger.importing.lines import LineReader, ReadLine
from pratique.ledger.importing.mapping import Mapping, check_mapping, read_mapping
from pratique.ledger.importing.table import read_table
from pratique.ledger.states import CompartmentState, StockState, SystemState

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
_ENTRY = UUID(int=0)


def _system(key: str, role: str, gross_volume_l: float, *, keeps_invertebrates: bool = False) -> SystemState:
    return SystemState.model_validate(
        {
            "key": key,
            "name": key.title(),
            "entry": _ENTRY,
            "role": role,
            "gross_volume_l": gross_volume_l,
            "net_volume_l": None,
            "net_volume_plus_minus_l": None,
            "keeps_invertebrates": keeps_invertebrates,
            "words": "",
            "since": NOW,
        }
    )


def harbour_row_in_memory() -> Household:
    """Return Harbour Row without a database: three systems, the box and the copper stock."""
    stock = StockState(
        key="copper-stock",
        name="copper stock",
        entry=_ENTRY,
        substance="copper_ionic",
        strength_mg_per_ml=1.0,
        strength_plus_minus_percent=5.0,
    )
    return Household(
        state=None,
        systems={
            "skerry": _system("skerry", "display", 480, keeps_invertebrates=True),
            "lazaret": _system("lazaret", "quarantine", 90),
            "haven": _system("haven", "recovery", 110),
        },
        compartments={"creel": CompartmentState(key="creel", name="Creel", entry=_ENTRY, system="skerry", form="box")},
        methods={},
        stocks={"copper-stock": stock},
        batches={},
        animals={},
        courses={},
        cases={},
    )


WIDE = """\
date = "date"
system = "tank"
zone = "Europe/London"
time_of_day = "20:00"
"""


def a_reader(sheet: str | bytes, mapping: str) -> LineReader:
    """Return a reader of a sheet by a mapping, for Harbour Row."""
    table = read_table(sheet.encode() if isinstance(sheet, str) else sheet)
    told: Mapping = read_mapping(mapping)
    household = harbour_row_in_memory()
    check_mapping(told, table.columns, household)
    return LineReader(
        table=table, mapping=told, household=household, author="keeper", now=NOW, reckoned=with_counted_mg
    )


def read_sheet(sheet: str | bytes, mapping: str) -> list[ReadLine]:
    """Return every line of a sheet as it was understood."""
    reader = a_reader(sheet, mapping)
    return [reader.read(line) for line in reader.table.lines]


def one_cell(text: str, target: str, *, tank: str = "lazaret", settings: str = "") -> ReadLine:
    """Return the line of a sheet with one column called `it`, in quotation marks, read as `target` says."""
    sheet = f'date;tank;it\n2026-11-03;{tank};"{text.replace(chr(34), chr(34) * 2)}"\n'
    return read_sheet(sheet, f"{WIDE}{settings}\n[columns.it]\n{target}")[0]

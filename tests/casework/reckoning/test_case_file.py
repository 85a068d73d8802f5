"""A case from a file: what is wrong is a sentence with its place, and whatever is answered is a finite number."""

import copy
import dataclasses
import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pratique.casework.reckoning.case_answer import CaseAnswer, answer_case
from pratique.casework.reckoning.case_file import CaseRefused, read_case, reckonable

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
WRITTEN = json.loads((EXAMPLES / "lazaret_copper.json").read_text(encoding="utf-8"))
# Small enough that every case here is reckoned in some tens of milliseconds.
SMALL = WRITTEN | {"end": "2026-03-12T09:00:00Z", "grid_hours": 6, "draws": 300, "required_days": 3}


def _case(**changed: Any) -> dict[str, Any]:
    return copy.deepcopy(SMALL) | changed


def _answer(case: dict[str, Any]) -> CaseAnswer:
    return answer_case(read_case(json.dumps(case)))


def _refused(case: Any) -> str:
    """Return the sentences a case is refused with, whether at reading or at reckoning."""
    text = case if isinstance(case, str) else json.dumps(case)
    with pytest.raises(CaseRefused) as refusal:
        answer_case(read_case(text))
    return str(refusal.value)


def _numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        for one in value.values():
            yield from _numbers(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _numbers(one)
    elif isinstance(value, float | int):
        yield float(value)


def _assert_finite(answer: CaseAnswer) -> None:
    numbers = list(_numbers(dataclasses.asdict(answer)))
    assert len(numbers) > 40
    assert all(math.isfinite(one) for one in numbers)


def _reading(at: str, **result: Any) -> dict[str, Any]:
    return {"at": at, "method": "photometer"} | result


def _dose(at: str, **other: Any) -> dict[str, Any]:
    return {"at": at, "kind": "dose", "amount_mg": 8.0} | other


def _methods(**photometer: Any) -> dict[str, Any]:
    return {"photometer": photometer, "chart": SMALL["methods"]["chart"]}


SECOND, THIRD = "2026-03-02T08:00:00Z", "2026-03-03T08:00:00Z"
VALUE = {"value": 0.11}

BAD = {
    "a reading before the start": (
        {"readings": [_reading("2026-02-28T08:00:00Z", **VALUE)]},
        "readings[0]: 2026-02-28T08:00:00+00:00 lies before the start of the case.",
    ),
    "a reading after the end": (
        {"readings": [_reading("2026-05-01T08:00:00Z", **VALUE)]},
        "readings[0]: 2026-05-01T08:00:00+00:00 lies after the end of the case.",
    ),
    "readings out of order": (
        {"readings": [_reading(THIRD, **VALUE), _reading(SECOND, **VALUE)]},
        "readings[1]: 2026-03-02T08:00:00+00:00 lies before the one above it; put them in order.",
    ),
    "an event before the start": (
        {"events": [_dose("2026-02-28T08:00:00Z")]},
        "events[0]: 2026-02-28T08:00:00+00:00 lies before the start of the case.",
    ),
    "events out of order": (
        {"events": [_dose(THIRD), _dose(SECOND)]},
        "events[1]: 2026-03-02T08:00:00+00:00 lies before the one above it; put them in order.",
    ),
    "a method without an error model": (
        {"methods": _methods(upper_limit=5.0)},
        "methods.photometer: this method has no error model: give absolute_sd, relative_sd, resolution or marks.",
    ),
    "a method that is not described": (
        {"readings": [{"at": SECOND, "method": "strip", "value": 0.1}]},
        "readings[0]: the method strip is not under methods; describe its errors or its marks there.",
    ),
    "marks out of order": (
        {"methods": {"chart": {"marks": [0, 0.2, 0.1]}}, "readings": []},
        "methods.chart: each of the marks must lie above the one before.",
    ),
    "a value under what its method can show": (
        {"readings": [_reading(SECOND, value=0.01)]},
        "readings[0]: photometer cannot show 0.01; write it as below 0.02.",
    ),
    "a value over what its method can show": (
        {"readings": [_reading(SECOND, value=6.0)]},
        "readings[0]: photometer cannot show 6; write it as above 5.",
    ),
    "a reading without a result": (
        {"readings": [_reading(SECOND)]},
        "readings[0]: give exactly one of value, between, below and above.",
    ),
    "a reading with two results": (
        {"readings": [_reading(SECOND, value=0.1, below=0.2)]},
        "readings[0]: give exactly one of value, between, below and above.",
    ),
    "marks the wrong way round": (
        {"readings": [{"at": SECOND, "method": "chart", "between": [0.2, 0.1]}]},
        "readings[0]: the two marks of between must be the lower and then the upper.",
    ),
    "no zone": (
        {"readings": [_reading("2026-03-02T08:00:00", **VALUE)]},
        "readings[0].at: write the moment with its zone, like 2026-03-01T09:00:00Z.",
    ),
    "no moment": (
        {"readings": [_reading("Monday", **VALUE)]},
        "readings[0].at: write the moment like 2026-03-01T09:00:00Z.",
    ),
    "words for a number": ({"volume_l": {"mean": "80", "sd": 8}}, "volume_l.mean: this must be a number, like 0.18."),
    "a tank of nothing": ({"volume_l": {"mean": 0, "sd": 8}}, "volume_l.mean: this must be greater than 0."),
    "half a volume": (
        {"volume_l": {"mean": 80}},
        "volume_l: give mean and sd, or median and log_sd, or unknown: true.",
    ),
    "a dose of less than nothing": (
        {"events": [_dose(SECOND, amount_mg=-1.0)]},
        "events[0].amount_mg: this must be greater than or equal to 0.",
    ),
    "an event of no kind": ({"events": [{"at": SECOND}]}, "events[0]: kind is missing: dose, water_change, feeding"),
    "an event of another kind": (
        {"events": [{"at": SECOND, "kind": "storm"}]},
        "events[0]: kind must be dose, water_change, feeding or media.",
    ),
    "a name that is not known": ({"volume": 80}, "volume: nothing of this name belongs here."),
    "an end before the start": ({"end": "2026-02-01T09:00:00Z", "events": [], "readings": []}, "end: it must lie"),
    "a band upside down": ({"band": {"lower": 0.25, "upper": 0.15}}, "band: lower must lie under upper."),
    "a grid beyond memory": ({"grid_hours": 0.0001}, "grid_hours: this is too fine for so long a case"),
    "a change larger than the tank": (
        {"events": [{"at": SECOND, "kind": "water_change", "volume_l": 200}]},
        "A change of 200 L cannot be made in a tank of about 80 L.",
    ),
}


@pytest.mark.parametrize(("changed", "sentence"), BAD.values(), ids=BAD.keys())
def test_what_cannot_be_is_told_with_its_place(changed: dict[str, Any], sentence: str) -> None:
    """What is wrong, where it stands in the file, and what would be right."""
    assert sentence in _refused(_case(**changed)).splitlines() or sentence in _refused(_case(**changed))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "line 1: this is not JSON"),
        ('{"unit":\n nonsense}', "line 2: this is not JSON"),
        ("[" * 100_000, "This file is nested too deeply to be a case."),
        ("[]", "the file: this must be an object in braces with names and values."),
        ('{"seed": 1, "seed": 2}', "seed: this stands twice in one place."),
        ('{"seed": ' + "9" * 5000 + "}", "This file cannot be read as a case"),
        (json.dumps(SMALL).replace('"mean": 80', '"mean": NaN'), "volume_l.mean: this must be a finite number."),
        (json.dumps(SMALL).replace('"mean": 80', '"mean": 1e999'), "volume_l.mean: this must be a finite number."),
    ],
)
def test_what_is_no_case_at_all_is_told(text: str, sentence: str) -> None:
    """A file that is not JSON, or not a case, or holds what is no number."""
    assert sentence in _refused(text)


def test_every_problem_is_told_at_once() -> None:
    """One sentence a line, so that a file is set right in one go."""
    said = _refused(_case(grid_hours=0, seed=-1, unit=""))
    assert {line.partition(":")[0] for line in said.splitlines()} == {"grid_hours", "seed", "unit"}


def test_a_case_that_nothing_explains_is_told() -> None:
    """A level known for certain and a reading that certainly cannot be of it."""
    said = _refused(
        _case(
            methods=_methods(resolution=0.01),
            initial={"mean": 0.0, "sd": 0.0},
            source_per_day={},
            loss_per_day={"median": 0.0},
            events=[],
            readings=[_reading(SECOND, value=0.5)],
        )
    )
    assert said.startswith("Nothing believed beforehand explains these readings")


@pytest.mark.parametrize("volume", [{"volume_l": {"unknown": True}}, {}])
def test_a_tank_of_unknown_volume_is_reckoned_and_says_so(volume: dict[str, Any]) -> None:
    """The belief is wide, the answer names it as a guess, and one dose with a reading of it narrows it."""
    case = _case()
    del case["volume_l"]
    answer = _answer(case | volume)
    assert [words for words in answer.assumed if words.startswith("The net volume is not known")]
    # 8 mg brought the level to about 0.11 mg/L: near 73 L, from a prior of 14 to 710 L.
    assert answer.volume_l.quantiles["0.025"] < 73.0 < answer.volume_l.quantiles["0.975"]
    assert answer.volume_l.sd < 25.0
    _assert_finite(answer)


def test_a_volume_no_entry_depends_on_stays_as_believed() -> None:
    """Without doses and changes nothing is learned of the volume, and nothing is taken as certain."""
    answer = _answer(_case(events=[]))
    assert (answer.volume_l.mean, answer.volume_l.sd) == (pytest.approx(80.0, rel=0.01), pytest.approx(8.0, rel=0.02))


def test_readings_that_contradict_each_other_are_flagged_and_stay_finite() -> None:
    """Two readings in one hour that cannot both be: the answer holds, and names what may be behind them."""
    readings = [
        _reading(SECOND, value=0.11),
        _reading("2026-03-02T08:30:00Z", value=0.4),
        _reading(THIRD, value=0.11),
    ]
    answer = _answer(_case(readings=readings))
    _assert_finite(answer)
    odd = {one.reading: one for one in answer.surprising_readings}
    assert set(odd[1].causes) == {"wrong reading", "unlogged", "wrong strength"}
    assert next(iter(odd[1].causes)) == "wrong reading"
    assert sum(odd[1].causes.values()) == pytest.approx(1.0)


@pytest.mark.parametrize("levels", [(0.1, 3.0), (0.1, 4.5), (0.1, 0.1, 3.0, 0.1), (0.1, 0.1, 3.0, 3.0), (0.1, 3.0) * 5])
def test_contradictions_are_weighed_as_what_they_are(levels: tuple[float, ...]) -> None:
    """However wild, they are answered; a rounded reading has a probability, so evidence lies far below certainty."""
    readings = [_reading(f"2026-03-{2 + day:02d}T08:00:00Z", value=one) for day, one in enumerate(levels)]
    answer = _answer(_case(readings=readings))
    _assert_finite(answer)
    assert answer.log_evidence < -100.0
    assert answer.surprising_readings


def test_only_the_oddest_of_many_odd_readings_are_looked_into() -> None:
    """A case told wrong as a whole is answered in bounded time."""
    readings = [_reading(f"2026-03-{day:02d}T08:00:00Z", value=0.1 if day % 2 else 1.0) for day in range(2, 12)]
    answer = _answer(_case(readings=readings))
    assert len(answer.surprising_readings) > 5
    assert sum(bool(one.causes) for one in answer.surprising_readings) == 5
    assert [words for words in answer.assumed if words.startswith("Few trajectories fit these readings")]
    _assert_finite(answer)


def test_half_a_ledger_is_normal_input() -> None:
    """No reading, no event, no method, no band: what is believed beforehand is the answer."""
    names = ("constituent", "unit", "start", "end", "initial")
    answer = _answer({name: SMALL[name] for name in names} | {"draws": 200})
    assert answer.mean == pytest.approx([0.0] * len(answer.mean), abs=1e-12)
    assert (answer.exposure, answer.advice, answer.log_evidence) == (None, None, pytest.approx(0.0, abs=1e-5))


def test_a_value_off_a_chart_stands_for_what_lies_nearest() -> None:
    """0.2 on a chart of 0.1, 0.2 and 0.3 is somewhere from 0.15 to 0.25; over the last mark it is above that mark."""
    readings = [{"at": SECOND, "method": "chart", "value": one} for one in (0.2, 1.7)]
    near, far = (one.observed for one in reckonable(read_case(json.dumps(_case(readings=readings)))).readings)
    assert (near.low, near.high) == (pytest.approx(0.15), pytest.approx(0.25))
    assert far.above == 1.0


def test_the_moments_are_those_of_the_grid() -> None:
    """From the start to the end, a whole step each."""
    answer = _answer(_case())
    assert (answer.times[0].isoformat(), answer.times[-1].isoformat()) == (
        "2026-03-01T09:00:00+00:00",
        "2026-03-12T09:00:00+00:00",
    )
    assert {
        (after - before).total_seconds() for before, after in zip(answer.times, answer.times[1:], strict=False)
    } == {6 * 3600.0}


def test_the_same_seed_gives_the_same_answer() -> None:
    """And another seed gives the same level, and an exposure within its Monte Carlo error."""
    first, again, other = _answer(_case()), _answer(_case()), _answer(_case(seed=2))
    assert first == again
    assert first.mean == other.mean
    one, two = first.exposure, other.exposure
    assert one is not None
    assert two is not None
    error = math.hypot(one.longest_unbroken_days.monte_carlo_error, two.longest_unbroken_days.monte_carlo_error)
    assert abs(one.longest_unbroken_days.mean - two.longest_unbroken_days.mean) <= 4.0 * error


# Advice


def test_nothing_that_nobody_adds_is_ever_advised() -> None:
    """Ammonia under its band is not topped up."""
    answer = _answer(
        _case(constituent="total_ammonia", events=[], readings=[_reading(SECOND, value=0.05)], rise_limit_per_day=1.0)
    )
    assert answer.advice is not None
    assert answer.advice.dose_mg == 0.0
    assert answer.advice.words.startswith("Total ammonia is only read.")


def test_a_dose_keeps_the_rise_of_a_day_and_the_upper_limit() -> None:
    """Copper without a limit told keeps the smallest step of its three forms: 0.05 mg/L a day."""
    low = [_reading("2026-03-12T08:00:00Z", value=0.11), _reading("2026-03-12T08:30:00Z", value=0.11)]
    told = _case(readings=low, volume_l={"mean": 80, "sd": 2})
    answer = _answer(told)
    assert answer.advice is not None
    assert 0.0 < answer.advice.dose_mg <= 0.05 * answer.volume_l.mean + 1e-6
    assert "More would rise faster than the limit for a day." in answer.advice.words
    assert answer.advice.probability_inside > answer.advice.probability_inside_without
    freer = _answer(told | {"rise_limit_per_day": 1.0})
    assert freer.advice is not None
    assert answer.advice.dose_mg < freer.advice.dose_mg
    assert 0.11 + freer.advice.dose_mg / freer.volume_l.mean < 0.25


@pytest.mark.parametrize(
    ("constituent", "unit", "said"),
    [
        ("copper", "mg/L", "Copper harms or kills most corals"),
        ("alkalinity", "dKH", "The label and local law come first."),
        ("strontium", "mg/L", "The label and local law come first."),
    ],
)
def test_a_dose_has_its_cautions_beside_it(constituent: str, unit: str, said: str) -> None:
    """Animals first, then people; the label, the law and the veterinarian with every dose."""
    low = [_reading("2026-03-12T08:00:00Z", value=0.11), _reading("2026-03-12T08:30:00Z", value=0.11)]
    advice = _answer(_case(constituent=constituent, unit=unit, readings=low, rise_limit_per_day=1.0)).advice
    assert advice is not None
    assert advice.dose_mg > 0.0
    assert [caution for caution in advice.cautions if caution.startswith(said)]
    assert [caution for caution in advice.cautions if "aquatic veterinarian" in caution]


def test_a_dose_of_today_counts_towards_the_rise_of_the_day() -> None:
    """What was added in the last 24 hours is taken off what may still be added."""
    low = [_reading("2026-03-12T08:00:00Z", value=0.11), _reading("2026-03-12T08:30:00Z", value=0.11)]
    answer = _answer(_case(events=[_dose("2026-03-12T07:00:00Z")], readings=low))
    assert answer.advice is not None
    assert answer.advice.dose_mg == 0.0


def test_a_dose_for_a_tank_of_unknown_volume_is_smaller() -> None:
    """The same litres in the middle, less known: the upper limit is kept for the smallest tank that may be."""
    told = _case(events=[], readings=[_reading("2026-03-12T08:00:00Z", value=0.11)], rise_limit_per_day=1.0)
    known = _answer(told | {"volume_l": {"median": 100, "log_sd": 0.05}})
    unknown = _answer(told | {"volume_l": {"unknown": True}})
    assert known.advice is not None
    assert unknown.advice is not None
    assert unknown.advice.dose_mg < 0.5 * known.advice.dose_mg


def test_a_limit_nobody_told_is_named() -> None:
    """Alkalinity without a limit of its rise: the answer says that it keeps none."""
    told = _case(constituent="alkalinity", unit="dKH")
    assert [words for words in _answer(told).assumed if words.startswith("No limit of the rise in a day")]
    assert not _answer(told | {"rise_limit_per_day": 1.0}).assumed


# Whatever is written


def _answer_or_refusal(case: dict[str, Any]) -> tuple[CaseAnswer | None, str]:
    try:
        return _answer(case), ""
    except CaseRefused as refusal:
        return None, str(refusal)


EDGES = st.sampled_from([0.0, 1e-300, 1e-9, 1e3, 1e6, 1e9])
LEVELS = st.one_of(st.floats(0.0, 1.0), st.floats(-2.0, 50.0), EDGES)
SPREADS = st.one_of(st.floats(0.0, 0.2), st.floats(0.0, 5.0), EDGES)
DAYS = st.integers(0, 11 * 24).map(lambda hour: f"2026-03-{1 + (9 + hour) // 24:02d}T{(9 + hour) % 24:02d}:00:00Z")
RESULTS = st.one_of(
    st.fixed_dictionaries({"value": LEVELS}),
    st.fixed_dictionaries({"below": LEVELS}),
    st.fixed_dictionaries({"above": LEVELS}),
    st.tuples(LEVELS, st.floats(0.01, 1.0)).map(lambda mark: {"between": [mark[0], mark[0] + mark[1]]}),
)
READINGS = st.builds(
    lambda at, method, result: {"at": at, "method": method} | result, DAYS, st.sampled_from(["a", "b"]), RESULTS
)
EVENTS = st.one_of(
    st.builds(lambda at, mg, sd: _dose(at, amount_mg=mg, relative_sd=sd), DAYS, SPREADS, SPREADS),
    st.builds(
        lambda at, litres, level: {"at": at, "kind": "water_change", "volume_l": litres, "incoming": level},
        DAYS,
        st.floats(0.0, 90.0),
        LEVELS,
    ),
    st.builds(lambda at, mg: {"at": at, "kind": "feeding", "amount_mg": mg, "hours": 5.0}, DAYS, SPREADS),
    st.builds(lambda at, more: {"at": at, "kind": "media", "extra_loss_per_day": more}, DAYS, st.floats(-1.0, 50.0)),
)


def _in_order(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return sorted(rows, key=lambda row: str(row["at"]))


CASES = st.fixed_dictionaries(
    {
        "volume_l": st.one_of(
            st.builds(lambda sd: {"mean": 80.0, "sd": sd}, SPREADS),
            st.builds(lambda sd: {"median": 80.0, "log_sd": sd}, st.floats(0.0, 3.0)),
        ),
        "loss_per_day": st.builds(lambda m, sd: {"median": m, "log_sd": sd}, SPREADS, st.floats(0.0, 5.0)),
        "source_per_day": st.builds(
            lambda m, a, b: {"mean": m, "sd": a, "walk_sd_per_sqrt_day": b}, LEVELS, *[SPREADS] * 2
        ),
        "initial": st.builds(lambda m, sd: {"mean": m, "sd": sd}, LEVELS, SPREADS),
        "level_walk_sd_per_sqrt_day": SPREADS,
        "methods": st.builds(
            lambda a, r, d, bias: {
                "a": {"absolute_sd": 0.01 + a, "relative_sd": r, "resolution": d, "bias_sd": bias},
                "b": {"marks": [0, 0.1, 0.5, 2.0]},
            },
            *[SPREADS] * 4,
        ),
        "events": st.lists(EVENTS, max_size=5).map(_in_order),
        "readings": st.lists(READINGS, max_size=6).map(_in_order),
    }
)


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(CASES)
def test_whatever_is_written_gets_a_sentence_or_finite_numbers(changed: dict[str, Any]) -> None:
    """Never NaN, never an infinity, never another exception."""
    case = _case(grid_hours=24, draws=100) | changed
    answer, refusal = _answer_or_refusal(case)
    if answer is not None:
        _assert_finite(answer)
    else:
        assert refusal.endswith(".")
        assert "nan" not in refusal


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    st.recursive(st.none() | st.booleans() | st.floats() | st.text(max_size=5), lambda x: st.lists(x, max_size=3)),
    st.data(),
)
def test_whatever_stands_at_a_place_is_read_or_told(value: Any, data: st.DataObject) -> None:
    """A wrong kind of thing anywhere is a sentence that begins with its place."""
    name = data.draw(st.sampled_from(sorted(SMALL)))
    _, refusal = _answer_or_refusal(_case(grid_hours=24, draws=100) | {name: value})
    assert all(line.partition(":")[0].partition(".")[0].partition("[")[0] == name for line in refusal.splitlines())

"""The reckoning against NumPyro on the full model, nothing marginalised: `make prove` asks the sampler anew.

`make test` holds the reckoning to answers that the same sampler gave before. They are in answers.json, which
`tools/record_sampler.py` wrote: NumPyro's draws, not ours, with their versions, seeds and effective samples.
"""

import json
from pathlib import Path

import pytest
from tests.sampler.cases import CASES
from tests.sampler.verdict import LEAST_EFFECTIVE_SAMPLE, Answer, complaints, fingerprint, our_answers

RECORDED = json.loads((Path(__file__).parent / "answers.json").read_text(encoding="utf-8"))
NEW_SEED = 4100


@pytest.mark.parametrize("name", CASES)
def test_a_recorded_answer_rests_on_enough_draws_of_the_same_case(name: str) -> None:
    """A case that was changed since, or a quantity with fewer than 4,000 effective draws, must be sampled again."""
    recorded = RECORDED["cases"][name]

    assert recorded["fingerprint"] == fingerprint(CASES[name])
    for one in recorded["answers"].values():
        assert min(one["effective_sample"], one["effective_sample_of_sd"]) >= LEAST_EFFECTIVE_SAMPLE


@pytest.mark.parametrize("name", CASES)
def test_the_reckoning_agrees_with_what_the_sampler_said(name: str) -> None:
    """Volume, loss, source, the level at five moments and the chance that it was held lie within the bars."""
    sampled = {key: Answer(one["mean"], one["sd"]) for key, one in RECORDED["cases"][name]["answers"].items()}

    assert list(complaints(our_answers(CASES[name]), sampled)) == []


def test_an_answer_that_lies_too_far_off_is_named() -> None:
    """A mean an eighth of an sd off, an sd a fifth too small and a chance off by 0.04 are each a complaint."""
    sampled = {"volume_l": Answer(80.0, 8.0), "loss_per_day": Answer(0.1, 0.05), "held": Answer(0.5, 0.5)}
    ours = {"volume_l": Answer(81.0, 8.0), "loss_per_day": Answer(0.1, 0.04), "held": Answer(0.54, 0.5)}

    assert list(complaints(ours, sampled)) == [
        "volume_l: the mean lies +0.125 sd off the sampler's, the sd differs by +0.0%.",
        "loss_per_day: the mean lies +0.000 sd off the sampler's, the sd differs by -20.0%.",
        "held: 0.540, the sampler says 0.500.",
    ]
    assert list(complaints(sampled, sampled)) == []


@pytest.mark.prove
@pytest.mark.parametrize("name", CASES)
def test_the_reckoning_agrees_with_a_sampler_asked_anew(name: str) -> None:
    """With chance it has not seen the sampler says the same, from 4,000 effective draws or more."""
    from tests.sampler.sampling import sampled_answers  # noqa: PLC0415 - only the long proofs have the sampler

    sampled = sampled_answers(CASES[name], NEW_SEED)

    for one in sampled.values():
        assert min(one.effective_sample, one.effective_sample_of_sd) >= LEAST_EFFECTIVE_SAMPLE
    assert list(complaints(our_answers(CASES[name]), sampled)) == []

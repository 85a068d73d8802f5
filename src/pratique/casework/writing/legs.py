"""The form with which a batch begins a leg of its passage."""

from datetime import datetime

from pratique.casework.facts import Facts
from pratique.casework.gates import gate_of, leg_of_animal
from pratique.casework.health import health_of
from pratique.casework.protocol_kept import protocol_of
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import meant
from pratique.casework.writing.lookups import find
from pratique.casework.writing.moments import told
from pratique.casework.writing.options import MOMENT, first, states, with_initial
from pratique.knowledge import Leg as ProtocolLeg
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import Leg
from pratique.ledger.states import BatchState
from pratique.science.passage.legs import MIN_REASON_LETTERS, RECOVERY


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions; the legs are those of the batch's protocol, the next one filled in."""
    names = {key: one.name for key, one in household.batches.items()}
    only = next(iter(names)) if len(names) == 1 else ""
    batch = household.batches.get(meant(first(answers, "batch") or only, names) or "")
    legs = _legs(household, batch) if batch is not None else ()
    asked = (
        Field(
            name="batch",
            label="Batch",
            widget=Widget.CHOICE,
            required=True,
            options=states(household.batches.values()),
            initial=only,
        ),
        Field(
            name="leg",
            label="Leg that begins",
            widget=Widget.CHOICE,
            required=True,
            options=tuple(Option(one.key, one.name) for one in legs),
            initial=next_leg(household, batch) if batch is not None else "",
        ),
        MOMENT,
        Field(
            name="words",
            label="Words",
            widget=Widget.LONG_TEXT,
            hint="Needed to go on past a shut gate, or to pass over a leg.",
        ),
    )
    return with_initial(asked, answers)


def _legs(household: Household, batch: BatchState) -> tuple[ProtocolLeg, ...]:
    """Return the legs that can be begun; a protocol that is not known to this version has none."""
    return tuple(one for one in protocol_of(household, batch.protocol).legs if one.key)


def next_leg(household: Household, batch: BatchState) -> str:
    """Return the leg after the furthest one begun, or nothing after the last."""
    keys = [one.key for one in _legs(household, batch)]
    begun = [keys.index(one.leg) for one in batch.legs if one.leg in keys]
    following = max(begun, default=-1) + 1
    return keys[following] if following < len(keys) else ""


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that the leg began. Raises Problems and Doubts."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    asked.text("batch", "Choose the batch.")
    batch = find(asked, "batch", asked.household.batches, "batch")
    if batch is not None and not _legs(asked.household, batch):
        asked.problem("leg", f"{batch.name} follows a protocol this version does not know, so no leg is begun here.")
    leg = asked.choice("leg", "Choose the leg that begins.") if batch is not None else ""
    if batch is not None and leg:
        _check_order(asked, batch, leg)
        _check_gate(asked, batch, leg)
    confirmed = asked.settle()
    if batch is None:
        return []
    return asked.entries(Leg(batch=batch.key, leg=leg, words=asked.words, confirmed=confirmed))


def _check_order(asked: Asked, batch: BatchState, leg: str) -> None:
    expected = next_leg(asked.household, batch)
    if leg == expected:
        return
    names = {one.key: one.name for one in _legs(asked.household, batch)}
    if any(one.leg == leg for one in batch.legs):
        asked.doubt("leg", f"{batch.name} began “{names[leg]}” before. Does it begin anew?")
    elif _passes_over_recovery(asked.household, batch, leg) and len(asked.words) < MIN_REASON_LETTERS:
        asked.problem(
            "words",
            "This leaves out the recovery: the days in clean water in which they eat again and regain what they lost. "
            "Write why they go without it, or choose it; the ledger keeps your words.",
        )
    elif not asked.words and expected:
        asked.problem(
            "words", f"“{names[expected]}” comes before “{names[leg]}”. Write why it is passed over, or choose it."
        )


def _passes_over_recovery(household: Household, batch: BatchState, leg: str) -> bool:
    """Return whether a leg after the recovery is to begin, and the recovery never did."""
    keys = [one.key for one in _legs(household, batch)]
    begun = {one.leg for one in batch.legs}
    return RECOVERY in keys and RECOVERY not in begun and keys.index(leg) > keys.index(RECOVERY)


def _check_gate(asked: Asked, batch: BatchState, leg: str) -> None:
    """Refuse to go on past a shut gate without words; what is not known keeps a gate shut."""
    legs = _legs(asked.household, batch)
    keys = [one.key for one in legs]
    begun = max((keys.index(one.leg) for one in batch.legs if one.leg in keys), default=-1)
    if asked.words or begun < 0 or keys.index(leg) <= begun:
        return
    facts = Facts(asked.household, asked.at)
    healths = health_of(facts)
    shut = []
    for key in batch.animals:
        animal = asked.household.animals.get(key)
        if animal is None or animal.life != "alive" or leg_of_animal(facts, batch, animal) != legs[begun]:
            continue
        found = gate_of(facts, batch, animal, healths).gate
        wanting = [
            f"{one.words.rstrip('.')} ({one.status})"
            for one in found.findings
            if one.status != "met" and one.key not in found.overridden
        ]
        shut += [f"{animal.name}: {'; '.join(wanting)}."] if wanting else []
    if shut:
        asked.problem(
            "words",
            f"The gate after “{legs[begun].name}” is shut. {' '.join(shut)} Write why the batch goes on all the same.",
        )


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a begun leg as answers to this form."""
    leg = entry.payload
    if not isinstance(leg, Leg):
        return {}
    return {"batch": leg.batch, "leg": leg.leg, **told(entry, household, leg.words)}


LEG = Form(
    name="leg",
    title="Begin a leg",
    group="animals",
    fields=fields,
    write=write,
    kinds=("leg",),
    answers_of=answers_of,
)

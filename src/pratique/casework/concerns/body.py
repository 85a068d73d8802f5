"""Concerns about bodies that grow thin, breathing that quickens, and signs of disease."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

from pratique.casework.coincidences import just_before
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, evidence_at_day, on_day, reason
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.timeline import at_days
from pratique.casework.words import THIN, amount, percent, plus_minus

_SIGNS_LAST = timedelta(days=3)
_HARMLESS = frozenset({"no signs", "hiding", "chasing", "being chased"})


def body_concerns(facts: Facts, healths: Iterable[AnimalHealth]) -> Iterator[Concern]:
    """Yield the concerns of every animal's body."""
    for health in healths:
        if health.is_thinning:
            yield _thin(facts, health)
        if health.breathing.state in {"raised", "distress"}:
            yield _breathing(facts, health)
        signs = _signs(facts, health)
        if signs is not None:
            yield signs


def _thin(facts: Facts, health: AnimalHealth) -> Concern:
    animal, trend, appetite = health.animal, health.condition, health.appetite
    said = []
    evidence: list[Evidence] = []
    if trend.first is not None and trend.last is not None and trend.probability_falling is not None:
        said.append(
            f"Depth over length went from {amount(trend.first.depth_over_length, 2)} to "
            f"{amount(trend.last.depth_over_length, 2)} in {trend.days:.0f} days, over {trend.n} photos; "
            f"{percent(trend.probability_falling)} sure it is a fall."
        )
        evidence += [
            evidence_at_day("first photo measured", trend.first.at_day, trend.first.entry),
            evidence_at_day("newest photo measured", trend.last.at_day, trend.last.entry),
        ]
    scale = health.scale
    if scale.is_thinning and scale.first is not None and scale.last is not None:
        said.append(f"By eye it went from {scale.first.score} to {scale.last.score} on the scale of 0 to 3.")
        evidence.append(evidence_at_day("newest look at its body", scale.last.at_day, scale.last.entry))
    is_eating = appetite.state == "eating"
    said.append(f"{appetite.good_meals} of the {appetite.seen_meals} feedings it was seen at were certain meals.")
    if is_eating:
        said.append("An animal that eats and yet thins may be feeding parasites: flukes or worms come first to mind.")
    since = at_days(trend.first.at_day) if trend.first else facts.now
    return Concern(
        key=f"condition.{animal.key}",
        about=about(animal),
        title=f"{animal.name} eats, yet grows thin" if is_eating else f"{animal.name} grows thin",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=since.astimezone(facts.zone).date(),
        said=tuple(said),
        just_before=just_before(facts, animal, since),
        next_steps=(
            NextStep("Look it over for flukes", form="observation", answers=(("animal", animal.key),)),
            NextStep(f"Open {animal.name}", about=about(animal)),
        ),
        evidence=tuple(evidence),
        reasons=(
            reason("condition.fall_probability", "How sure a fall must be before it is called one."),
            Reason(
                "Parasitised fish can eat more and still not gain; shown in sticklebacks and sea bass.",
                "Giles 1987; Zoratto et al. 2022",
                "published",
            ),
        ),
        cautions=(
            "This is arithmetic, not a diagnosis. An aquatic veterinarian can look at skin and gills "
            "under a microscope.",
        ),
        feeds=health.strip(),
    )


def _breathing(facts: Facts, health: AnimalHealth) -> Concern:
    animal, found = health.animal, health.breathing
    weight: Weight = "now" if found.state == "distress" else "today"
    said = []
    evidence: list[Evidence] = []
    if found.latest is not None:
        said.append(
            f"{amount(found.latest.beats_per_min, 0)} beats a minute "
            f"{on_day(facts.household, animal, at_days(found.latest.at_day), facts.now)}."
        )
        evidence.append(evidence_at_day("newest count", found.latest.at_day, found.latest.entry))
    if found.baseline is not None and found.ratio is not None:
        baseline = plus_minus(found.baseline, found.baseline_plus_minus or 0, 0)
        said.append(
            f"That is {amount(found.ratio, 1)} times its own {baseline} at rest "
            f"(between {amount(found.ratio_low or 0, 1)} and {amount(found.ratio_high or 0, 1)} times)."
        )
    else:
        said.append("It has no baseline of its own yet: fewer than three earlier counts.")
    since = at_days(found.since.at_day) if found.since else facts.now
    if found.since is not None:
        evidence.append(evidence_at_day("first raised count", found.since.at_day, found.since.entry))
    return Concern(
        key=f"breathing.{animal.key}",
        about=about(animal),
        title=f"{animal.name} breathes fast",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=since.astimezone(facts.zone).date(),
        said=tuple(said),
        just_before=just_before(facts, animal, since),
        next_steps=(
            NextStep("Count again, undisturbed", form="observation", answers=(("animal", animal.key),)),
            NextStep("Read ammonia, pH and temperature", form="readings", answers=_place(health)),
        ),
        evidence=tuple(evidence),
        reasons=(
            reason("breathing.raised_ratio", f"Raised from 1.3{THIN}times its own baseline."),
            reason("breathing.distress_per_min", "Distress, whatever the baseline."),
        ),
    )


def _place(health: AnimalHealth) -> tuple[tuple[str, str], ...]:
    place = health.animal.place
    return (("system", place.system),) if place else ()


def _signs(facts: Facts, health: AnimalHealth) -> Concern | None:
    animal = health.animal
    recent = [one for one in facts.signs_of(health.subject) if facts.now - one.happened_at <= _SIGNS_LAST]
    # A later look that found nothing does not wipe out what was seen; it is listed beside it.
    seen = [one for one in recent if one.topic.removeprefix("sign: ") not in _HARMLESS]
    spots = [
        one
        for one in facts.seen_of(health.subject, "spots")
        if one.number and facts.now - one.happened_at <= _SIGNS_LAST
    ]
    if not seen and not spots:
        return None
    names = list(dict.fromkeys(one.topic.removeprefix("sign: ") for one in seen))
    if spots and "spots" not in names:
        names.append("spots")
    newest = max((*seen, *spots), key=lambda one: one.happened_at)
    return Concern(
        key=f"signs.{animal.key}",
        about=about(animal),
        title=f"{animal.name}: {', '.join(names)}",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=min((*seen, *spots), key=lambda one: one.happened_at).happened_at.astimezone(facts.zone).date(),
        said=(f"Seen {on_day(facts.household, animal, newest.happened_at, facts.now)}.",),
        just_before=just_before(facts, animal, newest.happened_at),
        next_steps=(
            NextStep("Look again and note it", form="observation", answers=(("animal", animal.key),)),
            NextStep(f"Open {animal.name}", about=about(animal)),
        ),
        evidence=tuple(
            Evidence(one.topic.removeprefix("sign: "), one.happened_at, one.entry) for one in (*seen, *spots)
        ),
        cautions=("What it is needs a look at skin and gills: ask an aquatic veterinarian before medicine.",),
    )

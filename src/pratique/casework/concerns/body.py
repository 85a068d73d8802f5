"""Concerns about bodies that grow thin, breathing that quickens, and signs of disease."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

from pratique import knowledge
from pratique.casework.coincidences import just_before
from pratique.casework.concerns.breathing_lean import leaning
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, evidence_at_day, on_day, reason
from pratique.casework.facts import Facts
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.signs import bad_signs, clean_looks, sign_name
from pratique.casework.timeline import at_days
from pratique.casework.words import amount, days_words, percent, plus_minus
from pratique.ledger.queries import Point
from pratique.units import THIN_SPACE

_MOST_SIGNS = 6
_VETERINARIAN = "What it is needs a look at skin and gills: ask an aquatic veterinarian before medicine."


def body_concerns(facts: Facts, healths: Iterable[AnimalHealth]) -> Iterator[Concern]:
    """Yield the concerns of every animal's body."""
    for health in healths:
        if health.is_thinning:
            yield _thin(facts, health)
        if health.breathing.latest_state in {"raised", "distress"}:
            yield _breathing(facts, health)
        elif health.breathing_lean is not None:
            yield leaning(facts, health, health.breathing_lean)
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
            NextStep("Look it over for flukes", form="look", answers=(("animals", animal.key),)),
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
    """Return the concern about fast breathing; once the count is old, that how it breathes now is not known."""
    animal, found = health.animal, health.breathing
    is_old = found.state == "unknown"
    weight: Weight = "now" if found.state == "distress" else "today"
    since = at_days(found.since.at_day) if found.since else facts.now
    named = (("newest count", found.latest), ("first raised count", found.since))
    return Concern(
        key=f"breathing.{animal.key}",
        about=about(animal),
        title=f"{animal.name} breathed fast, and was not counted since" if is_old else f"{animal.name} breathes fast",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        since=since.astimezone(facts.zone).date(),
        said=_breathing_said(facts, health, is_old=is_old),
        just_before=just_before(facts, animal, since),
        next_steps=(
            NextStep("Count again, undisturbed", form="observation", answers=(("animal", animal.key),)),
            NextStep("Read ammonia, pH and temperature", form="readings", answers=_place(health)),
        ),
        evidence=tuple(evidence_at_day(words, one.at_day, one.entry) for words, one in named if one is not None),
        reasons=_breathing_reasons(is_old=is_old),
    )


def _breathing_said(facts: Facts, health: AnimalHealth, *, is_old: bool) -> tuple[str, ...]:
    animal, found = health.animal, health.breathing
    said = []
    if found.latest is not None:
        said.append(
            f"{amount(found.latest.beats_per_min, 0)} beats a minute "
            f"{on_day(facts.household, animal, at_days(found.latest.at_day), facts.now)}."
        )
    if found.baseline is not None and found.ratio is not None:
        baseline = plus_minus(found.baseline, found.baseline_plus_minus or 0, 0)
        said.append(
            f"That is {amount(found.ratio, 1)} times its own {baseline} at rest "
            f"(between {amount(found.ratio_low or 0, 1)} and {amount(found.ratio_high or 0, 1)} times)."
        )
    else:
        said.append("It has no baseline of its own yet: fewer than three earlier counts.")
    if is_old:
        said.append("How it breathes now is not known: no newer count was written.")
    return tuple(said)


def _breathing_reasons(*, is_old: bool) -> tuple[Reason, ...]:
    raised = knowledge.figure("breathing.raised_ratio").value
    found = (
        reason("breathing.raised_ratio", f"Raised from {raised:g}{THIN_SPACE}times its own baseline."),
        reason("breathing.distress_per_min", "Distress, whatever the baseline."),
    )
    return (*found, reason("breathing.stale_days", "Days after which a count is old.")) if is_old else found


def _place(health: AnimalHealth) -> tuple[tuple[str, str], ...]:
    place = health.animal.place
    return (("system", place.system),) if place else ()


def _signs(facts: Facts, health: AnimalHealth) -> Concern | None:
    """Return the concern about signs of disease: those of the last days, or older ones nobody has looked for since."""
    looks = health.earlier.looks(health.subject)
    bad = bad_signs(looks)
    if not bad:
        return None
    fresh = timedelta(days=knowledge.figure("signs.fresh_days").value)
    # A later look that found nothing does not wipe out what was just seen; it is listed beside it.
    recent = [one for one in bad if facts.now - one.happened_at <= fresh]
    if recent:
        return _signs_now(facts, health, recent)
    clean = clean_looks(looks)
    if clean and clean[-1].happened_at > bad[-1].happened_at:
        return None
    began = _clean_before(clean, bad[-1])
    return _signs_not_known(facts, health, [one for one in bad if began is None or one.happened_at > began.happened_at])


def _clean_before(clean: list[Point], seen: Point) -> Point | None:
    """Return the newest look that found nothing before a sign was seen."""
    return next((one for one in reversed(clean) if one.happened_at < seen.happened_at), None)


def _signs_now(facts: Facts, health: AnimalHealth, seen: list[Point]) -> Concern:
    animal, newest = health.animal, seen[-1]
    return Concern(
        key=f"signs.{animal.key}",
        about=about(animal),
        title=f"{animal.name}: {', '.join(_names(seen))}",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=seen[0].happened_at.astimezone(facts.zone).date(),
        said=(f"Seen {on_day(facts.household, animal, newest.happened_at, facts.now)}.",),
        just_before=just_before(facts, animal, newest.happened_at),
        next_steps=_look_again(health),
        evidence=tuple(Evidence(sign_name(one), one.happened_at, one.entry) for one in seen),
        cautions=(_VETERINARIAN,),
    )


def _signs_not_known(facts: Facts, health: AnimalHealth, seen: list[Point]) -> Concern:
    animal, newest = health.animal, seen[-1]
    days = days_words((facts.now - newest.happened_at).total_seconds() / 86400)
    return Concern(
        key=f"signs.{animal.key}",
        about=about(animal),
        title=f"{animal.name}: {', '.join(_names(seen))}, and not looked over since",
        weight="today",
        weight_words=WEIGHT_WORDS["today"],
        since=seen[0].happened_at.astimezone(facts.zone).date(),
        said=(
            f"Last seen {on_day(facts.household, animal, newest.happened_at, facts.now)}, {days} ago.",
            "Whether it still shows this is not known: no look since then is written that found nothing.",
        ),
        just_before=just_before(facts, animal, newest.happened_at),
        next_steps=_look_again(health),
        evidence=tuple(Evidence(sign_name(one), one.happened_at, one.entry) for one in seen[-_MOST_SIGNS:]),
        reasons=(reason("signs.fresh_days", "Days for which a sign that was seen speaks for today."),),
        cautions=(_VETERINARIAN,),
    )


def _names(seen: list[Point]) -> list[str]:
    return list(dict.fromkeys(sign_name(one) for one in seen))


def _look_again(health: AnimalHealth) -> tuple[NextStep, ...]:
    animal = health.animal
    return (
        NextStep("Look again and note it", form="observation", answers=(("animal", animal.key),)),
        NextStep(f"Open {animal.name}", about=about(animal)),
    )

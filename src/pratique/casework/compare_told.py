"""A comparison of passages as a script reads it."""

from collections.abc import Mapping

from pratique.casework.sheets.compare import ComparedPassage, Comparison, KindLine, Likely, ParasiteLine

_DIGITS = 4
_RANGE = 0.9


def told(found: Comparison) -> dict[str, object]:
    """Return the comparison as plain values; ranges hold 90 % of the isolates it may be, of weights 90 % of animals."""
    return {
        "event": found.event,
        "animals": found.animals,
        "temperature_c": found.temperature_c,
        "range_holds": _RANGE,
        "counts_as_clear_from": found.counts_from,
        "gist": found.gist,
        "protocols": {one.key: _passage(one) for one in found.passages},
        "assumptions": [
            {
                "words": one.words,
                "value": one.value,
                "effect": one.effect,
                "status": one.reason.status,
                "source": one.reason.source,
            }
            for one in found.assumptions
        ],
        "cautions": list(found.cautions),
    }


def _passage(one: ComparedPassage) -> dict[str, object]:
    return {
        "name": one.name,
        "p_clear_by_day": [[point.day, _round(point.chance.value)] for point in one.curve],
        "p_clear_range_by_day": [[point.day, *_range(point.chance)] for point in one.curve],
        "p_clear": _round(one.clear.value),
        "p_clear_range": _range(one.clear),
        "p_clear_if_no_sign": _round_or_none(one.if_no_sign.value if one.if_no_sign else None),
        "p_clear_if_no_sign_range": _range(one.if_no_sign) if one.if_no_sign else None,
        "p_no_sign": _round_or_none(one.no_sign),
        "day_counted_clear": one.clear_on,
        "days_to_clearance": one.days_to_clearance,
        "days_total": one.days_total,
        "days_medicated": one.days_medicated,
        "transfers": one.transfers,
        "moves": one.moves,
        "tanks": one.tanks,
        "looks": one.looks,
        "readings": one.readings,
        "doses": one.doses,
        "water_l": one.water_l,
        "by_parasite": {line.key: _parasite(line) for line in one.parasites},
        "p_fit": _round(one.worst.fit),
        "fitness": {line.key: _kind(line) for line in one.kinds},
        "recovery_adds": _recovery(one),
        "effects": [
            {"words": line.words, "p_clear_at_low": _round(line.at_low), "p_clear_at_high": _round(line.at_high)}
            for line in one.effects
        ],
        "species_cautions": [
            {"words": line.words, "instead": list(line.instead), "status": line.reason.status} for line in one.species
        ],
        "not_meant": one.not_meant,
    }


def _parasite(line: ParasiteLine) -> Mapping[str, object]:
    return {
        "p_clear": _round(line.clear.value),
        "p_clear_range": _range(line.clear),
        "p_clear_if_no_sign": _round_or_none(line.if_no_sign.value if line.if_no_sign else None),
        "p_no_sign": _round_or_none(line.no_sign),
        "is_meant": line.is_meant,
    }


def _kind(line: KindLine) -> Mapping[str, object]:
    return {
        "p_fit": _round(line.fit),
        "weight_over_well_fed": _round(line.weight.value),
        "weight_range": _range(line.weight),
        "lowest_weight": _round(line.lowest),
        "day_counted_fit": line.fit_on,
    }


def _recovery(one: ComparedPassage) -> Mapping[str, object] | None:
    line = one.recovery
    if line is None:
        return None
    return {
        "days": line.days,
        "p_clear_without": _round(line.clear_without.value),
        "p_clear_with": _round(line.clear_with.value),
        "p_fit_without": _round(line.fit_without),
        "p_fit_with": _round(line.fit_with),
        "weight_without": _round(line.weight_without),
        "weight_with": _round(line.weight_with),
        "of": line.worst,
        "words": line.words,
    }


def _range(found: Likely) -> list[float]:
    return [_round(found.low), _round(found.high)]


def _round(value: float) -> float:
    return round(value, _DIGITS)


def _round_or_none(value: float | None) -> float | None:
    return None if value is None else _round(value)

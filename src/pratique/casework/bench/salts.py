"""Which salt a keeper means, by its name or formula, what it is to raise, and the cautions that stand at its use."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique import knowledge
from pratique.casework.bench.asking import Asking, Measured
from pratique.casework.bench.quantities import ALKALINITY, Measure
from pratique.casework.words import listed, sentence_case
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.keys import meant
from pratique.knowledge import Substance
from pratique.science.chemistry.constituents_of_salts import TARGETS, is_caustic
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.reagents import Salt, salt
from pratique.units import basis_of, split_quantity

_OTHER_SALT = "other_salt"
_OTHER_ALKALINITY = "other_alkalinity"
_CAUSTIC = "caustic_salt"
_ALKALINITY = "alkalinity"
# What comes along with what is meant, and is what is meant only where it is named.
_COUNTERPARTS = frozenset({"Na", "Cl", "K", "SO4", "N", "P", "Si"})
_NEEDED = "Choose the salt, or write its formula as on the label, such as CaCl2·2H2O."


@dataclass(frozen=True)
class KnownSalt:
    """A salt with what is known of it here: `substance` is None for one that is only a formula."""

    salt: Salt
    substance: Substance | None
    cautions: tuple[str, ...]

    @property
    def name(self) -> str:
        """Return what it is called in a sentence."""
        return f"{self.substance.name}, {self.salt.formula}" if self.substance is not None else self.salt.formula


def salt_fields() -> tuple[Field, ...]:
    """Return the questions which salt it is."""
    options = tuple(Option(one.key, _shown(one), one.formula or "") for one in _with_formula())
    return (
        Field(name="substance", label="Salt", widget=Widget.CHOICE, options=options),
        Field(name="formula", label="Or its formula", hint="As on the label, with its water: MgSO4·7H2O."),
    )


def _shown(one: Substance) -> str:
    return sentence_case(one.name) + (f" ({one.everyday_name})" if one.everyday_name else "")


def constituent_field() -> Field:
    """Return the question what is to be raised, needed only where a salt brings several things."""
    options = tuple(
        Option(key, sentence_case(one.words), "" if key == _ALKALINITY else key) for key, one in TARGETS.items()
    )
    return Field(
        name="constituent",
        label="What it is to raise",
        widget=Widget.CHOICE,
        options=options,
        hint="Left open: what the salt is used for.",
    )


def asked_salt(asked: Asking) -> KnownSalt | None:
    """Return the salt that was named; None, with a problem kept, where there is none or its water is not stated."""
    name = "formula" if asked.given("formula") else "substance"
    text = asked.text(name, _NEEDED)
    if name == "formula" and asked.given("substance"):
        asked.problem("formula", "Choose the salt or write its formula, not both.")
    if not text:
        return None
    key = salt_key(text)
    try:
        known = _by_key(knowledge.substance(key)) if key is not None else _by_formula(salt(text))
    except DomainError as problem:
        asked.problem(name, str(problem))
        return None
    dissolves = knowledge.solubility(known.salt.hill)
    if dissolves is not None and dissolves.stays_undissolved:
        asked.problem(
            name, f"{known.salt.formula} hardly dissolves in seawater: it would lie on the bottom as a powder."
        )
    return known


def salt_key(text: str) -> str | None:
    """Return the key of the substance with this key, name, everyday name, or words of the chooser; None for none."""
    known = knowledge.substances()
    everyday = {one.key: one.everyday_name for one in known if one.everyday_name}
    namings = ({one.key: one.name for one in known}, everyday, {one.key: _shown(one) for one in known})
    return next((key for names in namings if (key := meant(text, names)) is not None), None)


def _by_key(substance: Substance) -> KnownSalt:
    if substance.formula is not None:
        return KnownSalt(salt(substance.formula), substance, _texts(substance.key))
    if substance.may_be:
        choices = listed([knowledge.substance(key).name for key in substance.may_be])
        raise DomainError(f"Say how much water is in it, as on the label: {choices}, or write its formula.")
    raise DomainError(f"The formula of {substance.name} is not known here; write it as on the label.")


def _by_formula(given: Salt) -> KnownSalt:
    alike = [one for one in _with_formula() if _is_alike(salt(one.formula or ""), given)]
    same = next((one for one in alike if _is_same(salt(one.formula or ""), given)), None)
    if same is not None:
        return KnownSalt(given, same, _texts(same.key))
    found = {one.key for one in alike}
    unstated = [one.key for one in knowledge.substances() if found & set(one.may_be)]
    caustic = [_CAUSTIC] if is_caustic(given.hill, given.core) else []
    slowly = [_OTHER_ALKALINITY] if given.equivalents_per_mol and not found else []
    others = [] if found else [_OTHER_SALT]
    return KnownSalt(given, None, _texts(*(one.key for one in alike), *unstated, *caustic, *slowly, *others))


def _is_same(one: Salt, given: Salt) -> bool:
    return one.hill == given.hill and one.waters == given.waters


def _is_alike(one: Salt, given: Salt) -> bool:
    """Return whether the cautions of a known salt hold for this one: the same but for its water, or any copper."""
    return one.hill == given.hill or ("Cu" in one.atoms and "Cu" in given.atoms)


def _texts(*keys: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.text for key in keys for one in knowledge.cautions_for(key)))


@cache
def _with_formula() -> tuple[Substance, ...]:
    return tuple(one for one in knowledge.substances() if one.formula is not None)


def asked_target(asked: Asking, known: KnownSalt, *, number: str) -> str:
    """Return what is to be raised: as chosen, as the unit of the number tells, or as the salt is used for."""
    unit = split_quantity(asked.text(number))[1] or asked.unit(number)
    brought = known.salt.targets()
    chosen = asked.choice("constituent")
    if chosen:
        return chosen
    if _is_alkalinity(unit):
        return _ALKALINITY
    basis = basis_of(unit)
    if basis in brought:
        return basis
    used_for = known.substance.raises if known.substance is not None else ()
    wanted = [one for one in used_for or brought if one != _ALKALINITY]
    wanted = wanted if used_for else [one for one in wanted if one not in _COUNTERPARTS]
    if len(wanted) == 1 or (wanted and used_for):
        return wanted[0]
    if not wanted and _ALKALINITY in brought:
        asked.problem(number, f"{sentence_case(known.name)} raises alkalinity: write the rise in dKH or meq/L.")
        return _ALKALINITY
    asked.problem(
        "constituent", f"Say what it is to raise: {listed([TARGETS[one].words for one in brought]) or 'nothing here'}."
    )
    return _ALKALINITY


def _is_alkalinity(unit: str) -> bool:
    try:
        ALKALINITY.to_canonical(1.0, unit or "mg/L")
    except ValueError:
        return False
    return True


def measure_of(target: str) -> Measure:
    """Return how a rise of a target is written: alkalinity in dKH and its like, all else in mg/L of it."""
    if target == _ALKALINITY:
        return Measure("dKH", ALKALINITY.units, above_zero=True)
    counted = f"mg/L {target}"
    factors: Mapping[str, float] = {counted: 1.0, f"ppm {target}": 1.0, f"µg/L {target}": 1e-3, f"ppb {target}": 1e-3}
    plain = {"mg/L": 1.0, "ppm": 1.0, "µg/L": 1e-3, "ug/L": 1e-3, "ppb": 1e-3, "g/L": 1e3}
    # Bases that units know of are converted there; the others are only ever counted as themselves.
    canonical = counted if basis_of(counted) is not None else "mg/L"
    return Measure(canonical, ("mg/L", "µg/L"), {**plain, **factors}, above_zero=True)


def refuse_beyond_band(asked: Asking, rise: Measured, substance: Substance | None, copper_mg_per_l: float) -> None:
    """Keep a problem for a dose whose copper alone would pass the upper limit of its form, whatever it is meant for."""
    form = substance.form if substance is not None and substance.form is not None else knowledge.CopperForm.IONIC
    band = knowledge.copper_band(form)
    if copper_mg_per_l > band.hard_upper:
        copper = f"{copper_mg_per_l:.3g}\u202f{band.unit}"
        asked.problem(
            rise.name,
            f"This dose alone would raise copper by {copper}, past the upper limit of "
            f"{band.hard_upper:g}\u202f{band.unit} for {form.value} copper; aim between {band.target_lower:g} and "
            f"{band.target_upper:g}.",
        )

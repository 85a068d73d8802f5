"""Keys made from names, ids made from ids, and the name someone probably meant."""

import difflib
import hashlib
import re
import unicodedata
from collections.abc import Container, Mapping
from uuid import UUID

_LONGEST = 72
_RANDOM_BITS = (1 << 74) - 1
_HIGH_BITS_SHIFT = 62


def key_from(name: str, taken: Container[str]) -> str:
    """Return a key for a name, `Six-line wrasse` → `six-line-wrasse`; one that is taken gets -2, -3, …"""
    plain = unicodedata.normalize("NFKD", name.replace("ß", "ss")).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST].strip("-") or "unnamed"
    key, number = slug, 1
    while key in taken:
        number += 1
        key = f"{slug}-{number}"
    return key


def derived_id(first: UUID, index: int) -> UUID:
    """Return the id of the index-th entry of one writing: a UUIDv7 of the same moment, always the same."""
    if index == 0:
        return first
    digest = hashlib.sha256(first.bytes + index.to_bytes(4)).digest()
    random = int.from_bytes(digest) & _RANDOM_BITS
    high, low = random >> _HIGH_BITS_SHIFT, random & ((1 << _HIGH_BITS_SHIFT) - 1)
    return UUID(int=(first.int >> 80 << 80) | (7 << 76) | (high << 64) | (2 << 62) | low)


def meant(text: str, names: Mapping[str, str]) -> str | None:
    """Return the key whose key or name is exactly the text, capitals apart, or None."""
    wanted = text.strip().casefold()
    if wanted in names:
        return wanted
    found = [key for key, name in names.items() if name.casefold() == wanted]
    return found[0] if len(found) == 1 else None


def nearest(text: str, names: Mapping[str, str]) -> str | None:
    """Return the key whose key or name is most like the text, or None where none is like it.

    Every word counts: “copper citrate” is not like “chelated copper”, and “copper” alone does not say which copper.
    """
    wanted = _parted(_words(text), {word for key, name in names.items() for word in _words(key) + _words(name)})
    alike = [key for key, name in names.items() if wanted and _has_all(wanted, _words(key) + _words(name))]
    near = alike
    if len(alike) > 1:
        # Words that several names hold mean the one that is nothing but these words.
        near = [key for key in alike if any(_has_no_others(wanted, _words(one)) for one in (key, names[key]))]
    if len(near) == 1 or len(wanted) > 1:
        return near[0] if len(near) == 1 else None
    among = near if alike else list(names)
    written = {key.casefold(): key for key in among} | {names[key].casefold(): key for key in among}
    found = difflib.get_close_matches(text.strip().casefold(), written, n=1, cutoff=0.5)
    return written[found[0]] if found else None


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.casefold())


def _parted(wanted: list[str], known: set[str]) -> list[str]:
    """Return the words with those parted that are two known ones written as one: “coppersulfate”."""
    found: list[str] = []
    for word in wanted:
        cuts = [] if word in known else range(1, len(word))
        pair = next(((word[:cut], word[cut:]) for cut in cuts if {word[:cut], word[cut:]} <= known), (word,))
        found += pair
    return found


def _has_all(wanted: list[str], words: list[str]) -> bool:
    """Return whether each word wanted is among the words, slips of the pen allowed."""
    return all(difflib.get_close_matches(word, words, n=1, cutoff=0.7) for word in wanted)


def _has_no_others(wanted: list[str], words: list[str]) -> bool:
    return len(wanted) == len(words) and _has_all(wanted, words)

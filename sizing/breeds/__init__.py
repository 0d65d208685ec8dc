"""The breed table: published weights and heights, and finding a breed by a typed name.

The rows live in the modules beside this one; each cites where its figures come from.
"""

import unicodedata
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

from sizing.breeds import (
    companions,
    dachshunds_and_hounds,
    guardian,
    gundogs,
    herding,
    mastiffs,
    retrievers_and_spaniels,
    sighthounds,
    spitz,
    terriers,
)
from sizing.breeds.types import HEAD_AND_EARS_ORIGIN, RISK_ORIGINS, Breed, Stated
from sizing.evidence import Fact, practice

__all__ = ["BREEDS", "HEAD_AND_EARS_ORIGIN", "RISK_ORIGINS", "Breed", "Stated", "find", "suggest"]

MOST_SUGGESTED: Final = Fact(8, "breeds", practice("a list that is taken in at a glance"))
CLOSE: Final = Fact(
    0.6, "similarity", practice("difflib's own default; lets chiwawa find Chihuahua")
)

# Letters that Unicode does not take apart into a plain letter and a mark.
_WHOLE_LETTERS: Final = str.maketrans(
    {"æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "ł": "l", "þ": "th", "\u0131": "i"}
)


def _key(text: str) -> str:
    """Return the letters and digits of a text, without case, accent or punctuation."""
    plain = unicodedata.normalize("NFKD", text).casefold().translate(_WHOLE_LETTERS)
    return "".join(letter for letter in plain if letter.isalnum())


BREEDS: Final[tuple[Breed, ...]] = tuple(
    sorted(
        companions.BREEDS
        + dachshunds_and_hounds.BREEDS
        + guardian.BREEDS
        + gundogs.BREEDS
        + herding.BREEDS
        + mastiffs.BREEDS
        + retrievers_and_spaniels.BREEDS
        + sighthounds.BREEDS
        + spitz.BREEDS
        + terriers.BREEDS,
        key=lambda breed: _key(breed.name),
    )
)
"""Every breed, by name."""

# Names before other names, so that a name wins a place in a completion.
_INDEX: Final[dict[str, Breed]] = {_key(breed.name): breed for breed in BREEDS} | {
    _key(other): breed for breed in BREEDS for other in breed.also
}


@lru_cache
def find(name: str) -> Breed | None:
    """Return the breed of a name or other name, whatever its case, accents or punctuation."""
    return _INDEX.get(_key(name))


def suggest(text: str, most: int = int(MOST_SUGGESTED.value)) -> tuple[Breed, ...]:
    """Return breeds to complete a text: by beginning, then by part, then by close spelling."""
    key = _key(text)
    if not key or most <= 0:
        return ()
    keys = [
        *(known for known in _INDEX if known.startswith(key)),
        *(known for known in _INDEX if key in known),
    ]
    found = dict.fromkeys(_INDEX[known].name for known in keys)
    if len(found) < most:
        close = get_close_matches(key, _INDEX, n=most, cutoff=CLOSE.value)
        found |= dict.fromkeys(_INDEX[known].name for known in close)
    return tuple(_INDEX[_key(name)] for name in list(found)[:most])

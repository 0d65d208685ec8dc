"""What is wrong with a body, in plain words for the maker."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from pydantic import ValidationError

NOT_A_NUMBER: Final = "Write a plain number, such as 5 or 4.5."
_PLAIN: Final = {
    "missing": "Please fill this in.",
    "string_too_short": "Please fill this in.",
    "too_short": "Please fill this in.",
    "enum": "Please choose one from the list.",
    "string_pattern_mismatch": "Please choose one from the list.",
    "greater_than": "This must be more than {gt}.",
    "greater_than_equal": "This must be {ge} or more.",
    "less_than_equal": "This can be {le} at most.",
    "string_too_long": "This is too long: {max_length} characters at most.",
    "too_long": "These are too many: {max_length} at most.",
    "int_parsing": "Write a whole number.",
    "decimal_max_places": "These are too many decimals.",
    "decimal_parsing": NOT_A_NUMBER,
    "float_parsing": NOT_A_NUMBER,
}


def _sentence(kind: str, context: Mapping[str, Any], message: str) -> str:
    if kind.startswith("date"):
        return "Write the date as year-month-day, such as 2027-03-31."
    return _PLAIN[kind].format(**context) if kind in _PLAIN else f"{message}."


def wrong_in(error: ValidationError, names: Iterable[str]) -> dict[str, str]:
    """Return what is wrong with a body, in plain words, by the field that holds it."""
    known = tuple(names)
    wrong: dict[str, str] = {}
    for one in error.errors():
        path = ".".join(map(str, one["loc"]))
        inside = (n for n in known if n == path or path.startswith(f"{n}."))
        below = (n for n in known if n.startswith(f"{path}."))
        name = next(inside, None) or next(below, path)
        said = _sentence(one["type"], one.get("ctx") or {}, one["msg"])
        wrong.setdefault(name, said)
    return wrong

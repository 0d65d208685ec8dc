"""The fields of the maker's time and hooks: lists, written as people write them."""

import re
from typing import Any, Final

from service.bodies import ShopIn
from service.capacitybodies import WEEKDAYS
from service.web.pages.typed import Kind, Values, number_text

FIELDS: Final[dict[str, Kind]] = {
    **{f"capacity.hours.{day}": Kind.NUMBER for day in WEEKDAYS},
    "capacity.posting": Kind.NUMBER,
    "capacity.off": Kind.TEXT,
    "hooks": Kind.TEXT,
}
_DAY: Final = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_SPAN: Final = re.compile(rf"({_DAY})(?:\s*(?:to|until|-|\u2013|\u2026)\s*({_DAY}))?")
UNREAD_DAYS: Final = "“{line}” is no day off. Write 2027-04-02, or 2027-07-19 to 2027-08-01."
UNREAD_HOOKS: Final = "“{text}” is no hook. Write sizes in mm, such as 4; 4.5; 5."


def _days(text: str) -> list[dict[str, str]]:
    found = []
    for line in re.split(r"[\n;]", text):
        if not line.strip():
            continue
        span = _SPAN.fullmatch(line.strip())
        if span is None:
            raise ValueError(UNREAD_DAYS.format(line=line.strip()[:60]))
        found.append({"first": span[1], "last": span[2] or span[1]})
    return found


def _hooks(text: str) -> list[str]:
    found = []
    for part in re.split(r"[;\n]|,(?![0-9])|\s+", text.replace("mm", " ")):
        try:
            found += [number_text(part, Kind.NUMBER)] if part.strip() else []
        except ValueError as error:
            raise ValueError(UNREAD_HOOKS.format(text=part.strip()[:60])) from error
    return found


def read(tree: dict[str, Any]) -> dict[str, str]:
    """Put the lists in the place of their texts; return what is wrong, by field."""
    wrong: dict[str, str] = {}
    capacity = tree.get("capacity", {})
    for holder, name, field, reader in (
        (capacity, "off", "capacity.off", _days),
        (tree, "hooks", "hooks", _hooks),
    ):
        if name not in holder:
            continue
        try:
            holder[name] = reader(holder[name])
        except ValueError as error:
            del holder[name]
            wrong[field] = str(error)
    return wrong


def written(shop: ShopIn) -> Values:
    """Return the lists as texts."""
    spans = [
        f"{one.first}" if one.first == one.last else f"{one.first} to {one.last}"
        for one in shop.capacity.off
    ]
    hooks = ", ".join(f"{mm:g}" for mm in shop.hooks)
    return {"capacity.off": ("\n".join(spans),), "hooks": (hooks,)}

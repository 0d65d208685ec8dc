"""The fields of how a hood is made, beside those of the order."""

import re
from typing import Any, Final

from service.bodies import ShopIn
from service.web.pages.typed import Kind, Values, last

MOST_SHAPES: Final = 12
SHOWN: Final = 3
"""Rows for shapes on a form where there are no more."""
PLACES: Final = tuple(range(MOST_SHAPES))
STRIPED: Final = ("collar", "hood")
FIELDS: Final[dict[str, Kind]] = {
    **dict.fromkeys(("wishes.collar", "wishes.button", "wishes.edging"), Kind.TEXT),
    **{f"wishes.ears.{part}": Kind.TEXT for part in ("base", "from_centre", "above_collar")},
    **{f"wishes.stripes.{part}": Kind.TEXT for part in (*STRIPED, "edging")},
    **{
        f"wishes.add_ons.{place}.{part}": kind
        for place in PLACES
        for part, kind in (
            ("shape", Kind.TEXT),
            ("across", Kind.TEXT),
            ("long", Kind.TEXT),
            ("copies", Kind.NUMBER),
            ("colour", Kind.TEXT),
        )
    },
    "wishes.hand": Kind.TEXT,
    "wishes.turning_chain": Kind.TEXT,
}
PLACES_OF: Final = {
    "ear_base": "wishes.ears.base",
    "ear_from_centre": "wishes.ears.from_centre",
    "ear_above_collar": "wishes.ears.above_collar",
    "buttoned": "wishes.collar",
    "button_mm": "wishes.button",
    "wishes.stripes": "wishes.stripes.collar",
    "colour": "wishes.stripes.collar",
    "stripes": "wishes.stripes.collar",
    "add_ons": "wishes.add_ons.0.shape",
    "across_mm": "wishes.add_ons.0.across",
    "long_mm": "wishes.add_ons.0.long",
}
"""Where to say what the core finds that cannot be made."""
_STRIPE: Final = re.compile(r"(.+?)\s+([0-9]{1,3})|([0-9]{1,3})\s+(.+)")
UNREAD: Final = "Write colours and rows, such as: cream 6, rust 2."
BOTH: Final = "Say the stripes of collar and hood, or leave both empty for one colour."


def packed(values: Values) -> Values:
    """Return the values with the shapes moved up, so that none before the last is empty."""
    parts = ("shape", "across", "long", "copies", "colour")
    rows = [
        tuple(last(values, f"wishes.add_ons.{place}.{part}") for part in parts) for place in PLACES
    ]
    rows.sort(key=lambda row: not any(row))  # stable: only the empty ones go to the end
    moved = {
        f"wishes.add_ons.{place}.{part}": (text,)
        for place, row in enumerate(rows)
        for part, text in zip(parts, row, strict=True)
    }
    return values | moved


def shown(values: Values) -> tuple[int, ...]:
    """Return the places of shapes that a form shows: those that are filled, and some to fill."""
    filled = [p for p in PLACES if last(values, f"wishes.add_ons.{p}.shape")]
    return PLACES[: max(SHOWN, len(filled))]


def _read(text: str) -> list[dict[str, Any]] | None:
    """Return stripes as they are written, or None where they cannot be read."""
    stripes = []
    for part in re.split(r"[,;\n]", text):
        if not part.strip():
            continue
        found = _STRIPE.fullmatch(part.strip())
        if found is None:
            return None
        colour, rows = (found[1], found[2]) if found[1] else (found[4], found[3])
        stripes.append({"colour": colour, "rows": int(rows)})
    return stripes or None


def read_stripes(tree: dict[str, Any]) -> dict[str, str]:
    """Put the stripes as a body has them into a tree; return what is wrong with them."""
    told = tree.get("wishes", {}).get("stripes")
    if not told:
        return {}
    wrong: dict[str, str] = {}
    for part in STRIPED:
        text = told.get(part, "")
        stripes = _read(text)
        if stripes is None:
            wrong[f"wishes.stripes.{part}"] = UNREAD if text else BOTH
            stripes = [{"colour": "any", "rows": 1}]
        told[part] = stripes
    return wrong


def written(told: dict[str, Any] | None) -> Values:
    """Return the fields of an order's stripes."""
    if not told:
        return {}
    texts: Values = {
        f"wishes.stripes.{part}": (", ".join(f"{s['colour']} {s['rows']}" for s in told[part]),)
        for part in STRIPED
    }
    return texts | {"wishes.stripes.edging": (told["edging"],)}


def habits(shop: ShopIn) -> Values:
    """Return how this maker usually works."""
    return {
        "wishes.collar": ("joined",),
        "wishes.hand": (shop.hand.value,),
        "wishes.turning_chain": (str(int(shop.turning_chain)),),
    }

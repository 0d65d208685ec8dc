"""The fields of a yarn, shared by the shelf and the order form."""

from typing import Final

from service.bodies import YarnIn
from service.web.pages.typed import Kind, Values, last, read_body, tree_of

MOST_FIBRES: Final = 3
PLACES: Final = tuple(range(MOST_FIBRES))
FIELDS: Final[dict[str, Kind]] = {
    "yarn.name": Kind.TEXT,
    **{
        f"yarn.fibres.{place}.{part}": kind
        for place in PLACES
        for part, kind in (("fibre", Kind.TEXT), ("percent", Kind.NUMBER))
    },
    "yarn.weight_class": Kind.TEXT,
    "yarn.ball_metres": Kind.NUMBER,
    "yarn.ball_grams": Kind.NUMBER,
    "yarn.ball_price": Kind.NUMBER,
    "yarn.lot": Kind.TEXT,
}
PLACES_OF: Final = {
    "fibres": "yarn.fibres.0.fibre",
    "ball": "yarn.ball_metres",
    "ball_price": "yarn.ball_price",
}
"""Where to say what the core finds wrong with a yarn as a whole."""
BLANK: Final[Values] = {
    "yarn.weight_class": ("4",),
    "yarn.fibres.0.fibre": ("acrylic",),
    "yarn.fibres.0.percent": ("100",),
}


def packed(values: Values) -> Values:
    """Return the values with the fibres moved up, so that none before the last is empty."""
    pairs = [
        tuple(last(values, f"yarn.fibres.{place}.{part}") for part in ("fibre", "percent"))
        for place in PLACES
    ]
    pairs.sort(key=lambda pair: not any(pair))  # stable: only the empty ones go to the end
    moved = {
        f"yarn.fibres.{place}.{part}": (text,)
        for place, pair in enumerate(pairs)
        for part, text in zip(("fibre", "percent"), pair, strict=True)
    }
    return values | moved


def read_yarn(values: Values) -> YarnIn:
    """Return the yarn that the fields tell.

    Raises:
        UnreadableError: naming every field that is wrong.
    """
    tree, wrong = tree_of(values, FIELDS)
    named = {name.removeprefix("yarn."): name for name in FIELDS}
    short = {name.removeprefix("yarn."): said for name, said in wrong.items()}
    return read_body(YarnIn, tree.get("yarn", {}), short, named)


def placed(fields: dict[str, str]) -> dict[str, str]:
    """Return what is wrong with a yarn by the fields of the form."""
    return {PLACES_OF.get(name, f"yarn.{name}"): said for name, said in fields.items()}

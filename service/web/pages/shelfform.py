"""The fields of a yarn on the shelf, its lots and a swatch, and what they are called."""

from typing import Final

from service.shelf import Shelved
from service.shelfbodies import MOST_LOTS, ShelfSwatchIn, ShelfYarnIn
from service.web.pages import labels, yarnform
from service.web.pages.orderform import SWATCH
from service.web.pages.typed import Kind, Values, flat_of, last, read_body, tree_of

SPARE: Final = 2
"""Empty rows for lots below those that there are."""
PARTS: Final = (("colour", Kind.TEXT), ("lot", Kind.TEXT), ("balls", Kind.NUMBER))
LOTS: Final[dict[str, Kind]] = {
    f"yarn.lots.{place}.{part}": kind for place in range(MOST_LOTS) for part, kind in PARTS
}
FIELDS: Final = {
    **{name: kind for name, kind in yarnform.FIELDS.items() if name != "yarn.lot"},
    **LOTS,
}
LABELS: Final = {
    **{name: text for name, text in labels.YARN.items() if name != "yarn.lot"},
    **{
        f"yarn.lots.{place}.{part}": f"{label}{f' {place + 1}' if place else ''}"
        for place in range(MOST_LOTS)
        for part, label in (("colour", "Colour"), ("lot", "Dye lot"), ("balls", "Balls"))
    },
}
SWATCH_FIELDS: Final[dict[str, Kind]] = {
    "swatch.name": Kind.TEXT,
    **{f"swatch.{part}": Kind.NUMBER for part in SWATCH},
}
SWATCH_LABELS: Final = {
    "swatch.name": "Your name for it",
    **{f"swatch.{part}": labels.ORDER[f"swatch.{part}"] for part in SWATCH},
}
_SWATCH_PLACES: Final = {"gauge": "rib_stitches", "stretch": "stretch.relaxed"}


def _row(values: Values, place: int) -> tuple[str, ...]:
    return tuple(last(values, f"yarn.lots.{place}.{part}") for part, _ in PARTS)


def packed(values: Values) -> Values:
    """Return the values with fibres and lots moved up, so that none before the last is empty."""
    rows = [row for place in range(MOST_LOTS) if any(row := _row(values, place))]
    others = {name: texts for name, texts in values.items() if name not in LOTS}
    moved = {
        f"yarn.lots.{place}.{part}": (text,)
        for place, row in enumerate(rows)
        for (part, _), text in zip(PARTS, row, strict=True)
    }
    return yarnform.packed(others) | moved


def rows_shown(values: Values) -> range:
    """Return the places of the lots that a form shows."""
    filled = sum(any(_row(values, place)) for place in range(MOST_LOTS))
    return range(min(filled + SPARE, MOST_LOTS))


def read_yarn(values: Values) -> ShelfYarnIn:
    """Return the yarn and its lots that the fields tell.

    Raises:
        UnreadableError: naming every field that is wrong.
    """
    tree, wrong = tree_of(values, FIELDS)
    named = {name.removeprefix("yarn."): name for name in FIELDS}
    short = {name.removeprefix("yarn."): said for name, said in wrong.items()}
    return read_body(ShelfYarnIn, tree.get("yarn", {}), short, named)


def read_swatch(values: Values) -> ShelfSwatchIn:
    """Return the swatch that the fields tell.

    Raises:
        UnreadableError: naming every field that is wrong.
    """
    tree, wrong = tree_of(values, SWATCH_FIELDS)
    names = [name.removeprefix("swatch.") for name in SWATCH_FIELDS]
    short = {name.removeprefix("swatch."): said for name, said in wrong.items()}
    return read_body(ShelfSwatchIn, tree.get("swatch", {}), short, names)


def swatch_placed(fields: dict[str, str]) -> dict[str, str]:
    """Return what is wrong with a swatch by the fields of the form."""
    return {f"swatch.{_SWATCH_PLACES.get(name, name)}": said for name, said in fields.items()}


def filled(one: Shelved) -> Values:
    """Return the values of a form that changes a yarn."""
    lots = [{"colour": lot.colour, "lot": lot.lot, "balls": lot.balls} for lot in one.lots]
    body = ShelfYarnIn.model_validate({**one.yarn.model_dump(), "lots": lots})
    return {f"yarn.{name}": texts for name, texts in flat_of(body).items() if name != "lot"}

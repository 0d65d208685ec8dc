"""Swatches of the shelf in the order form: one press fills the swatch's fields."""

from collections.abc import Sequence

from service.bodies import SwatchIn
from service.shelf import Shelved
from service.web.pages.typed import Values, flat_of, last

CHOICE = "yarn_choice"
OWN = ("new", "kept")
"""Choices of a yarn that are none of the shelf's."""


def offered(shelf: Sequence[Shelved]) -> tuple[tuple[str, str], ...]:
    """Return the swatches to choose from: the value of the button, and what it says."""
    return tuple(
        (f"swatch={swatch.id}", f"{one.row.name}: {swatch.name}")
        for one in shelf
        for swatch in one.swatches
    )


def used(values: Values, shelf: Sequence[Shelved]) -> Values:
    """Return the values after a swatch's button was pressed; the yarn becomes its yarn."""
    pressed = last(values, "use").removeprefix("swatch=")
    for one in shelf:
        for swatch in one.swatches:
            if f"{swatch.id}" == pressed:
                return _filled(values, one, SwatchIn.model_validate(swatch.details))
    return values


def _filled(values: Values, one: Shelved, swatch: SwatchIn) -> Values:
    others = {name: texts for name, texts in values.items() if not name.startswith("swatch.")}
    told = {f"swatch.{name}": texts for name, texts in flat_of(swatch).items()}
    fullest = max(one.lots, key=lambda lot: lot.balls, default=None)
    first = f"{one.row.id}.{fullest.id}" if fullest else f"{one.row.id}"
    chosen = last(values, CHOICE)
    right = chosen in OWN or chosen.split(".")[0] == f"{one.row.id}"
    return others | told | ({} if right else {CHOICE: (first,)})

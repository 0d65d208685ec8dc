"""The form of an order: what is typed, to `OrderIn`, and what to say beside each field."""

from dataclasses import dataclass
from typing import Final

from service.bodies import ChecksIn, OrderIn, ShopIn, YarnIn
from service.errors import UnreadableError
from service.planbodies import FindingOut
from service.planning import findings_on
from service.planout import finding_out
from service.web.pages import wishform, yarnform
from service.web.pages.typed import Form, Kind, Values, flat_of, last, read_body, tree_of
from sizing.doctor.learn import PUBLISHED, Prior
from sizing.dogs import MORE, Field

LENGTHS: Final = (*(field.value for field in Field), *MORE)
SWATCH: Final = (
    "rib_stitches", "rib_rows", "plain_stitches", "plain_rows",
    "hook_mm", "weighed_grams", "weighed_stitches", "unravelled_mm", "unravelled_stitches",
    "stretch.relaxed", "stretch.tug", "stretch.limit", "stretch.after",
)  # fmt: skip
FIELDS: Final[dict[str, Kind]] = {
    **{f"buyer.{part}": Kind.TEXT for part in ("name", "email", "phone", "address")},
    **{f"dog.{part}": Kind.TEXT for part in ("name", "breed", "weight", "head", "ears", "coat")},
    "dog.risks": Kind.MANY,
    **{f"measurements.{name}": Kind.TEXT for name in LENGTHS},
    **dict.fromkeys(("unit", "due", "notes", "terms", "language"), Kind.TEXT),
    **dict.fromkeys(("hook_mm", "made_before"), Kind.NUMBER),
    **yarnform.FIELDS,
    **{f"swatch.{part}": Kind.NUMBER for part in SWATCH},
    **wishform.FIELDS,
}
CHOICE: Final = "yarn_choice"
KEPT: Final = "kept"
NEW: Final = "new"
_GAUGE: Final = "swatch.rib_stitches"
_PLACES: Final = {
    **{name: f"measurements.{name}" for name in LENGTHS},
    "weight": "dog.weight",
    "breed": "dog.breed",
    **{part: f"swatch.{part}" for part in SWATCH if part != "hook_mm"},
    "gauge": _GAUGE,
    "swatch": _GAUGE,
    "stretch": "swatch.stretch.relaxed",
    **yarnform.PLACES_OF,
    **wishform.PLACES_OF,
}
"""Where to say what the core reports under a name of its own."""


@dataclass(frozen=True, slots=True)
class Judged:
    """What the numbers typed so far give: what cannot be read, and the findings on the rest."""

    wrong: dict[str, str]
    said: dict[str, tuple[FindingOut, ...]]


def place_of(name: str) -> str:
    """Return the field beside which to say something about a name of the core."""
    return _PLACES.get(name, name)


def _findings(
    dog: dict[str, object], lengths: dict[str, str], unit: str, prior: Prior
) -> list[FindingOut]:
    asked = {"dog": dog, "measurements": lengths, "unit": unit or "cm"}
    return [finding_out(found) for found in findings_on(ChecksIn.model_validate(asked), prior)]


def judge(values: Values, prior: Prior = PUBLISHED) -> Judged:
    """Check the numbers typed so far; what cannot be read is said and left out."""
    tree, _ = tree_of(values, FIELDS)
    dog, lengths = tree.get("dog", {}), tree.get("measurements", {})
    wrong: dict[str, str] = {}
    found: list[FindingOut] = []
    if not lengths and not any(dog.get(part) for part in ("breed", "weight")):
        return Judged({}, {})
    try:
        found = _findings(dog, lengths, tree.get("unit", ""), prior)
    except UnreadableError as error:
        wrong = error.fields
        kept = {name: text for name, text in lengths.items() if name not in wrong}
        known = {name: text for name, text in dog.items() if name not in wrong}
        found = _findings(known, kept, tree.get("unit", ""), prior)
    except ValueError:  # a choice that is none: told when the order is read
        return Judged({}, {})
    places = [place_of(one.field) for one in found]
    said = {place: tuple(one for one in found if place_of(one.field) == place) for place in places}
    return Judged({place_of(name): text for name, text in wrong.items()}, said)


def read_order(values: Values, shelf: dict[str, YarnIn]) -> OrderIn:
    """Return the order that is typed.

    Args:
        values: the fields.
        shelf: the yarns that can be chosen, by the value of the choice.

    Raises:
        UnreadableError: naming every field that is wrong, by its name in the form.
    """
    tree, wrong = tree_of(values, FIELDS)
    choice = last(values, CHOICE)
    if choice != NEW:
        wrong = {name: said for name, said in wrong.items() if not name.startswith("yarn.")}
        if choice in shelf:
            tree["yarn"] = shelf[choice].model_dump(mode="json")
        else:
            tree["yarn"] = None
            wrong[CHOICE] = "Choose a yarn from the shelf, or describe another one."
    elif not tree.get("yarn"):
        tree["yarn"] = {}
    wrong |= wishform.read_stripes(tree)
    tree.setdefault("buyer", {})
    tree.setdefault("measurements", {})
    wrong |= judge(values).wrong
    own = [name for name in FIELDS if choice == NEW or not name.startswith("yarn.")]
    return read_body(OrderIn, tree, wrong, own)


def checked(values: Values, prior: Prior) -> Form:
    """Return the form with what there is to say on the numbers so far."""
    judged = judge(values, prior)
    return Form(values, judged.wrong, judged.said)


def refused(values: Values, fields: dict[str, str], prior: Prior) -> Form:
    """Return the form as typed, with what is wrong beside its fields."""
    judged = judge(values, prior)
    wrong = {place_of(name): text for name, text in fields.items() if name != "yarn"}
    return Form(values, judged.wrong | wrong, judged.said)


def used(values: Values) -> Values:
    """Return the values after a suggestion's button was pressed: `field=what to use`."""
    name, _, text = last(values, "use").partition("=")
    return values | {name: (text,)} if name in FIELDS else values


def blank(shop: ShopIn, shelf: dict[str, YarnIn]) -> Values:
    """Return the values of a new form: the shop's habits."""
    start: Values = {"unit": (shop.unit.value,), "terms": (shop.terms.value,), "shelve": ("yes",)}
    start["language"] = (shop.language,)
    return yarnform.BLANK | wishform.habits(shop) | start | {CHOICE: ("" if shelf else NEW,)}


def filled(asked: OrderIn) -> Values:
    """Return the values of a form that changes an order; its yarn is the one it has."""
    flat = flat_of(asked)
    own = {
        name: texts
        for name, texts in flat.items()
        if not name.startswith(("yarn.", "accepted", "wishes.stripes."))
    }
    stripes = asked.wishes.stripes
    own |= wishform.written(stripes.model_dump() if stripes else None)
    return yarnform.BLANK | own | {CHOICE: (KEPT,)}


def differing(typed: Values, kept: Values) -> dict[str, str]:
    """Return what an order holds now, by field, wherever something else is typed."""
    names = [name for name in FIELDS if not name.startswith("yarn.")]
    return {
        name: ", ".join(kept.get(name, ())) or "empty"
        for name in names
        if [t.strip() for t in typed.get(name, ()) if t] != [t for t in kept.get(name, ()) if t]
    }

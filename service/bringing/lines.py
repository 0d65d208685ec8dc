"""A line of a file as what it asks for: a buyer, a dog, an order with what became of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from pydantic import BaseModel, ValidationError

from service.bodies import BuyerIn, DogIn, OrderIn, OutcomeIn, ShopIn, YarnIn
from service.bringing.cells import Cells
from service.bringing.columns import LENGTHS, NAMES, OF_DOG, OF_ORDER
from service.bringing.sheet import Line
from service.errors import UnreadableError
from service.reading import Reader
from service.states import State
from service.wrongs import wrong_in
from sizing.dogs import MORE, Coat, EarCarriage, HeadType, Risk
from sizing.errors import NotationError
from sizing.fittings import Felt
from sizing.units import LengthUnit, read_weight

LENGTH_COLUMNS: Final = {
    name.replace(" ", "_"): name for name in (one.name for one in LENGTHS[:-1])
}
_YARN: Final = {
    "name": "yarn",
    "fibres": "fibres",
    "weight_class": "yarn weight",
    "ball_metres": "ball metres",
    "ball_grams": "ball grams",
    "ball_price": "ball price",
    "lot": "lot",
}
_DESCRIBED: Final = ("fibres", "yarn weight", "ball metres", "ball grams", "ball price")
PLACES: Final[dict[str, str]] = {
    **{name: name for name in NAMES},
    **LENGTH_COLUMNS,
    **{f"measurements.{name}": column for name, column in LENGTH_COLUMNS.items()},
    **{f"yarn.{name}": column for name, column in _YARN.items()},
    **_YARN,
    **{f"dog.{name}": name for name in ("breed", "weight", "head", "ears", "coat")},
    **{f"buyer.{name}": name for name in ("phone", "address")},
    "buyer.name": "buyer",
    "buyer.email": "e-mail",
    "dog.name": "dog",
    "dog.risks": "mind",
    "hook_mm": "hook",
    "weight_kg": "weight",
    "accepted.0.reason": "odd because",
    "note": "fit notes",
}
"""The column that a field of the bodies, or of the core, stands in."""
FINISHED: Final = frozenset({State.FINISHED, State.HANDED_OVER})


class WrongLineError(Exception):
    """A line that cannot be brought in; what is wrong, by column."""

    def __init__(self, wrong: Mapping[str, str]) -> None:
        """Keep what is wrong."""
        self.wrong = dict(wrong)
        super().__init__(" ".join(wrong.values()))


@dataclass(frozen=True, slots=True)
class Asked:
    """What a line asks for.

    Attributes:
        place: of the line in the file.
        buyer: always.
        dog: None where the line tells of none.
        lengths: of the dog, as written; the unit beside them.
        order: None where the line tells of a buyer or a dog alone.
        reason: why an odd number is right; empty for none.
        number: the maker's own number of the order.
        taken: the day it was taken; None for today.
    """

    place: int
    buyer: BuyerIn
    dog: DogIn | None = None
    lengths: dict[str, str] | None = None
    unit: LengthUnit = LengthUnit.CM
    order: OrderIn | None = None
    reason: str = ""
    number: str = ""
    taken: date | None = None
    state: State = State.ENQUIRY
    outcome: OutcomeIn | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """What a line may refer to: the shop's habits, and the yarns of its shelf by name and lot.

    Attributes:
        yarn: of the lines that name none; None where such lines are refused.
    """

    shop: ShopIn
    shelf: dict[tuple[str, str], YarnIn]
    yarn: YarnIn | None = None


def _body(kind: type[BaseModel], tree: dict[str, Any], cells: Cells, prefix: str = "") -> Any:  # noqa: ANN401 - a body of that kind
    """Return a body, or None; what is wrong with it is kept beside the columns."""
    try:
        return kind.model_validate(tree)
    except ValidationError as error:
        for name, said in wrong_in(error, ()).items():
            cells.wrong.setdefault(column_of(prefix + name), said)
        return None


def column_of(field: str) -> str:
    """Return the column that a field stands in, or the field where it stands in none."""
    while field:
        if field in PLACES:
            return PLACES[field]
        shorter = field.rpartition(".")[0]
        if not shorter:
            break
        field = shorter
    return PLACES.get(field, field)


def _buyer(cells: Cells) -> BuyerIn | None:
    if not cells.text("buyer"):
        cells.wrong["buyer"] = "Write the buyer's name."
        return None
    tree = {
        "name": cells.text("buyer"),
        "email": cells.text("e-mail"),
        "phone": cells.text("phone"),
        "address": cells.text("address"),
    }
    found: BuyerIn | None = _body(BuyerIn, tree, cells, "buyer.")
    return found


def _dog(cells: Cells) -> DogIn | None:
    if not cells.any((*OF_DOG, *OF_ORDER)):
        return None
    tree = {
        "name": cells.text("dog"),
        "breed": cells.text("breed"),
        "weight": cells.text("weight"),
        "head": cells.word("head", HeadType),
        "ears": cells.word("ears", EarCarriage),
        "coat": cells.word("coat", Coat),
        "risks": cells.words("mind", Risk),
    }
    if cells.text("weight"):
        try:
            read_weight(cells.text("weight"))
        except NotationError as error:
            cells.wrong["weight"] = str(error)
    found: DogIn | None = _body(DogIn, tree, cells, "dog.")
    return found


def _lengths(cells: Cells, unit: LengthUnit, *, all_four: bool) -> dict[str, str]:
    read = Reader(unit)
    texts = {}
    for name, column in LENGTH_COLUMNS.items():
        text = cells.text(column)
        if text or (all_four and name not in MORE):
            read.needed(name, text)
            texts[name] = text
    cells.wrong.update({LENGTH_COLUMNS[name]: said for name, said in read.wrong.items()})
    return texts


def _unit(cells: Cells, shop: ShopIn) -> LengthUnit:
    inches = {'"': "in", "inch": "in", "inches": "in"}
    if cells.text("unit").casefold() in inches:
        return LengthUnit.INCH
    return cells.word("unit", LengthUnit) or shop.unit


def _yarn(cells: Cells, known: Known) -> YarnIn | None:
    """Return the yarn of an order: described in the line, or found on the shelf."""
    name, lot = cells.text("yarn"), cells.text("lot")
    if not name:
        if known.yarn is None:
            cells.wrong["yarn"] = (
                "Name the yarn, or choose one below for all lines that name none."
            )
        return known.yarn
    if not cells.any(_DESCRIBED):
        found = known.shelf.get((name.casefold(), lot)) or known.shelf.get((name.casefold(), ""))
        if found is None:
            cells.wrong["yarn"] = (
                f"There is no yarn “{name[:60]}” on your shelf. Put it there, or fill in its"
                " fibres, ball metres and ball grams."
            )
            return None
        return found.model_copy(update={"lot": lot or found.lot})
    numbers = {
        field: cells.number(column) for field, column in _YARN.items() if column in _DESCRIBED[1:]
    }
    tree = {"name": name, "lot": lot, "fibres": cells.shares("fibres")}
    tree |= {field: number for field, number in numbers.items() if number is not None}
    made: YarnIn | None = _body(YarnIn, tree, cells, "yarn.")
    return made


def _outcome(cells: Cells, state: State) -> OutcomeIn | None:
    columns = ("grams", "minutes", "collar", "nape", "opening", "fit notes")
    if not cells.any(columns):
        return None
    if state not in FINISHED:
        column = next(name for name in columns if cells.text(name))
        cells.wrong[column] = "Only a hood that is finished or handed over can have this."
        return None
    tree: dict[str, Any] = {name: cells.number(name) for name in columns[:2]}
    tree |= {name: cells.word(name, Felt) for name in columns[2:5]}
    tree["note"] = cells.text("fit notes")
    given = {name: value for name, value in tree.items() if value is not None}
    # Told long ago: a figure far from the plan is kept, and nothing is learned from it.
    told: OutcomeIn | None = _body(OutcomeIn, {**given, "sure": True}, cells)
    return told


def _order(cells: Cells, known: Known, parts: dict[str, Any]) -> OrderIn | None:
    hook, due = cells.number("hook"), cells.day("due")
    if cells.wrong:
        return None
    reason = cells.text("odd because")
    tree = {
        **parts,
        "hook_mm": hook,
        "due": due,
        "notes": cells.text("notes"),
        "language": cells.text("language") or known.shop.language,
        "terms": known.shop.terms,
        "wishes": {"hand": known.shop.hand, "turning_chain": known.shop.turning_chain},
        "accepted": [{"field": "odd", "reason": reason}] if reason else [],
    }
    made: OrderIn | None = _body(OrderIn, tree, cells)
    return made.model_copy(update={"accepted": []}) if made else None


def asked_of(line: Line, known: Known, today: date) -> Asked:
    """Return what a line asks for.

    Raises:
        WrongLineError: with all that is wrong with it, by column.
    """
    cells = Cells(line.cells)
    buyer, unit = _buyer(cells), _unit(cells, known.shop)
    is_order = cells.any(OF_ORDER)
    dog, lengths = _dog(cells), _lengths(cells, unit, all_four=is_order)
    order = outcome = taken = None
    state = State.ENQUIRY
    if is_order:
        state = cells.word("state", State) or State.ENQUIRY
        taken = cells.day("taken on")
        if taken and taken > today:
            cells.wrong["taken on"] = "That day is still to come."
        yarn, outcome = _yarn(cells, known), _outcome(cells, state)
        parts = {"buyer": buyer, "dog": dog, "measurements": lengths, "unit": unit, "yarn": yarn}
        order = _order(cells, known, parts)
    if len(cells.text("your number")) > 100:  # noqa: PLR2004 - it is kept in a key
        cells.wrong["your number"] = "This is too long: 100 characters at most."
    if cells.wrong or buyer is None:
        raise WrongLineError(cells.wrong)
    return Asked(
        line.place, buyer, dog, lengths, unit, order, cells.text("odd because"),
        cells.text("your number"), taken, state, outcome,
    )  # fmt: skip


def wrong_line(error: UnreadableError) -> WrongLineError:
    """Return what the core says of a line's fields, by column."""
    fields = error.fields or {"line": str(error)}
    return WrongLineError({column_of(name): said for name, said in fields.items()})

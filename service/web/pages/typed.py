"""The form layer: flat fields as typed, to the bodies of the service and back.

A field's name is its path in the body, `dog.weight`, so that a body's own report of what is
wrong with it already names the field to put the message beside.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum, auto
from typing import Annotated, Any, Final, TypeVar

from fastapi import Depends, Request
from pydantic import BaseModel, ValidationError

from service.errors import UnreadableError
from service.planbodies import FindingOut
from service.web.sentform import form_of, texts_in
from service.web.visitor import FIELD, WHOSE
from service.wrongs import NOT_A_NUMBER, wrong_in

Values = dict[str, tuple[str, ...]]
AnyBody = TypeVar("AnyBody", bound=BaseModel)


class Kind(Enum):
    """How a field's text is read."""

    TEXT = auto()
    NUMBER = auto()
    PERCENT = auto()
    MANY = auto()


LONGEST_NUMBER: Final = 30
AMBIGUOUS: Final = "“{text}” could mean thousands or decimals. Write 1200 or 1.2."
_NO_KEY: Final = re.compile(r"[\x00-\x08\x0b-\x1f]")
_NUMBER: Final = re.compile(r"[0-9]+(\.[0-9]+)?|\.[0-9]+")


async def _typed(request: Request) -> Values:
    texts = texts_in(await form_of(request))
    typed = {
        name: tuple(map(_tidy, found))
        for name, found in texts.items()
        if name not in {FIELD, WHOSE}
    }
    request.state.typed = typed  # for the page that says that it could not be kept
    return typed


def _tidy(text: str) -> str:
    """Return a text with one kind of line end and without characters no keyboard has."""
    return _NO_KEY.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))


Typed = Annotated[Values, Depends(_typed)]


def last(values: Values, name: str) -> str:
    """Return the one text of a field, or nothing."""
    return (values.get(name) or ("",))[-1].strip()


def version_of(values: Values) -> int:
    """Return the version that a form was made on; what is none of ours never was."""
    text = last(values, "version")
    return int(text) if re.fullmatch(r"[0-9]{1,9}", text) else -1


@dataclass(frozen=True, slots=True)
class Form:
    """A form to show: what is typed in it and what there is to say beside its fields.

    Attributes:
        values: the texts by field.
        wrong: what cannot be taken, by field.
        said: findings by field.
        now: what is kept now, by field, where that is not what is typed.
        before: what was told the last time, by field, where it is asked for again.
    """

    values: Values
    wrong: dict[str, str] = field(default_factory=dict)
    said: dict[str, tuple[FindingOut, ...]] = field(default_factory=dict)
    now: dict[str, str] = field(default_factory=dict)
    before: dict[str, str] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """Return what stands in a field."""
        return (self.values.get(name) or ("",))[-1]

    def has(self, name: str, option: str) -> bool:
        """Return whether an option of a field is chosen."""
        return option in self.values.get(name, ())

    def any(self, prefix: str) -> bool:
        """Return whether a group of fields holds or reports anything."""
        filled = {name for name, texts in self.values.items() if any(texts)}
        return any(name.startswith(prefix) for name in filled | self.wrong.keys())


def number_text(text: str, kind: Kind) -> str:
    """Return a number as typed in the form that the bodies read; a percent as a share.

    Raises:
        ValueError: with a sentence for the maker.
    """
    plain = text.replace("\u00a0", "").replace(" ", "")
    if kind is Kind.PERCENT:
        plain = plain.removesuffix("%")
    if re.fullmatch(r"[0-9]+,[0-9]{3}", plain):
        raise ValueError(AMBIGUOUS.format(text=text))
    plain = plain.replace(",", ".")
    if len(plain) > LONGEST_NUMBER or not _NUMBER.fullmatch(plain):
        raise ValueError(NOT_A_NUMBER)
    return str(Decimal(plain) / 100) if kind is Kind.PERCENT else plain


def _listed(tree: dict[str, Any]) -> dict[str, Any] | list[Any]:
    """Return a tree whose numbered branches are lists."""
    branches = {key: _listed(b) if isinstance(b, dict) else b for key, b in tree.items()}
    if branches and all(key.isdigit() for key in branches):
        return list(branches.values())
    return branches


def tree_of(values: Values, kinds: Mapping[str, Kind]) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the body that the known fields make, and what is wrong with their numbers.

    Fields that are left empty are left out.
    """
    tree: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for name, kind in kinds.items():
        text = last(values, name)
        if not text:
            continue
        *path, leaf = name.split(".")
        branch = tree
        for key in path:
            branch = branch.setdefault(key, {})
        try:
            numeric = kind in {Kind.NUMBER, Kind.PERCENT}
            branch[leaf] = number_text(text, kind) if numeric else text
        except ValueError as error:
            wrong[name] = str(error)
        if kind is Kind.MANY:
            branch[leaf] = list(values[name])
    listed = _listed(tree)
    return (listed if isinstance(listed, dict) else {}), wrong


def flat_of(body: BaseModel) -> Values:
    """Return a body as the flat fields that make it."""
    return _flat(body.model_dump(mode="json", exclude_none=True), "")


def _flat(value: object, name: str) -> Values:
    if isinstance(value, dict):
        branches = [_flat(below, f"{name}.{key}".lstrip(".")) for key, below in value.items()]
        return {key: texts for branch in branches for key, texts in branch.items()}
    if isinstance(value, list):
        if value and isinstance(value[0], dict):
            return _flat({str(place): one for place, one in enumerate(value)}, name)
        return {name: tuple(map(str, value))} if value else {}
    return {name: (str(value).removesuffix(".0") if isinstance(value, float) else str(value),)}


def read_body(
    model: type[AnyBody], tree: dict[str, Any], wrong: dict[str, str], names: Iterable[str]
) -> AnyBody:
    """Return the body that a tree makes.

    Raises:
        UnreadableError: naming every field that is wrong, those of `wrong` among them.
    """
    try:
        body = model.model_validate(tree)
    except ValidationError as error:
        every = wrong_in(error, names) | wrong
        raise UnreadableError(" ".join(every.values()), every) from error
    if wrong:
        raise UnreadableError(" ".join(wrong.values()), wrong)
    return body

"""What the texts and numbers of a body may be."""

import re
from decimal import Decimal
from typing import Annotated, Any, Final

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    model_validator,
)
from pydantic_core import PydanticCustomError

from documents.language import languages
from sizing.money import MOST_MONEY

MOST_MEMBERS: Final = 200
"""Members of one part of a body; ours have some thirty."""
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")
_ORIGIN: Final = re.compile(r"https?://[a-z0-9]([a-z0-9.-]*[a-z0-9])?(:[0-9]{1,5})?")
_LINE_END: Final = re.compile(r"\r\n?")


def _lines(text: str) -> str:
    """Return a text with plain line ends; refuse what no database keeps and no paper prints."""
    text = _LINE_END.sub("\n", text)
    found = _CONTROL.search(text)
    if found:
        sign = f"U+{ord(found[0]):04X}"
        message = "Take out the control character {sign}: it cannot be kept or printed"
        raise PydanticCustomError("control_character", message, {"sign": sign})
    return text


def _line(text: str) -> str:
    """Return a text of one line."""
    if "\n" in _lines(text):
        raise PydanticCustomError("more_lines", "Write this in one line")
    return text


def _origins(text: str) -> str:
    """Return origins, one a line; refuse what is none, for they go into a header."""
    found = _lines(text).casefold().split()
    for one in found:
        if not _ORIGIN.fullmatch(one):
            message = "Write each address like https://www.example.org, without anything behind it"
            raise PydanticCustomError("no_origin", message)
    return "\n".join(found)


Line = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=200), AfterValidator(_line)
]
Name = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=200),
    AfterValidator(_line),
]
Email = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=254), AfterValidator(_line)
]
Phone = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=60), AfterValidator(_line)
]
Address = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=1000), AfterValidator(_lines)
]
Note = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=2000), AfterValidator(_lines)
]


def _language(code: str) -> str:
    """Return the code of a language that there is a catalogue of."""
    if code not in languages():
        known = ", ".join(languages())
        message = "There is no language “{code}”; there are: {known}"
        raise PydanticCustomError("language", message, {"code": code[:20], "known": known})
    return code


LanguageCode = Annotated[
    str, StringConstraints(max_length=20), AfterValidator(_language), Field(examples=["en", "de"])
]
Reason = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=3, max_length=500),
    AfterValidator(_lines),
]
LengthText = Annotated[
    str,
    StringConstraints(max_length=10_000),
    AfterValidator(_line),
    Field(examples=["36.8 cm", "14 1/2 in", "368 mm"]),
]
Origins = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=1000), AfterValidator(_origins)
]
Positive = Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False)]
Minutes = Annotated[float, Field(ge=0, le=10_000, allow_inf_nan=False)]
Money = Annotated[
    Decimal, Field(ge=0, le=int(MOST_MONEY.value), decimal_places=4, examples=["6.50"])
]
Share = Annotated[Decimal, Field(ge=0, le=1, decimal_places=6, examples=["0.10"])]


class Body(BaseModel):
    """A body that refuses fields it does not know, so that a slip in a name is seen."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @model_validator(mode="before")
    @classmethod
    def _few(cls, given: Any) -> Any:  # noqa: ANN401 - whatever was sent
        """Refuse thousands of members at once: telling of each would take seconds."""
        if isinstance(given, dict) and len(given) > MOST_MEMBERS:
            message = "Send at most {most} members here"
            raise PydanticCustomError("too_many_members", message, {"most": MOST_MEMBERS})
        return given

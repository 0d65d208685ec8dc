"""Requests drawn from the description of the API, most of them with numbers that there are.

A drawn number is hardly ever one of the shop's, and a drawn body hardly ever one that is
understood: nothing behind the first check would be tried. So most addresses name what is there,
most versions are those that stand, and most bodies are the description's own examples with one
part or another drawn.
"""

from collections.abc import Callable
from typing import Any, Final

from hypothesis import strategies as st
from schemathesis import GenerationMode

from tests.service.stocked import WORDS, Stocked

TENTHS: Final = st.integers(0, 9)
ANY_PLACE: Final = st.integers(0, 9_999)
KEYS: Final = ("key one", "key two", "key three")
Draw = Callable[[st.SearchStrategy[Any]], Any]


@st.composite
def cases(draw: Draw, operation: Any, stocked: Stocked) -> Any:  # noqa: ANN401 - a request
    """Draw a request: three of four within the description, the others against it."""
    sound = operation.as_strategy()
    if not draw(TENTHS) < 7 and is_told(operation):
        return placed(draw, draw(operation.as_strategy(GenerationMode.NEGATIVE)), stocked, 5)
    case = draw(sound)
    examples = examples_of(operation)
    if examples and draw(TENTHS) < 8:
        example = examples[draw(ANY_PLACE) % len(examples)]
        case.body = mixed(draw, example, case.body)
        case.media_type = "application/json"
    return placed(draw, case, stocked, 9)


def is_told(operation: Any) -> bool:  # noqa: ANN401 - an operation of the description
    """Return whether there is anything in a request that could be against the description."""
    raw = operation.definition.raw
    return bool(raw.get("parameters")) or "requestBody" in raw


def examples_of(operation: Any) -> list[Any]:  # noqa: ANN401 - as above
    """Return the bodies that the description gives as examples."""
    content = operation.definition.raw.get("requestBody", {}).get("content", {})
    told = content.get("application/json", {}).get("examples", {})
    return [one["value"] for one in told.values()]


def mixed(draw: Draw, example: Any, drawn: Any) -> Any:  # noqa: ANN401 - JSON
    """Return an example with some of its members as they were drawn, and some drawn ones more."""
    if not isinstance(example, dict) or not isinstance(drawn, dict):
        return drawn if not draw(TENTHS) else example
    both = {name: mixed(draw, value, drawn.get(name, value)) for name, value in example.items()}
    more = {name: value for name, value in drawn.items() if name not in both}
    return both | {name: value for name, value in more.items() if draw(TENTHS) < 2}


def placed(draw: Draw, case: Any, stocked: Stocked, often: int) -> Any:  # noqa: ANN401 - a request
    """Let most requests name what is there, at the version that stands."""
    if draw(TENTHS) < often:
        names, rows = stocked.real(case.operation.path)
        # A number of a fixed range, in any case: what is drawn must not hang on what is there.
        place = draw(ANY_PLACE)
        row = rows[place % len(rows)] if rows else ()
        for name, value in zip(names, row, strict=bool(row)):
            put(case, name, value)
    for part, words in WORDS.items():
        if part in case.operation.path and draw(TENTHS) < often:
            word = words[draw(ANY_PLACE) % len(words)]
            put(case, "secret" if "{secret}" in part else "kind", word)
    held = {one.name.lower() for one in case.operation.headers}
    if "if-match" in held and draw(TENTHS) < often:
        case.headers["If-Match"] = stocked.tag(case.formatted_path, case.query)
    if "idempotency-key" in held and draw(TENTHS) < 6:
        number = draw(ANY_PLACE)
        case.headers["Idempotency-Key"] = KEYS[number % 3] if number % 4 == 0 else f"key {number}"
    return case


def put(case: Any, name: str, value: Any) -> None:  # noqa: ANN401 - a request and what it names
    """Put what is named where an address, or its query, names it."""
    if name in case.path_parameters:
        case.path_parameters[name] = value
    elif name == "order":
        case.query[name] = [value]
    else:
        case.query[name] = value

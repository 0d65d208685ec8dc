"""How plain the shop's own sentences on a care sheet are, as the package readability measures."""

import re
from collections.abc import Iterator

from readability import getmeasures  # type: ignore[import-untyped]  # it comes without types

from documents.care_view import CareView

_TOKEN = re.compile(r"[\w\u2019]+|[^\w\s]")


def sentences(view: CareView) -> Iterator[str]:
    """Yield all sentences that the shop wrote; a colon or a heading's end is none."""
    texts = [view.heading, view.subheading, *view.closing]
    for topic in view.topics:
        texts += [topic.title, *topic.lines]
    for text in texts:
        yield from filter(None, re.split(r"(?<=[.!?])\s", text))


def measures(view: CareView, code: str = "en") -> dict[str, float]:
    """Return the measures of a sheet by name."""
    lines = (" ".join(_TOKEN.findall(sentence)) for sentence in sentences(view))
    found = getmeasures("\n".join(lines) + "\n", lang=code)
    return {name: float(value) for name, value in found["readability grades"].items()}

"""How plain the shop's own sentences on a care sheet are."""

import re
from collections.abc import Iterator

from documents.care_view import CareView

LONG = 6
"""Letters; a word with more is a long one."""
_WORD = re.compile(r"[^\W\d_]+")


def sentences(view: CareView) -> Iterator[str]:
    """Yield all sentences that the shop wrote; a colon or a heading's end is none."""
    texts = [view.heading, view.subheading, *view.closing]
    for topic in view.topics:
        texts += [topic.title, *topic.lines]
    for text in texts:
        yield from filter(None, re.split(r"(?<=[.!?])\s", text))


def lix(view: CareView) -> float:
    """Return the readability index LIX; under 30 is easy, long words weigh in it.

    Björnsson 1968, Läsbarhet: words a sentence + long words in a hundred. It was made for
    Swedish and is used for German, whose words are long.
    """
    told = [_WORD.findall(sentence) for sentence in sentences(view)]
    words = [word for sentence in told for word in sentence]
    long = sum(len(word) > LONG for word in words)
    return len(words) / len(told) + 100 * long / len(words)

"""The care and supervision sheet on paper, large enough to be read at arm's length.

No type is smaller than 14 points, and none of the large-print edition smaller than 18: the
clear print guidance of the sight-loss charities asks for 12 at least and 14 if possible, and
calls 16 to 18 large print (UKAAF G003, 2019). Where a sheet is too full, the spaces shrink
first, then headings move into the line of their text; only then it takes one more page.
"""

from collections.abc import Iterator
from enum import Enum
from typing import Final

from documents.care_parts import Setting, Spacing, ending, head, topic_blocks
from documents.care_view import CareView
from documents.flow import Block, Page, flowed, paginate
from documents.page import Label, Paper


class Edition(Enum):
    """The sizes of print, in points, and the pages that each should not exceed."""

    USUAL = (14.0, 1)
    LARGE = (18.0, 2)

    @property
    def size(self) -> float:
        """Return the type size in points."""
        return float(self.value[0])

    @property
    def pages(self) -> int:
        """Return how many pages it should take at most."""
        return int(self.value[1])


_GENEROUS: Final = Spacing(1.36, 0.36, 1.2)
_CLOSE: Final = Spacing(1.17, 0.03, 0.45)
_STEPS: Final = 12
_RUN_IN: Final = (0, 1, 3)


def _spacings() -> Iterator[Spacing]:
    """Yield the spacings from generous to close; the type stays as it is."""
    for run_in in _RUN_IN:
        for step in range(_STEPS + 1):
            part = step / _STEPS

            def between(most: float, least: float, part: float = part) -> float:
                return most + (least - most) * part

            yield Spacing(
                between(_GENEROUS.leading, _CLOSE.leading),
                between(_GENEROUS.items, _CLOSE.items),
                between(_GENEROUS.topics, _CLOSE.topics),
                run_in,
            )


def _blocks(view: CareView, at: Setting) -> Iterator[Block]:
    yield head(view, at)
    for place, topic in enumerate(view.topics):
        yield from topic_blocks(topic, at, place)
    yield ending(view, at)


def _set(view: CareView, edition: Edition, room: float) -> tuple[Page, ...]:
    """Return the pages of an edition, as roomy as its pages allow."""
    pages: tuple[Page, ...] = ()
    for spacing in _spacings():
        pages = paginate(tuple(_blocks(view, Setting(edition.size, spacing))), room)
        if len(pages) <= edition.pages:
            return pages
    return paginate(tuple(_blocks(view, Setting(edition.size, _GENEROUS))), room)


def render(view: CareView, paper: Paper, edition: Edition = Edition.USUAL) -> bytes:
    """Return the care sheet as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(
        title=view.title,
        author=view.maker_name,
        footer=view.footer,
        footer_size=edition.size,
        language=view.language,
    )
    return flowed(paper, label, _set(view, edition, label.room))

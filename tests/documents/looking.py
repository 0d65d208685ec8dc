"""What a printed page must never show: marks in the margin, words over words or over boxes."""

from typing import Any, Final

from pdfplumber.page import Page

from documents.page import MARGIN, SHARED_HEIGHT, SHARED_WIDTH, Paper

SIZES: Final = {Paper.A4: (595.28, 841.89), Paper.LETTER: (612.0, 792.0)}
HAIR: Final = 0.6  # half the heaviest rule that lies on the edge of the type area, and rounding
_BOX: Final = 40.0  # a box to tick or to write in is no wider
_TOUCH: Final = 0.3


def assert_inside(page: Page, paper: Paper) -> None:
    """Refuse a mark outside the margins."""
    wide, high = SIZES[paper]
    left = (wide - SHARED_WIDTH) / 2 + MARGIN - HAIR
    top = (high - SHARED_HEIGHT) / 2 + MARGIN - HAIR
    marks = [*page.extract_words(), *page.rects, *page.lines, *page.curves]
    assert len(marks) > 10
    for mark in marks:
        where = f"page {page.page_number}: {mark.get('text', mark.get('object_type'))}"
        assert mark["x0"] >= left, where
        assert mark["x1"] <= wide - left, where
        assert mark["top"] >= top, where
        assert mark["bottom"] <= high - top, where


def _crosses(word: dict[str, Any], box: dict[str, Any]) -> bool:
    """Return whether a word lies over an upright edge of a box."""
    middle = (word["top"] + word["bottom"]) / 2
    if not box["top"] < middle < box["bottom"]:
        return False
    return any(word["x0"] + _TOUCH < box[edge] < word["x1"] - _TOUCH for edge in ("x0", "x1"))


def crossed_boxes(page: Page) -> list[str]:
    """Return each word that lies over the edge of a box to tick."""
    boxes = [box for box in page.rects if box["width"] < _BOX and not box["fill"]]
    return [
        f"page {page.page_number}: {word['text']}"
        for word in page.extract_words()
        if any(_crosses(word, box) for box in boxes)
    ]


def least_type(page: Page) -> float:
    """Return the smallest size of type on a page, in points."""
    return min(float(letter["size"]) for letter in page.chars)

"""Rows in words, in US or UK terms.

Never "2 sc": it can be read as two in one stitch or one in each of two. Every sentence
says how many stitches go where, and ends with the count.
"""

from sizing.style import Hand, Terms
from sizing.wording.key import KEY, key_for
from sizing.wording.names import GAUGE_WORD, counted, round_word, stitch_name
from sizing.wording.openings import (
    hand_notes,
    part_closing,
    part_opening,
    part_title,
    reads_from,
    seam_words,
)
from sizing.wording.sentences import row_text

__all__ = [
    "GAUGE_WORD",
    "KEY",
    "Hand",
    "Terms",
    "counted",
    "hand_notes",
    "key_for",
    "part_closing",
    "part_opening",
    "part_title",
    "reads_from",
    "round_word",
    "row_text",
    "seam_words",
    "stitch_name",
]

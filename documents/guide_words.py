"""What the measuring guide tells an owner, in plain words and short sentences.

Where a sentence rests on a source, it stands beside it here; the paper cites nothing.
"""

from dataclasses import dataclass
from typing import Final

from documents.language import mark
from sizing.dogs import Field


@dataclass(frozen=True, slots=True)
class Tape:
    """One length: its sign on the picture, its name and where the tape runs."""

    sign: str
    name: str
    where: str


TAPES: Final = (
    (
        Field.NECK_LENGTH,
        Tape(
            "1",
            mark("Neck length"),
            mark("along the neck, from below the ear to where the collar shall end."),
        ),
    ),
    (
        Field.NECK_GIRTH,
        Tape("2", mark("Neck girth"), mark("round the neck, where the collar will lie.")),
    ),
    (
        Field.NAPE_LENGTH,
        Tape(
            "3",
            mark("Nape length"),
            mark("up the back of the head, from the neck to the top of the head."),
        ),
    ),
    (
        Field.FACE_GIRTH,
        Tape(
            "4",
            mark("Face girth"),
            mark("from under the chin, up in front of the ears, over the head and back."),
        ),
    ),
)
MORE_TAPES: Final = (
    Tape(
        "A",
        mark("Crown length, if you can"),
        mark("from where 3 ends, over the head to the brow."),
    ),
    Tape(
        "B",
        mark("Head girth, if you can"),
        mark("round the head where it is widest, over the ears: the collar must pass it."),
    ),
)

HOW: Final = (
    mark("Use a soft tape. Or lay a string, pinch it where it ends, and hold it to a ruler."),
    # The four lengths are those of a seated dog (sizing.dogs).
    mark("Let your dog sit at ease and look straight ahead."),
    # No source was found for a gap of so many fingers, so none is named.
    mark("Lay the tape on the coat. It touches all round and presses nowhere: it must slide."),
    # As the owner's page asks (`sizing.exactness.far_apart`, from Bascunan et al. 2016, Veterinary
    # Evidence 1(2)), in whole centimetres.
    mark(
        "Measure twice, with a pause between. If two girths differ by more than 2 cm (3/4 in), or"
        " two lengths by more than 1 cm (3/8 in), measure a third time and write that down too."
    ),
    mark(
        "Write what the tape shows and tick its unit. cm are centimetres, in are inches: 1 in is"
        " 2.54 cm. Do not change one into the other. Write parts of an inch as 14 1/2."
    ),
)
CAUTIONS: Final = (
    mark("Stop if your dog minds: pulls away, licks the lips, yawns, growls. Try another day."),
    # Hair clipped for a girth changed it by 3.44 cm in the same study: nobody shall do so.
    mark("Never shave, never tie a tape or a string on, never leave it on the dog."),
    mark("Sore skin, ears or eyes, or a bad throat: do not measure. Ask your vet first."),
)

"""What a breed's standard says of the lengths themselves, where it says anything."""

from math import log

from sizing.breeds import Breed
from sizing.doctor.spreads import BASE_OF_NECK, COLLAR_SHARE, HEAD_LENGTH_NAPE, HEAD_LENGTH_NECK
from sizing.dogs import Field
from sizing.units import MM_PER_CM

Span = tuple[float, float]


def middle(span: Span) -> float:
    """Return the middle of a span, as a ratio scale has it."""
    return float((span[0] * span[1]) ** 0.5)


def _head_length(breed: Breed) -> float | None:
    """Return the head length in cm, stated or as a share of the height."""
    if breed.head_length_cm:
        return middle(breed.head_length_cm)
    if breed.height_cm and breed.head_length_of_height:
        return middle(breed.height_cm) * middle(breed.head_length_of_height)
    return None


def _neck_length(breed: Breed, head: float | None) -> float | None:
    """Return the neck length in cm, stated or as a share of the head length."""
    if breed.neck_length_cm:
        return middle(breed.neck_length_cm)
    if head is None:
        return None
    share = breed.neck_of_head_length
    return head * (middle(share) if share else HEAD_LENGTH_NECK.value)


def stated(breed: Breed | None) -> dict[Field, float]:
    """Return ln of the usual lengths in mm that a standard gives for a dog of middle weight."""
    if breed is None or not breed.facts_cite:
        return {}
    head = _head_length(breed)
    neck = _neck_length(breed, head)
    found = {
        Field.NECK_LENGTH: neck and neck * COLLAR_SHARE.value,
        # The one standard that gives a neck girth takes it close to the shoulder.
        Field.NECK_GIRTH: breed.neck_girth_cm and middle(breed.neck_girth_cm) / BASE_OF_NECK.value,
        Field.NAPE_LENGTH: head and head * HEAD_LENGTH_NAPE.value,
        Field.FACE_GIRTH: breed.head_girth_cm and middle(breed.head_girth_cm),
    }
    return {field: log(cm * MM_PER_CM.value) for field, cm in found.items() if cm}

"""Changes to an order: merge patches (RFC 7396)."""

from typing import Any

from pydantic import ValidationError

from service.bodies import AcceptedStop, OrderIn
from service.errors import WrongShapeError
from sizing.ballband import NAMES as OF_BALL
from sizing.swatches import NAMES as OF_SWATCH


def merged(old: dict[str, Any], patch: dict[str, Any]) -> dict[str, Any]:
    """Return a document with a merge patch applied (RFC 7396: null removes a member)."""
    result = dict(old)
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        elif isinstance(value, dict):
            below = result.get(name)
            result[name] = merged(below if isinstance(below, dict) else {}, value)
        else:
            result[name] = value
    return result


def _same(stop: AcceptedStop, old: OrderIn, new: OrderIn) -> bool:
    """Return whether what a stop was accepted for is still the same.

    A doubt about the dog's weight or breed is one about all of its lengths, one about a count of
    the swatch is one about the others too.
    """
    if stop.field in OF_SWATCH or stop.field in OF_BALL:
        return (new.yarn, new.swatch) == (old.yarn, old.swatch)
    if stop.field not in type(new.measurements).model_fields:
        return (new.unit, new.measurements, new.dog) == (old.unit, old.measurements, old.dog)
    before = getattr(old.measurements, stop.field)
    return new.unit == old.unit and getattr(new.measurements, stop.field) == before


def patched(old: OrderIn, patch: dict[str, Any]) -> OrderIn:
    """Return the order that a merge patch makes of an old one.

    A stop accepted for one number is not accepted for another, unless the patch says so.
    """
    try:
        new = OrderIn.model_validate(merged(old.model_dump(mode="json"), patch))
    except ValidationError as error:
        wrong = {".".join(map(str, e["loc"])) or "body": e["msg"] for e in error.errors()}
        said = "; ".join(f"{name}: {message}" for name, message in wrong.items())
        raise WrongShapeError(said[:2000], wrong) from error
    except RecursionError as error:
        raise WrongShapeError("The change is nested deeper than any order.") from error
    if "accepted" in patch:
        return new
    return new.model_copy(update={"accepted": [s for s in new.accepted if _same(s, old, new)]})

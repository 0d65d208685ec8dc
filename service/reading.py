"""Reading lengths as people write them, all of a body before any is refused."""

from service.errors import UnreadableError
from sizing.errors import NotationError, ValueOutOfRangeError
from sizing.units import LengthUnit, read_length


class Reader:
    """Reads lengths in a unit and remembers what is wrong, by field."""

    def __init__(self, unit: LengthUnit) -> None:
        """Take numbers without a unit to be in this one."""
        self.unit = unit
        self.wrong: dict[str, str] = {}

    def length(self, name: str, text: str) -> float | None:
        """Return a length in mm, or None where there is none or it cannot be read."""
        if not text.strip():
            return None
        return self.needed(name, text)

    def needed(self, name: str, text: str) -> float | None:
        """Return a length in mm; an empty text cannot be read either."""
        try:
            return read_length(text, self.unit).value
        except NotationError as error:
            self.wrong[name] = str(error)
            return None

    def odd(self, name: str, error: ValueOutOfRangeError) -> None:
        """Remember what the core says of a field."""
        self.wrong[name] = str(error)

    def refuse(self, prefix: str = "") -> None:
        """Refuse all that is wrong at once.

        Raises:
            UnreadableError: if anything is; each field is named with the prefix before it.
        """
        if self.wrong:
            fields = {prefix + name: said for name, said in self.wrong.items()}
            raise UnreadableError(" ".join(fields.values()), fields)

"""What can be wrong with the values given to the core.

Each error keeps its parts as attributes; its message is a sentence for the maker.
"""

from sizing.evidence import shown


class SizingError(ValueError):
    """The root of all errors of the core."""


class NotationError(SizingError):
    """A length or weight is not written in a way that can be read safely.

    Attributes:
        text: what was given, cut to a length that can be shown.
        example: a correct way to write it.
    """

    def __init__(self, text: str, reason: str, example: str) -> None:
        """Keep the parts and build the sentence."""
        self.text = shown(text)
        self.example = example
        super().__init__(f"{reason} Write it like this: {example}.")


class ValueOutOfRangeError(SizingError):
    """A value that no dog, yarn, swatch or shop can have.

    Attributes:
        field: the name of the value.
    """

    def __init__(self, field: str, reason: str) -> None:
        """Keep the field's name and the sentence."""
        self.field = field
        super().__init__(reason)


class PatternFaultError(SizingError):
    """The stitch machine refuses a pattern.

    Attributes:
        part: the part of the hood.
        row: the row's number, 0 for the part as a whole.
    """

    def __init__(self, part: str, row: int, reason: str) -> None:
        """Keep the place and build the sentence."""
        self.part = part
        self.row = row
        super().__init__(f"{part}, row {row}: {reason}")


class StoppedError(SizingError):
    """A finding stops the plan until it is corrected or accepted with a reason.

    Attributes:
        fields: the measurements that stop it.
    """

    def __init__(self, fields: tuple[str, ...], reason: str) -> None:
        """Keep the fields and the sentence."""
        self.fields = fields
        super().__init__(reason)

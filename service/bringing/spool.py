"""Lines that are worked out and wait to be written, in a file without a name."""

import pickle
from collections.abc import Iterator
from tempfile import TemporaryFile
from types import TracebackType
from typing import IO, Any, Self, cast


class Spool:
    """Batches kept in the order in which they came; gone when it is closed.

    The plans of a hundred thousand orders are more than a small machine has memory for.
    """

    def __init__(self) -> None:
        """Begin with nothing."""
        self._file = cast("IO[bytes]", TemporaryFile())  # noqa: SIM115 - closed at the end of the block
        self._batches = 0

    def __enter__(self) -> Self:
        """Use it in a block."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Forget all that is in it."""
        self._file.close()

    def put(self, batch: list[Any]) -> None:
        """Add a batch."""
        pickle.dump(batch, self._file, pickle.HIGHEST_PROTOCOL)
        self._batches += 1

    def __iter__(self) -> Iterator[list[Any]]:
        """Return the batches from the first on."""
        self._file.seek(0)
        for _ in range(self._batches):
            batch: list[Any] = pickle.load(self._file)  # noqa: S301 - our own file, which nobody else can open
            yield batch

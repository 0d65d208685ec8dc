"""Where the program begins: the console command `hoodwright`."""

import gc
import sys
from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Load the program and run one of its commands; return the exit code."""
    # What is loaded stays until the end. To look through it for what has become garbage, again and
    # again while it grows, takes a sixth of the time to the first answer.
    gc.disable()
    from service import console  # noqa: PLC0415 - after the line above
    from service.keeping.private import write_privately  # noqa: PLC0415 - as above

    gc.freeze()
    gc.enable()
    write_privately()
    return console.main(arguments)


if __name__ == "__main__":
    sys.exit(main())

"""Hurt a running server and count what it kept: python3 deploy/faults.py --help.

It kills, fills the disk, takes the database away, and more, under load, on both databases; the
environment is that of deploy/check.py.
"""

import sys

if sys.hexversion < 0x030B0000:  # noqa: PLR2004 - 3.11, as the comparison wants it
    found = sys.version.split()[0]
    sys.exit("faults: Hoodwright needs Python 3.11 or newer, and this is " + found + ".")

import os
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from deploy.checking import call
from deploy.environment import CHECKING, SetupError, ensure


def main() -> int:
    """Run all faults in the environment of the checks."""
    try:
        ensure(CHECKING)
    except SetupError as error:
        print(f"faults: {error}", file=sys.stderr)
        return 1
    return call([str(CHECKING.python), "-m", "deploy.hurting", *sys.argv[1:]], os.environ)


if __name__ == "__main__":
    sys.exit(main())

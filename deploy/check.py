"""Check the checkout, linters and every test: python3 deploy/check.py --help.

This file keeps to syntax that every old Python can read, so that an old one
gets a sentence and no syntax error; the work is in deploy/checking.py.
"""

import sys

# Not version_info: a linter takes a comparison of it with our oldest for dead code.
if sys.hexversion < 0x030B0000:  # noqa: PLR2004 - 3.11, as the comparison wants it
    found = sys.version.split()[0]
    sys.exit("check: Hoodwright needs Python 3.11 or newer, and this is " + found + ".")

from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from deploy.checking import main

if __name__ == "__main__":
    sys.exit(main())

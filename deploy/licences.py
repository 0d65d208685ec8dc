"""Write docs/licences.md from what the locked packages say: python -m deploy.licences.

In the test environment (.env-check), which has them all; from the top folder.
"""

import re
import sys
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCK = ROOT / "deploy" / "requirements.txt"
TABLE = ROOT / "docs" / "licences.md"
HEAD = """# Licences of the packages that run with it

Made by `python -m deploy.licences` from what each package says of itself, for the versions that
`deploy/requirements.txt` locks. Hoodwright itself is under the MIT licence, its fonts under the
SIL Open Font License. The packages are fetched when it is installed; none is part of the checkout.
The wheel of psycopg-binary holds PostgreSQL's client library (PostgreSQL licence) and OpenSSL
(Apache-2.0) besides.

| package | version | licence |
|---|---|---|
"""
LONGEST = 60
ELSEWHERE = "only installed on other systems"


def locked() -> list[tuple[str, str]]:
    """Return the names and versions of the locked packages."""
    found = re.findall(r"(?m)^([a-z0-9._-]+)(?:\[[^\]]*\])?==([^\s;\\]+)", LOCK.read_text("utf-8"))
    return sorted(found)


def licence_of(name: str) -> str:
    """Return the licence that an installed package says it has; empty if it says none."""
    try:
        told = metadata(name)
    except PackageNotFoundError:
        return ELSEWHERE
    if "License-Expression" in told:
        return told["License-Expression"]
    kept = [
        one.rpartition(" :: ")[2]
        for one in told.get_all("Classifier") or []
        if one.startswith("License ::") and not one.endswith("OSI Approved")
    ]
    if kept:
        return ", ".join(kept)
    if "License" not in told:
        return ""
    return told["License"].strip().partition("\n")[0][:LONGEST]


def table() -> str:
    """Return the page."""
    rows = (f"| {name} | {version} | {licence_of(name)} |\n" for name, version in locked())
    return HEAD + "".join(rows)


def main() -> int:
    """Write the page; return 1 if a package names no licence."""
    silent = [name for name, _ in locked() if not licence_of(name)]
    if silent:
        print(
            f"licences: no licence is named by {', '.join(silent)}; look there.", file=sys.stderr
        )
        return 1
    TABLE.write_text(table(), encoding="utf-8")
    print(f"licences: {TABLE.relative_to(ROOT)} made.")
    return 0


if __name__ == "__main__":
    sys.exit(main())

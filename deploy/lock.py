"""Remake the locked files: python3 deploy/lock.py (needs the program uv on the path).

Versions already locked are kept; `--upgrade` takes the newest.
"""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

LOCKS = {
    "requirements.txt": ("pyproject.toml",),
    "requirements-trace.txt": ("pyproject.toml", "--extra", "trace"),
    "requirements-dev.txt": ("pyproject.toml", "--extra", "dev", "--extra", "trace"),
    # Of this one only the programs are used, so none of what its Python part needs.
    "requirements-postgres.txt": ("deploy/postgres.in", "--no-deps"),
}
# One lock for every system and Python, with hashes, and no word of where packages come from.
OPTIONS = (
    "--universal",
    "--python-version=3.11",
    "--generate-hashes",
    "--no-emit-index-url",
    "--no-header",
    "--no-annotate",
    "--quiet",
)


def main() -> int:
    """Remake each lock and look that it names no address."""
    uv = shutil.which("uv")
    if uv is None:
        print("lock: install uv first (pip install uv).", file=sys.stderr)
        return 1
    for name, inputs in LOCKS.items():
        target = Path("deploy", name)
        command = [uv, "pip", "compile", *inputs, *OPTIONS, *sys.argv[1:], "-o", str(target)]
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        if "://" in (ROOT / target).read_text(encoding="utf-8"):
            print(f"lock: {target} names an address; packages must not.", file=sys.stderr)
            return 1
        print(f"lock: {target} made.")
    return 0


if __name__ == "__main__":
    sys.exit(main())

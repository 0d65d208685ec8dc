"""Every benchmark of speed and memory: python3 deploy/bench.py --help.

Run on an idle machine. Nothing here passes or fails: each figure stands beside its floor,
measured in the same run, and its goal.
"""

import argparse
import os
import platform
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from deploy.environment import CHECKING, ROOT, SetupError, ensure

PARTS = {
    "plan": ("tests.benchmarks.plan", "20000"),
    "papers": ("tests.benchmarks.papers",),
    "start": ("tests.benchmarks.web.start",),
    "requests": ("tests.benchmarks.web.speed",),
    "page": ("tests.benchmarks.web.page",),
    "import": ("tests.benchmarks.web.bringing",),
    "memory": ("tests.benchmarks.web.memory",),
    "growth": ("tests.benchmarks.web.growth",),
}
PACKAGES = ("fastapi", "starlette", "pydantic", "sqlmodel", "SQLAlchemy", "uvicorn", "reportlab")
WORDS = (
    "import importlib.metadata as m, sys; print(*(f'{p} {m.version(p)}' for p in sys.argv[1:]))"
)


def machine() -> str:
    """Return what the figures were measured on."""
    versions = subprocess.run(
        [CHECKING.python, "-c", WORDS, *PACKAGES], capture_output=True, text=True, check=True
    ).stdout.strip()
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    return (
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, load {load:.1f};"
        f" Python {platform.python_version()}; {versions}"
    )


def main() -> int:
    """Run the parts that are wanted; return 1 if one of them ended badly."""
    parser = argparse.ArgumentParser(prog="bench.py", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("part", nargs="*", help=f"only these, of: {', '.join(PARTS)}")
    parser.add_argument(
        "--orders", nargs="*", default=[], help="sizes of the shops for growth (a million: 25 GB)"
    )
    parser.add_argument("--shops", type=Path, help="a folder to keep those shops in")
    options = parser.parse_args()
    if unknown := set(options.part) - set(PARTS):
        parser.error(f"there is no part {', '.join(sorted(unknown))}.")
    try:
        ensure(CHECKING)
    except SetupError as error:
        print(f"bench: {error}", file=sys.stderr)
        return 1
    print(machine(), flush=True)
    bad = 0
    for name in options.part or PARTS:
        arguments = list(PARTS[name])
        if name == "growth" and options.shops:
            arguments += [str(options.shops), *options.orders]
        print(f"\n== {name}", flush=True)
        command = [str(CHECKING.python), "-m", *arguments]
        bad |= subprocess.run(command, cwd=ROOT, check=False).returncode
    return int(bool(bad))


if __name__ == "__main__":
    sys.exit(main())

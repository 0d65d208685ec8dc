"""Programs of the system that the tests use: found, or installed where that can be done."""

import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from deploy.environment import SetupError

CHROMIUM_VARIABLE = "HOODWRIGHT_TEST_CHROMIUM"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
MAC_BROWSERS = (
    Path("/Applications/Chromium.app/Contents/MacOS/Chromium"),
    Path("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"),
)
READERS = {"pdftoppm": "poppler-utils", "pdftotext": "poppler-utils", "qpdf": "qpdf"}


def chromium() -> str:
    """The path of a Chromium or Chrome."""
    given = os.environ.get(CHROMIUM_VARIABLE)
    if given:
        found = shutil.which(given)
        if not found:
            raise SetupError(f"{CHROMIUM_VARIABLE} names no program: {given}")
        return found
    if found := _browser():
        return found
    apt_install(["chromium"])
    if found := _browser():
        return found
    raise SetupError(
        "the browser tests need Chromium or Chrome: install it"
        f" (Debian: sudo apt-get install chromium) or name one in {CHROMIUM_VARIABLE}."
    )


def _browser() -> str | None:
    for name in BROWSERS:
        if found := shutil.which(name):
            return found
    return next((str(path) for path in MAC_BROWSERS if path.exists()), None)


def require_pdf_readers() -> None:
    """Have the programs with which the tests read the printed papers."""
    if missing := missing_readers():
        apt_install(missing)
    if missing := missing_readers():
        raise SetupError(
            f"the tests of papers need {' and '.join(missing)}: install"
            f" {'it' if len(missing) == 1 else 'them'}"
            f" (Debian, Ubuntu: sudo apt-get install {' '.join(missing)})."
        )


def missing_readers() -> list[str]:
    """The packages of the PDF readers that are not there."""
    return sorted({package for name, package in READERS.items() if not shutil.which(name)})


def apt_install(packages: Sequence[str]) -> None:
    """Install Debian packages where we may; the caller looks whether they came."""
    if os.name != "posix" or os.geteuid() != 0 or not shutil.which("apt-get"):
        return
    print(f"Installing {' '.join(packages)} ...", flush=True)
    # Another program may be installing at this moment: wait for it.
    apt = ["apt-get", "-qq", "-o", "DPkg::Lock::Timeout=300"]
    for command in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        done = subprocess.run(
            [*apt, *command],
            env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            errors="replace",
            check=False,
        )
        if done.returncode:
            print(done.stderr.strip(), flush=True)

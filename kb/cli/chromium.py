"""A Chromium of this machine, asked for one thing: a page on paper as PDF.

It runs without a window, with a profile of its own that is thrown away, and with no way to any network.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

NAMES = (
    "chromium-headless-shell", "chromium", "chromium-browser", "google-chrome-stable", "google-chrome",
    "chrome", "microsoft-edge",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)  # fmt: skip
LONGEST_START_S = 60
LONGEST_PRINTING_S = 180

_SWITCHES = (
    "--headless", "--disable-gpu", "--no-first-run", "--disable-sync", "--disable-extensions",
    "--disable-background-networking", "--disable-component-update", "--host-resolver-rules=MAP * ~NOTFOUND",
    "--no-pdf-header-footer",
)  # fmt: skip


class NoPdf(Exception):  # noqa: N818 - it says what it is
    """Why there is no PDF, as the words that follow "no PDF could be made"."""


def find_chromium() -> str:
    """The command of a Chromium that starts; raises NoPdf.

    `CHROMIUM` in the environment names one. Each is asked for its version, because some systems ship a
    command that only advertises a package.
    """
    named = os.environ.get("CHROMIUM")
    for name in (named,) if named else NAMES:
        command = shutil.which(name)
        if command and _starts(command):
            return command
    raise NoPdf(
        f"CHROMIUM is set to {named}, which does not start" if named else "no Chromium is installed here"
    )


def print_to_pdf(command: str, page: Path, pdf: Path, profile: Path) -> None:
    """Print a page of this machine into `pdf`; raises NoPdf."""
    # As root it refuses to start with its sandbox; nobody else has to do without.
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    words = [
        command, *_SWITCHES, *(["--no-sandbox"] if is_root else []), f"--user-data-dir={profile}",
        f"--print-to-pdf={pdf}", page.as_uri(),
    ]  # fmt: skip
    try:
        done = subprocess.run(  # noqa: S603 - a browser of this machine, with our own file
            words, stdin=subprocess.DEVNULL, capture_output=True, timeout=LONGEST_PRINTING_S, check=False
        )
    except subprocess.TimeoutExpired:
        raise NoPdf(f"{command} took longer than {LONGEST_PRINTING_S} s") from None
    except OSError as error:
        raise NoPdf(f"{command} does not start ({error.strerror})") from None
    if done.returncode or not pdf.is_file() or not pdf.read_bytes()[:5] == b"%PDF-":
        raise NoPdf(f"{command} printed none")


def _starts(command: str) -> bool:
    try:
        asked = subprocess.run(  # noqa: S603 - found on the path under one of the names above
            [command, "--version"], stdin=subprocess.DEVNULL, capture_output=True, timeout=LONGEST_START_S,
            check=False,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired):
        return False
    return asked.returncode == 0

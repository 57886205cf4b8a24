"""When each file of a shop folder last changed, as its git history tells; nothing where there is none.

Git is only asked, never told: it runs no program of the repository's or the user's, fetches nothing, and
what it can't say for certain is left out.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

_SETTINGS = ("core.fsmonitor=false", "core.hooksPath=/dev/null", "core.quotePath=false",
             "log.showSignature=false", "protocol.allow=never")  # fmt: skip
_PLAINLY = ("-z", "--name-only", "--relative", "--no-renames", "--no-ext-diff", "--no-textconv",
            "--ignore-submodules=all")  # fmt: skip
_HEAD = "\x01"
_COMMIT = re.compile(r"([0-9a-f]{40,64}) ([0-9]{4}-[0-9]{2}-[0-9]{2})\Z")
NOTHING: Mapping[str, Change] = MappingProxyType({})


@dataclass(frozen=True)
class Change:
    """The day of the last commit that changed a file, and whether it has been changed since."""

    day: str
    is_changed_since: bool = False


def last_changes(root: Path) -> Mapping[str, Change]:
    """The last change of every file under `root`, by its path from there; one reading of the history.

    In a clone that was cut off, files that did not change since the cut are left out: the history that
    would tell their day is not there.
    """
    git = shutil.which("git")
    if git is None:
        return NOTHING
    cut_off = _cut_off(git, root)
    log = _asked(git, root, "log", *_PLAINLY, f"--format={_HEAD}%H %as", "HEAD", "--", ".")
    open_files = _asked(git, root, "diff", *_PLAINLY, "HEAD", "--", ".")
    if cut_off is None or log is None or open_files is None:
        return NOTHING
    changed = frozenset(open_files.split("\0"))
    days = _days(log, cut_off)
    return MappingProxyType({file: Change(day, file in changed) for file, day in days.items() if day})


def uncommitted(root: Path, files: Iterable[str]) -> tuple[str, ...]:
    """Those of `files` whose state no commit holds; none where there is no repository to ask."""
    git = shutil.which("git")
    found = []
    for file in files if git else ():
        status = _asked(git or "", root, "status", "--porcelain", "-z", "--untracked-files=all", "--", file)
        if status:
            found.append(file)
    return tuple(found)


def _days(log: str, cut_off: frozenset[str]) -> dict[str, str | None]:
    """The day of each file's newest commit; None where that is where the history was cut off."""
    days: dict[str, str | None] = {}
    day: str | None = None
    for token in log.split("\0"):
        found = _COMMIT.match(token[1:]) if token.startswith(_HEAD) else None
        if found:
            day = None if found[1] in cut_off else found[2]
        elif token:
            days.setdefault(token.removeprefix("\n"), day)
    return days


def _cut_off(git: str, root: Path) -> frozenset[str] | None:
    """The commits whose parents a shallow clone left out; None where there is no repository."""
    path = _asked(git, root, "rev-parse", "--git-path", "shallow")
    if path is None:
        return None
    try:
        return frozenset((root / path.rstrip("\n")).read_text(encoding="ascii").split())
    except (OSError, ValueError):
        return frozenset()


def _asked(git: str, root: Path, *words: str) -> str | None:
    """What git answers, without the settings of the user and of the machine; None where it fails."""
    settings = [word for each in _SETTINGS for word in ("-c", each)]
    environment = {
        "PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_GLOBAL": os.devnull, "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0",
        "GIT_NO_LAZY_FETCH": "1", "GIT_NO_REPLACE_OBJECTS": "1",
    }  # fmt: skip
    try:
        done = subprocess.run(  # noqa: S603 - a fixed list of words
            [git, "--no-pager", *settings, *words],
            cwd=root, env=environment, stdin=subprocess.DEVNULL, capture_output=True, check=False,
        )  # fmt: skip
    except OSError:
        return None
    return done.stdout.decode("utf-8", "surrogateescape") if done.returncode == 0 else None

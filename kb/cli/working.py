"""A folder to work in beside what is to be written, and the ones that killed runs left behind.

A run holds a lock on a file in its folder for as long as it lives, and the system lets go of it however the
run ends. A folder is a left-over if it has that file and nobody holds the lock; no other one is touched.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

import click

if sys.platform != "win32":
    import fcntl

MARK = "halfsplit-at-work"
"""The file in each such folder that says what the folder is, and that its run holds the lock on."""

OLD = "old"
"""Where a run keeps the folder that it is about to replace."""

_ENDING = re.compile(r"[a-z0-9_]{8}\Z")


@contextmanager
def working_folder(target: Path) -> Iterator[Path]:
    """An empty folder beside `target` that is gone afterwards."""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        folder = Path(tempfile.mkdtemp(prefix=_prefix(target), dir=target.parent))
    except OSError as error:
        raise _no_place(target, error) from None
    held: IO[bytes] | None = None
    try:
        try:
            held = _marked(folder)
        except OSError as error:
            raise _no_place(target, error) from None
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        if held is not None:
            held.close()


def _no_place(target: Path, error: OSError) -> click.UsageError:
    what = f'nothing can be written beside "{target}" ({error.strerror})'
    return click.UsageError(f"{what}; choose a place where you may write")


def remove_left_overs(target: Path) -> None:
    """Remove what killed runs left beside `target`, and bring back what one of them had moved away."""
    with suppress(OSError):
        for each in sorted(target.parent.iterdir()):
            if each.name.startswith(_prefix(target)) and _ENDING.fullmatch(each.name, len(_prefix(target))):
                _remove_if_left_over(each, target)


def _prefix(target: Path) -> str:
    return f".{target.name}-"


def _marked(folder: Path) -> IO[bytes]:
    """The marked file, locked. It gets its name when the lock is held, so that none is seen without."""
    unnamed = folder / f"{MARK}.new"
    file = unnamed.open("wb")
    # Without a lock nobody could tell whether this run lives, so its folder is never taken for a left-over.
    if _is_ours_to_lock(file):
        unnamed.rename(folder / MARK)
    return file


def _remove_if_left_over(folder: Path, target: Path) -> None:
    if folder.is_symlink() or not folder.is_dir() or (folder / MARK).is_symlink():
        return
    try:
        file = (folder / MARK).open("rb+")
    except OSError:
        return
    with file:
        if not _is_ours_to_lock(file):
            return
        # Killed between two renames: the only whole site is the one that was moved away.
        if (folder / OLD).exists() and not target.exists():
            (folder / OLD).rename(target)
        shutil.rmtree(folder, ignore_errors=True)


def _is_ours_to_lock(file: IO[bytes]) -> bool:
    """Whether nobody else holds the lock; False where the system has none."""
    if sys.platform == "win32":
        return False
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return os.fstat(file.fileno()).st_nlink > 0

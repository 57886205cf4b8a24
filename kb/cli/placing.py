"""A folder that takes another one's place whole: the old one stays until the new one is finished.

Where the system can, the two change places in one step, so that not even a power cut leaves nothing.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from kb.cli.working import OLD, remove_left_overs, working_folder

_EXCHANGE = 2
_FROM_HERE = -100
_SWAP = 2


@contextmanager
def in_place_of(target: Path, mark: str, called: str) -> Iterator[Path]:
    """An empty folder beside `target` that takes its place at the end, if all went well.

    `mark` is a file that every site of this kind holds, and `called` what such a site is called: a folder
    with anything in it and without that file is something else, and is left alone.
    """
    if target.is_symlink() and not target.exists():
        raise click.UsageError(f'"{target}" is a link that leads nowhere; name another place with --to')
    target = target.resolve()
    # First of all: a run that was killed may have left the old site beside its place.
    remove_left_overs(target)
    if target.exists() and (not target.is_dir() or (any(target.iterdir()) and not (target / mark).is_file())):
        raise click.UsageError(f'"{target}" is not {called} made by halfsplit; name another place with --to')
    with working_folder(target) as beside:
        fresh = beside / "new"
        fresh.mkdir()
        try:
            yield fresh
        except OSError as error:
            # A full disk, a quota, a device that went away: whichever file it hit, the old site is whole.
            what = f'{called} cannot be written in "{target}" ({error.strerror or error})'
            raise click.UsageError(f"{what}; what was there is as it was") from None
        _exchange(target, fresh, beside / OLD)


def _exchange(target: Path, fresh: Path, old: Path) -> None:
    """Put `fresh` in the place of `target`; if that cannot be done, `target` is what it was."""
    try:
        if not target.exists():
            fresh.rename(target)
        elif not _swapped(fresh, target):
            _one_after_the_other(target, fresh, old)
    except OSError as error:
        raise click.UsageError(
            f'the site cannot be put in the place of "{target}" ({error.strerror})'
        ) from None


def _one_after_the_other(target: Path, fresh: Path, old: Path) -> None:
    """Two renames; whatever comes between them, an interruption too, brings the old folder back."""
    try:
        target.rename(old)
        fresh.rename(target)
    finally:
        if old.exists() and not target.exists():
            old.rename(target)


def _swapped(one: Path, other: Path) -> bool:
    """Whether two folders changed places in one step; False where the system has no such call."""
    first, second = os.fsencode(one), os.fsencode(other)
    try:
        library = ctypes.CDLL(None)
        if sys.platform == "darwin":
            return int(library.renamex_np(first, second, _SWAP)) == 0
        return int(library.renameat2(_FROM_HERE, first, _FROM_HERE, second, _EXCHANGE)) == 0
    except (AttributeError, OSError, TypeError):
        return False

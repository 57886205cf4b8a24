"""Whether anything in a shop folder has changed, told by the names, sizes and times of its files.

What halfsplit itself writes there is passed over, or every build would call for the next one.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from kb.cli.build import MARK

Stamp = tuple[int, int, int]


def state_of(folders: tuple[Path, ...]) -> Mapping[str, Stamp]:
    """Every file under `folders` with what tells one state of it from the next."""
    return {path: stamp for folder in folders for path, stamp in _files(os.fspath(folder))}


def _files(folder: str) -> Iterator[tuple[str, Stamp]]:
    """What cannot be looked into is taken for empty: reading the shop will tell why."""
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.name.startswith(".") or entry.name.endswith("~"):
            continue
        try:
            if entry.is_dir(follow_symlinks=False):
                if not os.path.lexists(os.path.join(entry.path, MARK)):  # noqa: PTH118 - thousands of times
                    yield from _files(entry.path)
                continue
            found = entry.stat()
        except OSError:
            continue
        yield entry.path, (found.st_mtime_ns, found.st_size, found.st_ino)

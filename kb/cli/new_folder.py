"""A new shop folder, there whole or not at all: it is filled beside its place and moved at the end."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kb.cli.asking import refuse


def need_room(folder: Path) -> None:
    """Refuse a place that is taken: a file, or a folder with anything in it."""
    try:
        if folder.exists() and not folder.is_dir():
            refuse(f'"{folder}" is a file', "name a new or an empty folder")
        if folder.is_dir() and any(folder.iterdir()):
            refuse(f'"{folder}" is not empty', "name a new or an empty folder")
    except OSError as error:
        refuse(f'"{folder}" cannot be read ({error.strerror})', "name another folder")


@contextmanager
def new_folder(folder: Path) -> Iterator[Path]:
    """An empty folder whose content is `folder`'s at the end, if all went well."""
    is_there = folder.is_dir()
    if not is_there:
        folder.parent.mkdir(parents=True, exist_ok=True)
    # An empty folder that is there may be the one the user stands in: it is filled, not replaced.
    beside = Path(tempfile.mkdtemp(prefix=".start-", dir=folder if is_there else folder.parent))
    fresh = beside / "new"
    try:
        fresh.mkdir()
        yield fresh
        if is_there:
            _move_all(fresh, folder)
        else:
            fresh.rename(folder)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _move_all(source: Path, target: Path) -> None:
    """Move what lies in `source` to `target`, or nothing of it."""
    moved: list[Path] = []
    try:
        for path in sorted(source.iterdir()):
            place = target / path.name
            if place.exists():
                raise FileExistsError(17, f"{path.name} has come into being", str(place))
            path.rename(place)
            moved.append(place)
    except OSError:
        for place in moved:
            place.rename(source / place.name)
        raise

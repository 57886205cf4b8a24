"""The files of records: where one lies or will lie, what it holds, and how a new text takes its place.

An id is the only part of a path that comes from outside, and it has to be an id. Nothing outside the shop
folder is read or written, whatever links lie in it.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from kb.cli.drafting import PLACES, place_of
from kb.reading.finding import bytes_of, record_files
from kb.reading.tree import LARGEST_FILE
from kb.records.fields import is_identifier


class NotAllowed(Exception):  # noqa: N818 - it says what it is
    """This cannot be read or written here; the message says why, for the one who asked."""


@dataclass(frozen=True)
class RecordFile:
    """The file of a record; `data` is None where it is yet to come into being."""

    path: Path
    file: str
    data: bytes | None

    @property
    def state(self) -> str:
        """What tells this state of the file from any other; "" where it is not there."""
        return "" if self.data is None else hashlib.sha256(self.data).hexdigest()


def existing(root: Path, kind: str, identifier: str) -> RecordFile:
    """The file of a record that is there."""
    _need_id(identifier)
    for path in record_files(root, PLACES[kind])[0]:
        if path.stem == identifier:
            return _read(root, path)
    raise NotAllowed(f'there is no {kind} "{identifier}"')


def new(root: Path, kind: str, identifier: str, under: str) -> RecordFile:
    """The place of a record that is not there yet; `under` is a folder of its kind, used if it is there."""
    _need_id(identifier)
    if any(path.stem == identifier for path in record_files(root, PLACES[kind])[0]):
        raise NotAllowed(f'there is a {kind} "{identifier}" already; choose another id, or edit that one')
    path = place_of(root, kind, identifier, under if is_identifier(under) else "")
    _need_inside(root, path)
    if os.path.lexists(path):
        raise NotAllowed(f'there is a file "{path.name}" already; choose another id')
    return RecordFile(path, path.relative_to(root).as_posix(), None)


def write(root: Path, at: RecordFile, data: bytes) -> None:
    """Put `data` in the place of what `at` held, whole; refused if that is not there any more."""
    if len(data) > LARGEST_FILE:
        raise NotAllowed("the record is too large")
    try:
        at.path.parent.mkdir(parents=True, exist_ok=True)
        _need_inside(root, at.path)
        handle, name = tempfile.mkstemp(prefix=".entry-", dir=at.path.parent)
        beside = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            _put_in_place(beside, at)
        finally:
            with suppress(FileNotFoundError):
                beside.unlink()
    except OSError as error:
        raise NotAllowed(f'"{at.file}" cannot be written ({error.strerror})') from None


def _put_in_place(beside: Path, at: RecordFile) -> None:
    if at.data is None:
        beside.chmod(0o666 & ~_umask())
        try:
            # A link is only made where there is nothing yet; a rename would take the place of anything.
            os.link(beside, at.path)
        except FileExistsError:
            raise NotAllowed(f'"{at.file}" has come into being meanwhile; choose another id') from None
        return
    if at.path.is_symlink() or bytes_of(at.path) != at.data:
        raise NotAllowed(f'"{at.file}" was changed meanwhile; load it again')
    shutil.copymode(at.path, beside)
    beside.replace(at.path)


def _read(root: Path, path: Path) -> RecordFile:
    _need_inside(root, path)
    try:
        data = bytes_of(path)
    except OSError as error:
        raise NotAllowed(f'"{path.name}" cannot be read ({error.strerror})') from None
    return RecordFile(path, path.relative_to(root).as_posix(), data)


def _need_id(identifier: str) -> None:
    if not is_identifier(identifier):
        raise NotAllowed(
            f'"{identifier[:40]}" is not an id; small letters, digits and single hyphens, such as short-pulse'
        )


def _need_inside(root: Path, path: Path) -> None:
    """No part of the way to a record may be a link: it could lead anywhere."""
    at = path
    while at not in (root, at.parent):
        if at.is_symlink():
            raise NotAllowed(f'"{at.name}" is a link; records are written only where they lie')
        at = at.parent
    if not path.resolve().is_relative_to(root.resolve()):
        raise NotAllowed("this is outside the shop folder")


def _umask() -> int:
    found = os.umask(0o077)
    os.umask(found)
    return found

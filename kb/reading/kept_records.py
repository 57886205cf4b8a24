"""Records of an earlier run out of a `Store`: a file whose bytes have the same digest is not read again.

Only records of sound files are kept, each under its file's name and digest; times of files decide nothing.
There are two entries, so that one edit need not write every record again: all as they once were, and those
that have changed since.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from kb.reading.kept_units import keep_units, take_units
from kb.reading.located import Located
from kb.reading.packing import packed, unpacked
from kb.records import Written
from kb.store import Store, code_key

ALL, SINCE = "records", "records-since"
FEWEST_TO_WRITE_ALL = 32
_PART_TO_WRITE_ALL = 16
"""All are written anew when more than one in so many is no longer as it was there."""


class Kept(NamedTuple):
    """The digest of a file's bytes, its record, and the line its body begins in."""

    digest: str
    record: Written
    body_line: int


Digests = Mapping[str, str]
"""The digest of each file by its name."""

_on_disk: dict[Path, tuple[Digests, Digests]] = {}
"""What both entries of a folder hold, as far as this process has read or written them."""

_with_units: set[Path] = set()
"""The folders in which this process found or put how units convert."""


class KeptRecords:
    """What a store has of one shop's records; it is looked into when the first is asked for."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._entries: tuple[Mapping[str, Kept], ...] | None = None

    def get(self, file: str, digest: str, kind: type[Written]) -> Kept | None:
        """The record of a file with these bytes, if it was kept."""
        for entry in self._opened():
            found = entry.get(file)
            if found is not None and found.digest == digest and type(found.record) is kind:
                return found
        return None

    def keep(self, records: Iterable[Located[Any]]) -> None:
        """Keep `records` and no others; nothing is written where they are kept already."""
        if not self._store.keeps:
            return
        self._opened()
        folder = self._store.folder
        if folder not in _with_units and keep_units(self._store):
            _with_units.add(folder)
        now = {each.file: each for each in records}
        everything, since = _on_disk[folder]
        changed = {file: each for file, each in now.items() if everything.get(file) != each.digest}
        stale = len(changed) + len(everything.keys() - now.keys())
        if stale > max(FEWEST_TO_WRITE_ALL, len(now) // _PART_TO_WRITE_ALL):
            self._write(ALL, now)
            everything, changed = _digests(now), {}
        if _digests(changed) != since:
            self._write(SINCE, changed)
        _on_disk[folder] = (everything, _digests(changed))

    def _opened(self) -> tuple[Mapping[str, Kept], ...]:
        """Both entries; nothing where this process knows them: what it read out of them it still has."""
        if self._entries is None:
            if self._store.folder in _on_disk:
                self._entries = ()
            else:
                if take_units(self._store):
                    _with_units.add(self._store.folder)
                everything, since = self._read(ALL), self._read(SINCE)
                self._entries = (since, everything)
                _on_disk[self._store.folder] = (_digests(everything), _digests(since))
        return self._entries

    def _read(self, name: str) -> Mapping[str, Kept]:
        body = self._store.load(name, code_key())
        found = None if body is None else unpacked(body)
        if isinstance(found, dict) and all(isinstance(each, Kept) for each in found.values()):
            return found
        return {}

    def _write(self, name: str, records: Mapping[str, Located[Any]]) -> None:
        body = packed(
            {file: Kept(each.digest, each.record, each.body_line) for file, each in records.items()}
        )
        if body is not None:
            self._store.keep(name, code_key(), [body])


def _digests(entry: Mapping[str, Kept] | Mapping[str, Located[Any]]) -> Digests:
    return {file: each.digest for file, each in entry.items()}


def forget() -> None:
    """Look into every folder anew, as another process would."""
    _on_disk.clear()
    _with_units.clear()

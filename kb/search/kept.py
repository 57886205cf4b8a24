"""An index of symptoms kept between two questions in the terminal: read at once, or not used at all.

It lies in a `Store` of its own in the shop and may be deleted at any time. What is kept is only used for
exactly the files it was made of, told by name, size and times.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from kb.store import Store

Stamp = tuple[int, int, int]
"""Size, time of writing and time of change of a file, in bytes and ns; zeros where it cannot be read."""

PLACE = Path(".halfsplit") / "find"
WATCHED = ("models", "faults", "jobs")
CARDS = ("synonyms.yml",)
_TOO_FRESH_NS = 2_000_000_000
"""A file written within the last two seconds could change again without its times telling (coarse clocks)."""

_CODE = ("search", "wording", "reading", "records", "shop", "quantities", "safety")


@dataclass(frozen=True)
class State:
    """The files of a shop that the search reads, as they are at one moment."""

    stamps: Mapping[str, Stamp]
    taken_ns: int

    @classmethod
    def of(cls, root: Path) -> State:
        """How the shop folder at `root` is now."""
        taken = time.time_ns()
        found = {path: stamp for folder in WATCHED for path, stamp in _stamps(root, folder)}
        for card in CARDS:
            if os.path.lexists(root / card):
                found[card] = _stamp(root / card)
        return cls(dict(sorted(found.items())), taken)

    @cached_property
    def key(self) -> str:
        """Changes with every file, and with the code that makes an index of them."""
        return _digest(json.dumps([code_key(), list(self.stamps.items())]).encode())

    def is_settled(self, file: str) -> bool:
        """Whether any later change of a file would show in its times."""
        stamp = self.stamps.get(file)
        return stamp is not None and all(abs(self.taken_ns - each) > _TOO_FRESH_NS for each in stamp[1:])

    @cached_property
    def all_settled(self) -> bool:
        """Whether that holds of every file."""
        return all(self.is_settled(file) for file in self.stamps)


def load(root: Path, name: str, key: str) -> bytes | None:
    """What was kept under `name` with that key; None if there is nothing that can be trusted."""
    return Store(root, place=PLACE).load(name, key)


def keep(root: Path, name: str, key: str, body: bytes) -> None:
    """Keep `body`, whole or not at all; a folder that cannot be written to is no trouble."""
    Store(root, place=PLACE).keep(name, key, [body])


def code_key() -> str:
    """Changes with every file of the code that decides what an index holds."""
    kb = Path(__file__).parent.parent
    return _digest(json.dumps([list(_stamps(kb, folder)) for folder in _CODE]).encode())


def pack(files: Mapping[str, object]) -> bytes:
    """Named values as lines, so that one is read without the others."""
    return b"\n".join(
        f"{path}\t{json.dumps(files[path], separators=(',', ':'))}".encode() for path in sorted(files)
    )


def unpack(body: bytes) -> dict[str, bytes]:
    """Each value in JSON by its name."""
    lines = (line.partition(b"\t") for line in body.split(b"\n"))
    return {path.decode(): written for path, _, written in lines}


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _stamps(root: Path, folder: str) -> Iterator[tuple[str, Stamp]]:
    """Every file under a folder in the order of names; what cannot be looked into counts as a file."""
    try:
        with os.scandir(root / folder) as found:
            entries = sorted(found, key=lambda each: each.name)
    except OSError:
        yield folder, (0, 0, 0)
        return
    for entry in entries:
        file = f"{folder}/{entry.name}"
        if entry.name == "__pycache__":
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from _stamps(root, file)
        else:
            yield file, _stamp(entry)


def _stamp(file: os.DirEntry[str] | Path) -> Stamp:
    try:
        found = file.stat()
    except OSError:
        return 0, 0, 0
    return found.st_size, found.st_mtime_ns, found.st_ctime_ns

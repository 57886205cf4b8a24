"""What one run keeps for the next, in a folder under `.halfsplit` of a shop: read whole, or not at all.

An entry is signed with a key of this user on this machine, since what is kept becomes part of a site unread:
a folder that came from somewhere else brings nothing in. Whatever is wrong with an entry, it is as if it were
not there; whatever keeps one from being written, nothing is kept. What is slow to import is imported late.
"""

from __future__ import annotations

import hashlib
import hmac
import os
import sys
import time
from collections.abc import Iterable
from contextlib import suppress
from functools import cache
from pathlib import Path

PLACE = Path(".halfsplit") / "pages"
_LEFT_OVER_S = 3600
"""A file written beside and never renamed for so long belongs to a run that was killed."""

_LIBRARIES = (
    "Jinja2", "Markdown", "MarkupSafe", "Pint", "PyYAML", "matplotlib", "nh3", "pydantic",
    "pymdown-extensions",
)  # fmt: skip


class Store:
    """The entries of one shop, each under a name and for a key that says what it was made of.

    A command that only looks says `keeps=False`: then nothing is ever written.
    """

    def __init__(self, root: Path, *, keeps: bool = True, place: Path = PLACE) -> None:
        self.folder = root / place
        self.keeps = keeps

    def load(self, name: str, key: str) -> bytes | None:
        """What was kept under `name` for `key`; None if there is nothing that can be trusted."""
        with suppress(OSError):
            head, _, body = (self.folder / name).read_bytes().partition(b"\n")
            secret = _secret()
            if secret is not None and hmac.compare_digest(head, _signed(secret, name, key, body)):
                return body
        return None

    def keep(self, name: str, key: str, parts: Iterable[bytes]) -> None:
        """Keep `parts` as one entry: written beside and renamed, so that nobody reads half of it."""
        import tempfile  # noqa: PLC0415 - most runs keep nothing

        secret = _secret() if self.keeps else None
        if secret is None:
            return
        body = b"".join(parts)
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            self._sweep()
            handle, beside = tempfile.mkstemp(prefix=".beside-", dir=self.folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(_signed(secret, name, key, body) + b"\n")
                    file.write(body)
                Path(beside).replace(self.folder / name)
            finally:
                with suppress(OSError):
                    Path(beside).unlink(missing_ok=True)

    def _sweep(self) -> None:
        for each in self.folder.glob(".beside-*"):
            with suppress(OSError):
                if time.time() - each.stat().st_mtime > _LEFT_OVER_S:
                    each.unlink()


def _signed(secret: bytes, name: str, key: str, body: bytes) -> bytes:
    # Hashed first: the body is large, and a signature of its hash is as good.
    told = hashlib.blake2b(body).digest()
    return hmac.new(secret, f"{name}\n{key}\n".encode() + told, hashlib.sha256).hexdigest().encode()


@cache
def _secret() -> bytes | None:
    """The user's key, made when there is none; None where none can be kept."""
    base = os.environ.get("XDG_CACHE_HOME") or Path("~", ".cache")
    with suppress(OSError, RuntimeError):
        file = Path(base).expanduser() / "halfsplit" / "key"
        if not file.is_file():
            _make_secret(file)
        found = file.read_bytes()
        return found if len(found) == 64 else None
    return None


def _make_secret(file: Path) -> None:
    import tempfile  # noqa: PLC0415 - once for each user

    file.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=file.parent)
    with os.fdopen(handle, "wb") as fresh:
        fresh.write(os.urandom(32).hex().encode())
    # Another run may have been first: then its key counts.
    with suppress(FileExistsError):
        os.link(beside, file)
    Path(beside).unlink()


@cache
def code_key() -> str:
    """Changes with every file of `kb`, with Python and with the libraries that records and pages pass."""
    from importlib import metadata  # noqa: PLC0415 - a question to the search does without

    told = [sys.version, *(f"{each} {metadata.version(each)}" for each in _LIBRARIES)]
    told += stamps_under(Path(__file__).parent)
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def stamps_under(folder: Path) -> list[str]:
    """Name, size and times of every file under a folder, in an order of its own."""
    found = []
    for path, folders, files in os.walk(folder):
        folders[:] = sorted(each for each in folders if each != "__pycache__")
        for name in sorted(files):
            stat = os.stat(os.path.join(path, name))  # noqa: PTH116, PTH118 - hundreds of them at each start
            place = os.path.relpath(path, folder)
            found.append(f"{place}/{name} {stat.st_size} {stat.st_mtime_ns} {stat.st_ctime_ns}")
    return found

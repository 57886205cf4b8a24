"""The folder of a new site, which takes over the files of an earlier one that come out the same.

To write a file costs the system thirty times what another name for it does, and after one edit nearly all
files are as they were. A file is taken over only if every byte of it is what would be written, so nothing
depends on what stood there before; and it keeps its time, by which copying to a server sees what is new.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from types import TracebackType

_CAN_LINK = {os.open, os.link} <= os.supports_dir_fd


class FreshSite:
    """Writes into `folder`; use it in a `with` statement. `earlier` may be no site, or none at all."""

    def __init__(self, folder: Path, earlier: Path | None = None) -> None:
        self._folder = folder
        # Held open: another run may put its own site in that place at any moment.
        self._earlier = _opened(earlier) if earlier is not None and _CAN_LINK else None
        self._made: set[Path] = set()
        self._mode: int | None = None

    def __enter__(self) -> FreshSite:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._earlier is not None:
            os.close(self._earlier)

    def write(self, path: str, content: bytes) -> None:
        """One file, at `path` from the site's root. Raises OSError when it cannot be written."""
        target = self._folder / path
        if target.parent not in self._made:
            target.parent.mkdir(parents=True, exist_ok=True)
            self._made.add(target.parent)
        if not self._taken_over(path, content, target):
            target.unlink(missing_ok=True)
            with target.open("wb") as file:
                file.write(content)
                self._mode = os.fstat(file.fileno()).st_mode

    def _taken_over(self, path: str, content: bytes, target: Path) -> bool:
        # A first file tells which rights a new one gets; one with others is made anew.
        if self._earlier is None or self._mode is None:
            return False
        with suppress(OSError):
            file = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=self._earlier)
            with os.fdopen(file, "rb") as old:
                known = os.fstat(file)
                if known.st_mode != self._mode or known.st_size != len(content) or old.read() != content:
                    return False
                os.link(path, target, src_dir_fd=self._earlier)
                linked = os.lstat(target)
                if (linked.st_dev, linked.st_ino) == (known.st_dev, known.st_ino):
                    return True
        return False


def _opened(folder: Path) -> int | None:
    with suppress(OSError):
        return os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    return None

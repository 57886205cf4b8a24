"""What the server shows at this moment: a whole site, what is wrong with the newer one, or both.

A view is replaced and never changed, so that an answer is made of one of them alone.
"""

from __future__ import annotations

import secrets
import threading
from dataclasses import dataclass, replace
from pathlib import Path


@dataclass(frozen=True)
class View:
    """The last site that came out whole, if there is one yet, and the problems that keep the next away."""

    folder: Path | None = None
    version: str = "0"
    problems: tuple[str, ...] = ()
    is_building: bool = False


class Showing:
    """Holds the view; one thread replaces it, many look at it."""

    def __init__(self) -> None:
        # Another run of the server must not be taken for this one by a page that is still open.
        self._run = secrets.token_hex(4)
        self._number = 0
        self._lock = threading.Lock()
        self._view = View(version=f"{self._run}-0")

    @property
    def view(self) -> View:
        """What is shown now."""
        return self._view

    def begin(self) -> None:
        """A build has begun."""
        with self._lock:
            self._view = replace(self._view, is_building=True)

    def fail(self, problems: tuple[str, ...]) -> None:
        """The build came to nothing: the site before it stays."""
        with self._lock:
            self._view = replace(self._view, problems=problems, is_building=False)

    def succeed(self, folder: Path) -> Path | None:
        """Show the site in `folder` from now on; returns the folder it takes the place of."""
        with self._lock:
            before = self._view.folder
            self._number += 1
            self._view = View(folder, f"{self._run}-{self._number}")
            return before

"""Site generators, found by entry point: `kb` makes pages and knows none of them by name.

An adapter is registered under the entry point group `halfsplit.adapters` and called with no
arguments. `mkdocs` and `plain` come with halfsplit.
"""

from __future__ import annotations

from collections.abc import Iterable
from importlib import metadata
from pathlib import Path
from typing import Protocol

GROUP = "halfsplit.adapters"


class BuildFailed(Exception):  # noqa: N818 - it says what happened
    """The generator could not make the site; the message says why, and nothing was written.

    `problems` are the lines of it that stand for themselves: one for each thing to mend.
    """

    def __init__(self, message: str, problems: Iterable[str] = ()) -> None:
        super().__init__(message)
        self.problems = tuple(problems) or tuple(message.splitlines())


class Adapter(Protocol):
    """What a site generator has to be able to do."""

    def build(self, shop: Path, target: Path, *, strict: bool, earlier: Path | None = None) -> None:
        """Write the site of a shop folder into the empty folder `target`; raises BuildFailed.

        `earlier` is the site that this one will replace, if there is one: files that come out the same
        need not be written again (`kb.fresh_site`).
        """


def find_adapter(name: str) -> Adapter:
    """The adapter of that name; raises KeyError when none is installed."""
    found = metadata.entry_points(group=GROUP, name=name)
    if not found:
        raise KeyError(name)
    adapter: Adapter = next(iter(found)).load()()
    return adapter


def adapter_names() -> tuple[str, ...]:
    """The adapters that are installed."""
    return tuple(sorted(metadata.entry_points(group=GROUP).names))

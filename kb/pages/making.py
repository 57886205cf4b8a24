"""Makes all pages of a site: those that an earlier build kept and that still hold are taken as they are.

Where there are many to make and several processors, processes share the work. What comes out depends on
neither: tasks know nothing of each other, and are put together in their own order.
"""

from __future__ import annotations

import multiprocessing
import os
import re
import signal
import sys
import threading
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from kb.pages import kept_pages
from kb.pages.page_desk import Made, Task, made
from kb.pages.pageset import Page
from kb.pages.reads import Answers
from kb.pages.sheet import Desk
from kb.store import Store

if TYPE_CHECKING:
    from kb.captures import Capture

FEWEST_TO_SHARE = 150
_AT_ONCE = 16
_MOST_PROCESSES = 4

_shared: tuple[Desk, Sequence[Task]] | None = None
"""What processes inherit instead of being sent it."""


class Making:
    """The making of one site, up to the point where it is known whether anything is amiss."""

    def __init__(self, desk: Desk, tasks: Sequence[Task], store: Store | None) -> None:
        self._desk, self._store = desk, store
        self._answers = Answers(desk.shop, desk.links)
        self._key = kept_pages.site_key(desk.shop) if store else ""
        self._kept = kept_pages.load(store, self._key, self._answers) if store else kept_pages.Kept()
        kept = self._kept.tasks
        missing = [task for task in tasks if task.name not in kept]
        fresh = dict(zip((task.name for task in missing), _done(desk, missing), strict=True))
        self._made = {task.name: kept.get(task.name) or fresh[task.name] for task in tasks}
        self._has_new = bool(fresh)
        for each in self._made.values():
            each.put_on(desk)

    @property
    def pages(self) -> tuple[Page, ...]:
        """Every page, in the order of the tasks."""
        return tuple(page for each in self._made.values() for page in each.pages)

    def has_broken_anchors(self, pages: Iterable[Page]) -> bool:
        """Whether a page leads to a heading that its target does not have."""
        wanted = {address for each in self._made.values() for address in each.anchors}
        paths = {address.partition("#")[0] for address in wanted}
        known = {
            f"{page.path}#{anchor}"
            for page in pages
            if page.path in paths
            for anchor in re.findall(r'\bid="([^"]*)"', page.body)
        }
        return not wanted <= known

    def keep(self) -> None:
        """Keep the pages for the next build; only right when nothing was amiss."""
        if self._store is not None and self._has_new:
            kept_pages.keep(self._store, self._key, self._made, self._answers, self._kept)


def _done(desk: Desk, tasks: Sequence[Task]) -> list[Made]:
    processes = min(_MOST_PROCESSES, _processors())
    if len(tasks) < FEWEST_TO_SHARE or processes < 2 or not _may_fork():
        captures: dict[str, Capture] = {}
        return [made(desk, task, captures) for task in tasks]
    global _shared  # noqa: PLW0603 - a process that is forked inherits it, and nothing else has to be sent
    _shared = (desk, tasks)
    try:
        with multiprocessing.get_context("fork").Pool(processes, _quietly) as pool:
            # From the end, where the longest are: none of them begins when all the others are done.
            found = pool.map(_some, reversed(range(0, len(tasks), _AT_ONCE)), chunksize=1)
    finally:
        _shared = None
    return [each for some in reversed(found) for each in some]


def _quietly() -> None:
    """Ctrl-C reaches every process of a command; the one that forked this one ends it, and says so once."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)


def _some(start: int) -> list[Made]:
    if _shared is None:
        raise RuntimeError("only for a process that was forked by _done")
    desk, tasks = _shared
    captures: dict[str, Capture] = {}
    return [made(desk, task, captures) for task in tasks[start : start + _AT_ONCE]]


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else 1


def _may_fork() -> bool:
    """A process with threads of its own, such as a server that watches, must not be forked."""
    return sys.platform == "linux" and threading.active_count() == 1

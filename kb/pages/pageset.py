"""What the core hands to an adapter: finished page bodies and assets, with paths from the site's root.

An adapter adds a frame around each body and writes the files. It decides nothing: no page is left
out and none is made up there.
"""

from __future__ import annotations

import posixpath
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from kb.problems import Problem
from kb.search.texts import SearchText

__all__ = ["Asset", "Heading", "Page", "PageSet", "SearchText", "Section", "in_order", "relative"]


@dataclass(frozen=True)
class Heading:
    """One heading of a page, for its table of contents. `level` is 2 or 3."""

    level: int
    anchor: str
    text: str


@dataclass(frozen=True)
class Page:
    """One page. `path` is the address from the site's root, such as `faults/clock-stops.html`."""

    path: str
    title: str
    kind: str
    body: str
    summary: str = ""
    headings: tuple[Heading, ...] = ()
    search: SearchText | None = None


@dataclass(frozen=True)
class Asset:
    """A file beside the pages: a style sheet, a script, a picture, a part of the search index."""

    path: str
    content: bytes


@dataclass(frozen=True)
class Section:
    """One entry of the navigation; records are reached through their section's page."""

    title: str
    path: str


@dataclass(frozen=True)
class PageSet:
    """A whole site before its frame: pages, assets and navigation, sorted, and what was found amiss."""

    name: str
    pages: tuple[Page, ...]
    assets: tuple[Asset, ...]
    sections: tuple[Section, ...]
    styles: tuple[str, ...]
    scripts: tuple[str, ...]
    disagreements: tuple[Problem, ...] = ()


def relative(target: str, page: str) -> str:
    """The link to `target` from the page at `page`; both are paths from the site's root."""
    path, hash_sign, anchor = target.partition("#")
    found = _way(path, posixpath.dirname(page) or ".") if path else ""
    return found + hash_sign + anchor


@lru_cache(maxsize=1 << 15)
def _way(path: str, folder: str) -> str:
    return posixpath.relpath(path, folder)


def in_order(pages: Sequence[Page]) -> tuple[Page, ...]:
    """Pages by path, so that no build depends on the order they were made in."""
    return tuple(sorted(pages, key=lambda page: page.path))

"""What something may be found by."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SearchText:
    """What the search may find a page by, strongest first: its title, symptoms or names, its words."""

    title: str
    strong: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

"""What the search has counted and looked for in texts, kept for the next build: most texts are as they were.

What is found in a text depends on the text, the phrases and the code alone; a text is all the key it needs.
"""

from __future__ import annotations

import marshal
from typing import Any

from kb.search.gathering import Counted
from kb.search.noting import hazards_in
from kb.search.synonyms import Group
from kb.store import Store, code_key
from kb.wording.phrases import Phrases

_NAME = "words"
_MOST_FOR_EACH = 12
"""Beyond so many texts for each page most are of pages that are no more, and all are counted anew."""


class KeptWords:
    """What was found in texts so far; without a `store` nothing is known at first, and nothing is kept."""

    def __init__(self, store: Store | None, groups: tuple[Group, ...], phrases: Phrases) -> None:
        self._store, self._phrases = store, phrases
        self._key = f"{code_key()} {groups!r}" if store else ""
        # Signed by whoever kept it.
        found = store.load(_NAME, self._key) if store else None
        counted, named = marshal.loads(found) if found else ({}, {})  # noqa: S302
        self._named: dict[str, tuple[str, ...]] = named
        self._phrases.counted.update({texts: Counted(*each) for texts, each in counted.items()})
        self._known = self._size

    def hazards_in(self, text: str) -> tuple[str, ...]:
        """The hazards that a text names."""
        if text not in self._named:
            self._named[text] = hazards_in(text)
        return self._named[text]

    def keep(self, pages: int) -> None:
        """Keep what is known of the texts of so many pages, if any of it is new."""
        if self._store is None or self._size == self._known:
            return
        counted: dict[Any, Any] = {}
        if len(self._phrases.counted) <= _MOST_FOR_EACH * pages:
            # A text that is marked as HTML is a type of its own, which marshal does not write.
            counted = {
                tuple(map(str, texts)): (each.times, each.length)
                for texts, each in self._phrases.counted.items()
            }
        named = self._named if len(self._named) <= _MOST_FOR_EACH * pages else {}
        self._store.keep(_NAME, self._key, [marshal.dumps((counted, named))])

    @property
    def _size(self) -> int:
        return len(self._named) + len(self._phrases.counted)

"""Asks the index in Python what the browser asks of it, so that one can be held to the other.

It reads the very scripts that the pages load. `kb/pages/assets/search.js` does the same steps in the same
order, with whole numbers only.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from kb.pages.pageset import Asset
from kb.search.building import CONTENTS, PAGES_PER_FILE, pages_file
from kb.search.matching import Wanted
from kb.search.postings import decode
from kb.search.sharding import file_name
from kb.search.weighing import rarity
from kb.search.words import query_words

FEW_PAGES = 3
"""A word met on fewer pages than this may have been mistyped."""


@dataclass
class SearchIndex:
    """The index as a browser sees it; `loaded` lists the files that queries have asked for so far."""

    files: dict[str, Asset]
    loaded: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        contents = self._read(CONTENTS)
        self.rarity_steps: list[int] = contents["rarity"]
        self.parts: frozenset[str] = frozenset(contents["parts"])

    def words(self, part: str) -> list[tuple[str, str]]:
        """The words of one part of the index, with their postings."""
        pieces = self._read(file_name(part))
        return list(zip(pieces[::2], pieces[1::2], strict=True))

    def part_of(self, word: str) -> str | None:
        """The part that holds `word` and what begins with it, if anything does."""
        return next((start for start in (word[:3], word[:2], word[:1]) if start in self.parts), None)

    def path(self, number: int) -> str:
        """The path of the page of that number."""
        rows: list[list[str]] = self._read(pages_file(number // PAGES_PER_FILE))
        return rows[number % PAGES_PER_FILE][0]

    def _read(self, path: str) -> Any:
        if path not in self.loaded:
            self.loaded.append(path)
        script = self.files[path].content.decode("ascii")
        return json.loads(script.split(",", 2)[2].removesuffix(");\n"))


def read_index(assets: Iterable[Asset]) -> SearchIndex:
    """The index in `assets`, which may hold other files as well."""
    return SearchIndex({asset.path: asset for asset in assets if asset.path.startswith("search/")})


def query(index: SearchIndex, words: str) -> tuple[str, ...]:
    """The paths of the pages that answer `words`, those that hold more of the words first."""
    met: dict[int, int] = {}
    scores: dict[int, int] = {}
    for spellings in query_words(words):
        pages = _pages_with(index, spellings)
        telling = rarity(index.rarity_steps, len(pages))
        for page, worth in pages.items():
            met[page] = met.get(page, 0) + 1
            scores[page] = scores.get(page, 0) + telling * worth
    ranked = sorted(met, key=lambda page: (-met[page], -scores[page], page))
    return tuple(index.path(page) for page in ranked)


def _pages_with(index: SearchIndex, spellings: Sequence[str]) -> dict[int, int]:
    """The pages that hold a word in one of its spellings, and what it is worth there."""
    wanted = [Wanted.of(word) for word in spellings]
    parts = dict.fromkeys(index.part_of(word) for word in spellings)
    words = [word for part in parts if part is not None for word in index.words(part)]
    pages = _worth(words, lambda term: max(each.met_by(term) for each in wanted))
    if len(pages) < FEW_PAGES:
        # The first spelling is what was typed; the others are our own readings of it.
        pages = _worth(words, wanted[0].may_mean) | pages
    return pages


def _worth(words: Iterable[tuple[str, str]], answers: Callable[[str], int]) -> dict[int, int]:
    pages: dict[int, int] = {}
    for term, postings in words:
        fit = answers(term)
        for page, weight in decode(postings) if fit else ():
            pages[page] = max(pages.get(page, 0), fit * weight)
    return pages

"""Asks the index in Python what the browser asks of it, so that one can be held to the other.

It reads the very files that the pages load. `kb/pages/assets/search-core.js` does the same steps in the
same order, with whole numbers only.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol

from kb.search.building import PAGES, PHRASES, contents_file, rows_file
from kb.search.matching import Wanted
from kb.search.postings import decode
from kb.search.sharding import file_name
from kb.search.weighing import rarity
from kb.search.words import Asked, Spellings, query_words
from kb.wording.phrases import Phrases

FEW_PAGES = 3
"""A word met on fewer pages than this may have been mistyped."""

ENOUGH_PAGES = 10
"""A phrase met on so many pages is not looked for word by word as well."""

Worth = dict[int, int]
"""What a word is worth on each page that holds it."""


class File(Protocol):
    """A file of the site."""

    @property
    def path(self) -> str:
        """Its address from the site's root."""

    @property
    def content(self) -> bytes:
        """Its bytes."""


@dataclass
class SearchIndex:
    """An index as a browser sees it; `loaded` lists the files that queries have asked for so far."""

    files: Mapping[str, str] | Mapping[str, bytes]
    folder: str = PAGES
    loaded: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        contents = self.read(contents_file(self.folder))
        self.count: int = contents["pages"]
        self.rows_per_file: int = contents["pagesPerFile"]
        self.rarity_steps: list[int] = contents["rarity"]
        self.parts: frozenset[str] = frozenset(contents["parts"])

    @cached_property
    def phrases(self) -> Phrases:
        """The phrases that mean the same."""
        table = self.read(PHRASES)["phrases"]
        return Phrases({tuple(key.split(" ")): sign for sign, keys in table.items() for key in keys})

    def words(self, part: str) -> list[tuple[str, str]]:
        """The words of one part of the index, with their postings."""
        pieces = self.read(self.folder + file_name(part))
        return list(zip(pieces[::2], pieces[1::2], strict=True))

    def part_of(self, word: str) -> str | None:
        """The part that holds `word` and what begins with it, if anything does."""
        return next((start for start in (word[:3], word[:2], word[:1]) if start in self.parts), None)

    def row(self, number: int) -> list[Any]:
        """What is shown of the page of that number; its path comes first."""
        rows: list[list[Any]] = self.read(rows_file(self.folder, number // self.rows_per_file))
        return rows[number % self.rows_per_file]

    def read(self, path: str) -> Any:
        """What a file of the index holds."""
        if path not in self.loaded:
            self.loaded.append(path)
        return json.loads(self.files[path])


def files_of(assets: Iterable[File]) -> dict[str, str]:
    """The files of the search among `assets`, as JSON without the call around it."""
    return {
        asset.path: asset.content.decode("ascii").split(",", 2)[2].removesuffix(");\n")
        for asset in assets
        if asset.path.startswith(PAGES)
    }


def read_index(assets: Iterable[File]) -> SearchIndex:
    """The index of all pages in `assets`, which may hold other files as well."""
    return SearchIndex(files_of(assets))


def query(index: SearchIndex, words: str) -> tuple[str, ...]:
    """The paths of the pages that answer `words`, those that hold more of the words first."""
    met, scores = scored(index, query_words(words, index.phrases))
    ranked = sorted(met, key=lambda page: (-met[page], -scores[page], page))
    return tuple(str(index.row(page)[0]) for page in ranked)


def scored(index: SearchIndex, asked: Iterable[Asked]) -> tuple[Worth, Worth]:
    """How many of the things that are asked for each page holds, and what they are worth there."""
    met: Worth = {}
    scores: Worth = {}
    for each in asked:
        pages, sure = _pages_with(index, each)
        telling = rarity(index.rarity_steps, sure)
        for page, worth in pages.items():
            met[page] = met.get(page, 0) + 1
            scores[page] = scores.get(page, 0) + telling * worth
    return met, scores


def _pages_with(index: SearchIndex, asked: Asked) -> tuple[Worth, int]:
    """The pages that answer one thing, and the number by which its rarity is told."""
    if not asked.loosely:
        pages = _pages_with_word(index, asked.spellings)
        return pages, len(pages)
    pages = _pages_that_hold(index, asked.spellings)
    if len(pages) >= ENOUGH_PAGES:
        return pages, len(pages)
    loosely = _pages_with_all(index, asked.loosely)
    return loosely | pages, len(pages) or len(loosely)


def _pages_with_all(index: SearchIndex, words: Sequence[Spellings]) -> Worth:
    """The pages that hold every one of `words` somewhere, worth far less than the phrase."""
    found = [_pages_that_hold(index, spellings) for spellings in words]
    return {page: max(1, min(pages[page] for pages in found) // 8) for page in found[0]
            if all(page in pages for pages in found)}  # fmt: skip


def _pages_with_word(index: SearchIndex, spellings: Spellings) -> Worth:
    """The pages that hold a word in one of its spellings, or one that it was mistyped for."""
    pages = _pages_that_hold(index, spellings)
    if len(pages) < FEW_PAGES:
        # The first spelling is what was typed; the others are our own readings of it.
        pages = _worth(_words_near(index, spellings), Wanted.of(spellings[0]).may_mean) | pages
    return pages


def _pages_that_hold(index: SearchIndex, spellings: Spellings) -> Worth:
    wanted = [Wanted.of(word) for word in spellings]
    return _worth(_words_near(index, spellings), lambda term: max(each.met_by(term) for each in wanted))


def _words_near(index: SearchIndex, spellings: Spellings) -> list[tuple[str, str]]:
    parts = dict.fromkeys(index.part_of(word) for word in spellings)
    return [word for part in parts if part is not None for word in index.words(part)]


def _worth(words: Iterable[tuple[str, str]], answers: Callable[[str], int]) -> Worth:
    pages: Worth = {}
    for term, postings in words:
        fit = answers(term)
        for page, weight in decode(postings) if fit else ():
            pages[page] = max(pages.get(page, 0), fit * weight)
    return pages

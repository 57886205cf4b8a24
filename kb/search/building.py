"""Lays an index out as small files, each a value in JSON: a query loads a few of them.

What comes out depends on what is put in alone, not on its order or the day.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from kb.search.gathering import Postings, gather
from kb.search.sharding import cut, file_name
from kb.search.texts import SearchText
from kb.search.weighing import rarity_steps
from kb.wording.folding import EMPTY_WORDS
from kb.wording.phrases import Phrases

PAGES = "search/"
"""The folder of the index of all pages, and the root of all that belongs to the search."""

PHRASES = "search/words.js"
ROWS_PER_FILE = 32


@dataclass(frozen=True)
class Findable:
    """Something to find: what it is found by, and what a result shows of it."""

    text: SearchText
    row: list[Any]


def index_files(
    found: Sequence[Findable], phrases: Phrases, folder: str = PAGES, rows_per_file: int = ROWS_PER_FILE
) -> dict[str, Any]:
    """The files of an index over `found`, which are numbered as they come, by path."""
    parts = cut(_postings(found, phrases))
    files: dict[str, Any] = {folder + file_name(start): part for start, part in parts.items()}
    for first in range(0, len(found), rows_per_file):
        rows = [each.row for each in found[first : first + rows_per_file]]
        files[rows_file(folder, first // rows_per_file)] = rows
    files[contents_file(folder)] = {
        "pages": len(found),
        "pagesPerFile": rows_per_file,
        "parts": sorted(parts),
        "rarity": rarity_steps(len(found)),
        "emptyWords": sorted(EMPTY_WORDS),
    }
    return files


def contents_file(folder: str) -> str:
    """The file that tells what an index has."""
    return f"{folder}index.js"


def rows_file(folder: str, number: int) -> str:
    """The file of the `number`-th group of rows, from 0."""
    return f"{folder}pages-{number}.js"


def as_json(content: object) -> str:
    """JSON in ASCII that no HTML parser can mistake for a tag."""
    return json.dumps(content, ensure_ascii=True, separators=(",", ":")).replace("<", "\\u003c")


def _postings(found: Sequence[Findable], phrases: Phrases) -> Postings:
    return gather([each.text for each in found], phrases)

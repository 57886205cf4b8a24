"""Writes the search index as small classic scripts, which a page may load from disk as well as over HTTP.

The bytes depend on the pages alone, not on their order or the day. Nothing goes in that the pages given do
not say, so an index of the customers' pages tells nothing of the others.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from kb.pages.pageset import Asset, Page
from kb.search.gathering import gather
from kb.search.sharding import cut, file_name
from kb.search.weighing import rarity_steps
from kb.search.words import EMPTY_WORDS

PAGES_PER_FILE = 32
LONGEST_CONTEXT = 110
CONTENTS = "search/index.js"

KIND_WORDS = {
    "fault": "Fault",
    "model": "Model",
    "revision": "Revision",
    "block": "Block",
    "part": "Part",
    "guide": "Guide",
    "handbook": "Handbook",
    "symptoms": "Symptoms",
    "index": "Overview",
    "job": "Job",
}


def search_assets(pages: Sequence[Page]) -> tuple[Asset, ...]:
    """The files of the search index over those of `pages` that carry search text, by path."""
    gathered = gather(pages)
    parts = cut(gathered.postings)
    files: dict[str, Any] = {file_name(start): part for start, part in parts.items()}
    for first in range(0, len(gathered.pages), PAGES_PER_FILE):
        rows = [_row(page) for page in gathered.pages[first : first + PAGES_PER_FILE]]
        files[pages_file(first // PAGES_PER_FILE)] = rows
    files[CONTENTS] = {
        "pages": len(gathered.pages),
        "pagesPerFile": PAGES_PER_FILE,
        "parts": sorted(parts),
        "rarity": rarity_steps(len(gathered.pages)),
        "emptyWords": sorted(EMPTY_WORDS),
    }
    return _scripts(files)


def pages_file(number: int) -> str:
    """The file of the `number`-th group of pages, from 0."""
    return f"search/pages-{number}.js"


def _scripts(files: Mapping[str, Any]) -> tuple[Asset, ...]:
    """Each file as one call. All carry the same edition, so that a stale one is noticed."""
    bodies = {path: _json(content) for path, content in sorted(files.items())}
    edition = hashlib.sha256(_json(bodies).encode()).hexdigest()[:12]
    return tuple(
        Asset(path, f'halfsplitSearch.add("{edition}","{path}",{body});\n'.encode("ascii"))
        for path, body in bodies.items()
    )


def _json(content: object) -> str:
    """JSON in ASCII that no HTML parser can mistake for a tag."""
    return json.dumps(content, ensure_ascii=True, separators=(",", ":")).replace("<", "\\u003c")


def _row(page: Page) -> list[str]:
    """What a result shows of a page: path, title, kind as a word, a line of context."""
    return [page.path, page.title, KIND_WORDS.get(page.kind, page.kind.capitalize()), _context(page)]


def _context(page: Page) -> str:
    """The first symptom or name that the title does not say already, else the summary, else the text."""
    search = page.search
    lines = (*search.strong[:3], page.summary, *search.words[:1]) if search else ()
    told = [" ".join(line.split()) for line in lines]
    return _shortened(next((line for line in told if line and line != page.title), ""))


def _shortened(line: str) -> str:
    if len(line) <= LONGEST_CONTEXT:
        return line
    return line[:LONGEST_CONTEXT].rsplit(" ", 1)[0] + " …"

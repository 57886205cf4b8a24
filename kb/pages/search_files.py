"""The search indexes of a site as assets: small classic scripts, which load from disk as well as over HTTP.

Nothing goes in that the pages and faults given do not say, so an index of the customers' pages tells
nothing of the others.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from kb.pages.addresses import address
from kb.pages.kept_words import KeptWords
from kb.pages.pageset import Asset, Page
from kb.search.building import PHRASES, Findable, as_json, index_files
from kb.search.faults import FoundFault, Instrument, fault_files
from kb.search.notes import Notes, found_faults
from kb.search.noting import fault_note, hazard_titles, hazards_in, job_findings, model_note
from kb.search.synonyms import phrases_for
from kb.shop import Shop
from kb.store import Store
from kb.wording.phrases import NO_PHRASES, Phrases

LONGEST_CONTEXT = 110

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


def site_search(shop: Shop, pages: Sequence[Page], store: Store | None = None) -> tuple[Asset, ...]:
    """The search of a shop's pages and of its faults; `store` keeps what was counted in their texts."""
    phrases = phrases_for(shop.synonyms)
    words = KeptWords(store, shop.synonyms, phrases)
    notes = shop_notes(shop, words.hazards_in)
    found = search_assets(pages, phrases, tuple(found_faults(notes)), notes.models)
    words.keep(len(pages))
    return found


def shop_notes(shop: Shop, named_in: Callable[[str], tuple[str, ...]] = hazards_in) -> Notes:
    """What the search keeps of a shop's records; faults are found at their pages."""
    return Notes(
        tuple(fault_note(each, address("fault", each.id), named_in) for each in shop.faults.values()),
        tuple(model_note(each) for each in shop.models.values()),
        tuple(fault for each in shop.jobs.values() for fault in job_findings(each)),
        shop.synonyms,
    )


def search_assets(
    pages: Sequence[Page],
    phrases: Phrases = NO_PHRASES,
    faults: Sequence[FoundFault] = (),
    models: Sequence[Instrument] = (),
) -> tuple[Asset, ...]:
    """The files of the search over those of `pages` that carry search text and over `faults`, by path."""
    found = sorted((page for page in pages if page.search), key=lambda page: page.path)
    files = index_files([Findable(page.search, _row(page)) for page in found if page.search], phrases)
    files |= fault_files(faults, models, hazard_titles(), phrases)
    return _scripts(files | {PHRASES: phrases.as_json()})


def _scripts(files: Mapping[str, Any]) -> tuple[Asset, ...]:
    """Each file as one call. All carry the same edition, so that a stale one is noticed."""
    bodies = {path: as_json(content) for path, content in sorted(files.items())}
    edition = hashlib.sha256(as_json(bodies).encode()).hexdigest()[:12]
    return tuple(
        Asset(path, f'halfsplitSearch.add("{edition}","{path}",{body});\n'.encode("ascii"))
        for path, body in bodies.items()
    )


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

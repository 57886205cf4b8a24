"""The line at the foot of a record's page that tells when the record last changed.

It is set after the pages are made, so that no page that is kept from build to build depends on the history.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from markupsafe import Markup

from kb.pages.addresses import address
from kb.pages.pageset import Page
from kb.reading.last_changed import Change
from kb.shop import Shop


def with_changes(shop: Shop, pages: Sequence[Page], changes: Mapping[str, Change]) -> tuple[Page, ...]:
    """The pages, those of records with their line."""
    lines = {path: _line(changes[file]) for path, file in _files(shop).items() if file in changes}
    return tuple(
        replace(page, body=str(page.body) + lines[page.path]) if page.path in lines else page
        for page in pages
    )


def _files(shop: Shop) -> dict[str, str]:
    """The file of each record that has a page, by the page's path."""
    kinds = {
        "model": shop.models, "fault": shop.faults, "part": shop.parts, "guide": shop.guides, "job": shop.jobs
    }  # fmt: skip
    return {
        address(kind, identifier): located.file
        for kind, records in kinds.items()
        for identifier, located in records.items()
    }


def _line(change: Change) -> str:
    since = ", and since then without a commit" if change.is_changed_since else ""
    text = Markup('<p class="hs-quiet hs-changed">Record last changed {}{}.</p>\n')
    return str(text.format(change.day, since))

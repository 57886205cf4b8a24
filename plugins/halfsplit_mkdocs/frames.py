"""Frames of an earlier build: what stands before and behind a page's body, for pages that are as they were.

Only used where nothing but the theme and our own plugin decides what a frame holds. Such a page goes to
MkDocs as a finished file, which it copies.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING

from kb.pages import Page, PageSet
from kb.pages.store import Store, code_key, stamps_under

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

_FRAMES = "frames"
_PLACES = (
    "config_file_path", "docs_dir", "site_dir", "watch", "dev_addr", "strict", "plugins", "exclude_docs",
    "draft_docs", "not_in_nav",
)  # fmt: skip
"""Settings that say where things are, who listens and which files count; no page shows them."""


class Frames:
    """The frames of one site; without a `store` nothing is known and nothing is kept."""

    def __init__(self, store: Store | None, key: str) -> None:
        self._store, self._key = store, key
        body = store.load(_FRAMES, key) if store else None
        self._kept: Mapping[str, list[str]] = json.loads(body) if body else {}
        self._now: dict[str, list[str]] = {}
        self._has_new = False

    def finished(self, page: Page) -> str | None:
        """The whole file of a page that is as it was, or nothing."""
        digest = _digest(page)
        found = self._kept.get(page.path)
        if found is None or found[0] != digest:
            return None
        self._now[page.path] = found
        # Not by +, which would escape the frame where the body is marked as HTML.
        return f"{found[1]}{page.body}{found[2]}"

    def add(self, page: Page, output: str) -> None:
        """Keep the frame that a page was given, if its body stands in it as it is."""
        before, body, behind = output.partition(page.body)
        if body:
            self._now[page.path] = [_digest(page), before, behind]
            self._has_new = True

    def keep(self) -> None:
        """Write them for the next build."""
        if self._store is not None and (self._has_new or len(self._now) != len(self._kept)):
            self._store.keep(_FRAMES, self._key, [json.dumps(self._now, separators=(",", ":")).encode()])


def frames_for(config: MkDocsConfig, pages: PageSet, store: Store) -> Frames:
    """The frames of a site with this configuration."""
    if set(config.plugins) != {"halfsplit"} or config.hooks or config.theme.custom_dir:
        # Somebody else has a say in what a page looks like.
        return Frames(None, "")
    return Frames(store, _key(config, pages))


def _key(config: MkDocsConfig, pages: PageSet) -> str:
    settings = {name: repr(value) for name, value in config.items() if name not in _PLACES}
    settings["theme"] = repr({name: config.theme[name] for name in config.theme})
    told = [
        code_key(), *stamps_under(Path(__file__).parent), metadata.version("mkdocs"),
        metadata.version("mkdocs-material"), repr((pages.name, pages.sections, pages.styles, pages.scripts)),
        repr(sorted(settings.items())),
    ]  # fmt: skip
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def _digest(page: Page) -> str:
    told = repr((page.title, page.kind, page.summary, page.headings, len(page.body)))
    found = hashlib.blake2b(told.encode("utf-8", "surrogatepass"), digest_size=16)
    found.update(page.body.encode("utf-8", "surrogatepass"))
    return found.hexdigest()

"""Pages of an earlier build that still hold, because all that they read is as it was.

Two entries of a `Store`: all pages of one build, and those that later builds made anew, so that an edit need
not write everything again. Each holds what its pages read and stands for itself; a build with them gives the
same bytes as one without, and tests hold that for edits drawn at random.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field

from kb.pages.kept_pack import Pack
from kb.pages.kept_packing import packed
from kb.pages.page_desk import Made
from kb.pages.reads import Answers, short
from kb.shop import Shop
from kb.store import Store, code_key

_ALL, _SINCE = "pages", "pages-since"
_MOST_SINCE = 1 / 8
"""How much of all bodies may be kept beside them before all are written again."""


@dataclass(frozen=True)
class Kept:
    """The tasks whose pages still hold, by name; `in_all` are those that stand in the large entry."""

    tasks: Mapping[str, Made] = field(default_factory=dict)
    in_all: frozenset[str] = frozenset()
    size: int = 0


def site_key(shop: Shop) -> str:
    """Changes with the code and with whatever counts for every page."""
    captures = [each for each in sorted(shop.data_files) if each.startswith("captures/")]
    told = [
        code_key(), repr(shop.card.record), repr(shop.synonyms), *sorted(shop.data_files),
        *(_content(shop, each) for each in captures),
    ]  # fmt: skip
    return short("\n".join(told))


def _content(shop: Shop, file: str) -> str:
    try:
        return hashlib.sha256((shop.root / file).read_bytes()).hexdigest()
    except OSError as error:
        return f"cannot be read: {error.strerror}"


def load(store: Store, key: str, answers: Answers) -> Kept:
    """What still holds of an earlier build."""
    found = store.load(_ALL, key)
    if found is None:
        return Kept()
    all_then = Pack(found).holding(answers)
    since = store.load(_SINCE, key)
    made_since = Pack(since).holding(answers) if since else {}
    return Kept({**made_since, **all_then}, frozenset(all_then), len(found))


def keep(store: Store, key: str, tasks: Mapping[str, Made], answers: Answers, kept: Kept) -> None:
    """Keep all tasks of a build in which nothing was amiss; `kept` is what it began with."""
    since = {name: made for name, made in tasks.items() if name not in kept.in_all}
    if sum(len(page.body) for made in since.values() for page in made.pages) <= kept.size * _MOST_SINCE:
        store.keep(_SINCE, key, packed(since, answers))
        return
    store.keep(_ALL, key, packed(tasks, answers, watches_links=True))
    store.keep(_SINCE, key, [])

"""The table of phrases that mean the same: the trade's, and what a shop adds to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from pathlib import Path

import yaml

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

from kb.wording.phrases import Phrases, phrases_of

Group = tuple[str, ...]


@cache
def trade_groups() -> tuple[Group, ...]:
    """The groups of phrases that every shop has."""
    text = Path(__file__).with_name("synonyms.yml").read_text(encoding="utf-8")
    return tuple(tuple(group) for group in yaml.load(text, Loader)["groups"])


def phrases_for(groups: Iterable[Sequence[str]] = ()) -> Phrases:
    """The phrases of the trade with a shop's own groups; one that shares a phrase with another joins it."""
    return _phrases((*trade_groups(), *(tuple(group) for group in groups)))


@lru_cache(maxsize=8)
def _phrases(groups: tuple[Group, ...]) -> Phrases:
    return phrases_of(groups)

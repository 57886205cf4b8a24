"""The hazard table, and which hazards a text names.

Cautions come from this table and from nowhere else. There is no option, key or argument that takes
one away: a function that could be asked to leave one out would be asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from types import MappingProxyType

import yaml

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

_GAP = r"[\s\u2010\u2011\u2013-]"
"""What may stand between the words of a phrase: spaces, line ends, hyphens and dashes."""

DEFERENCE = "Local codes and licensed practice come first."


@dataclass(frozen=True)
class Hazard:
    """One row of the table."""

    id: str
    title: str
    words: tuple[str, ...]
    shop: tuple[str, ...]
    customer: tuple[str, ...]


@dataclass(frozen=True)
class Named:
    """A hazard that a text names, and the word it is named by."""

    hazard: str
    word: str


@cache
def hazards() -> Mapping[str, Hazard]:
    """The table by id, in the order cautions are shown."""
    text = resources.files("kb.safety").joinpath("hazards.yml").read_text(encoding="utf-8")
    rows = [
        Hazard(row["id"], row["title"], tuple(row["words"]), tuple(row["shop"]), tuple(row["customer"]))
        for row in yaml.load(text, Loader)
    ]
    return MappingProxyType({row.id: row for row in rows})


@cache
def _pattern() -> re.Pattern[str]:
    """One pattern with a group for each hazard; the longest words stand first."""
    groups = []
    for hazard in hazards().values():
        words = sorted(hazard.words, key=lambda word: (-len(word), word))
        phrases = "|".join(_phrase(word) for word in words)
        groups.append(f"(?P<{hazard.id.replace('-', '_')}>{phrases})")
    return re.compile(rf"(?<![\w])(?:{'|'.join(groups)})(?:e?s)?(?![\w])", re.IGNORECASE)


def _phrase(word: str) -> str:
    """The pattern of one word of the table, as people write it."""
    voltage = re.fullmatch(r"([0-9]+) v", word)
    if voltage:
        # Not the end of a number: 0.230 V is no mains voltage.
        return rf"(?<![0-9][.,]){voltage[1]}{_GAP}*v(?:olt|{_GAP}*ac)?"
    return re.escape(word).replace(r"\ ", f"{_GAP}+")


@lru_cache(maxsize=1 << 13)
def hazards_named(text: str) -> tuple[Named, ...]:
    """The hazards `text` names, each once with the first word that names it, in the table's order."""
    found: dict[str, str] = {}
    position = 0
    pattern = _pattern()
    while match := pattern.search(text, position):
        identifier = str(match.lastgroup).replace("_", "-")
        found.setdefault(identifier, match[0])
        # A phrase may hold another hazard's word: "mains transformer", "power supply fuse".
        position = match.start() + 1
    return tuple(Named(identifier, found[identifier]) for identifier in hazards() if identifier in found)


@dataclass(frozen=True)
class Caution:
    """One caution as it is to be shown; `reason` says what called for it."""

    hazard: Hazard
    reason: str


class Cautions:
    """The cautions of one page, asked for in reading order.

    A page calls `before` with the text of each of its steps, from the top down, and shows what comes
    back above that step. A hazard comes back once, at the first step that declares or names it.
    """

    def __init__(self) -> None:
        self._shown: set[str] = set()

    def before(self, *texts: str, declared: Iterable[str] = ()) -> tuple[Caution, ...]:
        """The cautions that must stand above a step with these texts and declared hazards."""
        called = dict.fromkeys(declared, "declared for this work")
        for named in hazards_named("\n".join(texts)):
            called.setdefault(named.hazard, f"the text names “{named.word}”")
        found = tuple(
            Caution(hazard, called[hazard.id])
            for hazard in hazards().values()
            if hazard.id in called and hazard.id not in self._shown
        )
        self._shown.update(caution.hazard.id for caution in found)
        return found

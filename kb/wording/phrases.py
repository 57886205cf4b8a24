"""Phrases that mean the same: `no gate out` and `envelope doesn't start` become one sign.

A phrase is met by its stems, whatever empty words stand between them; the longest phrase wins, and a
word that is denied (`no hum`) is not that word. Only signs come out of here: texts stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kb.wording.folding import EMPTY_WORDS, clauses_of, parts_of
from kb.wording.stems import stem

_NEGATIONS = (
    "no not never without cannot cant wont dont doesnt didnt isnt arent wasnt werent hasnt havent wouldnt "
    "couldnt"
)
NEGATIONS = frozenset(_NEGATIONS.split())
# `wo` and `ca` are what `won't` and `can't` leave once their `not` is taken out.
_PASSED_OVER = "will would can could wo ca any all my your our his her their some very just really quite"
# `on` counts: a knob that does not turn is another thing than a set that does not turn on.
IGNORED = (EMPTY_WORDS | frozenset(_PASSED_OVER.split())) - {"on"}
NOT = "!"
"""What every negation becomes. No stem is spelled so; `notes` has the stem `not`."""

LONGEST_PHRASE = 6
SIGN = "="
"""What the sign of a group begins with; no word does."""
_DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"
MOST_GROUPS = len(_DIGITS) ** 2

Key = tuple[str, ...]
"""A phrase as it is compared: stems and NOT, without ignored words."""


@dataclass(frozen=True, order=True)
class Met:
    """A phrase in a row of words: the places of its first and last word, and the sign of its group."""

    first: int
    last: int
    sign: str


@dataclass(frozen=True)
class Phrases:
    """The sign of every phrase."""

    signs: Mapping[Key, str]

    @cached_property
    def counted(self) -> dict[tuple[str, ...], Any]:
        """Room for whoever counts words and phrases of the same texts again and again."""
        return {}

    @cached_property
    def _by_first(self) -> Mapping[str, tuple[Key, ...]]:
        found: dict[str, list[Key]] = {}
        for key in sorted(self.signs):
            found.setdefault(key[0], []).append(key)
        return {first: tuple(keys) for first, keys in found.items()}

    def met_in(self, words: Sequence[str]) -> list[Met]:
        """The phrases in the words of one clause, in order, none of them over another."""
        if not self.signs:
            return []
        places = [place for place, word in enumerate(words) if word not in IGNORED]
        row = [_token(words[place]) for place in places]
        taken: set[int] = set()
        found: list[Met] = []
        for start, key in sorted(self._candidates(row), key=lambda each: (-len(each[1]), each[0])):
            held = range(start, start + len(key))
            if taken.isdisjoint(held):
                taken.update(held)
                found.append(Met(places[start], places[held[-1]], self.signs[key]))
        return sorted(found)

    def signs_in(self, text: str) -> list[str]:
        """The sign of every phrase in `text`, as often as there is one."""
        if not self.signs:
            return []
        return [met.sign for words in words_by_clause(text) for met in self.met_in(words)]

    def _candidates(self, row: Sequence[str]) -> Iterator[tuple[int, Key]]:
        for start, token in enumerate(row):
            for key in self._by_first.get(token, ()):
                denied = start > 0 and row[start - 1] == NOT and token != NOT
                if not denied and tuple(row[start : start + len(key)]) == key:
                    yield start, key

    def as_json(self) -> dict[str, object]:
        """What the browser needs to do the same."""
        by_sign: dict[str, list[str]] = {}
        for key in sorted(self.signs):
            by_sign.setdefault(self.signs[key], []).append(" ".join(key))
        return {"ignored": sorted(IGNORED), "negations": sorted(NEGATIONS), "phrases": by_sign}


NO_PHRASES = Phrases({})


def phrase_key(phrase: str) -> Key:
    """What a phrase is compared by; empty when it holds no word that tells anything."""
    words = [word for clause in words_by_clause(phrase) for word in clause]
    return tuple(_token(word) for word in words if word not in IGNORED)


def words_by_clause(text: str) -> list[list[str]]:
    """The words of each clause of `text`, compounds in their parts."""
    return [words_of_clause(clause) for clause in clauses_of(text)]


def words_of_clause(compounds: Iterable[str]) -> list[str]:
    """The words that the compounds of a clause are made of."""
    return [part for compound in compounds for part in parts_of(compound)]


def phrases_of(groups: Iterable[Sequence[str]]) -> Phrases:
    """One table from groups of phrases; groups that share a phrase are one, in whatever order they come."""
    joined: list[set[Key]] = []
    for group in groups:
        keys = {key for phrase in group if set(key := phrase_key(phrase)) - {NOT}}
        meeting = [each for each in joined if each & keys]
        joined = [each for each in joined if each not in meeting] + [keys.union(*meeting)]
    ordered = sorted(sorted(each) for each in joined if each)[:MOST_GROUPS]
    return Phrases({key: _sign(number) for number, keys in enumerate(ordered) for key in keys})


def _sign(number: int) -> str:
    high, low = divmod(number, len(_DIGITS))
    return SIGN + _DIGITS[high] + _DIGITS[low]


def _token(word: str) -> str:
    return NOT if word in NEGATIONS else stem(word)

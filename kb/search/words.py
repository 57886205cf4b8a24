"""What a page is found by and what a query asks for, on the bench's terms: part numbers, values, phrases.

What is done to a query here is done once more in `kb/pages/assets/search-words.js`. Whoever changes one
changes the other; the browser tests hold them against each other.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from kb.wording.folding import EMPTY_WORDS, clauses_of, parts_of
from kb.wording.phrases import IGNORED, NO_PHRASES, Phrases

LONGEST_WORD = 40
LONGEST_QUERY = 200
MOST_QUERY_WORDS = 8

_DIGITS_OR_NOT = re.compile(r"[0-9]+|[^0-9]+")
_LETTER_AS_POINT = re.compile(r"([0-9]+)([rkmunp])([0-9]*)")
_PREFIXED = re.compile(r"([0-9]+\.[0-9]+)([rkmunp])")
_UNIT_OF_PREFIX = {"r": "ohm", "k": "kohm", "m": "mohm", "u": "uf", "n": "nf", "p": "pf"}

Spellings = tuple[str, ...]


@dataclass(frozen=True)
class Asked:
    """One thing that is asked for: a word by its spellings, or the sign of a phrase.

    `loosely` holds the words of the phrase: a page that has them all, far apart, answers a little.
    """

    spellings: Spellings
    loosely: tuple[Spellings, ...] = ()

    @property
    def words(self) -> tuple[Spellings, ...]:
        """What was typed for it."""
        return self.loosely or (self.spellings,)


@lru_cache(maxsize=1 << 16)
def terms_of(compound: str) -> tuple[str, ...]:
    """Everything a page that holds `compound` is found by, each once."""
    parts = parts_of(compound)
    terms = [term for part in parts for term in _forms(part)]
    if len(parts) > 1:
        terms += _forms("".join(parts))
    return tuple(dict.fromkeys(term[:LONGEST_WORD] for term in terms if term not in EMPTY_WORDS))


def query_words(query: str, phrases: Phrases = NO_PHRASES) -> list[Asked]:
    """What is asked for; a phrase of several words counts as so many of the words that are looked for."""
    found = [each for clause in clauses_of(query[:LONGEST_QUERY]) for each in _asked_in(clause, phrases)]
    telling = [each for each in found if each.words[0][0] not in EMPTY_WORDS or each.loosely] or found
    once = list({each.spellings[0]: each for each in telling}.values())
    kept = list(_as_many_as_are_looked_for(once))
    return [_with_neighbours(kept, place) for place in range(len(kept))]


def _asked_in(clause: Sequence[str], phrases: Phrases) -> Iterator[Asked]:
    words = [word for compound in clause for word in _spellings(compound)]
    met = phrases.met_in([word[0] for word in words])
    # Beside a phrase, what the phrase passes over tells nothing either: `will` in `will not trigger`.
    passed_over = IGNORED if met else frozenset()
    place = 0
    for phrase in met:
        yield from (Asked(word) for word in words[place : phrase.first] if word[0] not in passed_over)
        inside = words[phrase.first : phrase.last + 1]
        yield Asked((phrase.sign,), tuple(word for word in inside if word[0] not in IGNORED | EMPTY_WORDS))
        place = phrase.last + 1
    yield from (Asked(word) for word in words[place:] if word[0] not in passed_over)


def _as_many_as_are_looked_for(found: Sequence[Asked]) -> Iterator[Asked]:
    words = 0
    for each in found:
        words += len(each.words)
        if words > MOST_QUERY_WORDS:
            return
        yield each


def _with_neighbours(found: Sequence[Asked], place: int) -> Asked:
    """A word with its neighbours: `half split` may mean `halfsplit`."""
    asked = found[place]
    if asked.loosely:
        return asked
    pairs = [found[each : each + 2] for each in (place - 1, place) if each >= 0]
    joined = [
        "".join(each.spellings[0] for each in pair)
        for pair in pairs
        if len(pair) == 2 and not any(each.loosely for each in pair)
    ]
    return Asked(tuple(dict.fromkeys(asked.spellings + _short(joined))))


def _spellings(compound: str) -> list[Spellings]:
    parts = parts_of(compound)
    return [_short((part, "".join(parts), *_as_value(part))) for part in parts]


def _short(words: Sequence[str]) -> Spellings:
    return tuple(word[:LONGEST_WORD] for word in words)


def _forms(part: str) -> list[str]:
    """A word, the value it stands for, and the tails of a part number: `74ls123`, `ls123`, `123`."""
    return [part, *_as_value(part), *_tails(part)]


def _as_value(part: str) -> tuple[str, ...]:
    """`4k7` and `4.7k` as `4.7kohm`, `100n` as `100nf`: what somebody means who leaves the unit out."""
    found = _LETTER_AS_POINT.fullmatch(part)
    if found:
        number = f"{found[1]}.{found[3]}" if found[3] else found[1]
        return (number + _UNIT_OF_PREFIX[found[2]],)
    found = _PREFIXED.fullmatch(part)
    return (found[1] + _UNIT_OF_PREFIX[found[2]],) if found else ()


def _tails(part: str) -> list[str]:
    if part.isalpha() or "." in part:
        return []
    pieces = _DIGITS_OR_NOT.findall(part)
    tails = ["".join(pieces[place:]) for place in range(1, min(len(pieces), 7))]
    return [tail for tail in tails if len(tail) > 1 and not tail.isalpha()]

"""How text becomes the words that are searched for, on the bench's terms: part numbers, values, hyphens.

What is done to a page here is done to a query in `kb/pages/assets/search.js`. Whoever changes one changes
the other; the browser test holds them against each other.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

LONGEST_WORD = 40
LONGEST_QUERY = 200
MOST_QUERY_WORDS = 8

_EMPTY = (
    "a an the is are was were be been it its this that these those of on in at to for with from by and or as "
    "when while but so if then than there do does did has have had"
)
EMPTY_WORDS = frozenset(_EMPTY.split())
"""Words on nearly every page. They tell no page from another, and would be the largest part of the index."""

_LETTER = r"[^\W_]"
_WORD = rf"(?:[0-9]+\.[0-9]+{_LETTER}*|{_LETTER}+)"
_UNIT = r"(?:[kmunpg]?(?:v|a|w|f|h|s|hz|ohm)|[kmunpr]|vpp|vac|vdc|bpm|cents)"
# `10 ms` and `half-split` are compounds: found by their parts and by the parts run together.
_COMPOUND = re.compile(
    rf"[0-9]+(?:\.[0-9]+)?[ -]{_UNIT}(?!{_LETTER})|{_WORD}(?:-{_WORD})*",
)
_DIGITS_OR_NOT = re.compile(r"[0-9]+|[^0-9]+")
_LETTER_AS_POINT = re.compile(r"([0-9]+)([rkmunp])([0-9]*)")
_PREFIXED = re.compile(r"([0-9]+\.[0-9]+)([rkmunp])")
_UNIT_OF_PREFIX = {"r": "ohm", "k": "kohm", "m": "mohm", "u": "uf", "n": "nf", "p": "pf"}


def fold(text: str) -> str:
    """`text` in lower case without accents, with one spelling for ohm, micro, hyphen and `n't`."""
    if not text.isascii():
        parted = unicodedata.normalize("NFKD", text)
        text = "".join(each for each in parted if unicodedata.category(each) != "Mn")
    text = text.lower()
    if not text.isascii():
        text = text.replace("μ", "u").replace("ω", "ohm").replace("\u2010", "-").replace("\u2019", "'")
    return text.replace("n't", " not").replace("'", "")


def compounds_of(text: str) -> list[str]:
    """The words of `text` as they stand there, hyphenated words and a number with its unit in one piece."""
    return _COMPOUND.findall(fold(text))


@lru_cache(maxsize=1 << 16)
def terms_of(compound: str) -> tuple[str, ...]:
    """Everything a page that holds `compound` is found by, each once."""
    parts = _parts(compound)
    terms = [term for part in parts for term in _forms(part)]
    if len(parts) > 1:
        terms += _forms("".join(parts))
    return tuple(dict.fromkeys(term[:LONGEST_WORD] for term in terms if term not in EMPTY_WORDS))


def query_words(query: str) -> list[tuple[str, ...]]:
    """The words that are asked for; each may be met by any of its spellings."""
    words = [word for compound in compounds_of(query[:LONGEST_QUERY]) for word in _spellings(compound)]
    telling = [word for word in words if word[0] not in EMPTY_WORDS] or words
    telling = list({word[0]: word for word in telling}.values())[:MOST_QUERY_WORDS]
    return [tuple(dict.fromkeys(word + _run_together(telling, place))) for place, word in enumerate(telling)]


def _parts(compound: str) -> list[str]:
    return re.split("[ -]", compound)


def _spellings(compound: str) -> list[tuple[str, ...]]:
    parts = _parts(compound)
    return [_short((part, "".join(parts), *_as_value(part))) for part in parts]


def _run_together(words: list[tuple[str, ...]], place: int) -> tuple[str, ...]:
    """A word with its neighbours: `half split` may mean `halfsplit`."""
    pairs = [words[each : each + 2] for each in (place - 1, place) if each >= 0]
    return _short(tuple(pair[0][0] + pair[1][0] for pair in pairs if len(pair) == 2))


def _short(words: tuple[str, ...]) -> tuple[str, ...]:
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

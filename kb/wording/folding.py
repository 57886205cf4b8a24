"""Text on its way to words: one spelling of letters and signs, part numbers and values in one piece.

What is done to a page here is done to a query in `kb/pages/assets/search-words.js`. Whoever changes one
changes the other; the browser tests hold them against each other.
"""

from __future__ import annotations

import re
import unicodedata

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
_END_OF_CLAUSE = re.compile(r"[.,;:!?]+(?![0-9])|[()\n]")


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


def clauses_of(text: str) -> list[list[str]]:
    """The compounds of `text` by clause: no phrase runs on over a full stop or a comma."""
    return [_COMPOUND.findall(clause) for clause in _END_OF_CLAUSE.split(fold(text))]


def parts_of(compound: str) -> list[str]:
    """The words that a compound is made of."""
    return re.split("[ -]", compound) if "-" in compound or " " in compound else [compound]

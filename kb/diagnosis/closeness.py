"""How close a complaint comes to the symptoms of each cause: shared telling words, rare ones counting more.

It shifts the priors once. The same words must not count again as evidence.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from kb.shop.symptoms import Words, words_of

LEAST = 0.1
"""What is left of a cause none of whose symptoms share a word with the complaint."""

ToWords = Callable[[str], Words]


def closeness(
    asked: Sequence[str], told: Mapping[str, Sequence[str]], to_words: ToWords = words_of
) -> dict[str, float]:
    """0 to 1 for each cause: how much of the complaint its nearest symptom says, on average over `asked`.

    `told` are the symptoms of each cause. Words that no cause knows are left out; a complaint of such words
    alone makes all causes equal, with 1.
    """
    known = {cause: [to_words(text) for text in texts] for cause, texts in told.items()}
    tells = _rarity(known)
    complaints = [words for text in asked if (words := to_words(text) & tells.keys())]
    if not complaints:
        return dict.fromkeys(told, 1.0)
    return {
        cause: sum(_nearest(words, texts, tells) for words in complaints) / len(complaints)
        for cause, texts in known.items()
    }


def shifted(priors: Mapping[str, float], close: Mapping[str, float]) -> dict[str, float]:
    """The priors after a complaint; their sum, and so the leak, stays what it was."""
    weighed = {cause: prior * (LEAST + (1 - LEAST) * close[cause]) for cause, prior in priors.items()}
    total = sum(weighed.values())
    scale = sum(priors.values()) / total if total > 0 else 1.0
    return {cause: each * scale for cause, each in weighed.items()}


def _nearest(words: Words, texts: Sequence[Words], tells: Mapping[str, float]) -> float:
    whole = sum(tells[word] for word in sorted(words))
    return max((sum(tells[word] for word in sorted(words & text)) / whole for text in texts), default=0.0)


def _rarity(known: Mapping[str, Sequence[Words]]) -> dict[str, float]:
    """ln(1 + (N - n + 1/2) / (n + 1/2)) for a word that n of N causes know: never negative."""
    holders: dict[str, int] = {}
    for texts in known.values():
        for word in frozenset[str]().union(*texts):
            holders[word] = holders.get(word, 0) + 1
    count = len(known)
    return {word: math.log(1 + (count - n + 0.5) / (n + 0.5)) for word, n in holders.items()}

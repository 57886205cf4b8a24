"""`synonyms.yml`: phrases that mean the same to a shop and its customers, beside those of the trade."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field

from kb.records.fields import Line, Written, wrong
from kb.wording.phrases import LONGEST_PHRASE, NOT, phrase_key

MOST_LETTERS = 60
MOST_PHRASES = 60
MOST_OWN_GROUPS = 300


def _phrase(text: str) -> str:
    if len(text) > MOST_LETTERS:
        raise wrong(f"a phrase of {len(text)} characters", f"keep it under {MOST_LETTERS}")
    words = phrase_key(text)
    if not set(words) - {NOT}:
        raise wrong(f'"{text}" holds no word to search for', "write the word that tells, such as hum")
    if len(words) > LONGEST_PHRASE:
        raise wrong(f"a phrase of {len(words)} words", f"keep it to {LONGEST_PHRASE}, small ones not counted")
    return text


def _group(phrases: tuple[str, ...]) -> tuple[str, ...]:
    if len({phrase_key(phrase) for phrase in phrases}) < 2:
        raise wrong("the group has nothing that means the same", "write two phrases or more, in other words")
    if len(phrases) > MOST_PHRASES:
        raise wrong(f"a group of {len(phrases)} phrases", f"keep it under {MOST_PHRASES}")
    return phrases


def _groups(groups: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    if len(groups) > MOST_OWN_GROUPS:
        raise wrong(f"there are {len(groups)} groups", f"keep to {MOST_OWN_GROUPS}")
    return groups


Phrase = Annotated[Line, AfterValidator(_phrase)]
Group = Annotated[tuple[Phrase, ...], AfterValidator(_group)]


class Synonyms(Written):
    """`synonyms.yml`. A group that shares a phrase with one of the trade's extends it."""

    groups: Annotated[tuple[Group, ...], AfterValidator(_groups)] = Field(
        min_length=1, description="lists of phrases that mean the same, such as [hum, buzz]"
    )

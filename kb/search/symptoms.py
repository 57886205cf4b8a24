"""Past symptoms, best first: by the text, by how often the fault was seen, by how near its model is.

`kb/pages/assets/search-core.js` does the same, and the browser tests hold the two against each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kb.search.asking import SearchIndex, scored
from kb.search.faults import FAULTS, TABLE
from kb.search.matching import EXACT, MISTYPED, Wanted
from kb.search.narrowing import HERE, Narrowing, Table, closeness
from kb.search.words import Asked, query_words
from kb.wording.phrases import Phrases, words_by_clause

FOR_BEING_HERE = 1_000_000_000
FOR_EACH_WORD = 10_000_000
"""One number ranks: being on the unit before every word, a word more before all that words are worth."""

UNSEEN = 16
"""What a word's worth is multiplied by; each step of having been seen adds one, up to MOST_STEPS."""
MOST_STEPS = 4


@dataclass(frozen=True)
class Hit:
    """One fault that answers: its number, its rank (larger is better) and whether it is on the unit."""

    number: int
    score: int
    here: bool


@dataclass(frozen=True)
class Shown:
    """What is shown of a fault: where it is, and the symptom that comes nearest to what was asked."""

    path: str
    title: str
    symptom: str
    models: tuple[str, ...]
    revisions: tuple[str, ...]
    """As `model/revision`."""
    on: tuple[str, ...]
    """For people: each model by name with its revisions."""
    block: str
    block_name: str
    seen: int
    confirmed: bool


class SymptomIndex:
    """The index of symptoms as a browser sees it."""

    def __init__(self, files: Mapping[str, str] | Mapping[str, bytes]) -> None:
        self.index = SearchIndex(files, FAULTS)

    @cached_property
    def table(self) -> Table:
        """What results are narrowed by."""
        return Table.read(self.index.read(TABLE))

    def asked(self, words: str) -> list[Asked]:
        """What `words` ask for."""
        return query_words(words, self.index.phrases)

    def find(self, words: str, narrowing: Narrowing = Narrowing()) -> list[Hit]:  # noqa: B008 - frozen
        """The faults that answer, best first; without words all that are left, the most seen first."""
        asked = self.asked(words)
        met, scores = scored(self.index, asked)
        near = closeness(self.table, narrowing)
        hits = []
        for number in met if asked else range(self.index.count):
            here = near(number)
            if here is None:
                continue
            seen = self.table.codes[number][1]
            worth = scores[number] * (UNSEEN + boost(seen)) if asked else seen
            score = here * FOR_BEING_HERE + met.get(number, 0) * FOR_EACH_WORD + worth
            hits.append(Hit(number, score, here == HERE))
        return sorted(hits, key=lambda hit: (-hit.score, hit.number))

    def show(self, hit: Hit, asked: Sequence[Asked]) -> Shown:
        """What a result shows."""
        path, title, symptoms, confirmed = self.index.row(hit.number)
        place, seen = self.table.codes[hit.number]
        kind = self.table.kinds[place]
        models = [self.table.models[number] for number in kind.on]
        return Shown(
            path, title, nearest_symptom(symptoms, asked, self.index.phrases),
            tuple(model[0] for model in models),
            tuple(_revisions(models, kind.on.values())),
            tuple(_where(model, numbers) for model, numbers in zip(models, kind.on.values(), strict=True)),
            kind.block, _block_name(models, kind.block), seen, bool(confirmed),
        )  # fmt: skip


def boost(seen: int) -> int:
    """The steps for having been seen: 1 for once, 2 from two times on, 3 from four, 4 from eight."""
    return min(MOST_STEPS, seen.bit_length())


def nearest_symptom(symptoms: Sequence[str], asked: Sequence[Asked], phrases: Phrases) -> str:
    """The symptom that answers most of what is asked for; the first where none does better."""
    return max(symptoms, key=lambda symptom: _answers(symptom, asked, phrases), default="")


def _answers(symptom: str, asked: Sequence[Asked], phrases: Phrases) -> int:
    words = [word for clause in words_by_clause(symptom) for word in clause]
    signs = phrases.signs_in(symptom)
    return sum(_fit(each, words, signs) for each in asked)


def _fit(asked: Asked, words: Sequence[str], signs: Sequence[str]) -> int:
    if not asked.loosely:
        return max((_fit_of(asked, word) for word in words), default=0)
    if asked.spellings[0] in signs:
        return EXACT
    met = [any(Wanted.of(each).met_by(word) for each in spellings for word in words)
           for spellings in asked.loosely]  # fmt: skip
    return MISTYPED if all(met) else 0


def _fit_of(asked: Asked, word: str) -> int:
    wanted = [Wanted.of(each) for each in asked.spellings]
    return max(each.met_by(word) for each in wanted) or wanted[0].may_mean(word)


def _revisions(models: Iterable[list[Any]], on: Iterable[frozenset[int]]) -> Iterable[str]:
    for (identifier, _, revisions, _), numbers in zip(models, on, strict=True):
        yield from (f"{identifier}/{revisions[number][0]}" for number in sorted(numbers))


def _where(model: list[Any], numbers: frozenset[int]) -> str:
    """`Sixteenfold, all revisions` or `Sixteenfold, revision A, B`."""
    _, name, revisions, _ = model
    if len(numbers) == len(revisions):
        return f"{name}, all revisions"
    return f"{name}, revision {', '.join(revisions[number][0].upper() for number in sorted(numbers))}"


def _block_name(models: Iterable[list[Any]], block: str) -> str:
    return next((name for model in models for identifier, name, _ in model[3] if identifier == block), block)

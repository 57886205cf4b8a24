"""Tasks that were done, out of a pack: what they read with the answers of then, and their pages.

Most of a pack is never looked into: what was read of a record is one piece, opened only if its file is not
the same. Marshal is quick and runs no code, but trusts its bytes: whoever keeps a pack signs it.
"""

from __future__ import annotations

import json
import marshal
from array import array
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import chain
from typing import Any, overload

from kb.calculators.changing import Changeable
from kb.pages.page_desk import Made
from kb.pages.pageset import Heading, Page, SearchText
from kb.pages.reads import Answers, Read
from kb.problems import Problem

HEAD_BYTES = 8
"""The length of the notes stands in so many; behind the notes stand the bodies."""

PLACE = "I"
"""How a place among what was read is written."""


class KeptReads(Sequence[Read]):
    """What a task read, by its places in a pack; looked up only where somebody asks."""

    def __init__(self, pack: Pack, places: bytes) -> None:
        self._pack, self._places = pack, array(PLACE, places)

    def __len__(self) -> int:
        return len(self._places)

    def __iter__(self) -> Iterator[Read]:
        reads = self._pack.reads
        return (reads[place] for place in self._places)

    @overload
    def __getitem__(self, index: int) -> Read: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Read]: ...
    def __getitem__(self, index: int | slice) -> Read | Sequence[Read]:
        return tuple(self)[index]


class Pack:
    """A pack that was written by `kept_packing.packed`."""

    def __init__(self, body: bytes) -> None:
        self._bodies = HEAD_BYTES + int.from_bytes(body[:HEAD_BYTES], "big")
        self._body = body
        # Of the records what was read of each; which records there were; questions to the cross-links, and
        # what those had read to answer each kind of question, if that is known.
        notes = memoryview(body)[HEAD_BYTES : self._bodies]
        self._records, self._lists, self._questions, links, self._tasks, plans = _read(notes)
        self._read_for = {kind: array(PLACE, places) for kind, places in links.items()}
        self._plans = {name: Changeable(*each) for name, each in json.loads(plans).items()}
        self._headings: dict[tuple[int, str, str], Heading] = {}

    def holding(self, answers: Answers) -> dict[str, Made]:
        """The tasks that would come out the same, by name."""
        changed = self._changed(answers)
        return {
            name: self._made(*task)
            for name, task in self._tasks.items()
            if not changed or changed.isdisjoint(array(PLACE, task[1]))
        }

    @cached_property
    def reads(self) -> tuple[Read, ...]:
        """Everything that was read, by place."""
        of_records = (
            (kind, identifier, *name)
            for kind, identifier, _, _, told in self._records
            for name, _ in _read(told)
        )
        return (*of_records, *(read for read, _ in chain(self._lists, self._questions)))

    def _changed(self, answers: Answers) -> set[int]:
        """The places of what is no longer as it was."""
        changed = set(self._changed_records(answers))
        at = sum(count for _, _, _, count, _ in self._records)
        changed.update(_differing(self._lists, answers, at))
        # What the cross-links answer can only be another thing if something is that they read for it.
        hold = {kind for kind, read in self._read_for.items() if changed.isdisjoint(read)}
        for place, (question, answer) in enumerate(self._questions, at + len(self._lists)):
            if question[1] not in hold and answers.of(question) != answer:
                changed.add(place)
        return changed

    def _changed_records(self, answers: Answers) -> Iterator[int]:
        """A record whose file is the same is not looked into."""
        at = 0
        for kind, identifier, file, count, told in self._records:
            if not file or answers.file(kind, identifier) != file:
                then = [((kind, identifier, *name), answer) for name, answer in _read(told)]
                yield from _differing(then, answers, at)
            at += count

    def _made(
        self, pages: Sequence[Any], places: bytes, disagreements: Sequence[Any], pictures: tuple[str, ...],
        plans: Sequence[str], anchors: tuple[str, ...], more: str,
    ) -> Made:  # fmt: skip
        return Made(
            tuple(self._page(*each) for each in pages),
            KeptReads(self, places),
            (),
            tuple(Problem(*each) for each in disagreements),
            pictures,
            tuple(self._plans[each] for each in plans),
            anchors,
            json.loads(more) if more else {},
        )

    def _page(
        self, path: str, title: str, kind: str, start: int, end: int, summary: str, headings: Sequence[Any],
        search: Any,
    ) -> Page:  # fmt: skip
        body = self._body[self._bodies + start : self._bodies + end].decode()
        told = tuple(self._heading(each) for each in headings)
        return Page(path, title, kind, body, summary, told, search and SearchText(*search))

    def _heading(self, written: tuple[int, str, str]) -> Heading:
        # Most pages have the headings of others.
        if written not in self._headings:
            self._headings[written] = Heading(*written)
        return self._headings[written]


def _read(written: bytes | memoryview) -> Any:
    return marshal.loads(written)  # noqa: S302 - signed by whoever kept it


def _differing(then: Iterable[tuple[Read, str]], answers: Answers, first: int) -> Iterator[int]:
    return (place for place, (read, answer) in enumerate(then, first) if answers.of(read) != answer)

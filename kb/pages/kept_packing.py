"""Tasks that are done, as a pack: what they read with the answers of now, and their pages."""

from __future__ import annotations

import json
import marshal
from array import array
from collections.abc import Iterable, Mapping
from dataclasses import astuple
from itertools import chain
from typing import Any

from kb.pages.kept_pack import HEAD_BYTES, PLACE
from kb.pages.page_desk import Made
from kb.pages.pageset import Page
from kb.pages.reads import LINKS, Answers, Read


def packed(tasks: Mapping[str, Made], answers: Answers, *, watches_links: bool = False) -> list[bytes]:
    """A pack of these tasks, in pieces; with `watches_links` it tells what the cross-links read."""
    reads = dict.fromkeys(chain.from_iterable(made.reads for made in tasks.values()))
    questions = [read for read in reads if read[0] == LINKS]
    told, by_links = answers.watching(questions) if watches_links else (map(answers.of, questions), {})
    reads |= dict.fromkeys(chain.from_iterable(by_links.values()))
    records = _by_record(reads)
    lists = [read for read in reads if len(read) == 1]
    ordered = chain(chain.from_iterable(records.values()), lists, questions)
    places = {read: place for place, read in enumerate(ordered)}
    bodies = _Bodies()
    notes = marshal.dumps((
        [_record(*each, found, answers) for each, found in records.items()],
        [(read, answers.of(read)) for read in lists],
        list(zip(questions, told, strict=True)),
        {kind: _places(read, places) for kind, read in by_links.items()},
        {name: _task(made, places, bodies) for name, made in tasks.items()},
        _plans(tasks.values()),
    ))  # fmt: skip
    return [len(notes).to_bytes(HEAD_BYTES, "big"), notes, *bodies.pieces]


class _Bodies:
    """Bodies one behind the other."""

    def __init__(self) -> None:
        self.pieces: list[bytes] = []
        self._end = 0

    def add(self, body: str) -> tuple[int, int]:
        """Where it begins and ends."""
        start = self._end
        self.pieces.append(body.encode())
        self._end += len(self.pieces[-1])
        return start, self._end


def _by_record(reads: Iterable[Read]) -> dict[tuple[str, str], list[Read]]:
    found: dict[tuple[str, str], list[Read]] = {}
    for read in reads:
        if read[0] != LINKS and len(read) > 1:
            found.setdefault((read[0], read[1]), []).append(read)
    return found


def _record(kind: str, identifier: str, reads: list[Read], answers: Answers) -> tuple[Any, ...]:
    told = marshal.dumps([(read[2:], answers.of(read)) for read in reads])
    return kind, identifier, answers.file(kind, identifier), len(reads), told


def _places(reads: Iterable[Read], places: Mapping[Read, int]) -> bytes:
    return array(PLACE, [places[each] for each in reads]).tobytes()


def _task(made: Made, places: Mapping[Read, int], bodies: _Bodies) -> tuple[Any, ...]:
    return (
        [_page(page, bodies) for page in made.pages],
        _places(made.reads, places),
        [astuple(each) for each in made.disagreements],
        made.pictures,
        [each.name for each in made.plans],
        made.anchors,
        json.dumps(made.more) if made.more else "",
    )


def _page(page: Page, bodies: _Bodies) -> tuple[Any, ...]:
    # A text that is marked as HTML is a type of its own, which marshal does not write.
    headings = [(each.level, str(each.anchor), str(each.text)) for each in page.headings]
    search = page.search and (
        str(page.search.title), tuple(map(str, page.search.strong)), tuple(map(str, page.search.words)),
    )  # fmt: skip
    summary = str(page.summary)
    return str(page.path), str(page.title), page.kind, *bodies.add(page.body), summary, headings, search


def _plans(tasks: Iterable[Made]) -> str:
    found = {
        each.name: [each.calculator, dict(each.inputs), each.data, each.way]
        for made in tasks
        for each in made.plans
    }
    return json.dumps(found, separators=(",", ":"))

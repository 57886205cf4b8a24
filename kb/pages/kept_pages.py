"""Pages of an earlier build that still hold, because all that they read is as it was.

Two entries of a `Store`: what the pages read and left behind, and their bodies. A build with them gives the
same bytes as one without; tests hold that for edits drawn at random.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import astuple
from itertools import chain
from typing import Any

from kb.calculators.changing import Changeable
from kb.pages.page_desk import Made
from kb.pages.pageset import Heading, Page, SearchText
from kb.pages.reads import KINDS, Answers, Read, short
from kb.pages.store import Store, code_key
from kb.problems import Problem
from kb.shop import Shop

_NOTES, _BODIES = "notes", "bodies"


def site_key(shop: Shop) -> str:
    """Changes with the code and with whatever counts for every page."""
    captures = [each for each in sorted(shop.data_files) if each.startswith("captures/")]
    told = [
        code_key(), repr(shop.card.record), repr(shop.synonyms), *sorted(shop.data_files),
        *(_content(shop, each) for each in captures),
    ]  # fmt: skip
    return short("\n".join(told))


def _content(shop: Shop, file: str) -> str:
    try:
        return hashlib.sha256((shop.root / file).read_bytes()).hexdigest()
    except OSError as error:
        return f"cannot be read: {error.strerror}"


def load(store: Store, key: str, answers: Answers) -> dict[str, Made]:
    """The tasks whose pages still hold, by name."""
    notes = store.load(_NOTES, key)
    if notes is None:
        return {}
    written = json.loads(notes)
    bodies = store.load(_BODIES, written["bodies"])
    if bodies is None:
        return {}
    reads = [tuple(each) for each, _ in written["reads"]]
    changed = set(_changed(written, reads, answers))
    plans = {name: Changeable(*each) for name, each in written["plans"].items()}
    return {
        name: _made(task, reads, plans, bodies)
        for name, task in written["tasks"].items()
        if changed.isdisjoint(task["r"])
    }


def _changed(written: Mapping[str, Any], reads: list[Read], answers: Answers) -> Iterator[int]:
    """The places of what is no longer as it was; a record whose file is the same is not looked into."""
    same = {name for name, file in written["files"].items() if file and answers.file(*_split(name)) == file}
    for place, (read, (_, answer)) in enumerate(zip(reads, written["reads"], strict=True)):
        is_same = len(read) > 1 and read[0] in KINDS and f"{read[0]}/{read[1]}" in same
        if not is_same and answers.of(read) != answer:
            yield place


def _split(name: str) -> tuple[str, str]:
    kind, _, identifier = name.partition("/")
    return kind, identifier


def _made(task: Mapping[str, Any], reads: list[Read], plans: Mapping[str, Changeable], bodies: bytes) -> Made:
    return Made(
        tuple(_page(each, bodies) for each in task["p"]),
        tuple(reads[each] for each in task["r"]),
        (),
        tuple(Problem(*each) for each in task["d"]),
        tuple(task["i"]),
        tuple(plans[each] for each in task["c"]),
        tuple(task["a"]),
        task["m"],
    )


def _page(written: list[Any], bodies: bytes) -> Page:
    path, title, kind, start, end, summary, headings, search = written
    return Page(
        path, title, kind, bodies[start:end].decode(), summary,
        tuple(Heading(*each) for each in headings),
        None if search is None else SearchText(search[0], tuple(search[1]), tuple(search[2])),
    )  # fmt: skip


def keep(store: Store, key: str, tasks: Mapping[str, Made], answers: Answers) -> None:
    """Keep all tasks of a build in which nothing was amiss."""
    pages = [page for made in tasks.values() for page in made.pages]
    bodies = [page.body.encode() for page in pages]
    starts = dict(zip((page.path for page in pages), _starts(bodies), strict=True))
    places = {
        read: place
        for place, read in enumerate(dict.fromkeys(chain.from_iterable(m.reads for m in tasks.values())))
    }
    files = {f"{read[0]}/{read[1]}": read for read in places if len(read) > 1 and read[0] in KINDS}
    # The notes belong to these bodies and to no others; a signature is on both.
    pair = secrets.token_hex()
    notes = {
        "bodies": pair,
        "reads": [[read, answers.of(read)] for read in places],
        "files": {name: answers.file(*_split(name)) for name in files},
        "plans": {
            each.name: [each.calculator, dict(each.inputs), each.data, each.way]
            for made in tasks.values()
            for each in made.plans
        },
        "tasks": {name: _written(made, places, starts) for name, made in tasks.items()},
    }
    store.keep(_BODIES, pair, bodies)
    store.keep(_NOTES, key, [json.dumps(notes, separators=(",", ":")).encode()])


def _starts(bodies: Iterable[bytes]) -> Iterator[tuple[int, int]]:
    at = 0
    for each in bodies:
        yield at, at + len(each)
        at += len(each)


def _written(made: Made, places: Mapping[Read, int], starts: Mapping[str, tuple[int, int]]) -> dict[str, Any]:
    return {
        "p": [_page_written(page, starts[page.path]) for page in made.pages],
        "r": [places[each] for each in made.reads],
        "d": [astuple(each) for each in made.disagreements],
        "i": made.pictures,
        "c": [each.name for each in made.plans],
        "a": made.anchors,
        "m": made.more,
    }


def _page_written(page: Page, ends: tuple[int, int]) -> list[Any]:
    search = page.search and [page.search.title, page.search.strong, page.search.words]
    headings = [[each.level, each.anchor, each.text] for each in page.headings]
    return [page.path, page.title, page.kind, *ends, page.summary, headings, search]

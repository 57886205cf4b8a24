"""Where a text for customers tells whose unit it was: a customer's reference or the serial of a real unit.

Jobs are private, but their words can be written into a guide by hand; here they are found again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kb.audience.fields import FIELDS, is_public, may_leave, public_values
from kb.problems import Problem
from kb.reading import Located
from kb.reading.located import Step
from kb.records import Written
from kb.records.hazards import HAZARD_IDS
from kb.shop import Shop

SHORTEST = 3
_BEFORE_A_NUMBER = r"(?:(?:serials?|numbers?|units?|no\.?|nr\.?|s/n|#|№)[\s:.]*){1,3}"
_SOME_GAP = r"[\s./_#–-]*"
_GAP = r"[\s-]+"
_NAME = re.compile(r"[^\W\d_a-z][^\W\d_]{2,}(?:['’-][^\W\d_]+)*")


@dataclass(frozen=True)
class Told:
    """Something of a job that no text for customers may hold."""

    what: str
    pattern: re.Pattern[str]


def tells_private(shop: Shop) -> Iterator[Problem]:
    """A problem at each customer's reference or real serial in a public text."""
    told = tuple(_told(shop))
    if not told:
        return
    yield from _in_record(shop.card, shop.card.record, (), told)
    for records in (shop.models, shop.faults, shop.guides, shop.parts):
        for located in records.values():
            if may_leave(located.record):
                yield from _in_record(located, located.record, (), told)


def _told(shop: Shop) -> Iterator[Told]:
    ordinary = _ordinary_words(shop)
    for job in shop.jobs.values():
        yield from _named(job.id)
    for serial in sorted({job.record.serial for job in shop.jobs.values()}):
        yield from (Told("the serial of a unit on the bench", each) for each in _serial(serial))
    for customer in sorted({job.record.customer or "" for job in shop.jobs.values()}):
        yield from (Told("a customer's reference", each) for each in _reference(customer, ordinary))


def _named(job: str) -> Iterator[Told]:
    """A job's id where it is more than a word; a link to a job is told as a link."""
    if re.search(r"[0-9-]", job) and len(job) > SHORTEST:
        pattern = re.compile(rf"(?<!job:)(?<![\w-]){re.escape(job)}(?![\w-])", re.IGNORECASE)
        yield Told("the id of a job", pattern)


def _serial(text: str) -> Iterator[re.Pattern[str]]:
    """A serial however it is spaced; a short bare number only where it is called a number."""
    pieces = re.findall(r"[A-Za-z]+|[0-9]+", text)
    if not pieces:
        return
    digits = pieces[-1].lstrip("0") if pieces[-1].isdigit() else ""
    if len(pieces) > 1 or len(pieces[0]) > 4:
        yield re.compile(rf"(?<!\w){_SOME_GAP.join(map(re.escape, pieces))}(?!\w)", re.IGNORECASE)
    if digits:
        yield re.compile(rf"(?<!\w){_BEFORE_A_NUMBER}0*{digits}(?!\w)", re.IGNORECASE)


def _reference(text: str, ordinary: frozenset[str]) -> Iterator[re.Pattern[str]]:
    """A reference as a whole; of what looks like a name, each word that is none of the shop's own."""
    words = text.split()
    if len(text) >= SHORTEST:
        whole = _GAP.join(map(re.escape, words))
        yield re.compile(rf"(?<!\w){whole}(?!\w)", re.IGNORECASE)
    for name in _NAME.findall(text):
        if name.lower() not in ordinary:
            yield re.compile(rf"(?<!\w){re.escape(name)}(?!\w)")


_TITLES = frozenset(
    (
        "mr",
        "mrs",
        "ms",
        "miss",
        "dr",
        "prof",
        "the",
        "and",
        "herr",
        "frau",
        "madame",
        "monsieur",
        "ref",
        "job",
    )
)


def _ordinary_words(shop: Shop) -> frozenset[str]:
    """Words of names that are public anyway: the shop's, its makers' and its models'."""
    card = public_values(shop.card.record)
    names = [card["name"], card["place"] or ""]
    for model in shop.models.values():
        names += [model.record.name, model.record.maker, model.record.kind]
    return frozenset(re.findall(r"[^\W\d_]+", " ".join(names).lower())) | _TITLES


def _in_record(
    located: Located[Any], record: Written, path: tuple[Step, ...], told: tuple[Told, ...]
) -> Iterator[Problem]:
    """The problems in every public text of a record, those of the records in it too."""
    for name in FIELDS[type(record)]:
        if is_public(type(record), name):
            below = path if name == "head" else (*path, name)
            yield from _in_value(located, getattr(record, name), below, told)


def _in_value(
    located: Located[Any], value: Any, path: tuple[Step, ...], told: tuple[Told, ...]
) -> Iterator[Problem]:
    if isinstance(value, Written):
        yield from _in_record(located, value, path, told)
    elif isinstance(value, tuple):
        for number, each in enumerate(value):
            yield from _in_value(located, each, (*path, number), told)
    elif isinstance(value, str) and value not in HAZARD_IDS:
        yield from _in_text(located, value, path, told)


def _in_text(
    located: Located[Any], text: str, path: tuple[Step, ...], told: tuple[Told, ...]
) -> Iterator[Problem]:
    for each in told:
        for match in each.pattern.finditer(text):
            line = text.count("\n", 0, match.start())
            column = match.start() - (text.rfind("\n", 0, match.start()) + 1)
            advice = "take it out; customers read this text"
            yield _problem(located, path, line, column, f'"{match[0]}" is {each.what}', advice)


def _problem(
    located: Located[Any], path: tuple[Step, ...], line: int, column: int, what: str, advice: str
) -> Problem:
    """A problem inside a text: exact where lines of the text are lines of the file."""
    if path == ("body",):
        return Problem(located.file, located.body_line + line, column + 1, what, advice)
    start, first = located.place(*path), located.text_place(path, 0)
    if first != start:
        at = located.text_place(path, line)
        return Problem(located.file, at.line, at.column + column, what, advice)
    return Problem(located.file, start.line, start.column + (0 if line else column), what, advice)

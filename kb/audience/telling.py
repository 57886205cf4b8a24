"""Where a text for customers tells whose unit it was: a customer's reference or the serial of a real unit.

Jobs are private, but their words can be written into a guide by hand; here they are found again.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from kb.audience.fields import FIELDS, is_public, may_leave, public_values
from kb.audience.handover_fields import goes_home
from kb.audience.mentions import Mentions, last_figures, letters_of
from kb.problems import Problem
from kb.reading import Located
from kb.reading.located import Step
from kb.records import Job, Reading, Written
from kb.records.hazards import HAZARD_IDS
from kb.shop import Shop

Text = tuple[Located[Any], tuple[Step, ...], str]
"""A text with the record and the field it stands in."""

SHORTEST = 3
_OWN = ("model", "serial", "customer")
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
    """A problem at each customer's reference, real serial or job's id in a public text."""
    texts = tuple(_public_texts(shop))
    told = tuple(_told(shop, shop.jobs.values(), _letters_of(texts)))
    for located, path, text in texts:
        yield from _in_text(located, text, path, told, "take it out; customers read this text")


def tells_of_others(shop: Shop, job: Located[Job], mentions: Mentions | None = None) -> Iterator[Problem]:
    """A problem where the words of a job that go home tell of another unit or another customer.

    `mentions` are those of all jobs of the shop, for whoever asks about many.
    """
    own = job.record
    texts = (
        *((job, path, text) for path, text in _texts_in(own, (), goes_home) if path[0] not in _OWN),
        *_borrowed(shop, own),
    )
    # What fits this unit or its owner as well tells of nobody else.
    digits = re.sub(r"\D", "", own.serial).lstrip("0")
    about_this = (job.id, own.serial, own.customer or "", f"number {digits}")
    letters = _letters_of(texts)
    others = [
        each for each in (mentions or Mentions(shop.jobs.values())).possible(letters)
        if (each.record.model, each.record.serial) != (own.model, own.serial)
    ]  # fmt: skip
    told = tuple(
        each for each in _told(shop, others, letters)
        if not any(each.pattern.search(said) for said in about_this)
    )  # fmt: skip
    advice = "take it out; the owner of this unit reads it"
    for located, path, text in texts:
        yield from _in_text(located, text, path, told, advice)


def _borrowed(shop: Shop, job: Job) -> Iterator[Text]:
    """The values of a fault, where the job says that they were changed so on its unit."""
    for name in sorted({each.fault for each in job.findings if each.values_of_fault}):
        fault = shop.faults[name]
        yield from (
            (fault, path, text) for path, text in _texts_in(fault.record.values, ("values",), goes_home)
        )


def _letters_of(texts: Iterable[Text]) -> str:
    """What all texts are made of: thousands of jobs are told by it from the few that can be meant."""
    return letters_of(" ".join(text for _, _, text in texts))


def _told(shop: Shop, jobs: Collection[Located[Job]], letters: str) -> Iterator[Told]:
    ordinary = _ordinary_words(shop)
    for job in jobs:
        if letters_of(job.id) in letters:
            yield from _named(job.id)
    for serial in sorted({job.record.serial for job in jobs}):
        if last_figures(serial) in letters:
            yield from (Told("the serial of a unit on the bench", each) for each in _serial(serial))
    for customer in sorted({job.record.customer or "" for job in jobs}):
        if any(letters_of(word) in letters for word in customer.split()):
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


_TITLES = frozenset((
    "mr", "mrs", "ms", "miss", "dr", "prof", "the", "and", "herr", "frau", "madame", "monsieur", "ref", "job"
))  # fmt: skip


def _ordinary_words(shop: Shop) -> frozenset[str]:
    """Words of names that are public anyway: the shop's, its makers' and its models'."""
    card = public_values(shop.card.record)
    names = [card["name"], card["place"] or ""]
    for model in shop.models.values():
        names += [model.record.name, model.record.maker, model.record.kind]
    return frozenset(re.findall(r"[^\W\d_]+", " ".join(names).lower())) | _TITLES


def _public_texts(shop: Shop) -> Iterator[Text]:
    """Every text that customers may read."""
    records = (*shop.models.values(), *shop.faults.values(), *shop.guides.values(), *shop.parts.values())
    for located in (shop.card, *(each for each in records if may_leave(each.record))):
        yield from ((located, path, text) for path, text in _texts_in(located.record, (), is_public))


def _texts_in(
    value: Any, path: tuple[Step, ...], leaves: Callable[[type[Written], str], bool]
) -> Iterator[tuple[tuple[Step, ...], str]]:
    """Every text in the fields that may leave by that rule."""
    if isinstance(value, Reading):
        yield path, value.text
    elif isinstance(value, Written):
        for name in FIELDS[type(value)]:
            if leaves(type(value), name):
                yield from _texts_in(getattr(value, name), path if name == "head" else (*path, name), leaves)
    elif isinstance(value, tuple):
        for number, each in enumerate(value):
            yield from _texts_in(each, (*path, number), leaves)
    elif isinstance(value, str) and value not in HAZARD_IDS:
        yield path, value


def _in_text(
    located: Located[Any], text: str, path: tuple[Step, ...], told: tuple[Told, ...], advice: str
) -> Iterator[Problem]:
    for each in told:
        for match in each.pattern.finditer(text):
            line = text.count("\n", 0, match.start())
            column = match.start() - (text.rfind("\n", 0, match.start()) + 1)
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

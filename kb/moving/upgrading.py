"""Older folders brought to the format of today: what each step changes, in the text, comments kept.

A step changes the lines it must and no other, so that the difference is short enough to be read.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from kb.reading.finding import CARD
from kb.reading.format_number import format_scalar
from kb.reading.tree import Mapping as Tree
from kb.reading.tree import Place, read_tree
from kb.records.shop import FORMAT

Texts = Mapping[str, str]


@dataclass(frozen=True)
class Step:
    """What leads from the format before to the format `to`."""

    to: int
    about: str
    change: Callable[[Texts], Texts]
    """The files it changes, from all of the folder's records by path."""


def _only_the_number(texts: Texts) -> Texts:
    """Nothing beside the number: what a record may hold is the same in both."""
    del texts
    return {}


STEPS: tuple[Step, ...] = (Step(2, f"{CARD} tells the format of the folder's records", _only_the_number),)
"""Every step there is, oldest first; the last one leads to the format of today."""


def format_of(card: str) -> int:
    """The format that the text of `shop.yml` tells; 1 where it tells none."""
    found = format_scalar(_as_read(card))
    return int(found.text) if found is not None and found.text.isdecimal() else 1


def upgraded(texts: Texts) -> tuple[tuple[Step, ...], dict[str, str]]:
    """The steps that are due, and the new text of each file that they change."""
    due = tuple(step for step in STEPS if step.to > format_of(texts[CARD]))
    now = dict(texts)
    for step in due:
        now.update(step.change(now))
    if due:
        now[CARD] = _with_format(now[CARD], FORMAT)
    return due, {file: text for file, text in sorted(now.items()) if text != texts.get(file)}


def difference(file: str, old: str, new: str) -> Iterator[str]:
    """The lines of a unified difference, without line ends."""
    lines = difflib.unified_diff(
        old.splitlines(), new.splitlines(), f"{file} (now)", f"{file} (upgraded)", lineterm=""
    )
    yield from lines


def _with_format(card: str, number: int) -> str:
    """The text of `shop.yml` with its format set to `number`."""
    found = format_scalar(_as_read(card))
    if found is not None:
        start = _offset(card, found.place) + bool(found.style)
        return f"{card[:start]}{number}{card[start + len(found.text) :]}"
    tree, _ = read_tree(_as_read(card), CARD)
    at = _offset(card, tree.place) if isinstance(tree, Tree) else len(card)
    if card[at : at + 1] == "{":
        return f"{card[: at + 1]}format: {number}, {card[at + 1 :]}"
    end = "\r\n" if "\r\n" in card else "\n"
    before = card[:at].lstrip("\ufeff")
    indent = " " * (len(before) - len(before.rstrip(" ")))
    return f"{card[:at]}format: {number}{end}{indent}{card[at:]}"


def _offset(text: str, place: Place) -> int:
    """Where `place` is in a text as it lies on the disk, with its mark and its own line ends."""
    lines = text.splitlines(keepends=True)
    mark = 1 if place.line == 1 and text.startswith("\ufeff") else 0
    return sum(map(len, lines[: place.line - 1])) + place.column - 1 + mark


def _as_read(text: str) -> str:
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")

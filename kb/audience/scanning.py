"""A search through every byte of what was made for customers, for texts that only private records hold.

It is the last net: it does not know how pages are made, and any hit stops the publication.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from kb.audience.decoding import readings
from kb.audience.secrets import Secret
from kb.problems import on_one_line

SHORT = 8
PIECE = 4
"""So many letters in a row must be somewhere in a text before it is searched for the whole."""


@dataclass(frozen=True, order=True)
class Leak:
    """A private text in a file of the site; `how` says what encoding it was found under."""

    file: str
    secret: Secret
    how: str

    def __str__(self) -> str:
        how = f" ({self.how})" if self.how else ""
        shown = self.secret.text[:60]
        return on_one_line(f'{self.file}: holds "{shown}"{how}, {self.secret.what} of {self.secret.file}')


def scan(folder: Path, secrets: Iterable[Secret], known: str) -> tuple[Leak, ...]:
    """Every private text found in the names and the bytes of the files under `folder`.

    `known` is what is public anyway; what stands in it is not looked for.
    """
    wanted = _worth_looking_for(secrets, known)
    leaks: set[Leak] = set()
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        leaks.update(_found(wanted, name, "in its name", name))
        if path.is_file():
            for how, text in readings(name, path.read_bytes()):
                leaks.update(_found(wanted, text, how, name))
    return tuple(sorted(_first_of_each(leaks)))


def _worth_looking_for(secrets: Iterable[Secret], known: str) -> list[tuple[str, Secret]]:
    public = _plain(known)
    folded = ((_plain(each.text), each) for each in secrets)
    return [(text, each) for text, each in folded if text and (each.always or text not in public)]


def _found(wanted: list[tuple[str, Secret]], text: str, how: str, name: str) -> Iterator[Leak]:
    plain = _plain(text)
    pieces = {plain[at : at + PIECE] for at in range(len(plain) - PIECE + 1)}
    for looked_for, secret in wanted:
        if not {looked_for[:PIECE], looked_for[-PIECE:]} <= pieces:
            continue
        if _is_in(looked_for, plain, whole=secret.always or len(looked_for) < SHORT):
            yield Leak(name, secret, how)


def _is_in(looked_for: str, plain: str, *, whole: bool) -> bool:
    """Whether a text stands there; digits alone must not be a piece of a longer number or a digest.

    A `whole` one stands by itself: ref-12 is not in ref-123, and a short name in no digest.
    """
    if looked_for.isdigit():
        return re.search(rf"(?<![0-9a-f.]){looked_for}(?![0-9a-f.])", plain) is not None
    if whole and looked_for in plain:
        return re.search(rf"(?<![^\W_]){re.escape(looked_for)}(?![^\W_])", plain) is not None
    return looked_for in plain


def _plain(text: str) -> str:
    """A text whatever its capitals and its spaces are."""
    return " ".join(text.casefold().split())


def _first_of_each(leaks: Iterable[Leak]) -> list[Leak]:
    """One leak for each file and secret, the plainest: the same text read in five ways is one leak."""
    first: dict[tuple[str, str], Leak] = {}
    for leak in sorted(leaks, key=lambda each: (len(each.how), each)):
        first.setdefault((leak.file, leak.secret.text), leak)
    return list(first.values())

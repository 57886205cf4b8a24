"""The files that public prose names: each one is made anew from what it shows, and none is ever copied.

A name is looked up among the shop's pictures; a file that no public text names is never opened.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from os import SEEK_END
from pathlib import Path, PurePosixPath
from types import MappingProxyType
from typing import BinaryIO

from kb.audience.photographs import glanced_photograph, remade_photograph
from kb.audience.refusals import NotPublishable
from kb.audience.svg_files import remade_svg
from kb.audience.tables import remade_csv

LARGEST_FILE = 40_000_000
LETTERS_OF_NAME = 24
LONGEST_HEAD = 1_000_000
"""Before its size a photograph may hold comments, colours and a small picture of itself."""

_TOLD_BY_THEIR_HEADS = (".jpg", ".jpeg", ".png")

Maker = Callable[[bytes], tuple[str, bytes]]
"""What makes a file anew: from its bytes the new ending and the new bytes."""

_PICTURES: Mapping[str, Maker] = MappingProxyType({
    ".jpg": remade_photograph, ".jpeg": remade_photograph, ".png": remade_photograph,
    ".webp": remade_photograph, ".svg": remade_svg,
})  # fmt: skip
_TABLES: Mapping[str, Maker] = MappingProxyType({".csv": remade_csv})

_PICTURE_ADVICE = "publish a picture as JPEG, PNG, WebP or plain SVG"
_TABLE_ADVICE = "publish a capture as CSV"
_PDF = "it may hold names, comments and earlier versions that nobody sees; put what it says into the text"


@dataclass(frozen=True)
class Attached:
    """A file made anew, at an address that depends on its content alone."""

    path: str
    content: bytes


@dataclass(frozen=True)
class Refused:
    """Why a file is not published, and what would be right."""

    what: str
    advice: str


@dataclass(frozen=True)
class Attachments:
    """The pictures and captures of a shop folder, by their names."""

    root: Path
    names: frozenset[str]

    def picture(self, source: str) -> Attached | Refused:
        """The picture that prose calls `source`."""
        name = source if source.startswith("photos/") else f"photos/{source}"
        if name not in self.names:
            return Refused(
                f'there is no picture "{source[:60]}"', "put it under photos/ and write photos/name"
            )
        return self._remade(name, _PICTURES, _PICTURE_ADVICE)

    def capture(self, name: str) -> Attached | Refused:
        """The capture that prose links to as `captures/name.csv`."""
        if name not in self.names:
            return Refused(
                f'there is no capture "{name[:60]}"', "put it under captures/, or correct its name"
            )
        return self._remade(name, _TABLES, _TABLE_ADVICE)

    def _remade(self, name: str, makers: Mapping[str, Maker], advice: str) -> Attached | Refused:
        short = name[:60]
        try:
            path = self.root / name
            if not path.resolve().is_relative_to(self.root.resolve()):
                return Refused(f'"{short}" leads out of the shop folder', "put the file itself there")
            with path.open("rb") as file:
                return self._made(name, file, makers, advice)
        except OSError as error:
            return Refused(f'"{short}" cannot be read ({error.strerror})', "check its rights")

    def _made(
        self, name: str, file: BinaryIO, makers: Mapping[str, Maker], advice: str
    ) -> Attached | Refused:
        return _made(name, file.read(LARGEST_FILE + 1), makers, advice)


class Glances(Attachments):
    """The same files, photographs only glanced at: whether they can be made anew, as far as that is quick.

    What it says is fit holds no content and is for nobody to see.
    """

    def _made(
        self, name: str, file: BinaryIO, makers: Mapping[str, Maker], advice: str
    ) -> Attached | Refused:
        if PurePosixPath(name).suffix.lower() not in _TOLD_BY_THEIR_HEADS:
            return super()._made(name, file, makers, advice)
        if file.seek(0, SEEK_END) > LARGEST_FILE:
            return _too_long(name)
        file.seek(0)
        glanced = dict.fromkeys(_TOLD_BY_THEIR_HEADS, glanced_photograph)
        return _made(name, file.read(LONGEST_HEAD), glanced, advice)


def _too_long(name: str) -> Refused:
    return Refused(f'"{name[:60]}" has more than {LARGEST_FILE:,} bytes', "make it smaller")


def _made(name: str, data: bytes, makers: Mapping[str, Maker], advice: str) -> Attached | Refused:
    ending = PurePosixPath(name).suffix.lower()
    short = name[:60]
    if ending == ".pdf":
        return Refused(f'"{short}" is a PDF, which is not published', _PDF)
    if ending not in makers:
        return Refused(f'"{short}" is of a kind that is not published', advice)
    if len(data) > LARGEST_FILE:
        return _too_long(name)
    try:
        new_ending, content = makers[ending](data)
    except NotPublishable as refusal:
        return Refused(f'"{short}" {refusal.what}', refusal.advice)
    digest = hashlib.sha256(content).hexdigest()[:LETTERS_OF_NAME]
    return Attached(f"files/{digest}{new_ending}", content)

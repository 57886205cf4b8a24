"""The files that public prose names: each one is made anew from what it shows, and none is ever copied.

A name is looked up among the shop's pictures; a file that no public text names is never opened.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from types import MappingProxyType

from kb.audience.photographs import remade_photograph
from kb.audience.refusals import NotPublishable
from kb.audience.svg_files import remade_svg
from kb.audience.tables import remade_csv

LARGEST_FILE = 40_000_000
LETTERS_OF_NAME = 24

_MAKERS: Mapping[str, Callable[[bytes], tuple[str, bytes]]] = MappingProxyType({
    ".jpg": remade_photograph, ".jpeg": remade_photograph, ".png": remade_photograph,
    ".webp": remade_photograph, ".svg": remade_svg, ".csv": remade_csv,
})  # fmt: skip
"""What makes a file of each kind anew: its ending and its bytes."""

_ADVICE = "publish a picture as JPEG, PNG, WebP or plain SVG, or figures as CSV"
_PDF = "a PDF may hold names, comments and earlier versions that nobody sees; put what it says into the text"


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
        return self.named(source if source.startswith("photos/") else f"photos/{source}")

    def named(self, name: str) -> Attached | Refused:
        """The file of that name under the shop folder, made anew."""
        short = name[:60]
        if name not in self.names:
            return Refused(f'there is no picture "{short}"', "put it under photos/ and write photos/name")
        try:
            path = self.root / name
            if not path.resolve().is_relative_to(self.root.resolve()):
                return Refused(f'"{short}" leads out of the shop folder', "put the file itself there")
            with path.open("rb") as file:
                data = file.read(LARGEST_FILE + 1)
        except OSError as error:
            return Refused(f'"{short}" cannot be read ({error.strerror})', "check its rights")
        return remade(name, data)


def remade(name: str, data: bytes) -> Attached | Refused:
    """The file `name` made anew from what its bytes show."""
    ending = PurePosixPath(name).suffix.lower()
    short = name[:60]
    if ending == ".pdf":
        return Refused(f'"{short}" is a PDF, which is not published', _PDF)
    maker = _MAKERS.get(ending)
    if maker is None:
        return Refused(f'"{short}" is of a kind that is not published', _ADVICE)
    if len(data) > LARGEST_FILE:
        return Refused(f'"{short}" has more than {LARGEST_FILE:,} bytes', "make it smaller")
    try:
        new_ending, content = maker(data)
    except NotPublishable as refusal:
        return Refused(f'"{short}" {refusal.what}', refusal.advice)
    digest = hashlib.sha256(content).hexdigest()[:LETTERS_OF_NAME]
    return Attached(f"pictures/{digest}{new_ending}", content)

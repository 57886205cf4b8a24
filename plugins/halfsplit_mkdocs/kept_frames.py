"""What MkDocs made of a shop's settings, kept so that a build after an edit can do without MkDocs.

Kept are the frames, and which files the theme and the folder of static files added. They hold for the same
code, the same libraries and the same `mkdocs.yml`; where anything else has a say in what a page looks like,
nothing is kept.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from halfsplit_mkdocs.frames import Frame
from halfsplit_mkdocs.writing import forms_of, write_site
from kb.fresh_site import FreshSite
from kb.pages import PageSet
from kb.store import Store, code_key, stamps_under

_NAME = "frames"
_SAYS_MORE = re.compile(rb"!|^INHERIT", re.MULTILINE)
"""What in a file of settings makes it mean another thing though its bytes are the same."""

_MADE_WITH = ("mkdocs", "mkdocs-material")
"""Beside what `code_key` tells of already."""


@dataclass(frozen=True)
class Foreign:
    """A file of the site that is not ours: its path there, where it lies, its size and time of writing."""

    path: str
    source: str
    size: int
    written_ns: int

    @classmethod
    def of(cls, path: str, source: str) -> Foreign:
        """As it is now; raises OSError."""
        found = Path(source).stat()
        return cls(path, source, found.st_size, found.st_mtime_ns)

    @property
    def is_as_it_was(self) -> bool:
        """Whether it is what was kept."""
        try:
            return Foreign.of(self.path, self.source) == self
        except OSError:
            return False


@dataclass(frozen=True)
class Kept:
    """Frames by form for sites that have this in common, and all files that are not ours."""

    common: str
    frames: Mapping[str, Frame]
    files: Sequence[Foreign]

    def fits(self, pages: PageSet) -> bool:
        """Whether these pages can be framed without asking MkDocs."""
        return common_of(pages) == self.common and self.frames.keys() >= set(forms_of(pages).values())

    def write(self, pages: PageSet, site: FreshSite) -> None:
        """The whole site; raises OSError."""
        for each in self.files:
            site.write(each.path, Path(each.source).read_bytes())
        write_site(pages, self.frames, site)


def common_of(pages: PageSet) -> str:
    """What every frame of a site shows."""
    return repr((pages.name, pages.sections, pages.styles, pages.scripts))


def key_of(settings: Path | None) -> str | None:
    """The key for the file of settings that a shop has, or has not; None where nothing can be kept for it."""
    try:
        written = settings.read_bytes() if settings else b""
    except OSError:
        return None
    if _SAYS_MORE.search(written):
        return None
    told = [
        code_key(), *stamps_under(Path(__file__).parent),
        *(f"{each} {metadata.version(each)}" for each in _MADE_WITH), hashlib.sha256(written).hexdigest(),
    ]  # fmt: skip
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def load(store: Store, key: str) -> Kept | None:
    """What was kept, if every file that it names is as it was and no other has come."""
    body = store.load(_NAME, key)
    if body is None:
        return None
    common, static, stamps, frames, files = json.loads(body)
    found = Kept(
        common,
        {form: Frame(tuple(pieces)) for form, pieces in frames.items()},
        tuple(Foreign(*each) for each in files),
    )
    is_whole = (static is None or stamps_under(Path(static)) == stamps) and all(
        each.is_as_it_was for each in found.files
    )
    return found if is_whole else None


def keep(
    store: Store,
    key: str,
    pages: PageSet,
    frames: Mapping[str, Frame],
    files: Iterable[tuple[str, str]],
    static: Path | None,
) -> None:
    """Keep the frames of a site and its foreign files as (path, source); `static` is the folder for them."""
    written = [
        common_of(pages),
        None if static is None else str(static),
        None if static is None else stamps_under(static),
        {form: frame.pieces for form, frame in frames.items()},
        [
            [each.path, each.source, each.size, each.written_ns]
            for each in (Foreign.of(*file) for file in files)
        ],
    ]
    store.keep(_NAME, key, [json.dumps(written, separators=(",", ":")).encode()])

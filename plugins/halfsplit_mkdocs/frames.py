"""Frames: what the theme puts around a page's body, made once for all pages of one form.

Pages of one form lie equally deep in the same section and have headings of the same levels; the theme writes
the same around them but for their words. So MkDocs gets one stand-in for each form, whose title, headings and
body are marks, and what comes out is filled in for every page of that form. Nothing has to be known of the
theme for that, except that it decides nothing by a page's words: tests hold every page of the demo, and of a
shop with hostile titles, against the page that MkDocs makes of it alone.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from markupsafe import escape

from kb.pages import Heading, Page, Section

TOP = "hs-main"
"""The id of the element that holds a page's body."""

# Plain letters and digits come through every filter of a template as they are; no theme holds such a word.
# The number only keeps the addresses of two stand-ins apart.
_MARK = "hs{number}mark{name}end"
_MARKS = re.compile(r"hs[0-9]+mark([a-z]+?[0-9]*)end")
_PLAIN = re.compile(r"[A-Za-z0-9_./-]+")


@dataclass(frozen=True)
class Frame:
    """What stands around pages of one form: text and the names of what goes between, in turns."""

    pieces: tuple[str, ...]

    @classmethod
    def of(cls, made: str) -> Frame:
        """The frame of a stand-in from the file that MkDocs made of it."""
        return cls(tuple(_MARKS.split(made)))

    def around(self, page: Page) -> str:
        """The whole file of a page of this form."""
        words = _words(page)
        return "".join([piece if place % 2 == 0 else words[piece] for place, piece in enumerate(self.pieces)])


def content(page: Page) -> str:
    """What goes where the theme puts a page's content."""
    # Not by formatting or +, which would escape: a body may be marked as HTML.
    return "".join([f'<div class="hs-page hs-kind-{page.kind}" id="{TOP}">\n', page.body, "\n</div>"])


def form_of(page: Page, sections: Container[str]) -> str:
    """The form of a page.

    One of its own has the page of a section, which stands in the navigation, and a page whose address the
    theme would write in another way.
    """
    if page.path in sections or not _PLAIN.fullmatch(page.path):
        return page.path
    top, *folders = page.path.split("/")
    levels = "".join(str(each.level) for each in page.headings)
    return f"{top if folders else ''} {len(folders)} {levels} {'told' if page.summary else ''}"


def stand_ins(pages: Sequence[Page], sections: Sequence[Section]) -> dict[str, Page]:
    """For each form that is met a page of marks."""
    paths = frozenset(each.path for each in sections)
    first: dict[str, Page] = {}
    for page in pages:
        first.setdefault(form_of(page, paths), page)
    return {
        form: _stand_in(page, page.path if form == page.path else _address(page.path, number))
        for number, (form, page) in enumerate(first.items())
    }


def _stand_in(page: Page, path: str) -> Page:
    headings = tuple(
        Heading(each.level, _mark(f"anchor{place}"), _mark(f"text{place}"))
        for place, each in enumerate(page.headings)
    )
    summary = _mark("summary") if page.summary else ""
    return Page(path, _mark("title"), page.kind, _mark("body"), summary, headings)


def _mark(name: str, number: int = 0) -> str:
    return _MARK.format(number=number, name=name)


def _address(path: str, number: int) -> str:
    """Marks for the name and for every folder but that of the section, from which links are counted."""
    *folders, _ = path.split("/")
    marks = [_mark(f"folder{place}") for place in range(len(folders[1:]))]
    return "/".join([*folders[:1], *marks, f"{_mark('name', number)}.html"])


def tells_of_a_stand_in(line: str) -> bool:
    """Whether a line that MkDocs logs names a page that nobody will see."""
    return _MARKS.search(line) is not None


def _words(page: Page) -> dict[str, str]:
    *folders, name = page.path.removesuffix(".html").split("/")
    return {
        "title": str(escape(page.title)),
        "summary": str(escape(page.summary)),
        "body": content(page),
        "name": name,
        **{f"folder{place}": folder for place, folder in enumerate(folders[1:])},
        **dict(_heading_words(page.headings)),
    }


def _heading_words(headings: Sequence[Heading]) -> Iterator[tuple[str, str]]:
    for place, each in enumerate(headings):
        yield f"anchor{place}", each.anchor
        yield f"text{place}", str(escape(each.text))

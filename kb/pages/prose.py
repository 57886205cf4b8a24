"""Prose from records and guides to HTML: restricted Markdown, record links, calculations, cautions.

Raw HTML is not Markdown here: it comes out as the text that was written. What the Markdown gives is
cleaned against a short list of elements, and only then are our own pieces (calculations, cautions)
put into their places.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol
from xml.etree import ElementTree

import nh3
from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor
from markupsafe import Markup

from kb.pages.fences import RUN, Amiss, Fences, as_written, line_of, ready
from kb.problems import Problem, did_you_mean
from kb.reading import Place

if TYPE_CHECKING:
    from kb.pages.addresses import Target
    from kb.reading import Located
    from kb.reading.located import Step

_TAGS = {
    "p", "h2", "h3", "h4", "h5", "h6", "ul", "ol", "li", "table", "thead", "tbody", "tr", "th", "td",
    "strong", "em", "code", "pre", "blockquote", "hr", "br", "a", "img", "div",
}  # fmt: skip
_ATTRIBUTES: dict[str, set[str]] = {
    "*": set(),
    "a": {"href"}, "img": {"src", "alt"}, "ol": {"start"}, "td": {"align"}, "th": {"align"},
    "h2": {"id"}, "h3": {"id"}, "h4": {"id"},
}  # fmt: skip
_SLOT = re.compile("(?:<p>)?\ue000([0-9]+)\ue001(?:</p>)?")
_PRE = re.compile("<pre>")
_STASHED = re.compile("\x02wzxhzdk:([0-9]+)\x03")
"""What Markdown leaves in the tree where a fence stands."""

_AMISS: dict[Amiss, tuple[str, str]] = {
    "options": (
        "{what} takes nothing behind the word {word}",
        "delete it; what it holds stands in the lines below",
    ),
    "unclosed": (
        "the {noun} that begins here is not closed",
        "end it with a line of the same ``` or ~~~",
    ),
    "one-line": (
        "{what} is written on one line",
        "give opening, content and end lines of their own; in a record, begin the text with | and not >",
    ),
    "beside-a-mark": (
        "{what} cannot begin in the line of a list mark",
        "put it on a line of its own, indented like the text of the item",
    ),
}
_NOUNS = {"calc": ("a calculation", "calculation"), "exercise": ("an exercise", "exercise")}
_TABLE = '<div class="hs-scroll" tabindex="0" role="group" aria-label="Table"><table class="hs-table">'
"""A wide table scrolls in a box of its own, which the keyboard can reach."""


@dataclass(frozen=True)
class Passage:
    """A text and where it stands: `path` in a record's YAML, or nothing for the body of a guide."""

    text: str
    record: Located[Any]
    path: tuple[Step, ...] = ()

    def place(self, line: int, column: int = 0) -> Place:
        """Where a character stands in the file; `line` and `column` count from 0 in the text."""
        if not self.path:
            return Place(self.record.body_line + line, column + 1)
        start = self.record.text_place(self.path, line)
        return Place(start.line, start.column + column) if self.is_exact else start

    @property
    def is_exact(self) -> bool:
        """Whether lines of the text are lines of the file; in folded and quoted texts they aren't."""
        return not self.path or self.record.text_place(self.path, 0) != self.record.place(*self.path)

    def placed(self, problems: Iterable[Problem]) -> tuple[Problem, ...]:
        """Problems of this passage, told where it begins if its lines are not lines of the file."""
        if self.is_exact:
            return tuple(problems)
        start = self.place(0)
        return tuple(replace(each, line=start.line, column=start.column) for each in problems)

    def problem(self, line: int, column: int, what: str, advice: str) -> Problem:
        """A problem at a character of this passage."""
        place = self.place(line, column)
        return Problem(self.record.file, place.line, place.column, what, advice)


class ProsePage(Protocol):
    """The page that prose is written for: it knows where links lead and what stands on it so far."""

    path: str

    def link(self, address: str) -> str:
        """The relative link from this page to an address of the site."""

    def target(self, href: str) -> Target | None:
        """Where a link such as `fault:clock-stops` leads."""

    def link_kinds(self) -> tuple[str, ...]:
        """The words that may stand before the colon of a link."""

    def link_advice(self, kind: str, identifier: str) -> tuple[str, str] | None:
        """What is wrong with a link to something that is there and yet is no page of this site."""

    def known_ids(self, kind: str) -> tuple[str, ...]:
        """The ids that may stand after the colon."""

    def expect_anchor(self, address: str, problem: Callable[[str, str], Problem]) -> None:
        """Keep an address with an anchor until it can be looked for."""

    def picture(self, source: str, problem: Callable[[str, str], Problem]) -> str | None:
        """The address of a picture, or None when there is none; `problem` tells what is wrong with it."""

    def capture(self, name: str, problem: Callable[[str, str], Problem]) -> str | None:
        """The address of a capture's figures, or None when there are none."""

    def heading(self, level: int, anchor: str, text: str) -> None:
        """Add a heading to the page's table of contents."""

    def cautions_before(self, *texts: str | None) -> Markup:
        """The cautions that must stand above these texts."""

    def calculation_block(self, source: str, passage: Passage, line: int) -> Markup:
        """The calculation of a fence."""

    def exercise_block(self, source: str, passage: Passage, line: int) -> Markup:
        """The exercise of a fence."""

    def problem(self, problem: Problem) -> None:
        """Keep a problem found while writing."""


@dataclass
class _Run:
    """The state of one conversion: what is put into which slot, and how far links were looked for.

    A slot is filled when the text is finished: a fence that turns out to be shown as text, because it
    stands in indented code, is never computed.
    """

    passage: Passage
    sheet: ProsePage
    fences: Fences
    slots: list[Callable[[], Markup]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    anchors: dict[str, str] = field(default_factory=dict)
    looked_until: dict[str, int] = field(default_factory=dict)

    def slot(self, fill: Callable[[], Markup], words: str = "") -> str:
        """The text that `fill` will take the place of; `words` are what a reader finds there."""
        self.slots.append(fill)
        self.words.append(words)
        return f"\ue000{len(self.slots) - 1}\ue001"

    def place_of_link(self, href: str) -> tuple[int, int]:
        """Line and column of the next link to `href`, for a problem about it."""
        text = self.passage.text
        link = re.compile(rf"(?:\(|\]:[ \t]*)<?({re.escape(href)})(?=[\s)>]|\Z)")
        match = link.search(text, self.looked_until.get(href, 0))
        if match is None:
            return 0, 0
        at = match.start(1)
        self.looked_until[href] = at
        return text.count("\n", 0, at), at - (text.rfind("\n", 0, at) + 1)


class ProseWriter:
    """Converts passages; one serves a whole site, since building a Markdown converter is dear."""

    def __init__(self) -> None:
        self._run: _Run | None = None
        fences = [
            {"name": word, "class": "", "format": self._fence, "validator": _takes_everything} for word in RUN
        ]
        self._markdown = Markdown(
            extensions=["tables", "sane_lists", "toc", "pymdownx.superfences", _Restricted(self)],
            extension_configs={
                "tables": {"use_align_attribute": True},
                "toc": {"marker": ""},
                "pymdownx.superfences": {"custom_fences": fences, "css_class": ""},
            },
        )

    def write(self, passage: Passage, sheet: ProsePage) -> Markup:
        """The HTML of a passage; its cautions, headings and problems go to `sheet`."""
        fences = ready(passage.text)
        self._run = run = _Run(passage, sheet, fences)
        html = self._markdown.reset().convert(fences.text)
        clean = nh3.clean(
            html, tags=_TAGS, attributes=_ATTRIBUTES, link_rel=None,
            url_schemes={"http", "https", "mailto"},
        )  # fmt: skip
        self._run = None
        for line, amiss in fences.amiss.items():
            sheet.problem(passage.problem(line, 0, *_told(amiss, fences.words[line])))
        clean = as_written(clean).replace("<table>", _TABLE).replace("</table>", "</table></div>")
        clean = _PRE.sub(_named_after(passage), clean)
        return Markup(_SLOT.sub(lambda match: run.slots[int(match[1])](), clean))  # noqa: S704 - cleaned above

    @property
    def run(self) -> _Run:
        """The conversion that is going on."""
        if self._run is None:
            raise RuntimeError("no passage is being written")
        return self._run

    def _fence(
        self, source: str, language: str, class_name: str, options: dict[str, str], md: Markdown, **more: Any
    ) -> str:
        del class_name, md, more
        run = self.run
        line = line_of(options)
        if line is None:
            # Only where superfences sees a fence that we did not; its first line finds it.
            at = run.passage.text.find(source.split("\n", maxsplit=1)[0])
            line = run.passage.text.count("\n", 0, max(at, 0)) - 1
        if line in run.fences.amiss:
            return run.slot(Markup)
        block = run.sheet.exercise_block if language == "exercise" else run.sheet.calculation_block
        return run.slot(partial(block, source, run.passage, line), source)


def _named_after(passage: Passage) -> Callable[[re.Match[str]], str]:
    """An id for each block of code: a frame may call it after the next id around, which is that of all.

    No heading's id begins with a low line, so none is like it.
    """
    number = itertools.count(1)
    prefix = _prefix(passage)
    return lambda _match: f'<pre id="_{prefix}code-{next(number)}">'


def _told(amiss: Amiss, word: str) -> tuple[str, str]:
    """What keeps a fence from being run, and what would be right."""
    (what, advice), (whole, noun) = _AMISS[amiss], _NOUNS[word]
    return what.format(what=whole, noun=noun, word=word), advice


def _takes_everything(
    language: str, inputs: dict[str, str], options: dict[str, Any], attrs: dict[str, Any], md: Markdown
) -> bool:
    """A fence that was refused would be shown as code without a word; ours complains instead."""
    del language, attrs, md
    options.update(inputs)
    return True


class _Restricted(Extension):
    """No raw HTML, no addresses turned into links, and our own walk over the finished tree."""

    def __init__(self, writer: ProseWriter) -> None:
        super().__init__()
        self._writer = writer

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802 - the name is Markdown's
        md.preprocessors.deregister("html_block")
        md.inlinePatterns.deregister("html")
        md.inlinePatterns.deregister("automail")
        md.treeprocessors.register(_Walk(md, self._writer), "halfsplit", 3)


class _Walk(Treeprocessor):
    """Resolves links, lifts headings out and sets cautions above what needs them."""

    def __init__(self, md: Markdown, writer: ProseWriter) -> None:
        super().__init__(md)
        self._writer = writer

    def run(self, root: ElementTree.Element) -> None:
        run = self._writer.run
        _place_headings(root, run)
        for element in root.iter():
            if element.tag == "a":
                _resolve_link(element, run)
            elif element.tag == "img":
                _resolve_picture(element, run)
        self._set_cautions(root, run)

    def _set_cautions(self, root: ElementTree.Element, run: _Run) -> None:
        """A caution above the first block of text that names its hazard; below a heading, not above it."""
        at = 0
        while at < len(root):
            child = root[at]
            html = run.sheet.cautions_before(self._words_with_fences(child, run))
            if html:
                caution = ElementTree.Element("p")
                caution.text = run.slot(partial(Markup, html))
                caution.tail = "\n"
                is_heading = re.fullmatch("h[2-6]", child.tag) is not None
                root.insert(at + 1 if is_heading else at, caution)
                at += 1
            at += 1

    def _words_with_fences(self, element: ElementTree.Element, run: _Run) -> str:
        """The words of a block, those of the fences in it too."""

        def stashed(match: re.Match[str]) -> str:
            html = str(self.md.htmlStash.rawHtmlBlocks[int(match[1])])
            words = _SLOT.sub(lambda slot: run.words[int(slot[1])], html)
            return f" {Markup(words).striptags()} "  # noqa: S704 - only its words are looked at

        return _STASHED.sub(stashed, _words(element))


def _prefix(passage: Passage) -> str:
    """What sets the ids of a passage apart from those of the others on its page."""
    return "".join(f"{step}-" for step in passage.path)


def _place_headings(root: ElementTree.Element, run: _Run) -> None:
    """Give headings their level and an anchor that no other text on the page has."""
    prefix = _prefix(run.passage)
    for element in root.iter():
        if element.tag == "h1":
            element.tag = "h2"
        if "id" in element.attrib:
            own = element.get("id", "")
            run.anchors[own] = prefix + own
            element.set("id", prefix + own)
        if element.tag in ("h2", "h3"):
            run.sheet.heading(int(element.tag[1]), element.get("id", ""), _words(element))


def _words(element: ElementTree.Element) -> str:
    return re.sub(r"\s+", " ", "".join(element.itertext())).strip()


def _resolve_link(element: ElementTree.Element, run: _Run) -> None:
    href = element.get("href", "")
    kind, colon, rest = href.partition(":")
    if kind in ("http", "https", "mailto"):
        return
    line, column = run.place_of_link(href)
    if href.startswith("#"):
        anchor = run.anchors.get(href[1:], href[1:])
        element.set("href", f"#{anchor}")
        run.sheet.expect_anchor(f"{run.sheet.path}#{anchor}", partial(run.passage.problem, line, column))
        return
    if href.startswith("captures/"):
        _resolve_capture(element, href, run, partial(run.passage.problem, line, column))
        return
    target = run.sheet.target(href)
    if target is None:
        run.sheet.problem(run.passage.problem(line, column, *_link_advice(href, kind, colon, rest, run)))
        element.attrib.pop("href")
        return
    run.sheet.expect_anchor(target.address, partial(run.passage.problem, line, column))
    element.set("href", run.sheet.link(target.address))
    if not _words(element):
        element.text = target.title


def _resolve_capture(
    element: ElementTree.Element, name: str, run: _Run, problem: Callable[[str, str], Problem]
) -> None:
    """A link to the figures of a capture, which go with the site."""
    found = run.sheet.capture(name, problem)
    if found is None:
        element.attrib.pop("href")
        return
    element.set("href", run.sheet.link(found))
    if not _words(element):
        element.text = name.removeprefix("captures/")


def _link_advice(href: str, kind: str, colon: str, rest: str, run: _Run) -> tuple[str, str]:
    known = run.sheet.link_kinds()
    if not colon or kind not in known:
        advice = did_you_mean(kind, known) if colon else "write [text](fault:its-id), or a full https address"
        return f'the link "{href[:60]}" leads nowhere', advice
    withheld = run.sheet.link_advice(kind, rest.partition("#")[0])
    if withheld is not None:
        return withheld
    ids: Iterable[str] = run.sheet.known_ids(kind)
    return f'there is no {kind} "{rest[:60]}"', did_you_mean(rest.partition("#")[0], ids)


def _resolve_picture(element: ElementTree.Element, run: _Run) -> None:
    source = element.get("src", "")
    line, column = run.place_of_link(source)
    found = run.sheet.picture(source, partial(run.passage.problem, line, column))
    if found is None:
        element.attrib.pop("src", None)
        return
    element.set("src", run.sheet.link(found))
    if not element.get("alt"):
        what = f'the picture "{source[:60]}" has no words for those who cannot see it'
        run.sheet.problem(run.passage.problem(line, column, what, "write them between the square brackets"))

"""What prose may do in a report: be read. It stands alone, so it links to no record and computes nothing."""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup

from kb.audience.public import PublicText
from kb.pages.addresses import LINK_KINDS
from kb.pages.prose import Passage, ProseWriter
from kb.problems import Problem, Problems
from kb.reading import Located

_NO_LINK = "a report goes home alone and links to nothing in the shop", "leave the words, take out the link"
_NO_PICTURE = "a report has no pictures in its text", "list it under photos: of the job"
_NO_CAPTURE = "a report has no captures", "tell the reading in words"
_NO_EXERCISE = "a report has no exercises", "take it out"
_NO_CALCULATION = "a report has no calculations", "tell the value in words"


class ReportSheet:
    """The one page of a report, as prose sees it."""

    path = "report.html"

    def __init__(self) -> None:
        self.problems = Problems()
        self._writer = ProseWriter()

    def prose(self, text: PublicText | None) -> Markup:
        """The HTML of a text."""
        if text is None:
            return Markup("")
        spot = text.spot
        standing = Located("", spot.file, None, spot.scalar, spot.body_line)  # type: ignore[type-var]
        return self._writer.write(Passage(text.text, standing, text.path), self)

    def link(self, address: str) -> str:
        """An address as it is; only anchors of this page come here."""
        return address

    def target(self, href: str) -> None:
        """Nothing: no record has a page here."""
        del href

    def link_kinds(self) -> tuple[str, ...]:
        """The words that begin a link to a record."""
        return LINK_KINDS

    def link_advice(self, kind: str, identifier: str) -> tuple[str, str]:
        """What is wrong with a link to any record."""
        del kind, identifier
        return _NO_LINK

    def known_ids(self, kind: str) -> tuple[str, ...]:
        """No record can be linked to."""
        del kind
        return ()

    def expect_anchor(self, address: str, problem: Callable[[str, str], Problem]) -> None:
        """A link to a heading further down is left as it is."""
        del address, problem

    def picture(self, source: str, problem: Callable[[str, str], Problem]) -> None:
        """A problem: pictures of a report are listed, with words for each."""
        del source
        self.problem(problem(*_NO_PICTURE))

    def capture(self, name: str, problem: Callable[[str, str], Problem]) -> None:
        """A problem: there is no file beside a report."""
        del name
        self.problem(problem(*_NO_CAPTURE))

    def heading(self, level: int, anchor: str, text: str) -> None:
        """A report has no table of contents."""
        del level, anchor, text

    def cautions_before(self, *texts: str | None) -> Markup:
        """Nothing here: every caution of a report stands above all of its texts."""
        del texts
        return Markup("")

    def exercise_block(self, source: str, passage: Passage, line: int) -> Markup:
        """A problem in the line of the fence."""
        del source
        self.problem(passage.problem(line, 0, *_NO_EXERCISE))
        return Markup("")

    def calculation_block(self, source: str, passage: Passage, line: int) -> Markup:
        """A problem in the line of the fence."""
        del source
        self.problem(passage.problem(line, 0, *_NO_CALCULATION))
        return Markup("")

    def problem(self, problem: Problem) -> None:
        """Keep a problem found while the report is made."""
        self.problems.add(problem)

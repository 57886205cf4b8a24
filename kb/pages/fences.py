"""Where the calculation and exercise fences of a Markdown text stand.

Superfences decides what is a fence and runs it, but does not say in which line. Here each opening line
of a fence that is run is given its number as an option, and the fence hands it back when it is run. Fences
that superfences would pass over in silence are named instead.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from typing import Literal

Amiss = Literal["options", "unclosed", "one-line", "beside-a-mark"]
"""What keeps a fence from being run."""

RUN = ("calc", "exercise")
"""The words behind the backticks of a fence that is run."""

# Private characters: reading refuses them in records, so that nobody can write a mark of their own.
_MARK = re.compile(' line="\ue002(?P<line>[0-9]+)\ue003"')
_FENCE = re.compile(
    r"(?P<lead>[\s>]*)(?P<items>(?:(?:[-*+]|[0-9]+[.)])\s+)*)(?P<fence>`{3,}|~{3,})(?P<info>.*)\Z"
)
_RUN = re.compile(rf"\{{?\s*\.?(?P<word>{'|'.join(RUN)})\b(?P<options>.*)\Z", re.IGNORECASE)
_ITEM = re.compile(r"[\s>]{0,3}(?:[-*+]|[0-9]+[.)])\s")


@dataclass
class Fences:
    """A text made ready for conversion, and by line (from 0) the fences that cannot be run."""

    text: str = ""
    amiss: dict[int, Amiss] = field(default_factory=dict)
    words: dict[int, str] = field(default_factory=dict)
    exercises: list[str] = field(default_factory=list)
    """The ids of the exercises, in their order."""

    def note(self, line: int, word: str, amiss: Amiss) -> None:
        """Keep that the fence of `word` in `line` cannot be run."""
        self.amiss[line], self.words[line] = amiss, word


@dataclass(frozen=True)
class _Open:
    line: int
    lead: str
    fence: str
    word: str | None

    def ends_at(self, line: str) -> bool:
        match = _FENCE.match(line)
        return (
            match is not None
            and not match["items"]
            and match["fence"][0] == self.fence[0]
            and len(match["fence"]) >= len(self.fence)
            and not match["info"].strip()
        )

    def is_left_by(self, line: str) -> bool:
        """Whether a line stands further out than the fence: outside its quote or list item."""
        outside_item = bool(line.strip()) and bool(line[: len(self.lead)].strip(" \t>"))
        return outside_item or line.count(">", 0, len(self.lead)) < self.lead.count(">")


def ready(text: str) -> Fences:
    """`text` with fences that are run numbered, and all fences between empty lines as Markdown needs it."""
    return _Scan().over(text)


@dataclass
class _Scan:
    """One walk over the lines of a text."""

    found: Fences = field(default_factory=Fences)
    lines: list[str] = field(default_factory=list)
    opened: _Open | None = None
    closed_lead: str | None = None
    held: list[str] = field(default_factory=list)
    in_list: bool = False

    def over(self, text: str) -> Fences:
        for number, line in enumerate(text.split("\n")):
            if self.opened and self.opened.is_left_by(line):
                self._unclosed()
            if self.opened:
                self._inside(line)
            else:
                self._outside(number, line)
        self._unclosed()
        self.found.text = "\n".join(self.lines)
        return self.found

    def _inside(self, line: str) -> None:
        self.lines.append(line)
        if self.opened and self.opened.ends_at(line):
            if self.opened.word == "exercise":
                self.found.exercises.append(exercise_id("\n".join(self.held)))
            self.closed_lead, self.opened = self.opened.lead.rstrip(), None
        else:
            self.held.append(line)

    def _outside(self, number: int, line: str) -> None:
        if self.closed_lead is not None and line.strip(" \t>"):
            self.lines.append(self.closed_lead)
        self.closed_lead = None
        self.in_list = bool(_ITEM.match(line)) or (self.in_list and (not line.strip() or line[0] in " \t>"))
        match = _FENCE.match(line)
        run = _RUN.match(match["info"].strip()) if match else None
        if match and not match["items"] and not _is_within_a_line(match):
            line = self._opening(number, line, match, run)
        elif match and run:
            _not_a_fence(self.found, number, match, run)
        self.lines.append(line)

    def _opening(self, number: int, line: str, match: re.Match[str], run: re.Match[str] | None) -> str:
        word = run["word"].lower() if run else None
        self.held = []
        self.opened = _Open(number, match["lead"], match["fence"], word)
        if self.lines and self.lines[-1].strip(" \t>") and (self.in_list or _indent(match["lead"]) < 4):
            self.lines.append(match["lead"].rstrip())
        if run is None or word is None:
            return line
        if run["options"].strip(" \t}"):
            self.found.note(number, word, "options")
        return f'{match["lead"]}{match["fence"]}{word} line="\ue002{number}\ue003"'

    def _unclosed(self) -> None:
        if self.opened and self.opened.word:
            self.found.note(self.opened.line, self.opened.word, "unclosed")
        self.opened = None


def exercise_id(source: str) -> str:
    """A short name for an exercise, which stays while its words stay, wherever they stand."""
    words = "\n".join(line.strip(" \t>") for line in source.strip().split("\n"))
    return hashlib.sha256(words.encode()).hexdigest()[:12]


def exercises_in(text: str) -> list[str]:
    """The ids of the exercises of a text."""
    return ready(text).exercises


def line_of(options: dict[str, str]) -> int | None:
    """The line that a fence was numbered with, from the options it was run with."""
    match = _MARK.fullmatch(f' line="{options.get("line", "")}"')
    return int(match["line"]) if match else None


def as_written(html: str) -> str:
    """HTML without our numbers, where a fence was shown as text and not run."""
    return _MARK.sub("", html)


def _is_within_a_line(match: re.Match[str]) -> bool:
    """Whether three backticks have more of them behind: code within a line, not a fence."""
    return match["fence"][0] == "`" and "`" in match["info"]


def _not_a_fence(found: Fences, number: int, match: re.Match[str], run: re.Match[str]) -> None:
    """What looks like a calculation or an exercise and is none would be shown as code without a word."""
    if not _is_within_a_line(match):
        found.note(number, run["word"].lower(), "beside-a-mark")
    elif run["options"].partition("`")[0].strip():
        found.note(number, run["word"].lower(), "one-line")


def _indent(lead: str) -> int:
    return len(lead.rpartition(">")[2].expandtabs(4))

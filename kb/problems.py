"""Problems: what is wrong in something a person wrote, as data.

A user's mistake is never an exception here. It is one line that says where it is, what is wrong
and what would be right; they are collected so that one run shows all of them.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake at one place: `file` is relative to the shop folder, line and column count from 1."""

    file: str
    line: int
    column: int
    what: str
    advice: str = ""

    def __str__(self) -> str:
        tail = f"; {self.advice}" if self.advice else ""
        return on_one_line(f"{self.file}:{self.line}:{self.column}: {self.what}{tail}")


def on_one_line(text: str) -> str:
    r"""`text` with everything that cannot be seen written out, so that a quoted text stays on its line.

    The space that keeps a number with its unit becomes a plain one.

    >>> on_one_line("a\nb")
    'a\\nb'
    """
    text = text.replace("\u00a0", " ")
    return "".join(each if each.isprintable() else each.encode("unicode_escape").decode() for each in text)


@dataclass
class Problems:
    """A growing collection of problems, read back sorted by place and without repeats."""

    _found: set[Problem] = field(default_factory=set)

    def add(self, problem: Problem) -> None:
        """Keep `problem`."""
        self._found.add(problem)

    def extend(self, problems: Iterable[Problem]) -> None:
        """Keep each of `problems`."""
        self._found.update(problems)

    def __iter__(self) -> Iterator[Problem]:
        return iter(sorted(self._found))

    def __len__(self) -> int:
        return len(self._found)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Advice that names the nearest known words, or lists them all when none is near.

    >>> did_you_mean("symptons", ["symptoms", "cause"])
    'did you mean "symptoms"?'
    """
    known = sorted(set(known))
    lowered = {name.lower(): name for name in known}
    near = difflib.get_close_matches(word.lower(), lowered, n=1, cutoff=0.6)
    if near:
        return f'did you mean "{lowered[near[0]]}"?'
    if not known:
        return "there is none to choose from"
    if len(known) > 12:
        known = [*known[:12], "…"]
    return "known are: " + ", ".join(known)

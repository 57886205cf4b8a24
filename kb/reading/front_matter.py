"""The head of a Markdown file: YAML between two lines of three hyphens, and nothing else.

Whatever is not exactly that is a problem: a head that is lost in silence would decide nothing
about who may read the page.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.problems import Problem
from kb.reading.tree import Place


@dataclass(frozen=True)
class Split:
    """A Markdown file taken apart; `body_line` is the line of the file its body begins in."""

    head: str
    head_place: Place
    body: str
    body_line: int


def split_front_matter(text: str, file: str) -> tuple[Split | None, tuple[Problem, ...]]:
    """Head and body of `text`, or the problem that keeps them from being told apart."""
    lines = text.split("\n")
    if lines[0].rstrip() != "---":
        return None, (
            Problem(file, 1, 1, "the file does not begin with a head", "begin it with a line of ---"),
        )
    for number, line in enumerate(lines[1:], start=1):
        if line.rstrip() == "---":
            body = "\n".join(lines[number + 1 :])
            return Split("\n".join(lines[1:number]), Place(2, 1), body, number + 2), ()
    return None, (Problem(file, 1, 1, "the head is not closed", "end it with a line of ---"),)

"""Why a file is no capture that can be understood: a problem at its line and column.

Raised inside this package only; `read_capture` hands the problem back as data.
"""

from __future__ import annotations

from kb.problems import Problem

LONGEST_QUOTE = 40


class NotUnderstoodError(ValueError):
    """Holds the problem that keeps a file from being read as a capture."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def refuse(file: str, line: int, column: int, what: str, advice: str) -> NotUnderstoodError:
    """The refusal of `file` at a line and column, both counted from 1."""
    return NotUnderstoodError(Problem(file, line, column, what, advice))


def quoted(text: str) -> str:
    """A cell or a line as a message shows it: short, and in quotes."""
    short = text.strip()
    return f'"{short[:LONGEST_QUOTE]}{"…" if len(short) > LONGEST_QUOTE else ""}"'

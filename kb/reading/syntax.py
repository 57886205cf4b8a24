"""What YAML's own complaints mean to somebody who writes records, and where to look first.

The parser tells what it expected and where it gave up. That is often a line too late, and never says
what a technician most likely did: `>= 5 ms` without quotes, a tab, a quote within quotes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import yaml


class Mark(Protocol):
    """A position as the parser gives it; both count from 0."""

    @property
    def line(self) -> int: ...  # noqa: D102
    @property
    def column(self) -> int: ...  # noqa: D102


_TAB = ("a tab where only spaces may stand", "indent with spaces")
_BACKSLASH = ("a backslash in double quotes", "use single quotes")
_OPEN_QUOTE = ("a quote that is not closed", "close the quote")
_OPEN_BRACKET = ("a [ or { that is not closed", "close it, or put each value in it in quotes")
_BLOCK = (
    "a value that begins with > or |",
    'put it in quotes, such as ">= 5 ms"; the text of a block begins on the next line',
)
_DIRECTIVE = ("a line that begins with %", "delete it, or put the value in quotes")
_DOCUMENT_END = ("text after the line that ends the record", "one record a file: delete the line of dots")
_EXCLAMATION = ("a value that begins with !", "put the value in quotes")
_AMPERSAND = ("a value that begins with & or *", "put the value in quotes")

_BY_CONTEXT = (
    ("block scalar", "comment or line break", _BLOCK),
    ("block scalar", "indentation indicator", _BLOCK),
    ("simple key", "", ("a key without its colon", "write  key: value")),
    ("flow sequence", "did not find expected ','", _OPEN_BRACKET),
    ("flow mapping", "did not find expected ','", _OPEN_BRACKET),
    ("quoted scalar", "end of stream", _OPEN_QUOTE),
    ("quoted scalar", "document indicator", _OPEN_QUOTE),
    ("anchor", "", _AMPERSAND),
    ("alias", "", _AMPERSAND),
    ("a tag", "", _EXCLAMATION),
)  # fmt: skip
"""(words of the context, words of the complaint, meaning): told where the context begins."""

_BY_COMPLAINT = (
    ("a tab character", _TAB),
    ("cannot start any token", ("this character cannot begin a value", "put the value in quotes")),
    ("mapping values are not allowed", (
        'a ": " where none can stand',
        "put the value in quotes, or check the indentation and the colon of the line above",
    )),
    ("unexpected ':'", ("a : where none can stand", "put the value in quotes")),
    ("mapping keys are not allowed", ("a value that begins with ?", "put the value in quotes")),
    ("did not find expected key", (
        "the indentation does not fit, or a quote is left open", "line the keys up",
    )),
    ("did not find expected node content", (
        "no value where one must stand, or a sign that cannot begin one",
        "put the value in quotes, or close the [ or {",
    )),
    ("did not find expected '-' indicator", (
        "a line that belongs to no list item", "begin it with '- ' or indent it",
    )),
    ("undefined tag handle", _EXCLAMATION),
    ("block sequence entries are not allowed", (
        "a '- ' where no list can begin", "begin the list on a line of its own, or put the value in quotes",
    )),
    ("unknown escape character", _BACKSLASH),
    ("hexdecimal", _BACKSLASH),
    ("escape code", _BACKSLASH),
    ("expected <document start>", _DOCUMENT_END),
    ("YAML document", _DIRECTIVE),
    ("directive", _DIRECTIVE),
)  # fmt: skip


def explain(error: yaml.MarkedYAMLError, lines: Sequence[str]) -> tuple[Mark | None, str, str]:
    """Where the mistake most likely is, what it is, and what would be right."""
    complaint, context = error.problem or "", error.context or ""
    for place, words, (what, advice) in _BY_CONTEXT:
        if place in context and words in complaint:
            return error.context_mark or error.problem_mark, what, advice
    mark = error.problem_mark or error.context_mark
    before, at = _around(mark, lines)
    if "cannot start any token" in complaint and at == "\t":
        return mark, *_TAB
    if "expected key" in complaint and before in ('"', "'", "]", "}"):
        return mark, f"text after the closing {before}", "put the whole value in one pair of quotes"
    if "expected key" in complaint and at == "-":
        return mark, "a list item where a key must stand", "indent it under its key"
    for words, (what, advice) in _BY_COMPLAINT:
        if words in complaint or (words == "directive" and words in context):
            return mark, what, advice
    return mark, f"this is not YAML ({complaint})", "check quotes, colons and indentation nearby"


def _around(mark: Mark | None, lines: Sequence[str]) -> tuple[str, str]:
    """The last character before a place on its line, spaces aside, and the character at it."""
    if mark is None or mark.line >= len(lines):
        return "", ""
    line = lines[mark.line]
    return line[: mark.column].rstrip()[-1:], line[mark.column : mark.column + 1]

"""YAML text to a tree that knows where everything stands, built without constructing anything.

Only the shape is decided here: mappings, lists and texts. A plain `NO`, `1:30` or `0100` stays the
text that was written; the type of the field it lands in decides what it means. Aliases, tags,
duplicate keys, several documents, deep nesting and oversized input are refused, because each of
them can turn a small file into something nobody meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import yaml

from kb.problems import Problem
from kb.reading.syntax import Mark, explain

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

LARGEST_FILE = 1_000_000
LONGEST_SCALAR = 20_000
DEEPEST = 32

# Controls, private use and noncharacters are no text; line breaks that no editor counts would put every
# later problem on a wrong line; a mark that cannot be seen or turns the line round hides what is written.
_FORBIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ue000-\uf8ff\ufdd0-\ufdef\ufffe\uffff"
    "\u2028\u2029\ufeff\u202a-\u202e\u2066-\u2069\U000f0000-\U0010ffff"
    + "".join(chr(0x10000 * plane + end) for plane in range(1, 15) for end in (0xFFFE, 0xFFFF))
    + "]"
)


@dataclass(frozen=True)
class Place:
    """Where something stands in a file; both count from 1."""

    line: int
    column: int


@dataclass(frozen=True)
class Scalar:
    """A text as written. `style` is "" for a plain one, its quote, or the `|` or `>` of a block."""

    text: str
    place: Place
    style: str = ""
    indent: int = 0

    def place_of_line(self, number: int) -> Place:
        """Where line `number` (from 0) of this text stands in the file; exact for `|` blocks."""
        if self.style == "|":
            return Place(self.place.line + 1 + number, self.indent + 1)
        return self.place


@dataclass(frozen=True)
class Entry:
    """One `key: value` of a mapping."""

    key: Scalar
    value: Node


@dataclass(frozen=True)
class Mapping:
    """A mapping with its entries in the order they were written."""

    entries: tuple[Entry, ...]
    place: Place

    def get(self, key: str) -> Entry | None:
        """The entry of `key`, if there is one."""
        return self._by_key.get(key)

    @cached_property
    def _by_key(self) -> dict[str, Entry]:
        """Each entry by its key: a file of many mistakes looks up many."""
        return {entry.key.text: entry for entry in self.entries}


@dataclass(frozen=True)
class Sequence:
    """A list."""

    items: tuple[Node, ...]
    place: Place


Node = Scalar | Mapping | Sequence


class UnreadableYaml(Exception):  # noqa: N818 - it says what it is
    """The text cannot be read at all; holds the one problem that stopped the reading."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def decode(data: bytes, file: str) -> str:
    """The text of a file, or `UnreadableYaml` when it is too large, not UTF-8 or not text."""
    if len(data) > LARGEST_FILE:
        raise UnreadableYaml(
            Problem(
                file,
                1,
                1,
                f"the file has more than {LARGEST_FILE:,} bytes",
                "a record is a page or two; is it one?",
            )
        )
    try:
        text = _one_kind_of_line_end(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        # The bytes before the first bad one are sound, so its column counts characters like any other.
        before = _one_kind_of_line_end(error.object[: error.start].decode("utf-8-sig"))
        place = place_of(before, len(before))
        what = f"byte 0x{error.object[error.start]:02X} is not UTF-8"
        raise UnreadableYaml(
            Problem(file, place.line, place.column, what, "save the file as UTF-8")
        ) from None
    found = _FORBIDDEN.search(text)
    if found:
        place = place_of(text, found.start())
        advice = "save the file as UTF-8" if found[0] == "\0" else "delete it, though it may not be seen"
        raise UnreadableYaml(Problem(file, place.line, place.column, _not_text(found[0]), advice))
    return text


def _one_kind_of_line_end(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _not_text(character: str) -> str:
    return f"the character U+{ord(character):04X} is not text"


def place_of(text: str, offset: int) -> Place:
    """Line and column of the character at `offset` of `text`."""
    return Place(text.count("\n", 0, offset) + 1, offset - (text.rfind("\n", 0, offset) + 1) + 1)


def read_tree(text: str, file: str, first: Place = Place(1, 1)) -> tuple[Node | None, tuple[Problem, ...]]:
    """The tree of one YAML document and what is wrong in it.

    `first` is where `text` begins in `file`, for YAML that stands inside another text. The tree is
    None when the text is empty or cannot be read on.
    """
    reader = _Reader(file, first)
    try:
        reader.survey(text)
        node = yaml.compose(text, Loader=Loader)
    except UnreadableYaml as stop:
        return None, (stop.problem,)
    except yaml.MarkedYAMLError as error:
        return None, (reader.syntax_problem(error),)
    except yaml.YAMLError as error:
        return None, (reader.problem_at(None, "this is not YAML", str(error).split("\n")[0]),)
    if node is None:
        return None, (
            reader.problem_at(
                None,
                "the file holds no record",
                "write its fields as  key: value, with a space after the colon",
            ),
        )
    tree = reader.build(node)
    return tree, tuple(reader.problems)


class _Reader:
    """One reading of one text: checks the event stream first, then walks the composed nodes."""

    def __init__(self, file: str, first: Place) -> None:
        self.file = file
        self.first = first
        self.lines: list[str] = []
        self.problems: list[Problem] = []

    def place(self, mark: Mark | None) -> Place:
        if mark is None:
            return self.first
        return Place(mark.line + self.first.line, mark.column + self.first.column)

    def problem_at(self, mark: Mark | None, what: str, advice: str) -> Problem:
        place = self.place(mark)
        return Problem(self.file, place.line, place.column, what, advice)

    def survey(self, text: str) -> None:
        """Refuse what must never be composed: aliases, anchors, tags, depth, a second document."""
        self.lines = text.split("\n")
        depth = documents = 0
        for event in yaml.parse(text, Loader=Loader):
            if isinstance(event, yaml.AliasEvent):
                self._stop(event, f'"*{event.anchor}" repeats another value', "write the value out again")
            if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent):
                self._refuse_extras(event)
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self._stop(event, "a second document begins here", "one record a file: delete the ---")
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                if depth > DEEPEST:
                    self._stop(event, f"more than {DEEPEST} levels of nesting", "check the indentation")
            if isinstance(event, yaml.CollectionEndEvent):
                depth -= 1

    def _refuse_extras(self, event: yaml.ScalarEvent | yaml.CollectionStartEvent) -> None:
        if event.anchor:
            what = f'"&{event.anchor}" names a value to repeat'
            self._stop(
                event, what, "leave it out and write values in full; a value that begins so needs quotes"
            )
        if event.tag:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            advice = "write the value without it; a value that begins so needs quotes"
            self._stop(event, f'the tag "{tag}" is not allowed', advice)

    def _stop(self, event: yaml.Event, what: str, advice: str) -> None:
        raise UnreadableYaml(self.problem_at(event.start_mark, what, advice))

    def syntax_problem(self, error: yaml.MarkedYAMLError) -> Problem:
        return self.problem_at(*explain(error, self.lines))

    def build(self, node: yaml.Node) -> Node:
        place = self.place(node.start_mark)
        if isinstance(node, yaml.MappingNode):
            return Mapping(tuple(self._entries(node)), place)
        if isinstance(node, yaml.SequenceNode):
            return Sequence(tuple(self.build(item) for item in node.value), place)
        assert isinstance(node, yaml.ScalarNode)  # noqa: S101 - there is no fourth kind
        return self._scalar(node)

    def _scalar(self, node: yaml.ScalarNode) -> Scalar:
        text, style, mark = node.value, node.style or "", node.start_mark
        if len(text) > LONGEST_SCALAR:
            what = f"a text of {len(text):,} characters"
            self.problems.append(self.problem_at(mark, what, f"keep it under {LONGEST_SCALAR:,}"))
        # "\\0" in double quotes is a character that the file itself does not hold.
        if style == '"' and (found := _FORBIDDEN.search(text)):
            self.problems.append(self.problem_at(mark, _not_text(found[0]), "write what was meant"))
        if style in ("|", ">") and not text.strip():
            what = f"no text stands under the {style}"
            advice = f"indent the text under it; a value that begins with {style} needs quotes"
            self.problems.append(self.problem_at(mark, what, advice))
        indent = self._block_indent(text, mark) if style == "|" else 0
        return Scalar(text, self.place(mark), style, indent + self.first.column - 1)

    def _block_indent(self, text: str, mark: Mark) -> int:
        """How far the lines of a `|` block are indented; the C loader's marks do not say."""
        written = next((line for line in self.lines[mark.line + 1 :] if line.strip()), "")
        meant = next((line for line in text.split("\n") if line.strip()), "")
        return len(written) - len(meant)

    def _entries(self, node: yaml.MappingNode) -> Iterator[Entry]:
        seen: dict[str, Place] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self.problems.append(
                    self.problem_at(key_node.start_mark, "a key must be a word", "write  key: value")
                )
                continue
            key = self._scalar(key_node)
            if key.text in seen:
                what = f'"{key.text[:40]}" stands here a second time'
                advice = f"the first is in line {seen[key.text].line}; keep one of them"
                self.problems.append(self.problem_at(key_node.start_mark, what, advice))
                continue
            seen[key.text] = key.place
            yield Entry(key, self.build(value_node))

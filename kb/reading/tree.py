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

import yaml

from kb.problems import Problem

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

LARGEST_FILE = 1_000_000
LONGEST_SCALAR = 20_000
DEEPEST = 32

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ue000-\uf8ff\ufdd0-\ufdef\ufffe\uffff]")


@dataclass(frozen=True)
class Place:
    """Where something stands in a file; both count from 1."""

    line: int
    column: int


@dataclass(frozen=True)
class Scalar:
    """A text as written. `block` is the style: "", quotes, or the `|` or `>` of a block."""

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
        return next((entry for entry in self.entries if entry.key.text == key), None)


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
            Problem(file, 1, 1, f"the file has {len(data):,} bytes", f"keep a record under {LARGEST_FILE:,}")
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = error.start - (before.rfind(b"\n") + 1) + 1
        raise UnreadableYaml(
            Problem(file, line, column, f"byte 0x{data[error.start]:02X} is not UTF-8",
                    "save the file as UTF-8")  # fmt: skip
        ) from None
    found = _FORBIDDEN.search(text)
    if found:
        place = place_of(text, found.start())
        raise UnreadableYaml(
            Problem(file, place.line, place.column, f"the character U+{ord(found[0]):04X} is not text",
                    "delete it, or write what was meant")  # fmt: skip
        )
    return text.replace("\r\n", "\n").replace("\r", "\n")


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
        return None, (reader.problem_at(None, "the file holds no record", "write its fields as  key: value"),)
    tree = reader.build(node)
    return tree, tuple(reader.problems)


class _Reader:
    """One reading of one text: checks the event stream first, then walks the composed nodes."""

    def __init__(self, file: str, first: Place) -> None:
        self.file = file
        self.first = first
        self.lines: list[str] = []
        self.problems: list[Problem] = []

    def place(self, mark: yaml.Mark | None) -> Place:
        if mark is None:
            return self.first
        return Place(mark.line + self.first.line, mark.column + self.first.column)

    def problem_at(self, mark: yaml.Mark | None, what: str, advice: str) -> Problem:
        place = self.place(mark)
        return Problem(self.file, place.line, place.column, what, advice)

    def survey(self, text: str) -> None:
        """Refuse what must never be composed: aliases, anchors, tags, depth, a second document."""
        self.lines = text.split("\n")
        depth = documents = 0
        for event in yaml.parse(text, Loader=Loader):
            if isinstance(event, yaml.AliasEvent):
                self._stop(event, f'"*{event.anchor}" repeats another value', "write the value out again")
            if getattr(event, "anchor", None):
                self._stop(event, f'"&{event.anchor}" names a value to repeat', "leave it out; write values in full")
            if getattr(event, "tag", None):
                self._stop(event, f'the tag "{event.tag}" is not allowed', "write the value without it")
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

    def _stop(self, event: yaml.Event, what: str, advice: str) -> None:
        raise UnreadableYaml(self.problem_at(event.start_mark, what, advice))

    def syntax_problem(self, error: yaml.MarkedYAMLError) -> Problem:
        what = error.problem or "this is not YAML"
        left_open = error.context and error.context.endswith(("flow sequence", "flow mapping", "quoted scalar"))
        begun = error.context_mark if left_open and "escape" not in what else None
        return self.problem_at(begun or error.problem_mark or error.context_mark, *_advice_on(what))

    def build(self, node: yaml.Node) -> Node:
        place = self.place(node.start_mark)
        if isinstance(node, yaml.MappingNode):
            return Mapping(tuple(self._entries(node)), place)
        if isinstance(node, yaml.SequenceNode):
            return Sequence(tuple(self.build(item) for item in node.value), place)
        return self._scalar(node)

    def _scalar(self, node: yaml.ScalarNode) -> Scalar:
        if len(node.value) > LONGEST_SCALAR:
            self.problems.append(
                self.problem_at(node.start_mark, f"a text of {len(node.value):,} characters",
                                f"keep it under {LONGEST_SCALAR:,}")  # fmt: skip
            )
        indent = self._block_indent(node) if node.style in ("|", ">") else 0
        return Scalar(node.value, self.place(node.start_mark), node.style or "", indent + self.first.column - 1)

    def _block_indent(self, node: yaml.ScalarNode) -> int:
        """How far the lines of a block text are indented; the C loader's marks do not say."""
        rest = self.lines[node.start_mark.line + 1 :]
        return next((len(line) - len(line.lstrip(" ")) for line in rest if line.strip()), 0)

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
                self.problems.append(
                    self.problem_at(key_node.start_mark, f'"{key.text[:40]}" stands here a second time',
                                    f"the first is in line {seen[key.text].line}; keep one of them")  # fmt: skip
                )
                continue
            seen[key.text] = key.place
            yield Entry(key, self.build(value_node))


_ADVICE = (
    ("cannot start any token", "this character cannot begin a value", "put the value in quotes"),
    ("mapping values are not allowed", 'a ": " where none can stand', "put the value in quotes, or check the indentation"),
    ("did not find expected key", "the indentation does not fit, or a quote is left open", "line the keys up"),
    ("could not find expected ':'", "a key without its colon", "write  key: value"),
    ("did not find expected ',' or", "a [ or { that is not closed", "close it, or put the value in quotes"),
    ("found unexpected end of stream", "a quote that is not closed", "close the quote"),
    ("did not find expected '-' indicator", "a line that belongs to no list item", "begin it with '- ' or indent it"),
    ("found undefined tag handle", "a value that begins with '!'", "put the value in quotes"),
    ("block sequence entries are not allowed", "a '- ' where no list can begin", "begin the list on a line of its own"),
    ("unknown escape character", "a backslash in double quotes", "use single quotes"),
)  # fmt: skip


def _advice_on(what: str) -> tuple[str, str]:
    for words, meaning, advice in _ADVICE:
        if words in what:
            return meaning, advice
    return f"this is not YAML ({what})", "check quotes, colons and indentation nearby"

"""A record together with the tree it came from, so that any later finding can name its place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from kb.problems import Problem
from kb.reading.tree import Entry, Mapping, Node, Place, Scalar, Sequence
from kb.records import Written

RecordType = TypeVar("RecordType", bound=Written)
RecordType_co = TypeVar("RecordType_co", bound=Written, covariant=True)
Step = str | int


@dataclass(frozen=True)
class Located(Generic[RecordType_co]):
    """One record: its id, its file (relative to the shop folder), what it says, and where."""

    id: str
    file: str
    record: RecordType_co
    tree: Node
    body_line: int = 1
    digest: str = ""
    """Changes with every byte of the file; empty where the record was not read from one."""

    if not TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any:
            """The tree that was not needed so far; only asked for what is not there."""
            read = self.__dict__.get("_read")
            if name != "tree" or read is None:
                raise AttributeError(f"a located record has no {name!r}")
            self.__dict__["tree"] = tree = read()
            return tree

    def place(self, *path: Step) -> Place:
        """Where the value at `path` stands, such as `place("checks", 0, "good")`."""
        return place_in(self.tree, path)

    def problem(self, path: tuple[Step, ...], what: str, advice: str = "") -> Problem:
        """A problem at the value of `path`."""
        place = self.place(*path)
        return Problem(self.file, place.line, place.column, what, advice)

    def text_place(self, path: tuple[Step, ...], line: int) -> Place:
        """Where line `line` (from 0) of the text at `path` stands."""
        node = node_at(self.tree, path)
        return node.place_of_line(line) if isinstance(node, Scalar) else self.place(*path)


def located_without_tree(
    identifier: str, file: str, record: RecordType, body_line: int, digest: str, read: Callable[[], Node]
) -> Located[RecordType]:
    """A located record whose tree `read` makes when somebody asks for it; in all else as any other."""
    located: Located[RecordType] = object.__new__(Located)
    located.__dict__.update(
        id=identifier, file=file, record=record, body_line=body_line, digest=digest, _read=read
    )
    return located


def step_into(node: Node, step: Step) -> Entry | Node | None:
    """What lies one step further: the entry of a key, the item of a list, or nothing."""
    if isinstance(node, Mapping):
        entry = node.get(str(step))
        if entry is None and step == "inputs":
            # A calculation's inputs stand under the calculator's name.
            return next(
                (
                    each
                    for each in node.entries
                    if isinstance(each.value, Mapping) and each.key.text != "sweep"
                ),
                None,
            )
        return entry
    if isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return node if step in (0, "to", "part") else None


def node_at(tree: Node, path: tuple[Step, ...]) -> Node:
    """The node at `path`, or the nearest one above it that exists."""
    node = tree
    for step in path:
        found = step_into(node, step)
        if found is None:
            break
        node = found.value if isinstance(found, Entry) else found
    return node


def place_in(tree: Node, path: tuple[Step, ...], *, of_key: bool = False) -> Place:
    """Where the value at `path` stands, or with `of_key` the key it stands under."""
    node, place = tree, tree.place
    for step in path:
        found = step_into(node, step)
        if found is None:
            break
        if isinstance(found, Entry):
            node = found.value
            place = found.key.place if of_key else found.value.place
        else:
            node, place = found, found.place
    return place

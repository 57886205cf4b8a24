"""One file's bytes to one located record. Nothing here opens a file."""

from __future__ import annotations

import hashlib
from functools import partial
from typing import Any, TypeVar

from kb.problems import Problem
from kb.reading.front_matter import Split, split_front_matter
from kb.reading.kept_records import KeptRecords
from kb.reading.located import Located, located_without_tree
from kb.reading.memory import Memory
from kb.reading.tree import Node, UnreadableYaml, decode, read_tree
from kb.reading.validate import validate
from kb.records import Guide, GuideHead, Written

RecordType = TypeVar("RecordType", bound=Written)
_Found = tuple[Located[Any] | None, tuple[Problem, ...]]

_memory: Memory[_Found] = Memory(1 << 14)


def read_record(
    data: bytes, file: str, identifier: str, kind: type[RecordType], kept: KeptRecords | None = None
) -> tuple[Located[RecordType] | None, tuple[Problem, ...]]:
    """One record from the bytes of its file; `kept` may have it from an earlier run."""
    digest = hashlib.blake2b(data, digest_size=16).hexdigest()
    key = (digest, file, identifier, kind)
    found = _memory.get(key)
    if found is None:
        old = kept.get(file, digest, kind) if kept is not None else None
        if old is None:
            found = _read(data, file, identifier, kind, digest)
        else:
            read = partial(_tree_again, data, file, kind)
            found = located_without_tree(identifier, file, old.record, old.body_line, digest, read), ()
        _memory.put(key, found)
    return found


def forget() -> None:
    """Read every file anew, as another process would."""
    _memory.clear()


def _read(data: bytes, file: str, identifier: str, kind: type[Written], digest: str) -> _Found:
    try:
        tree, problems, split = _tree(data, file, kind)
    except UnreadableYaml as stop:
        return None, (stop.problem,)
    if tree is None:
        return None, problems
    if split is not None:
        return _guide(tree, problems, split, file, identifier, digest)
    record, more = validate(tree, kind, file)
    if record is None or problems:
        return None, _once(problems, more)
    return Located(identifier, file, record, tree, digest=digest), ()


def _tree(
    data: bytes, file: str, kind: type[Written]
) -> tuple[Node | None, tuple[Problem, ...], Split | None]:
    """The tree of a file, or of a guide's head with the guide taken apart; raises UnreadableYaml."""
    text = decode(data, file)
    if kind is not Guide:
        return *read_tree(text, file), None
    split, problems = split_front_matter(text, file)
    if split is None:
        return None, problems, None
    return *read_tree(split.head, file, split.head_place), split


def _tree_again(data: bytes, file: str, kind: type[Written]) -> Node:
    """The tree of a file that was found sound before."""
    tree, _, _ = _tree(data, file, kind)
    assert tree is not None  # noqa: S101 - the same bytes gave a record
    return tree


def _guide(
    tree: Node, problems: tuple[Problem, ...], split: Split, file: str, identifier: str, digest: str
) -> _Found:
    head, more = validate(tree, GuideHead, file)
    if not split.body.strip():
        more = (*more, Problem(file, split.body_line, 1, "the guide has no text", "write it under the head"))
    if head is None or problems or more:
        return None, _once(problems, more)
    guide = Guide(head=head, body=split.body)
    return Located(identifier, file, guide, tree, split.body_line, digest), ()


def _once(first: tuple[Problem, ...], then: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """All problems, but of one place only what was said about it first."""
    told = {(problem.line, problem.column) for problem in first}
    return (*first, *(each for each in then if (each.line, each.column) not in told))

"""One file's bytes to one located record. Nothing here opens a file."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

from kb.problems import Problem
from kb.reading.front_matter import split_front_matter
from kb.reading.located import Located
from kb.reading.tree import UnreadableYaml, decode, read_tree
from kb.reading.validate import validate
from kb.records import Guide, GuideHead, Written

RecordType = TypeVar("RecordType", bound=Written)


def read_record(
    data: bytes, file: str, identifier: str, kind: type[RecordType]
) -> tuple[Located[RecordType] | None, tuple[Problem, ...]]:
    """One record from the bytes of its file."""
    located, problems = _read(data, file, identifier, kind)
    digest = hashlib.blake2b(data, digest_size=16).hexdigest()
    return (None if located is None else replace(located, digest=digest)), problems


@lru_cache(maxsize=1 << 14)
def _read(
    data: bytes, file: str, identifier: str, kind: type[RecordType]
) -> tuple[Located[RecordType] | None, tuple[Problem, ...]]:
    try:
        text = decode(data, file)
    except UnreadableYaml as stop:
        return None, (stop.problem,)
    if kind is Guide:
        return _read_guide(text, file, identifier)  # type: ignore[return-value]
    tree, problems = read_tree(text, file)
    if tree is None:
        return None, problems
    record, more = validate(tree, kind, file)
    if record is None or problems:
        return None, _once(problems, more)
    return Located(identifier, file, record, tree), ()


def _read_guide(text: str, file: str, identifier: str) -> tuple[Located[Guide] | None, tuple[Problem, ...]]:
    split, problems = split_front_matter(text, file)
    if split is None:
        return None, problems
    tree, problems = read_tree(split.head, file, split.head_place)
    if tree is None:
        return None, problems
    head, more = validate(tree, GuideHead, file)
    if not split.body.strip():
        more = (*more, Problem(file, split.body_line, 1, "the guide has no text", "write it under the head"))
    if head is None or problems or more:
        return None, _once(problems, more)
    return Located(identifier, file, Guide(head=head, body=split.body), tree, split.body_line), ()


def _once(first: tuple[Problem, ...], then: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """All problems, but of one place only what was said about it first."""
    told = {(problem.line, problem.column) for problem in first}
    return (*first, *(each for each in then if (each.line, each.column) not in told))

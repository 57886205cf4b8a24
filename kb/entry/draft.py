"""A record as the form has it: the text it would become, what `halfsplit check` would say, the difference."""

from __future__ import annotations

import difflib
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kb.cli.drafting import Bench, modeline_of
from kb.entry import files
from kb.entry.files import NotAllowed, RecordFile
from kb.entry.judging import judged
from kb.entry.patching import CannotPatch, patched, whole
from kb.entry.shapes import BODY, shape_of
from kb.entry.values import Plain, from_form, plain_of, tidy, to_form
from kb.problems import Problem
from kb.reading.front_matter import split_front_matter
from kb.reading.tree import Mapping, UnreadableYaml, decode, read_tree

_BY_EDITOR = "edit it in an editor"


@dataclass(frozen=True)
class Draft:
    """What would be written; `problems` are those of this record, each with the field it belongs to."""

    at: RecordFile
    data: bytes
    problems: tuple[tuple[Problem, str], ...]
    disagreements: tuple[tuple[Problem, str], ...]

    @property
    def shown(self) -> str:
        """What tells this text from any other: it may be written only if exactly it was shown."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def difference(self) -> str:
        """The text, or for a file that is there what changes in it."""
        after = self.data.decode("utf-8-sig")
        if self.at.data is None:
            return after
        before = self.at.data.decode("utf-8-sig")
        lines = difflib.unified_diff(
            _lines(before), _lines(after), self.at.file, f"{self.at.file}, as it would be", lineterm=""
        )
        return "\n".join(lines)


def opened(root: Path, kind: str, identifier: str) -> dict[str, Any]:
    """A record that is there, as the form shows it."""
    at = files.existing(root, kind, identifier)
    parts = _Parts.of(kind, at)
    return {"values": to_form(shape_of(kind), parts.said(kind, at)), "state": at.state, "file": at.file}


def drafted(root: Path, kind: str, identifier: str, *, is_new: bool, values: Any) -> Draft:
    """What the form's values make of a record."""
    shape = shape_of(kind)
    said = from_form(shape, values if isinstance(values, dict) else {})
    at = (
        files.new(root, kind, identifier, _under(kind, said))
        if is_new
        else files.existing(root, kind, identifier)
    )
    data = _new(root, kind, at, said) if is_new else _changed(kind, at, said)
    problems, disagreements = judged(Bench(root), kind, identifier, at.file, data)
    return Draft(at, data, problems, disagreements)


@dataclass(frozen=True)
class _Parts:
    """The text of a record's file: YAML, and before and behind it what is none."""

    before: str
    yaml: str
    between: str
    body: str
    line_end: str

    @classmethod
    def of(cls, kind: str, at: RecordFile) -> _Parts:
        data = at.data or b""
        try:
            text = decode(data, at.file)
        except UnreadableYaml as stop:
            raise NotAllowed(f"{stop.problem}; {_BY_EDITOR}") from None
        mark = "\ufeff" if data.startswith(b"\xef\xbb\xbf") else ""
        ends = set(re.findall(rb"\r\n|\r|\n", data))
        if len(ends) > 1:
            raise NotAllowed(f'the lines of "{at.file}" end in several ways; {_BY_EDITOR}')
        end = next(iter(ends), b"\n").decode()
        if kind != "guide":
            return cls(mark, text, "", "", end)
        split, problems = split_front_matter(text, at.file)
        if split is None:
            raise NotAllowed(f"{problems[0]}; {_BY_EDITOR}")
        lines = text.split("\n")
        close = split.body_line - 2
        return cls(f"{mark}{lines[0]}\n", f"{split.head}\n", f"{lines[close]}\n", split.body, end)

    def said(self, kind: str, at: RecordFile) -> Plain:
        tree, problems = read_tree(self.yaml, at.file)
        if not isinstance(tree, Mapping) or problems:
            first = problems[0] if problems else f"{at.file} holds no record"
            raise NotAllowed(f"{first}; {_BY_EDITOR}")
        body = {BODY: self.body} if kind == "guide" else {}
        return tidy(shape_of(kind), {**plain_of(tree), **body})

    def data(self) -> bytes:
        text = f"{self.before}{self.yaml}{self.between}{self.body}"
        return text.replace("\n", self.line_end).encode()


def _changed(kind: str, at: RecordFile, said: dict[str, Plain]) -> bytes:
    parts = _Parts.of(kind, at)
    before = parts.said(kind, at)
    head = {key: each for key, each in said.items() if kind != "guide" or key != BODY}
    try:
        yaml = patched(parts.yaml, shape_of(kind), head)
    except CannotPatch:
        what = "this cannot be changed here without touching what must stay as it is"
        raise NotAllowed(f"{what}; {_BY_EDITOR}") from None
    body = parts.body
    if kind == "guide" and said.get(BODY, "") != before.get(BODY, ""):
        body = f"{said.get(BODY, '')}\n"
        body = f"\n{body}" if parts.body.startswith("\n") and not body.startswith("\n") else body
    return _Parts(parts.before, yaml, parts.between, body, parts.line_end).data()


def _new(root: Path, kind: str, at: RecordFile, said: dict[str, Plain]) -> bytes:
    modeline = modeline_of(root, kind, at.path)
    first = f"{modeline}\n" if modeline else ""
    if kind != "guide":
        return f"{first}{_written(kind, said)}".encode()
    head = {key: each for key, each in said.items() if key != BODY}
    return f"---\n{first}{_written(kind, head)}---\n\n{said.get(BODY, '')}\n".encode()


def _written(kind: str, said: dict[str, Plain]) -> str:
    """A form that nobody filled in is a record without fields, so that each missing one is told."""
    return whole(shape_of(kind), said) if said else "{}\n"


def _under(kind: str, said: dict[str, Plain]) -> str:
    """The folder a new record goes to where the shop has it: its model's, or its year's."""
    if kind == "fault":
        models = said.get("models") or [""]
        return str(models[0])
    return str(said.get("received", ""))[:4] if kind == "job" else ""


def _lines(text: str) -> list[str]:
    return text.replace("\r\n", "\n").replace("\r", "\n").splitlines()

"""Every message the core can say about a record, found in its source, so that none goes without a case."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

KB = Path(__file__).parent.parent.parent / "kb"

# Which argument says what is wrong: by position, of each function or method that begins a problem.
WHAT_IN = {"Problem": 3, "wrong": 0, "problem": 1, "problem_at": 1, "_stop": 1, "UnreadableSerials": 0}
# Functions that give back (what, advice), or end with the two, for somebody else to place.
GIVES_BACK = {"_in_plain_words": 0, "explain": -2, "_not_text": 0}


@dataclass(frozen=True)
class Message:
    """One message; `pieces` are its fixed words, with something of the record's between each two."""

    where: str
    pieces: tuple[str, ...]

    def __str__(self) -> str:
        return "…".join(self.pieces).replace('"…"', "“…”")

    def is_said_in(self, line: str) -> bool:
        """Whether a problem line says this."""
        said = ".*".join(re.escape(piece) for piece in self.pieces)
        return re.search(rf":\d+:\d+: {said}(?:; |$)", line) is not None


def messages_in(*packages: str) -> list[Message]:
    """The messages of these packages of `kb`, each once."""
    found: dict[str, Message] = {}
    for package in packages:
        for path in sorted((KB / package).glob("*.py")):
            for message in _messages_of(
                ast.parse(path.read_text(encoding="utf-8")), f"{package}/{path.name}"
            ):
                found.setdefault(str(message), message)
    return list(found.values())


def _messages_of(module: ast.Module, where: str) -> Iterator[Message]:
    for statement in module.body:
        if isinstance(statement, ast.Assign) and isinstance(statement.value, ast.Tuple):
            yield from (Message(where, (text,)) for text in _texts_of_table(statement.value))
    for function in ast.walk(module):
        if not isinstance(function, ast.FunctionDef):
            continue
        named = _named_texts(function)
        for node in ast.walk(function):
            if isinstance(node, ast.Call) and (at := WHAT_IN.get(_name(node.func))) is not None:
                yield from _meant(node.args[at : at + 1], named, where)
            if isinstance(node, ast.Return) and function.name in GIVES_BACK and node.value is not None:
                values = node.value.elts if isinstance(node.value, ast.Tuple) else [node.value]
                at = GIVES_BACK[function.name]
                yield from _meant([values[at]] if len(values) >= abs(at) else [], named, where)


def _texts_of_table(table: ast.Tuple) -> Iterator[str]:
    """The meanings of the tables that end in (meaning, advice), and of such a pair alone."""
    texts = [
        each.value for each in table.elts if isinstance(each, ast.Constant) and isinstance(each.value, str)
    ]
    if len(table.elts) == len(texts) == 2 and " " in texts[0]:
        yield texts[0]
        return
    for row in table.elts:
        if isinstance(row, ast.Tuple) and isinstance(row.elts[-1], ast.Tuple):
            yield from _texts_of_table(row.elts[-1])


def _named_texts(function: ast.FunctionDef) -> dict[str, list[ast.expr]]:
    """What each name of a function is set to, for `what = …` before the problem is made."""
    named: dict[str, list[ast.expr]] = {}
    for node in ast.walk(function):
        if not isinstance(node, ast.Assign):
            continue
        for target in node.targets:
            pairs = [(target, node.value)]
            if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                pairs = list(zip(target.elts, node.value.elts, strict=True))
            for name, value in pairs:
                if isinstance(name, ast.Name):
                    named.setdefault(name.id, []).append(value)
    return named


def _meant(values: list[ast.expr], named: dict[str, list[ast.expr]], where: str) -> Iterator[Message]:
    for value in values:
        if isinstance(value, ast.Name):
            yield from _meant(named.get(value.id, []), {}, where)
        elif isinstance(value, ast.Constant) and isinstance(value.value, str):
            yield Message(where, (value.value,))
        elif isinstance(value, ast.JoinedStr):
            yield Message(where, _pieces(value))


def _pieces(text: ast.JoinedStr) -> tuple[str, ...]:
    pieces = [""]
    for part in text.values:
        if isinstance(part, ast.Constant):
            pieces[-1] += str(part.value)
        else:
            pieces.append("")
    return tuple(pieces)


def _name(function: ast.expr) -> str:
    return getattr(function, "id", getattr(function, "attr", ""))

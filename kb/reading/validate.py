"""From a located tree to a record: pydantic judges, and each complaint becomes a problem at its place."""

from __future__ import annotations

from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from kb.problems import Problem, did_you_mean
from kb.reading.located import Step, node_at, place_in
from kb.reading.tree import Mapping, Node, Scalar, Sequence
from kb.records import Written

RecordType = TypeVar("RecordType", bound=Written)

_NOT_A_VALUE = ("", "~", "null", "Null", "NULL")


def validate(tree: Node, kind: type[RecordType], file: str) -> tuple[RecordType | None, tuple[Problem, ...]]:
    """The record that `tree` says, or None, and every problem found on the way."""
    problems: list[Problem] = []
    if not isinstance(tree, Mapping):
        place = tree.place
        what = "the file is a list or a text, not a record"
        advice = "write its fields as  key: value, with a space after the colon"
        return None, (Problem(file, place.line, place.column, what, advice),)
    plain = _plain(tree, file, problems)
    try:
        record = kind.model_validate(plain)
    except ValidationError as error:
        told = {(problem.line, problem.column) for problem in problems}
        found = error.errors(include_url=False, include_input=True)
        more = [
            _as_problem(details, tree, kind, file) for details in found if not _follows(details, found, tree)
        ]
        problems += [problem for problem in more if (problem.line, problem.column) not in told]
        return None, tuple(problems)
    return (None if problems else record), tuple(problems)


def _follows(details: ErrorDetails, found: list[ErrorDetails], tree: Mapping) -> bool:
    """Whether a complaint only repeats another: a key without a value, a list whose items are wrong."""
    path: tuple[Step, ...] = details["loc"]
    if details["type"] == "missing":
        around = node_at(tree, path[:-1])
        return isinstance(around, Mapping) and around.get(str(path[-1])) is not None
    if details["type"] == "too_short":
        return any(len(other["loc"]) > len(path) and other["loc"][: len(path)] == path for other in found)
    return False


def _plain(node: Node, file: str, problems: list[Problem]) -> Any:
    """Dicts, lists and texts; what has no value is a problem, and a key without one is left out."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [_plain_item(item, file, problems) for item in node.items]
    plain: dict[str, Any] = {}
    for entry in node.entries:
        if not _has_value(entry.value):
            place = entry.key.place
            what = f'"{entry.key.text[:40]}" has no value'
            advice = "write one after the colon, or delete the line"
            if entry.key.text[:1].isdigit():
                advice = "between { and } a comma begins a new key; write decimals with a point"
            problems.append(Problem(file, place.line, place.column, what, advice))
            continue
        plain[entry.key.text] = _plain(entry.value, file, problems)
    return plain


def _plain_item(item: Node, file: str, problems: list[Problem]) -> Any:
    """An item keeps its number even where it has no value, so that later ones are found at their place."""
    if _has_value(item):
        return _plain(item, file, problems)
    what, advice = "this item has no value", "write one after '- ', or delete the line"
    problems.append(Problem(file, item.place.line, item.place.column, what, advice))
    return ""


def _has_value(node: Node) -> bool:
    return not (isinstance(node, Scalar) and node.style == "" and node.text in _NOT_A_VALUE)


def _as_problem(details: ErrorDetails, tree: Mapping, kind: type[BaseModel], file: str) -> Problem:
    path: tuple[Step, ...] = details["loc"]
    what, advice = _in_plain_words(details, kind)
    # A missing key is told where the mapping that lacks it begins.
    path = path[:-1] if details["type"] == "missing" else path
    place = place_in(tree, path, of_key=details["type"] == "extra_forbidden")
    return Problem(file, place.line, place.column, what, advice)


def _in_plain_words(details: ErrorDetails, kind: type[BaseModel]) -> tuple[str, str]:
    path, context = details["loc"], details.get("ctx", {})
    name = str(path[-1]) if path else "record"
    match details["type"]:
        case "halfsplit":
            return str(context["what"]), str(context["advice"])
        case "extra_forbidden" if name == "<<":
            return "nothing is merged in here", "write the keys out in full"
        case "extra_forbidden":
            return f'"{name[:40]}" is not a key here', did_you_mean(name, _keys_at(kind, path[:-1]))
        case "missing":
            return f'"{name}" is missing', f"write  {name}: …{_hint(kind, path)}"
        case "literal_error":
            known = [word.strip("'") for word in str(context["expected"]).replace(" or ", ", ").split(", ")]
            written = str(details.get("input", ""))[:40]
            return f'"{written}" is none of the known words', did_you_mean(written, known)
        case "tuple_type" | "list_type":
            return f'"{name}" is a list', "write each item on a line of its own after '- '"
        case "model_type" | "model_attributes_type" | "dict_type":
            keys = ", ".join(_keys_at(kind, path))
            return "keys with values are expected here", f"write  key: value  ({keys})" if keys else ""
        case "too_short":
            return f'"{name}" needs at least one item', "write it after '- '"
        case _:
            return str(details["msg"]), ""


def _model_at(kind: type[BaseModel], path: tuple[Step, ...]) -> type[BaseModel] | None:
    """The record type that `path` leads to, found through the annotations."""
    model: type[BaseModel] | None = kind
    for step in path:
        if isinstance(step, int):
            continue
        field = model.model_fields.get(step) if model else None
        model = _model_in(field.annotation) if field else None
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := _model_in(part))), None)


def _keys_at(kind: type[BaseModel], path: tuple[Step, ...]) -> list[str]:
    model = _model_at(kind, path)
    return list(model.model_fields) if model else []


def _hint(kind: type[BaseModel], path: tuple[Step, ...]) -> str:
    model = _model_at(kind, path[:-1])
    field = model.model_fields.get(str(path[-1])) if model else None
    return f"  ({field.description})" if field and field.description else ""

"""What a form has to ask for each kind of record, taken from the record types themselves.

A new field of a record is in the form without a line here; only where a field names another record is listed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType, NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from kb.entry.explaining import explanations
from kb.records import Fault, GuideHead, Job, Model, Part, Written
from kb.records.fields import Calculation, Date, Flag, OneOrMany, Prose, Whole

KINDS: Mapping[str, type[Written]] = MappingProxyType(
    {"fault": Fault, "job": Job, "part": Part, "model": Model, "guide": GuideHead}
)
BODY = "body"
"""The field that stands for a guide's text below its head."""

_LEAVES = {"prose": Prose, "whole": Whole, "flag": Flag, "date": Date, "calculation": Calculation}
_REFERS = {
    "model": "model", "models": "model", "revision": "revision", "revisions": "revision",
    "shares_serials_with": "revision", "block": "block", "to": "block", "check": "check", "fault": "fault",
    "faults": "fault", "related": "fault", "part": "part", "parts": "part", "needs": "port",
}  # fmt: skip
_FILES = {("captures", "file"): "capture", ("photos", "file"): "photo", ("photos", ""): "photo"}


@dataclass(frozen=True)
class Shape:
    """One thing to ask. `kind` is a leaf's type, or `list` with its `item`, or `record` with its `fields`."""

    kind: str
    help: str = ""
    is_required: bool = False
    words: tuple[str, ...] = ()
    """The only words that may stand here."""
    refers: str = ""
    """Which kind of thing is named here."""
    item: Shape | None = None
    may_stand_alone: bool = False
    """A list of one may be written without the list."""
    short_for: str = ""
    """A plain text stands for this key of the record."""
    fields: Mapping[str, Shape] = field(default_factory=dict)


@cache
def shape_of(kind: str) -> Shape:
    """The form of a kind of record."""
    fields = dict(_fields(KINDS[kind], explanations(kind), ()))
    if kind == "guide":
        text = "The text, in Markdown: paragraphs, lists, tables, [links](fault:id), calculations in fences."
        fields[BODY] = Shape("prose", text, is_required=True)
    return Shape("record", fields=MappingProxyType(fields))


def as_json(shape: Shape) -> dict[str, Any]:
    """The shape as the form's script reads it."""
    made: dict[str, Any] = {"kind": shape.kind, "help": shape.help, "required": shape.is_required}
    if shape.words:
        made["words"] = list(shape.words)
    if shape.refers:
        made["refers"] = shape.refers
    if shape.item is not None:
        made["item"] = as_json(shape.item)
    if shape.kind == "record":
        made["fields"] = {name: as_json(each) for name, each in shape.fields.items()}
    return made


def _fields(kind: type[BaseModel], told: Mapping[str, str], path: tuple[str, ...]) -> Any:
    for name, info in kind.model_fields.items():
        yield name, _field(name, info, told, path)


def _field(name: str, info: FieldInfo, told: Mapping[str, str], path: tuple[str, ...]) -> Shape:
    here = (*path, name)
    text = told.get(".".join(here)) or _sentence(info.description or "")
    made = _shape(
        Annotated[info.annotation, *info.metadata] if info.metadata else info.annotation, told, here
    )
    return Shape(**{**vars(made), "help": text, "is_required": info.is_required()})


def _shape(annotation: Any, told: Mapping[str, str], path: tuple[str, ...]) -> Shape:
    origin, arguments = get_origin(annotation), get_args(annotation)
    leaf = next((name for name, known in _LEAVES.items() if _is(annotation, known)), None)
    if leaf is not None:
        return Shape(leaf)
    if origin is Annotated:
        made = _shape(arguments[0], told, path)
        return Shape(**{**vars(made), "may_stand_alone": True}) if OneOrMany in arguments[1:] else made
    if origin in (Union, UnionType):
        return _shape(next(each for each in arguments if each is not NoneType), told, path)
    if origin is tuple:
        return Shape("list", item=_shape(arguments[0], told, path))
    if origin is Literal:
        return Shape("word", words=tuple(map(str, arguments)))
    if isinstance(annotation, type) and issubclass(annotation, Written) and annotation.__name__ != "Reading":
        return Shape("record", fields=MappingProxyType(dict(_fields(annotation, told, path))),
                     short_for=_short_for(annotation))  # fmt: skip
    return Shape("line", refers=_refers(path))


def _is(annotation: Any, known: Any) -> bool:
    """Whether an annotation is one of the record's own types, maybe with more said about it."""
    if annotation == known:
        return True
    if get_origin(annotation) is not Annotated:
        return False
    return known.__metadata__[0] in annotation.__metadata__


def _short_for(kind: type[BaseModel]) -> str:
    """The key that a plain text stands for, where the type takes one."""
    for name, each in kind.__pydantic_decorators__.model_validators.items():
        if each.info.mode == "before":
            made = getattr(kind, name)("text")
            if isinstance(made, dict) and len(made) == 1:
                return str(next(iter(made)))
    return ""


def _refers(path: tuple[str, ...]) -> str:
    for (around, name), kind in _FILES.items():
        if path[-2:] == (around, name) or (not name and path[-1] == around):
            return kind
    return _REFERS.get(path[-1], "")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}." if text else ""

"""Plain values as YAML, written the way the shop's other records are; what would be misread is quoted."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import yaml

from kb.cli.filling import prose, scalar
from kb.entry.shapes import Shape
from kb.entry.values import Plain

_LONGEST_PLAIN = 100
# Readers of newer YAML take these for numbers, and older ones y and n for true and false.
_MISREAD = re.compile(
    r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|0o[0-7]+|0x[0-9a-fA-F]+|[yYnN]", re.ASCII
)
_AS_IT_IS = {
    "whole": re.compile(r"0|[1-9][0-9]{0,8}", re.ASCII),
    "flag": re.compile(r"true|false"),
    "date": re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII),
}


def one_line(shape: Shape | None, text: str) -> str:
    """A text as one YAML value on one line."""
    as_it_is = _AS_IT_IS.get(shape.kind) if shape else None
    if as_it_is and as_it_is.fullmatch(text):
        return text
    made = str(scalar(text))
    return f"'{text}'" if made == text and _MISREAD.fullmatch(text) else made


def after_colon(shape: Shape | None, value: Plain, indent: int, *, may_be_block: bool = True) -> str:
    """What follows `key:` of a key that stands `indent` in; lists and mappings begin on the next line."""
    if isinstance(value, str):
        return f" {_leaf(shape, value, indent, may_be_block=may_be_block)}"
    if isinstance(value, list):
        item = shape.item if shape else None
        return "".join(f"\n{' ' * (indent + 2)}- {list_item(item, each, indent + 2)}" for each in value)
    return f"\n{mapping(shape, value, indent + 2)}" if value else " {}"


def mapping(shape: Shape | None, value: Mapping[str, Plain], indent: int) -> str:
    """The lines of a mapping that stands `indent` in, without the end of the last one."""
    return "\n".join(f"{' ' * indent}{_entry(shape, key, each, indent)}" for key, each in value.items())


def list_item(shape: Shape | None, value: Plain, indent: int) -> str:
    """What follows the hyphen of an item whose hyphen stands `indent` in."""
    if isinstance(value, dict):
        return mapping(shape, value, indent + 2).lstrip(" ")
    return _leaf(shape, value, indent)


def flow(value: Plain) -> str:
    """A list or mapping on one line, in brackets."""
    made = yaml.safe_dump(
        value, default_flow_style=True, allow_unicode=True, width=float("inf"), sort_keys=False
    )
    return str(made).rstrip("\n")


def _entry(shape: Shape | None, key: str, value: Plain, indent: int) -> str:
    return f"{one_line(None, key)}:{after_colon(field_of(shape, key), value, indent)}"


def field_of(shape: Shape | None, key: str) -> Shape | None:
    """The shape of a key, where the shape around it says so."""
    return shape.fields.get(key) if shape else None


def _leaf(shape: Shape | None, value: Any, indent: int, *, may_be_block: bool = True) -> str:
    text = value if isinstance(value, str) else str(value)
    is_prose = shape is not None and shape.kind == "prose"
    if may_be_block and is_prose and ("\n" in text or len(text) > _LONGEST_PLAIN):
        return str(prose(text, indent + 2))
    return one_line(shape, text)

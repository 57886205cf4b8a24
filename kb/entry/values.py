"""What a file says and what a form sends, brought to the same plain values so that they can be compared.

Plain values are mappings, lists and texts, as they stand in YAML; what is empty is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kb.entry.shapes import Shape
from kb.reading.tree import Mapping as MappingNode
from kb.reading.tree import Node, Scalar

Plain = Any
"""A text, a list of plain values, or a mapping of them."""

_BESIDE = ("about", "sweep")


def plain_of(node: Node) -> Plain:
    """What a located tree says."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, MappingNode):
        return {each.key.text: plain_of(each.value) for each in node.entries}
    return [plain_of(each) for each in node.items]


def tidy(shape: Shape | None, value: Plain) -> Plain:
    """`value` in the one way of writing it that everything else is compared with."""
    if shape is None:
        return value
    if shape.kind == "list":
        many = value if isinstance(value, list) else [value]
        return [each for each in (tidy(shape.item, item) for item in many) if each not in ("", [], {})]
    if shape.kind == "record":
        return _tidy_record(shape, value)
    if shape.kind == "calculation":
        return _tidy_calculation(value)
    if not isinstance(value, str):
        return value
    # A browser sends line ends of one kind; a space at the end of a line of prose means nothing.
    return value.rstrip() if shape.kind == "prose" else value.strip()


def to_form(shape: Shape | None, value: Plain) -> Any:
    """Tidy values as the form shows them: a calculation becomes a name with a list of inputs."""
    if shape is None:
        return value
    if shape.kind == "list" and isinstance(value, list):
        return [to_form(shape.item, each) for each in value]
    if shape.kind == "record" and isinstance(value, dict):
        return {
            key: to_form(shape.fields.get(key), each) for key, each in value.items() if key in shape.fields
        }
    if shape.kind == "calculation" and isinstance(value, dict):
        name = next((key for key in value if key not in _BESIDE), "")
        return {"name": name, "about": value.get("about", ""), "inputs": _pairs(value.get(name)),
                "sweep": _pairs(value.get("sweep"))}  # fmt: skip
    return value if isinstance(value, str) else ""


def from_form(shape: Shape | None, value: Any) -> Plain:
    """What a form sent, as tidy values; whatever is of no use is left out."""
    return tidy(shape, _from_form(shape, value))


def _from_form(shape: Shape | None, value: Any) -> Plain:
    if shape is None:
        return ""
    if shape.kind == "list":
        return [_from_form(shape.item, each) for each in value] if isinstance(value, list) else []
    if not isinstance(value, dict):
        return value.replace("\r\n", "\n") if isinstance(value, str) and shape.kind != "record" else ""
    if shape.kind == "record":
        return {key: _from_form(each, value[key]) for key, each in shape.fields.items() if key in value}
    if shape.kind == "calculation":
        made: dict[str, Any] = {"about": _text(value.get("about"))}
        made[_text(value.get("name"))] = _from_pairs(value.get("inputs"))
        return {**made, "sweep": _from_pairs(value.get("sweep"))}
    return ""


def _tidy_record(shape: Shape, value: Plain) -> Plain:
    if isinstance(value, str):
        if not value.strip():
            return {}
        value = {shape.short_for: value} if shape.short_for else value
    if not isinstance(value, Mapping):
        return value
    made = {key: tidy(shape.fields.get(key), each) for key, each in value.items()}
    return {key: each for key, each in made.items() if each not in ("", [], {}) or key not in shape.fields}


def _tidy_calculation(value: Plain) -> Plain:
    if not isinstance(value, Mapping):
        return value
    made: dict[str, Plain] = {}
    for key, each in value.items():
        if isinstance(each, Mapping):
            made[key] = {name: _joined(text) for name, text in each.items() if _joined(text)}
        elif isinstance(each, str) and each.strip():
            made[key] = each.strip()
    # An unnamed calculation without inputs is a row of the form that nobody filled in.
    filled = {key: each for key, each in made.items() if each or key not in ("", *_BESIDE)}
    return filled if any(filled) else {}


def _joined(value: Plain) -> str:
    if isinstance(value, list):
        return ", ".join(str(each).strip() for each in value)
    return str(value).strip()


def _pairs(value: Plain) -> list[dict[str, str]]:
    if not isinstance(value, Mapping):
        return []
    return [{"name": name, "value": _joined(each)} for name, each in value.items()]


def _from_pairs(value: Any) -> dict[str, str]:
    rows = value if isinstance(value, list) else []
    found = {_text(each.get("name")): _text(each.get("value")) for each in rows if isinstance(each, dict)}
    return {name: each for name, each in found.items() if name or each}


def _text(value: Any) -> str:
    return value.strip() if isinstance(value, str) else ""

"""Writes a formula's tree back as plain text and as nested lists for a browser.

The text uses the fewest brackets that read back into the same tree.
"""

from __future__ import annotations

from typing import TypeAlias

from kb.formulas.tree import Call, Name, Negative, Node, Number, Operation

Json: TypeAlias = float | str | list["Json"]

_PRECEDENCE = {"+": 1, "-": 1, "*": 2, "/": 2, "**": 4}
_NEGATIVE = 3


def precedence(node: Node) -> int:
    """How tightly `node` holds together: 1 for a sum, up to 5 for a single thing."""
    if isinstance(node, Operation):
        return _PRECEDENCE[node.sign]
    return _NEGATIVE if isinstance(node, Negative) else 5


def needs_brackets(parent: Operation, child: Node, on_right: bool) -> bool:
    """Whether `child` must stand in brackets as an operand of `parent`."""
    own, inner = precedence(parent), precedence(child)
    if parent.sign == "**":
        return inner <= own if not on_right else inner < _NEGATIVE
    return inner <= own if on_right else inner < own


def to_text(node: Node) -> str:
    """`node` as one line of text that parses into the same tree."""
    if isinstance(node, Number):
        return node.text
    if isinstance(node, Name):
        return node.name
    if isinstance(node, Negative):
        inner = to_text(node.of)
        return f"-({inner})" if precedence(node.of) < _NEGATIVE else f"-{inner}"
    if isinstance(node, Call):
        return f"{node.function}({', '.join(to_text(item) for item in node.arguments)})"
    return f"{_operand(node, node.left, False)} {node.sign} {_operand(node, node.right, True)}"


def _operand(parent: Operation, child: Node, on_right: bool) -> str:
    inner = to_text(child)
    return f"({inner})" if needs_brackets(parent, child, on_right) else inner


def to_json(node: Node) -> Json:
    """`node` as nested lists: a number, a name as a string, or `[operator, operand, ...]`.

    The leading minus is `["neg", operand]`; `pi` is the only name that has a fixed value.
    """
    if isinstance(node, Number):
        return node.value
    if isinstance(node, Name):
        return node.name
    if isinstance(node, Negative):
        return ["neg", to_json(node.of)]
    if isinstance(node, Call):
        return [node.function, *(to_json(item) for item in node.arguments)]
    return [node.sign, to_json(node.left), to_json(node.right)]

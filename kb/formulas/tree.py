"""The tree of a formula: five kinds of node, all frozen, nothing else can occur.

Every other module here walks this tree; it must stay so small that each walk can handle every kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

CONSTANTS = {"pi": 3.141592653589793}
"""Names with a fixed value; they are not inputs of a formula."""

ARGUMENTS = {
    "ln": (1, 1),
    "exp": (1, 1),
    "sqrt": (1, 1),
    "log2": (1, 1),
    "log10": (1, 1),
    "abs": (1, 1),
    "floor": (1, 1),
    "ceil": (1, 1),
    "arccos": (1, 1),
    "min": (2, 8),
    "max": (2, 8),
}
"""The functions a formula may call, with the least and the greatest number of arguments."""


@dataclass(frozen=True)
class Number:
    """A decimal number as written in the formula; `text` keeps its spelling for the page."""

    value: float
    text: str


@dataclass(frozen=True)
class Name:
    """A quantity that is put in, or a constant such as pi."""

    name: str


@dataclass(frozen=True)
class Negative:
    """A leading minus sign."""

    of: Node


@dataclass(frozen=True)
class Operation:
    """Two operands joined by one of `+ - * / **`."""

    sign: str
    left: Node
    right: Node


@dataclass(frozen=True)
class Call:
    """One of the functions in `ARGUMENTS`."""

    function: str
    arguments: tuple[Node, ...]


Node: TypeAlias = Number | Name | Negative | Operation | Call


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly below `node`."""
    if isinstance(node, Negative):
        return (node.of,)
    if isinstance(node, Operation):
        return (node.left, node.right)
    return node.arguments if isinstance(node, Call) else ()


def walk(node: Node) -> Iterator[Node]:
    """`node` and everything below it, in the order it is written."""
    yield node
    for child in children(node):
        yield from walk(child)


def renamed(node: Node, names: Mapping[str, str]) -> Node:
    """`node` with the quantities in `names` called otherwise."""
    if isinstance(node, Name):
        return node if node.name in CONSTANTS else Name(names.get(node.name, node.name))
    if isinstance(node, Negative):
        return Negative(renamed(node.of, names))
    if isinstance(node, Operation):
        return Operation(node.sign, renamed(node.left, names), renamed(node.right, names))
    if isinstance(node, Call):
        return Call(node.function, tuple(renamed(each, names) for each in node.arguments))
    return node

"""Reads the text of a formula into our own tree, and refuses everything that is not arithmetic.

Python's parser does the grammar; nothing it returns is ever compiled or run. Length, depth, number of
nodes and literal exponents are bounded, so that no text can make reading or evaluating slow.
"""

from __future__ import annotations

import ast
import math
import re

from kb.formulas.errors import FormulaError
from kb.formulas.tree import ARGUMENTS, CONSTANTS, Call, Name, Negative, Node, Number, Operation

MAX_LENGTH = 500
MAX_DEPTH = 30
MAX_NODES = 200
MAX_EXPONENT = 64.0

_SIGNS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}
_NUMBER = r"\d++(?:\.\d++)?(?:[eE][+-]?\d++)?(?![\w.])"
# Possessive throughout: a long text that isn't a formula must fail at once, not after backtracking.
_TOKENS = re.compile(rf"(?:\s++|{_NUMBER}|[A-Za-z]\w*+|\*\*|[-+*/(),])++", re.ASCII)


def parse(text: str) -> Node:
    """Return the tree of `text`; raise FormulaError when it is not one of our formulas."""
    if len(text) > MAX_LENGTH:
        raise FormulaError(f"the formula is longer than {MAX_LENGTH} characters")
    # Python warns about "2if" and the like while parsing; such text stops here and never gets that far.
    if not _TOKENS.fullmatch(text):
        raise FormulaError(f"not a formula: {text!r}")
    try:
        body = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError) as error:
        raise FormulaError(f"not a formula: {text!r}") from error
    count = sum(1 for item in ast.walk(body) if isinstance(item, ast.expr))
    if count > MAX_NODES:
        raise FormulaError(f"the formula has more than {MAX_NODES} parts")
    return _convert(body, text.strip(), 1)


def _convert(node: ast.expr, text: str, depth: int) -> Node:
    if depth > MAX_DEPTH:
        raise FormulaError(f"the formula is nested more than {MAX_DEPTH} deep")
    if isinstance(node, ast.Constant):
        return _number(node, text)
    if isinstance(node, ast.Name):
        return Name(node.id)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return Negative(_convert(node.operand, text, depth + 1))
    if isinstance(node, ast.BinOp) and type(node.op) in _SIGNS:
        return _operation(node, text, depth)
    if isinstance(node, ast.Call):
        return _call(node, text, depth)
    raise FormulaError(f"a formula may not contain {ast.unparse(node)!r}")


def _number(node: ast.Constant, text: str) -> Number:
    if type(node.value) not in (int, float):
        raise FormulaError(f"a formula may not contain {node.value!r}")
    try:
        value = float(node.value)  # type: ignore[arg-type]  # the line above leaves int and float only
    except OverflowError as error:
        raise FormulaError("a number in the formula is too large") from error
    if not math.isfinite(value):
        raise FormulaError("a number in the formula is too large")
    return Number(value, text[node.col_offset : node.end_col_offset])


def _operation(node: ast.BinOp, text: str, depth: int) -> Operation:
    left, right = _convert(node.left, text, depth + 1), _convert(node.right, text, depth + 1)
    sign = _SIGNS[type(node.op)]
    if sign == "**" and isinstance(right, Number) and right.value > MAX_EXPONENT:
        raise FormulaError(f"an exponent above {MAX_EXPONENT:g} is not a formula of the bench")
    return Operation(sign, left, right)


def _call(node: ast.Call, text: str, depth: int) -> Call:
    if not isinstance(node.func, ast.Name) or node.func.id not in ARGUMENTS or node.keywords:
        raise FormulaError(f"a formula may not call {ast.unparse(node.func)!r}")
    least, most = ARGUMENTS[node.func.id]
    if not least <= len(node.args) <= most:
        raise FormulaError(f"{node.func.id} takes {least} to {most} arguments, not {len(node.args)}")
    return Call(node.func.id, tuple(_convert(item, text, depth + 1) for item in node.args))


def is_name(text: str) -> bool:
    """Whether `text` can stand for a quantity in a formula."""
    is_word = re.fullmatch(r"[A-Za-z]\w*", text, re.ASCII) is not None
    return is_word and text not in CONSTANTS and text not in ARGUMENTS

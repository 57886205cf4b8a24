"""Presentation MathML of a formula, built as an element tree so that no text can become markup.

It shows the very tree that is evaluated, with symbols or with the numbers put in.
"""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree.ElementTree import Element, SubElement, tostring

from kb.formulas.tree import CONSTANTS, Call, Name, Negative, Node, Number, Operation
from kb.formulas.writing import needs_brackets, precedence

MATHML = "http://www.w3.org/1998/Math/MathML"
_INVISIBLE_TIMES = "\u2062"
_GREEK = {"pi": "π", "tau": "τ", "eta": "η", "beta": "β", "omega": "ω"}
_FENCES = {"abs": ("|", "|"), "floor": ("⌊", "⌋"), "ceil": ("⌈", "⌉")}
_WORDS = {"log2": ("log", "2"), "log10": ("log", "10")}


def equation(left: str, *sides: Element, text: str) -> str:
    """`left = side = side` as a `<math>` block; `text` is what a reader without MathML gets."""
    math = Element("math", {"xmlns": MATHML, "display": "block", "alttext": text})
    row = SubElement(math, "mrow")
    if left:
        row.append(symbol(left))
    for side in sides:
        if len(row):
            row.append(_leaf("mo", "="))
        row.append(side)
    return tostring(math, encoding="unicode")


def symbol(text: str) -> Element:
    """`t_w` as t with subscript w; Greek letters by their name."""
    base, _, below = text.partition("_")
    if not below:
        return _leaf("mi", _GREEK.get(base, base))
    return _pair("msub", symbol(base), _leaf("mi", below.replace("_", " ")))


def quantity(text: str) -> Element:
    """A number with its unit, such as `33 kΩ`, that must not be broken over two lines."""
    return _leaf("mtext", text.replace(" ", "\u00a0"))


def element(node: Node, symbols: Mapping[str, str], numbers: Mapping[str, str]) -> Element:
    """The MathML element of `node`; a name in `numbers` is shown as that number."""
    if isinstance(node, Number):
        return _leaf("mn", node.text)
    if isinstance(node, Name):
        return _name(node.name, symbols, numbers)
    if isinstance(node, Negative):
        inner = element(node.of, symbols, numbers)
        return _row(_leaf("mo", "-"), _bracketed(inner) if precedence(node.of) < 3 else inner)
    if isinstance(node, Call):
        return _call(node, symbols, numbers)
    return _operation(node, symbols, numbers)


def _name(name: str, symbols: Mapping[str, str], numbers: Mapping[str, str]) -> Element:
    if name in numbers and name not in CONSTANTS:
        return quantity(numbers[name])
    return symbol(symbols.get(name, name))


def _operation(node: Operation, symbols: Mapping[str, str], numbers: Mapping[str, str]) -> Element:
    left, right = (element(side, symbols, numbers) for side in (node.left, node.right))
    if node.sign == "/":
        return _pair("mfrac", left, right)
    if _is_bracketed(node, node.left, False):
        left = _bracketed(left)
    if node.sign == "**":
        # "33 kΩ" squared would read as kΩ² alone without the brackets
        return _pair("msup", _bracketed(left) if left.tag == "mtext" else left, right)
    if _is_bracketed(node, node.right, True):
        right = _bracketed(right)
    sign = _leaf("mo", _sign(node, bool(numbers)))
    if sign.text == _INVISIBLE_TIMES and _is_word(node.right):
        sign.set("rspace", "0.2em")  # or "R C ln 3" runs together into "RCln 3"
    return _row(left, sign, right)


def _is_bracketed(parent: Operation, child: Node, on_right: bool) -> bool:
    """A fraction holds itself together, so it needs brackets under a power only."""
    is_fraction = isinstance(child, Operation) and child.sign == "/"
    if is_fraction and parent.sign != "**":
        return False
    return needs_brackets(parent, child, on_right)


def _sign(node: Operation, is_put_in: bool) -> str:
    """Symbols stand side by side; before a number a cross is needed."""
    if node.sign == "*":
        return "×" if is_put_in or _starts_with_number(node.right) else _INVISIBLE_TIMES
    return "−" if node.sign == "-" else node.sign


def _is_word(node: Node) -> bool:
    """Whether `node` begins with the name of a function."""
    return isinstance(node, Call) and node.function not in ("sqrt", "exp", *_FENCES)


def _starts_with_number(node: Node) -> bool:
    while isinstance(node, Operation):
        node = node.left
    return isinstance(node, Number)


def _call(node: Call, symbols: Mapping[str, str], numbers: Mapping[str, str]) -> Element:
    inside = [element(item, symbols, numbers) for item in node.arguments]
    if node.function == "sqrt":
        return _pair("msqrt", *inside)
    if node.function == "exp":
        return _pair("msup", _leaf("mi", "e"), inside[0])
    if node.function in _FENCES:
        left, right = _FENCES[node.function]
        return _row(_leaf("mo", left), inside[0], _leaf("mo", right))
    separated = [inside[0]]
    for item in inside[1:]:
        separated += [_leaf("mo", ","), item]
    return _row(_function(node.function), _bracketed(_row(*separated)))


def _function(name: str) -> Element:
    if name in _WORDS:
        word, base = _WORDS[name]
        return _pair("msub", _leaf("mi", word), _leaf("mn", base))
    return _leaf("mi", name)


def _leaf(tag: str, text: str) -> Element:
    made = Element(tag)
    made.text = text
    return made


def _pair(tag: str, *parts: Element) -> Element:
    made = Element(tag)
    made.extend(parts)
    return made


def _row(*parts: Element) -> Element:
    return _pair("mrow", *parts)


def _bracketed(inner: Element) -> Element:
    return _row(_leaf("mo", "("), inner, _leaf("mo", ")"))

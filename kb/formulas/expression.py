"""One formula: the single thing that is computed, shown on the page and handed to the browser.

A calculator holds Expressions and evaluates them; it must not repeat the arithmetic in Python, so
that a page can never show another formula than the one behind its numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from kb.formulas import dimensions, mathml
from kb.formulas.errors import FormulaError
from kb.formulas.evaluating import Worked, finished, worked
from kb.formulas.parsing import is_name, parse
from kb.formulas.tree import CONSTANTS, Name, Node, renamed, walk
from kb.formulas.writing import Json, to_json, to_text


@lru_cache(maxsize=8192)
def _read(text: str) -> tuple[Node, tuple[str, ...]]:
    """The tree and the names of a formula; calculators write the same few formulas for every page."""
    tree = parse(text)
    found = (node.name for node in walk(tree) if isinstance(node, Name))
    names = tuple(dict.fromkeys(name for name in found if name not in CONSTANTS))
    for name in names:
        if not is_name(name):
            raise FormulaError(f"{name!r} can't stand for a quantity")
    return tree, names


@lru_cache(maxsize=8192)
def _function(text: str) -> Worked:
    return worked(_read(text)[0])


@dataclass(frozen=True)
class Expression:
    """A formula read from text such as `K * C * (R + R0)`; two with the same text are equal."""

    text: str

    def __post_init__(self) -> None:
        _read(self.text)

    @cached_property
    def tree(self) -> Node:
        """The parsed formula."""
        return _read(self.text)[0]

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The quantities that must be put in, in the order they are first written."""
        return _read(self.text)[1]

    def renamed(self, names: Mapping[str, str]) -> Expression:
        """The same formula for other quantities: `names` gives the new name for an old one."""
        return Expression(to_text(renamed(self.tree, names)))

    def evaluate(self, values: Mapping[str, float]) -> float:
        """The value in SI; FormulaError when it is not a finite real number."""
        return finished(_function(self.text), values)

    def dimension(self, names: Mapping[str, str]) -> dimensions.Dimension:
        """The dimension of the result, `names` giving each quantity's dimension by its name."""
        vectors = {name: dimensions.DIMENSION_OF[dimension] for name, dimension in names.items()}
        return dimensions.dimension_of(self.tree, vectors)

    def has_dimension(self, dimension: str, names: Mapping[str, str]) -> bool:
        """Whether the result has the dimension called `dimension`."""
        return self.dimension(names) == dimensions.DIMENSION_OF[dimension]

    def to_text(self) -> str:
        """The formula on one line, with no more brackets than needed."""
        return to_text(self.tree)

    def to_json(self) -> Json:
        """Nested lists, for evaluation elsewhere."""
        return to_json(self.tree)

    def to_mathml(
        self,
        symbols: Mapping[str, str],
        left: str = "",
        numbers: Mapping[str, str] | None = None,
        result: str = "",
    ) -> str:
        """A `<math>` block `left = formula`; with `numbers` the formula shows them in place of the names.

        `result`, such as "10 ms", is added as a last side of the equation.
        """
        if not numbers and not result:
            return _in_symbols(self.text, tuple(symbols.items()), left)
        return self._equation(symbols, left, numbers or {}, result)

    def _equation(
        self, symbols: Mapping[str, str], left: str, numbers: Mapping[str, str], result: str
    ) -> str:
        sides = [mathml.element(self.tree, symbols, numbers)]
        if result:
            sides.append(mathml.quantity(result))
        text = f"{left} = {self.to_text()}" if left else self.to_text()
        return mathml.equation(left, *sides, text=text)


@lru_cache(maxsize=4096)
def _in_symbols(text: str, symbols: tuple[tuple[str, str], ...], left: str) -> str:
    """A formula in symbols alone is the same on every page that shows it."""
    return Expression(text)._equation(dict(symbols), left, {}, "")

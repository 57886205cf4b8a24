"""Turns what a person wrote into the values a calculator works with, or into a list of problems.

Everything is checked before anything is computed, so that one run names all the mistakes. It must not
know any particular calculator.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Input,
    InputProblem,
    ShownInput,
    Value,
)
from kb.calculators.tolerances import PartTolerance
from kb.problems import did_you_mean
from kb.quantities import Quantity, QuantityError, format_tolerance, parse_any_quantity, parse_quantity

MAX_TEXT = 200
_WHOLE = re.compile(r"[0-9]{1,9}")


@dataclass(frozen=True)
class Given:
    """The inputs of one calculation, read and checked.

    `solved_for` is the member of the solve group that was left out.
    """

    calculator: Calculator
    quantities: Mapping[str, Quantity]
    words: Mapping[str, str]
    counts: Mapping[str, int]
    texts: Mapping[str, str]
    written: frozenset[str]
    solved_for: str | None

    def has(self, key: str) -> bool:
        """Whether there is a value for `key`, written or by default."""
        return key in self.texts

    def value(self, key: str) -> float:
        """The SI value of a quantity."""
        return self.quantities[key].value

    def word(self, key: str) -> str:
        """The value of a choice or a text."""
        return self.words[key]

    def count(self, key: str) -> int:
        """The value of a whole number."""
        return self.counts[key]

    def tolerance(self, key: str) -> PartTolerance:
        """How far below and above its value `key` may lie, as positive fractions."""
        own = self.quantities.get(key)
        if own is None or not own.has_tolerance:
            own = self.quantities.get(f"{key}_tolerance")
        return PartTolerance(own.minus, own.plus, key) if own is not None else PartTolerance(0.0, 0.0, key)

    def is_assumed(self, key: str) -> bool:
        """Whether the tolerance of `key` is a default, because neither it nor one of its own was written."""
        own = self.quantities.get(key)
        return f"{key}_tolerance" not in self.written and (own is None or not own.has_tolerance)

    def band(self, key: str, value: float | None = None) -> tuple[float, float]:
        """The least and greatest SI value of `key`, or of another part with the same tolerance."""
        minus, plus = self.tolerance(key)
        nominal = self.value(key) if value is None else value
        return nominal * (1 - minus), nominal * (1 + plus)

    def shown(self) -> tuple[ShownInput, ...]:
        """The inputs that took part, in the order they are declared."""
        return tuple(self._shown(item) for item in self.calculator.inputs if self._takes_part(item.key))

    def _takes_part(self, key: str) -> bool:
        part = key.removesuffix("_tolerance")
        own = self.quantities.get(part)
        is_replaced = part != key and own is not None and own.has_tolerance
        return key in self.texts and not is_replaced

    def _shown(self, item: Input) -> ShownInput:
        value: Value
        if item.dimension == "tolerance":
            quantity = self.quantities[item.key]
            value, dimension = quantity.plus, "ratio"
            shown = format_tolerance(quantity.minus, quantity.plus)
        elif item.key in self.quantities:
            quantity = self.quantities[item.key]
            value, shown, dimension = quantity.value, quantity.shown, quantity.dimension
        elif item.key in self.counts:
            value, shown, dimension = self.counts[item.key], str(self.counts[item.key]), "integer"
        else:
            value, dimension = self.words[item.key], item.dimension
            shown = self.words[item.key].replace("_", " ")
        text, given = self.texts[item.key], item.key in self.written
        return ShownInput(item.key, item.label, item.symbol, text, shown, value, dimension, given)


def read(calculator: Calculator, inputs: Mapping[str, str]) -> Given:
    """Read `inputs` for `calculator`; raise CalculationError with every problem found."""
    reader = _Reader(calculator)
    reader.check_names(inputs)
    for item in calculator.inputs:
        reader.take(item, inputs.get(item.key))
    reader.check_tolerances()
    reader.check_group()
    if reader.problems:
        raise CalculationError(*reader.problems)
    return reader.given()


@dataclass
class _Reader:
    """Collects values and problems while one set of inputs is read."""

    calculator: Calculator
    problems: list[InputProblem] = field(default_factory=list)
    quantities: dict[str, Quantity] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    written: set[str] = field(default_factory=set)

    def given(self) -> Given:
        left_out = [key for key in self.calculator.solve_group if key not in self.written]
        return Given(
            calculator=self.calculator,
            quantities=self.quantities,
            words=self.words,
            counts=self.counts,
            texts=self.texts,
            written=frozenset(self.written),
            solved_for=left_out[0] if left_out else None,
        )

    def say(self, key: str | None, what: str, advice: str = "") -> None:
        self.problems.append(InputProblem(key, what, advice))

    def check_names(self, inputs: Mapping[str, str]) -> None:
        known = [item.key for item in self.calculator.inputs]
        for key in inputs:
            if key not in known:
                self.say(str(key), f"{self.calculator.name} has no such input", did_you_mean(str(key), known))

    def take(self, item: Input, written: str | None) -> None:
        if written is not None:
            self.written.add(item.key)
        text = item.default if written is None else written
        if text is None:
            if item.required:
                self.say(item.key, "is missing", f"{item.help}, for example {item.example}")
            return
        longest = item.most if item.dimension == "text" and item.most else MAX_TEXT
        if not text.strip() or len(text) > longest:
            self.say(item.key, "is not a short text", f"write it as for example {item.example}")
            return
        self._read(item, text.strip())

    def _read(self, item: Input, text: str) -> None:
        self.texts[item.key] = text
        if item.dimension == "integer":
            self._count(item, text)
        elif item.dimension in ("choice", "text"):
            self._word(item, text)
        else:
            self._quantity(item, text)

    def _count(self, item: Input, text: str) -> None:
        least, most = item.least or 0, item.most or 10**9
        if _WHOLE.fullmatch(text) and least <= int(text) <= most:
            self.counts[item.key] = int(text)
        else:
            self.say(
                item.key, f'"{text}" is not a whole number from {least} to {most}', f"e.g. {item.example}"
            )

    def _word(self, item: Input, text: str) -> None:
        found = item.resolve(text) if item.resolve else _plain_choice(item, text)
        if found is None:
            self.say(item.key, f'"{text}" is not known', did_you_mean(text, item.choices))
        else:
            self.words[item.key] = found

    def _quantity(self, item: Input, text: str) -> None:
        try:
            quantity = _parse(item, text)
        except QuantityError as error:
            self.say(item.key, error.what, error.advice)
            return
        if not math.isfinite(quantity.value):
            self.say(item.key, f'"{text}" is not a finite value', f"for example {item.example}")
        elif item.positive and quantity.low <= 0:
            self.say(item.key, f'"{text}" must be above zero', f"for example {item.example}")
        else:
            self.quantities[item.key] = quantity

    def check_tolerances(self) -> None:
        for key in sorted(self.written):
            part = self.quantities.get(key.removesuffix("_tolerance"))
            if key.endswith("_tolerance") and part is not None and part.has_tolerance:
                advice = f'leave one out: "{part.text}" or {key}'
                self.say(key, f"the {key.removesuffix('_tolerance')} carries its own tolerance", advice)

    def check_group(self) -> None:
        group = self.calculator.solve_group
        present = [key for key in group if key in self.written]
        if not group or len(present) == len(group) - 1:
            return
        advice = _group_advice(group)
        if len(present) == len(group):
            count = "both" if len(group) == 2 else "all"
            self.say(None, f"{_listed(group)} are {count} given, so there is nothing to solve for", advice)
        else:
            absent = [key for key in group if key not in present]
            self.say(None, f"{_listed(absent)} {'are' if len(absent) > 1 else 'is'} missing", advice)


def _group_advice(group: tuple[str, ...]) -> str:
    if len(group) == 2:
        return f"give either {group[0]} or {group[1]}; the other one is solved for"
    number = {3: "two", 4: "three"}.get(len(group), str(len(group) - 1))
    return f"give {number} of {', '.join(group)} and leave out the one to solve for"


def _plain_choice(item: Input, text: str) -> str | None:
    if not item.choices:
        return text
    return {choice.lower(): choice for choice in item.choices}.get(text.lower())


def _parse(item: Input, text: str) -> Quantity:
    if item.dimension == "tolerance":
        # The tolerance grammar belongs to quantities; a whole quantity lends it something to stand on.
        bare = text if text[0] in "±+-−" else f"±{text}"
        return parse_quantity(f"1 ohm {bare}", "resistance")
    if "|" not in item.dimension:
        return parse_quantity(text, item.dimension)
    allowed = item.dimension.split("|")
    try:
        quantity = parse_any_quantity(text)
    except QuantityError:
        if "number" not in allowed:
            raise
        return parse_quantity(text, "number")
    if quantity.dimension not in allowed:
        raise QuantityError(f'"{text}" is a {quantity.dimension}', f"give a {' or '.join(allowed)}")
    return quantity


def _listed(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)

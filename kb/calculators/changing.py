"""What a page needs so that somebody may change a calculation in it: its plan for every way to ask.

A way is a thing to solve for together with a word for each choice. Each way's plan comes from running the
calculator that way, so that nothing is said here about any particular one. No value of the calculation
gets into this data, so all pages that ask alike share it. Its short keys:

    data     n declared inputs, r {result: label}, g the group to solve in, o {choice: words}, w the ways,
             p pool of parts that the ways share
    input    l label, h help, e example, d dimension, t default, q required, z may be zero or less, b bounds
    way      of what is solved for, o {choice: word}, i {input: text taken unless written},
             f formulas [name, text], m notes in order (a number is a condition, else [level, text]),
             and its plan as in `plan_json`; a number stands for that part of the pool
"""

from __future__ import annotations

import hashlib
import itertools
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from kb.calculators.base import Calculation, CalculationError, Calculator, Input
from kb.calculators.plan import Plan
from kb.calculators.plan_json import Data, plan_json
from kb.calculators.run import run
from kb.calculators.series import read_series
from kb.quantities import unit_of

MOST_WORDS = 4
MOST_WAYS = 12

Words = dict[str, str]


@dataclass(frozen=True)
class Changeable:
    """A calculation that a page can do again: its inputs as written, which of the ways it is, and the data.

    The data is the same for all calculations that ask alike.
    """

    calculator: str
    inputs: Mapping[str, str]
    data: Data
    way: int

    @cached_property
    def text(self) -> str:
        """The data as JSON, always the same for the same data."""
        return json.dumps(self.data, ensure_ascii=False, separators=(",", ":"))

    @cached_property
    def name(self) -> str:
        """A name for exactly this data."""
        return f"{self.calculator}-{hashlib.sha256(self.text.encode()).hexdigest()[:12]}"


@dataclass(frozen=True)
class Way:
    """One way to ask: the words of the choices and the calculation it gives."""

    words: Words
    calculation: Calculation
    plan: Plan


def changeable(calculator: Calculator, calculation: Calculation) -> Changeable | None:
    """The data for a calculation by `calculator`; None where only Python can work it out."""
    return _changeable(_Pair(calculator, calculation)) if calculation.plan is not None else None


class _Pair:
    """A calculator and one of its calculations as themselves, to be looked up by."""

    def __init__(self, calculator: Calculator, calculation: Calculation) -> None:
        self.calculator, self.calculation = calculator, calculation

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Pair)
            and self.calculator is other.calculator
            and self.calculation is other.calculation
        )

    def __hash__(self) -> int:
        return hash((id(self.calculator), id(self.calculation)))


@lru_cache(maxsize=2048)
def _changeable(pair: _Pair) -> Changeable:
    calculator, calculation = pair.calculator, pair.calculation
    inputs = {item.key: item.text for item in calculation.inputs if item.given}
    choices = _choices(calculator, calculation)
    ways = list(_ways(calculator, calculation, inputs, choices))
    page = {key: words[0] for key, words in choices.items()}
    asked = [way.words == page and way.calculation.solved_for == calculation.solved_for for way in ways]
    pool = _Pool()
    data = {
        "n": {item.key: _declared(item) for item in calculator.inputs},
        "r": {spec.key: spec.label for spec in calculator.results},
        "g": list(calculator.solve_group) if len({way.calculation.solved_for for way in ways}) > 1 else [],
        "o": {key: sorted({way.words[key] for way in ways}) for key in choices},
        "w": [_way(way, calculator, pool) for way in ways],
        "p": pool.parts,
    }
    return Changeable(calculator.name, inputs, data, asked.index(True))


def _declared(item: Input) -> Data:
    bounds = [item.least or 0, item.most or 10**9] if item.dimension == "integer" else None
    made = {
        "l": item.label, "h": item.help, "e": item.example, "d": item.dimension, "t": item.default,
        "q": item.required, "z": not item.positive, "b": bounds,
    }  # fmt: skip
    return {key: value for key, value in made.items() if value}


def _choices(calculator: Calculator, calculation: Calculation) -> dict[str, tuple[str, ...]]:
    """The choices with few words that took part, the word of the page first."""
    used = {item.key: str(item.value) for item in calculation.inputs if item.dimension == "choice"}
    return {
        item.key: (used[item.key], *(word for word in item.choices if word != used[item.key]))
        for item in calculator.inputs
        if item.key in used and len(item.choices) <= MOST_WORDS and item.resolve is None
    }


def _ways(
    calculator: Calculator,
    calculation: Calculation,
    inputs: Mapping[str, str],
    choices: Mapping[str, tuple[str, ...]],
) -> Iterator[Way]:
    """In an order of its own; a way that can't be worked out with these values is left out."""
    asked = itertools.product(*choices.values())
    most = max(1, MOST_WAYS // max(1, len(calculator.solve_group)))
    for words in sorted(itertools.islice(asked, most)):
        chosen = dict(zip(choices, words, strict=True))
        for solve in calculator.solve_group or (None,):
            rest = {**_inputs_for(solve, calculation, inputs), **_to_write(chosen, choices, inputs)}
            try:
                worked = run(calculator, rest)
            except CalculationError:
                continue
            if worked.plan is not None:
                yield Way(chosen, worked, worked.plan)


def _inputs_for(solve: str | None, calculation: Calculation, inputs: Mapping[str, str]) -> dict[str, str]:
    """The inputs that leave out `solve`; what was solved for is put in with the value it came to."""
    solved = calculation.solved_for
    if solved is None or solve == solved:
        return dict(inputs)
    found = {key: text for key, text in inputs.items() if key != solve}
    value = next((each for each in calculation.results if each.key == solved), None)
    if value is not None and isinstance(value.value, float):
        unit = unit_of(value.dimension)
        found[solved] = f"{value.value!r} {unit}" if unit != "1" else repr(value.value)
    return found


def _to_write(chosen: Words, choices: Mapping[str, tuple[str, ...]], inputs: Mapping[str, str]) -> Words:
    """The words to write: those that were written and those that are not the page's."""
    return {key: word for key, word in chosen.items() if key in inputs or word != choices[key][0]}


class _Pool:
    """Parts of plans as JSON, each kept once; what stands in their place is a number."""

    def __init__(self) -> None:
        self.parts: list[Any] = []
        self._known: dict[str, int] = {}

    def number(self, part: Any) -> int:
        """The place of `part`."""
        written = json.dumps(part, sort_keys=True)
        if written not in self._known:
            self._known[written] = len(self.parts)
            self.parts.append(part)
        return self._known[written]


def _way(way: Way, calculator: Calculator, pool: _Pool) -> Data:
    data = plan_json(way.plan)
    _follow_series(data, calculator, way.calculation)
    made = {
        key: parts if key == "k" else [pool.number(each) for each in parts] for key, parts in data.items()
    }  # fmt: skip
    usual = {
        item.key: item.text
        for item in way.calculation.inputs
        if not item.given and item.text != calculator.input(item.key).default
    }
    more = {
        "of": way.calculation.solved_for,
        "o": way.words,
        "i": usual,
        "f": [pool.number([each.name, each.text]) for each in way.calculation.formulas],
        "m": _notes(way),
    }
    return made | {key: value for key, value in more.items() if value}


def _follow_series(plan: Data, calculator: Calculator, calculation: Calculation) -> None:
    """Let a step's series be the one that the input for series asks for, where it is that one."""
    keys = {item.key for item in calculator.inputs if item.resolve is read_series}
    asked = {str(item.value): item.key for item in calculation.inputs if item.key in keys}
    for step in (*plan.get("s", ()), *plan.get("a", ())):
        if step.get("s") in asked:
            step["s"] = f"={asked[step['s']]}"


def _notes(way: Way) -> list[Any]:
    """The notes in order: a condition by its number, one that always holds by its level and text."""
    order: list[Any] = list(range(len(way.plan.conditions)))
    found = way.plan.notes_by_condition(way.plan.evaluate())
    numbers = {note: number for number, note in found.items()}
    place = 0
    for note in way.calculation.notes:
        if note in numbers:
            place = order.index(numbers[note]) + 1
        else:
            order.insert(place, ["w" if note.level == "warning" else "n", note.text])
            place += 1
    return order

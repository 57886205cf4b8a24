"""The exercise that stands in a fence of prose: its YAML read, its numbers drawn, its answers computed.

No answer is written by hand: each comes from the calculator, for every set of numbers, when the site is made.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

from pydantic import AfterValidator, Field

from kb.calculators import Calculation, CalculationError
from kb.calculators.base import Result, ShownInput
from kb.pages.exercise_drawing import NothingToDrawError, drawn, values_of
from kb.pages.fence_reading import place_of_fence
from kb.pages.fences import exercise_id
from kb.pages.prose import Passage
from kb.problems import Problem, did_you_mean
from kb.quantities import Quantity, parse_quantity
from kb.reading import Located
from kb.reading.located import Step
from kb.reading.tree import Mapping as Keys
from kb.reading.tree import read_tree
from kb.reading.validate import validate
from kb.recompute import Calculators, work_out
from kb.records import CalculationText, Written
from kb.records.fields import Calculation as WrittenCalculation
from kb.records.fields import InputTexts, Key, Line, quantity_of, wrong

if TYPE_CHECKING:
    Ratio = Quantity
else:
    Ratio = quantity_of("ratio", "5 %")

USUAL_TOLERANCE = "5 %"
_PLACEHOLDER = re.compile(r"\{([^{}]*)\}")


def _is_a_share(within: Quantity) -> Quantity:
    if not 0 < within.value < 1:
        raise wrong(f'"{within.text[:40]}" is no share to be off by', 'write it in per cent, such as "5 %"')
    return within


class _Exercise(Written):
    """What an exercise fence holds."""

    question: Line = Field(description="with the numbers' places in braces, such as {resistor}")
    calculation: WrittenCalculation
    draw: InputTexts = Field({}, description="input: list of values, or a range such as 10k to 100k in E12")
    answer: Key = Field(description="the result or input that is asked for")
    within: Annotated[Ratio, AfterValidator(_is_a_share)] = Field(
        # Not at import: a tolerance takes the unit library, which most builds can do without.
        default_factory=lambda: parse_quantity(USUAL_TOLERANCE, "ratio"),
        description="how far a right answer may be off",
    )
    hint: Line | None = None


@dataclass(frozen=True)
class Answer:
    """The right answer to one set of numbers, in SI and as it is shown."""

    value: float
    dimension: str
    shown: str


@dataclass(frozen=True)
class Variant:
    """An exercise with one set of numbers."""

    question: str
    hint: str
    answer: Answer
    calculation: Calculation


@dataclass(frozen=True)
class Exercise:
    """An exercise with all its variants; `id` stays while its words stay."""

    id: str
    within: float
    variants: tuple[Variant, ...]


@dataclass(frozen=True)
class Read:
    """What came of a fence: an exercise, or its problems."""

    exercise: Exercise | None = None
    problems: tuple[Problem, ...] = ()


def exercise_in(source: str, passage: Passage, line: int, calculators: Calculators) -> Read:
    """The exercise of a fence whose opening stands in `line` of a passage."""
    file = passage.record.file
    tree, problems = read_tree(source, file, place_of_fence(source, passage, line))
    if tree is None or problems:
        return Read(problems=passage.placed(problems))
    record, problems = validate(tree, _Exercise, file)
    if record is None or problems:
        return Read(problems=passage.placed(problems))
    assert isinstance(tree, Keys)  # noqa: S101 - validate refuses anything else
    work = _Work(Located(passage.record.id, file, record, tree), calculators, exercise_id(source))
    made = work.made()
    return Read(made, passage.placed(tuple(work.problems)))


class _Work:
    """One exercise on its way from what is written to what is asked."""

    def __init__(self, located: Located[_Exercise], calculators: Calculators, identifier: str) -> None:
        self.identifier = identifier
        self.located = located
        self.written = located.record
        self.calculators = calculators
        self.problems: list[Problem] = []

    def complain(self, path: tuple[Step, ...], what: str, advice: str) -> None:
        self.problems.append(self.located.problem(path, what, advice))

    def made(self) -> Exercise | None:
        """The exercise, or None once something was complained of."""
        values = self.values()
        if self.problems:
            return None
        variants = []
        for chosen in drawn(values, self.identifier):
            variant = self.variant(chosen)
            if variant is None:
                return None
            variants.append(variant)
        return Exercise(self.identifier, float(self.written.within.value), tuple(variants))

    def values(self) -> Mapping[str, tuple[str, ...]]:
        """What may be drawn for each input."""
        calculation = self.written.calculation
        calculator = self.calculators.get(calculation.name)
        if calculation.sweep:
            what = "an exercise asks for one value, not for a sweep"
            self.complain(("calculation", "sweep"), what, "write it under draw")
        if calculator is None:
            what = f'there is no calculator "{calculation.name}"'
            self.complain(("calculation",), what, did_you_mean(calculation.name, self.calculators))
            return {}
        found = {}
        for key, text in self.written.draw.items():
            if key in calculation.inputs:
                self.complain(("draw", key), f"{key} is given and drawn", "leave one of the two out")
            try:
                found[key] = values_of(calculator, key, text)
            except NothingToDrawError as error:
                self.complain(("draw", key), error.what, error.advice)
        return found

    def variant(self, chosen: Mapping[str, str]) -> Variant | None:
        """The exercise with one set of numbers."""
        written = self.written.calculation
        inputs = {**written.inputs, **chosen}
        try:
            calculation = work_out(CalculationText(name=written.name, inputs=inputs), self.calculators)
        except CalculationError as error:
            told = ", ".join(f"{key} {value}" for key, value in chosen.items())
            for each in error.problems:
                path = self.place_of(each.input)
                self.complain(path, f"with {told}: {each.what}" if told else each.what, each.advice)
            return None
        answer = self.answer(calculation)
        texts = [self.filled(path, text, calculation) for path, text in self.texts()]
        if answer is None or self.problems:
            return None
        return Variant(texts[0], texts[1] if len(texts) > 1 else "", answer, calculation)

    def place_of(self, key: str | None) -> tuple[Step, ...]:
        if key is None:
            return ("calculation",)
        return ("draw", key) if key in self.written.draw else ("calculation", "inputs", key)

    def texts(self) -> list[tuple[str, str]]:
        hint = self.written.hint
        return [("question", self.written.question), *([("hint", hint)] if hint else [])]

    def answer(self, calculation: Calculation) -> Answer | None:
        """What is asked for: a result, or an input that the question keeps to itself."""
        key = self.written.answer
        every: tuple[ShownInput | Result, ...] = (*calculation.inputs, *calculation.results)
        numbers = {
            each.key: Answer(float(each.value), each.dimension, each.shown)
            for each in every
            if not isinstance(each.value, str)
        }
        if key not in numbers:
            advice = did_you_mean(key, numbers)
            self.complain(("answer",), f'{calculation.calculator} gives no number "{key}"', advice)
            return None
        if numbers[key].value == 0:
            what = f"the answer is {numbers[key].shown}, and nothing lies within a share of nought"
            self.complain(("answer",), what, "ask for something else, or draw other numbers")
            return None
        return numbers[key]

    def filled(self, name: str, text: str, calculation: Calculation) -> str:
        """A text with the numbers in their places."""
        shown = {each.key: each.shown for each in calculation.results}
        shown |= {each.key: each.shown for each in calculation.inputs}

        def put(match: re.Match[str]) -> str:
            key = match[1].strip()
            if key == self.written.answer:
                advice = "leave it out, or ask for something else"
                self.complain((name,), f"{{{key}}} tells the answer", advice)
            elif key not in shown:
                advice = did_you_mean(key, shown)
                self.complain((name,), f'nothing is called "{{{match[1][:40]}}}" here', advice)
            return shown.get(key, "")

        return _PLACEHOLDER.sub(put, text)

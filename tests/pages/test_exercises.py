"""Exercises: answers worked out a second time, the same numbers each time, mistakes told at their place."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping

import pytest

from kb.calculators import CALCULATORS
from kb.handbook import handbook_folder
from kb.pages.exercise_drawing import NothingToDrawError, values_of
from kb.pages.exercise_reading import Exercise, exercise_in
from kb.pages.fences import exercise_id, exercises_in, ready
from kb.pages.prose import Passage
from kb.reading import Located, read_guides, read_record
from kb.records import Guide
from tests.benches import BODY_LINE, GUIDE_HEAD, guide_text

FENCE = re.compile(r"^```exercise\n(.*?)^```", re.MULTILINE | re.DOTALL)
Values = Mapping[str, float]

K = {"74LS123": 0.45, "CD4538": 1.0, "74HC4538": 0.7, "NE555": math.log(3)}
COLOURS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey")
BANDS = {name: digit for digit, name in enumerate(COLOURS)}
E12 = (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
E24 = (*E12, 11, 13, 16, 20, 24, 30, 36, 43, 51, 62, 75, 91)


def nearest(value: float, members: tuple[int, ...]) -> float:
    every = [member * 10.0**power for member in members for power in range(-2, 6)]
    return min(every, key=lambda each: abs(each - value))


def banded(code: str) -> float:
    tens, ones, noughts, _ = (BANDS.get(each, 0) for each in code.split())
    return (10 * tens + ones) * 10.0**noughts


AGAIN: Mapping[tuple[str, str], Callable[[Values, Mapping[str, str]], float]] = {
    ("monostable", "pulse"): lambda v, w: K[w["device"]] * v["resistor"] * v["capacitor"],
    ("monostable", "resistor"): lambda v, w: v["pulse"] / (K[w["device"]] * v["capacitor"]),
    ("monostable", "capacitor"): lambda v, w: v["pulse"] / (K[w["device"]] * v["resistor"]),
    ("gate_match", "duration_margin"): lambda v, _: v["output_duration"] - v["input_duration"],
    ("tempo", "frequency"): lambda v, _: v["bpm"] * v["pulses_per_quarter"] / 60,
    ("rc", "time_to_threshold"): lambda v, w: v["resistor"] * v["capacitor"] * (
        math.log(v["supply"] / v["threshold"]) if w["direction"] == "discharge"
        else -math.log(1 - v["threshold"] / v.get("supply", 1.0))
    ),
    ("divider", "output"): lambda v, _: v["input"] / (
        1 + v["upper"] * (1 / v["lower"] + (1 / v["load"] if "load" in v else 0))
    ),
    ("divider", "upper"): lambda v, _: v["lower"] * (v["input"] / v["output"] - 1),
    ("dac_pitch", "step"): lambda v, _: v["full_scale"] / 2 ** v["bits"],
    ("dac_pitch", "half_step_bound"): lambda v, _: 600 * v["full_scale"] / 2 ** v["bits"],
    ("supply", "ripple"): lambda v, _: v["load"] / (2 * 50 * v["capacitor"]),
    ("supply", "peak"): lambda v, _: v["secondary"] * math.sqrt(2) - 2 * 0.7,
    ("discharge", "time"): lambda v, _: v["resistor"] * v["capacitor"] * math.log(v["voltage"] / v["safe"]),
    ("discharge", "power"): lambda v, _: v["voltage"] ** 2 / v["resistor"],
    ("marking", "value"): lambda _, w: (
        banded(w["code"]) if " " in w["code"] else int(w["code"][:2]) * 10.0 ** int(w["code"][2]) * 1e-12
    ),
    ("preferred_value", "nearest"): lambda v, w: nearest(v["value"], E12 if w["series"] == "E12" else E24),
}  # fmt: skip
"""The sums of the handbook's exercises in plain arithmetic, by calculator and by what is asked."""


def handbook_pages() -> Mapping[str, Located[Guide]]:
    return read_guides(handbook_folder(), "handbook")[0]


def exercises_of(located: Located[Guide]) -> list[tuple[str, Exercise]]:
    """Each exercise of a page with what it asks for."""
    text = located.record.body
    found = []
    for match in FENCE.finditer(text):
        line = text.count("\n", 0, match.start())
        read = exercise_in(match[1], Passage(text, located), line, CALCULATORS)
        assert read.exercise is not None, read.problems
        found.append((re.findall(r"^answer: (\w+)", match[1], re.MULTILINE)[0], read.exercise))
    return found


@pytest.mark.parametrize("page", sorted(handbook_pages()))
def test_every_answer_of_the_handbook_is_right(page: str) -> None:
    for asked, exercise in exercises_of(handbook_pages()[page]):
        assert len(exercise.variants) == 5
        assert len({each.question for each in exercise.variants}) == 5
        for variant in exercise.variants:
            given = {each.key: each.value for each in variant.calculation.inputs if each.key != asked}
            numbers = {key: float(value) for key, value in given.items() if not isinstance(value, str)}
            words = {key: value for key, value in given.items() if isinstance(value, str)}
            expected = AGAIN[variant.calculation.calculator, asked](numbers, words)
            assert variant.answer.value == pytest.approx(expected, rel=1e-9), variant.question
            assert variant.answer.shown not in variant.question
            assert "{" not in variant.question


NO_TRADE = "writing-at-the-bench"
"""The one lesson about halfsplit alone; it is read, not reckoned."""


def test_every_lesson_of_the_trade_in_the_first_course_has_two_exercises_or_three() -> None:
    pages = handbook_pages()
    lessons = [each.partition(":") for each in pages["for-a-new-colleague"].record.head.lessons]
    counts = {
        name: len(exercises_in(pages[name].record.body)) for kind, _, name in lessons if kind == "handbook"
    }
    assert counts.pop(NO_TRADE) == 0
    assert len(counts) >= 9
    assert set(counts.values()) <= {2, 3}


QUESTION = """\
question: A 74LS123 has {resistor} and {capacitor}. How long is its pulse?
calculation:
  monostable: {device: 74LS123}
draw:
  resistor: 10k to 100k in E12
  capacitor: [100n, 220n]
answer: pulse
"""


def exercise(source: str = QUESTION) -> Exercise:
    data = (GUIDE_HEAD + f"```exercise\n{source}```\n").encode()
    located, _ = read_record(data, "guides/g.md", "g", Guide)
    assert located is not None
    read = exercise_in(source, Passage(located.record.body, located), 0, CALCULATORS)
    assert read.exercise is not None, read.problems
    return read.exercise


def test_the_same_words_draw_the_same_numbers_and_other_words_others() -> None:
    assert [each.question for each in exercise().variants] == [each.question for each in exercise().variants]
    other = exercise(QUESTION.replace("How long", "For how long"))
    assert [each.answer for each in other.variants] != [each.answer for each in exercise().variants]


def test_few_values_give_few_variants_and_none_drawn_gives_one() -> None:
    assert len(exercise(QUESTION.replace("10k to 100k in E12", "33k")).variants) == 2
    fixed = QUESTION.replace("draw:\n  resistor: 10k to 100k in E12\n  capacitor: [100n, 220n]\n", "")
    fixed = fixed.replace("{device: 74LS123}", "{device: 74LS123, resistor: 33k, capacitor: 0.1 uF}")
    assert [each.answer.shown for each in exercise(fixed).variants] == ["1.49\u00a0ms"]


def test_an_input_may_be_asked_for_and_a_result_told() -> None:
    asked = QUESTION.replace("answer: pulse", "answer: resistor").replace(
        "has {resistor} and {capacitor}. How long is its pulse?",
        "gives {pulse} with {capacitor}. Which resistor?",
    )
    for variant in exercise(asked).variants:
        assert variant.answer.dimension == "resistance"
        assert variant.calculation.result("pulse").shown in variant.question


@pytest.mark.parametrize(
    ("key", "text", "values"),
    [
        ("resistor", "10k to 47k in E6", ("10 kΩ", "15 kΩ", "22 kΩ", "33 kΩ", "47 kΩ")),
        ("resistor", "680 ohm to 1k in E12", ("680 Ω", "820 Ω", "1 kΩ")),
        ("capacitor", "0.1 uF to 1 uF in e3", ("100 nF", "220 nF", "470 nF", "1 µF")),
        ("resistor", "1k, 1k, 2k2", ("1k", "2k2")),
        ("device", "NE555, CD4538", ("NE555", "CD4538")),
    ],
)
def test_what_may_be_drawn(key: str, text: str, values: tuple[str, ...]) -> None:
    found = values_of(CALCULATORS["monostable"], key, text)
    assert tuple(each.replace("\u00a0", " ") for each in found) == values


@pytest.mark.parametrize(
    ("key", "text", "what"),
    [
        ("resistor", "", "there is nothing to draw"),
        ("resistor", "10k to 100k", "does not say in which steps"),
        ("resistor", "100k to 10k in E12", "goes down"),
        ("resistor", "10k to 100k in E13", 'there is no series "E13"'),
        ("resistor", "11k to 14k in E6", "no value of E6 lies in"),
        ("resistor", "1 ohm to 1 Mohm in E192", "values lie in that range"),
        ("resistor", "1 uF to 10 uF in E3", "expected a resistance"),
        ("resistor", "1e-9 ohm to 1e9 ohm in E192", "too wide"),
        ("device", "A to B in E3", "no quantity with preferred values"),
        ("resitor", "10k", 'monostable has no input "resitor" to draw'),
    ],
)
def test_what_cannot_be_drawn_is_told(key: str, text: str, what: str) -> None:
    with pytest.raises(NothingToDrawError) as told:
        values_of(CALCULATORS["monostable"], key, text)
    assert what in told.value.what


MISTAKES = {
    "unknown key": ("draw:", "anwser: pulse\ndraw:", 5, 1, '"anwser" is not a key here'),
    "no such calculator": ("monostable:", "monostabel:", 4, 3, 'there is no calculator "monostabel"'),
    "no such input": ("resistor: 10k to", "resitor: 10k to", 6, 12, 'has no input "resitor" to draw'),
    "range empty": ("10k to 100k in E12", "11k to 11.5k in E12", 6, 13, "no value of E12 lies in"),
    "given and drawn": ("device: 74LS123", "device: 74LS123, resistor: 1k", 6, 13, "given and drawn"),
    "a value that cannot be": ("[100n, 220n]", "[100n, 2 V]", 7, 14, "with resistor"),
    "an input that is wrong": ("74LS123}", "74LS1234}", 4, 24, "with resistor"),
    "no such answer": ("answer: pulse", "answer: puls", 8, 9, 'monostable gives no number "puls"'),
    "an answer in words": ("answer: pulse", "answer: device", 8, 9, 'monostable gives no number "device"'),
    "no such placeholder": ("{capacitor}.", "{condenser}.", 2, 11, 'nothing is called "{condenser}" here'),
    "tells the answer": ("How long is", "How far is {pulse} from", 2, 11, "{pulse} tells the answer"),
    "no share": ("answer: pulse", "within: 5 ms\nanswer: pulse", 8, 9, '"5 ms" is a time'),
    "all of it": ("answer: pulse", "within: 100 %\nanswer: pulse", 8, 9, '"100 %" is no share to be off by'),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "line", "column", "what"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_told_at_its_place(old: str, new: str, line: int, column: int, what: str) -> None:
    assert QUESTION.count(old) == 1
    problems = guide_text(f"```exercise\n{QUESTION.replace(old, new)}```")[1]
    assert problems, "nothing was told"
    assert problems[0].startswith(f"guides/g.md:{BODY_LINE + line - 1}:{column}: "), problems
    assert what in problems[0]


def test_a_fence_that_is_not_closed_or_comes_twice_is_told() -> None:
    fence = f"```exercise\n{QUESTION}```\n"
    assert "the exercise that begins here is not closed" in guide_text(f"```exercise\n{QUESTION}")[1][0]
    assert (
        "an exercise takes nothing behind the word exercise"
        in guide_text(fence.replace("e\n", "e x\n", 1))[1][0]
    )
    assert "the same exercise stands on this page already" in guide_text(f"{fence}\n{fence}")[1][0]


def test_the_name_of_an_exercise_stays_however_deep_it_stands() -> None:
    fence = f"```exercise\n{QUESTION}```\n"
    deep = "- a\n\n" + "".join(f"    {line}\n" for line in fence.splitlines())
    assert exercises_in(fence) == exercises_in(deep) == [exercise_id(QUESTION)] == [exercise().id]
    assert exercises_in(f"````\n{fence}````\n") == ready("```calc\ntempo: {}\n```").exercises == []


def test_without_scripts_the_working_is_closed_and_the_first_numbers_are_there() -> None:
    html, problems, _ = guide_text(f"```exercise\n{QUESTION}hint: K is 0.45.\n```")
    assert problems == []
    assert html.count("data-variant hidden") == 4
    assert html.count('<details class="hs-exercise-working">') == 5
    assert "open" not in re.findall(r"<details[^>]*>", html)[0]
    assert re.search(r"data-live hidden", html)

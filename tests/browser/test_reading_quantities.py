"""The page's reader follows the grammar: it takes, refuses and shows what Python takes, refuses and shows."""

from __future__ import annotations

import itertools
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from kb.quantities import (
    DIMENSIONS,
    QuantityError,
    format_tolerance,
    parse_any_quantity,
    parse_quantity,
    show,
)
from kb.quantities.spellings import MISSPELLINGS, UNITS
from tests.browser.calculating import open_scripts, plan_of

BY_HAND = (
    "33k", "4k7", "4K7", "R47", "47R", "4R7", "2n2", "n47", "100n", "0.1uF", "0.1 µF", "0.1 μF",
    "4700uF", "1u", "10 ms", "10ms", "2 min", "1 h 30 min", "4 min 10 s", "10 s 4 min", "90 min 5 s",
    "2 days", "1 year 3 days", "1,5 V", "1,5k", "10,000 V", "1,234,567 ohm", "1'000 V", "1_000 V",
    "007 V", "1. V", "+ 5 V", "--5 V", "5", "-5 V", "+5 V", ".5 V", "5.V", "5e3 V", "5E-3 V", "5e99 V",
    "5e-31 V", "1e30 V", "1" * 41 + " V", "0 V", "0", "33k 5%", "33k ±5 %", "33k +/-5%", "33k +-5 %",
    "33k -/+5 %", "33k -20/+80 %", "33k +80/-20 %", "33k ±", "33k ±5", "33k ±0.5k", "33k ±300 %",
    "33k -110/+5 %", "33k -20/-80 %", "±5 %", "5 %", "33k ±5 ppm", "5 V ±0.25 V", "5 V ±6 V",
    "25 °C ±5 %", "50 % ±5 %", "50 % ±1 %", "25 C", "25 °C", "25 degC", "25 K", "47K", "47 K",
    "298.15 K", "100nJ", "100nK", "100 nF", "47pF", "4p7D", "4p7B", "47pB", "47pJ", "47nF", "1n0F",
    "33M", "R33M", "4k7J", "4k7Z", "4k7JJ", "5V6", "5V6J", "3V3", "V5", "10kF", "10k", "10 k",
    "10 kohm", "10 kOhm", "10 KOHM", "10 Kohm", "10 mohm", "10 Mohm", "10 MOhm", "10 meg", "10 mfd",
    "10 uuf", "5 volts", "5 Vdc", "5 sec", "3 hrs", "5 mV", "5 MV", "5 kV", "120 BPM", "120 bpm", "120",
    "3 cents", "1 cent", "3 ct", "50 ppm", "0.5", "1/2", "5 V V", "five volts", "", " ", "\t5 V\n",
    "5\u00a0V", "5\u202fkΩ", "5 k\u2126", "5 \u2103", "\u22125 V", "5 V\x07", "5\u200bV", "٥ V", "５ V",
    "5² V", "①", "5 V; rm", "<b>5 V</b>", "__proto__", "5 __proto__", "5 constructor", "5 toString",
    "hasOwnProperty", "∞ V", "NaN", "nan V", "inf V", "Infinity", "1e", "1e5", "1 e5 V", "0x10 V",
    "1e+3 V", "5 m", "5 mm", "5 cm", "1.2 kg", "100 mAh", "3.6 C", "3.6 coulomb", "5 Ah", "5 mW",
    "0.25 W", "1.5 J", "2 H", "10 uH", "4L7", "4F7", "L47", "4u7K", "4 k 7", "4k 7", "4 k7", "k", "R",
    "Ω", "5 Ω", "5 Ohm", "5 ohms", "5 r", "1e-12 F", "1pF", "0.0000001 F", "5 s 5 s", "1 day 25 h",
    "1 h 59 min 59 s", "-1 h 30 min", "+1 h 30 min", "1h30min", "1.5 h 20 min", "x" * 121,
    "5 " + "x" * 60,
)  # fmt: skip
ODD = "0123456789.,'_+-± %/eE kKMmunpµRFVHzsΩohmJWAC°\u00a0\u2212ppm'\"<>&\u200b٣²;\n"

READ = """(cases) => {
  const { read, QuantityProblem } = window.halfsplitCalculations.quantities;
  return cases.map(([text, dimension]) => {
    try { return read(text, dimension); } catch (problem) {
      if (!(problem instanceof QuantityProblem)) throw problem;
      return { what: problem.what, advice: problem.advice };
    }
  });
}"""
SHOW = "(cases) => cases.map((each) => window.halfsplitCalculations.quantities.show(...each))"
TOLERANCE = "(cases) => cases.map((each) => window.halfsplitCalculations.quantities.showTolerance(...each))"


@pytest.fixture
def scripts(watched_page: Page, tmp_path: Path) -> Page:
    open_scripts(watched_page, tmp_path, [plan_of("rc", {"resistor": "10k", "capacitor": "100n"})])
    return watched_page


def composed() -> list[str]:
    """Numbers of every shape with every unit, its misspellings, and tolerances."""
    chance = random.Random(60062)
    numbers = ("4.7", "0.47", "47", ".47", "470", "4,7", "4.70e2", "0", "-4.7")
    tails = ("", "", " ±5 %", " -20/+80 %", " 5 %", " ±0.1", "J")
    spellings = [*UNITS, *MISSPELLINGS]
    return [
        f"{chance.choice(numbers)}{chance.choice(['', ' '])}{spelling}{chance.choice(tails)}"
        for spelling in spellings
    ]


def in_python(text: str, dimension: str | None) -> dict[str, Any]:
    try:
        found = parse_any_quantity(text) if dimension is None else parse_quantity(text, dimension)
    except QuantityError as error:
        return {"what": error.what, "advice": error.advice}
    return {"value": found.value, "dimension": found.dimension, "minus": found.minus, "plus": found.plus}


def differences(page: Page, cases: list[tuple[str, str | None]]) -> list[str]:
    found = page.evaluate(READ, cases)
    assert len(found) == len(cases)
    return [
        f"{text!r} as {dimension}: {made} for {expected}"
        for (text, dimension), made in zip(cases, found, strict=True)
        for expected in [in_python(text, dimension)]
        if not agrees(made, expected)
    ]


def agrees(made: dict[str, Any], expected: dict[str, Any]) -> bool:
    if "what" in expected:
        # Likeness to a unit is looked for in Python only; the page then gives its usual example.
        is_likeness = expected["advice"].startswith("did you mean")
        same = made.get("advice") == expected["advice"]
        return made.get("what") == expected["what"] and (same or is_likeness)
    numbers = ("value", "minus", "plus")
    return made.get("dimension") == expected["dimension"] and all(
        made[key] == pytest.approx(expected[key], rel=1e-12, abs=0) for key in numbers
    )


def test_every_text_is_taken_or_refused_alike(scripts: Page) -> None:
    texts = [*BY_HAND, *composed()]
    assert len(texts) >= 300
    assert not differences(scripts, [(text, None) for text in texts])


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_every_text_is_taken_or_refused_alike_where_a_kind_is_asked_for(
    scripts: Page, dimension: str
) -> None:
    assert not differences(scripts, [(text, dimension) for text in (*BY_HAND, *composed())])


def test_random_text_never_breaks_the_reader(scripts: Page) -> None:
    chance = random.Random(7)
    texts = ["".join(chance.choices(ODD, k=chance.randint(1, 14))) for _ in range(4000)]
    texts += [
        "".join(chr(chance.randrange(1, 0xD7FF)) for _ in range(chance.randint(1, 9))) for _ in range(500)
    ]
    kinds = itertools.cycle([None, "resistance", "time", "number"])
    found = differences(scripts, list(zip(texts, kinds, strict=False)))
    # The two know different editions of Unicode, so a letter may be printable to one of them only; both
    # refuse it all the same.
    assert len(found) <= 5, "\n".join(found[:10])
    assert all(each.count("'what'") == 2 for each in found)


def test_a_decimal_comma_is_refused_with_the_same_advice(scripts: Page) -> None:
    found = scripts.evaluate(READ, [("1,5 V", "voltage")])[0]
    assert found == {"what": '"1,5 V" has a decimal comma', "advice": 'write "1.5 V"'}


def test_values_are_shown_alike(scripts: Page) -> None:
    chance = random.Random(3)
    special = [
        0.0,
        999.96e-3,
        119.6,
        119.4,
        120,
        3599.5,
        3600,
        172799,
        172800,
        63115200,
        1e15,
        1e-30,
        0.1,
        99.95,
    ]
    numbers = [*special, *(10 ** chance.uniform(-16, 16) for _ in range(400))]
    numbers += [float(f"{chance.randint(1, 9999)}5e{chance.randint(-14, 8)}") for _ in range(200)]
    cases = [
        [chance.choice([1, 1, 1, -1]) * number, dimension, chance.choice([1, 2, 3, 3, 5, 6])]
        for number in numbers
        for dimension in DIMENSIONS
    ]
    found = scripts.evaluate(SHOW, cases)
    wrong = [
        (case, made, show(*case)) for case, made in zip(cases, found, strict=True) if made != show(*case)
    ]
    assert not wrong[:5]


def test_tolerances_are_shown_alike(scripts: Page) -> None:
    cases = [(0.05, 0.05), (0.2, 0.8), (0.0001, 0.0001), (1 / 3, 1 / 3), (0.0, 0.1), (1.0, 2.0)]
    assert scripts.evaluate(TOLERANCE, cases) == [format_tolerance(*case) for case in cases]


def test_what_is_shown_can_be_put_in_again(scripts: Page) -> None:
    cases = [[10 ** (power / 7), dimension, 6] for power in range(-60, 60) for dimension in DIMENSIONS]
    shown = scripts.evaluate(SHOW, cases)
    read = scripts.evaluate(READ, [(text, case[1]) for text, case in zip(shown, cases, strict=True)])
    assert not [text for text, made in zip(shown, read, strict=True) if "what" in made]

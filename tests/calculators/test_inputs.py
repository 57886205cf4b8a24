"""Bad input is answered with every mistake at once, each naming its input and what would be right."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators import CALCULATORS, CalculationError, calculate

RC = {"resistor": "10k", "capacitor": "100n"}
ONE_SHOT = {"device": "74LS123", "resistor": "33k"}


def problems(name: str, inputs: dict[str, str]) -> list[tuple[str | None, str]]:
    """The problems of a calculation that must fail: the input and the whole line."""
    with pytest.raises(CalculationError) as caught:
        calculate(name, inputs)
    assert caught.value.problems
    return [(problem.input, str(problem)) for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("name", "inputs", "key", "piece"),
    [
        ("rc", {**RC, "resistor": "1e400"}, "resistor", "1e400"),
        ("rc", {**RC, "resistor": "NaN"}, "resistor", "NaN"),
        ("rc", {**RC, "resistor": "inf"}, "resistor", "inf"),
        ("rc", {**RC, "resistor": "0 ohm"}, "resistor", "above zero"),
        ("rc", {**RC, "resistor": "-3k"}, "resistor", "above zero"),
        ("rc", {**RC, "resistor": "10k -100/+20 %"}, "resistor", "above zero"),
        ("rc", {**RC, "resistor": "10 V"}, "resistor", "10 V"),
        ("rc", {**RC, "resistor": ""}, "resistor", "short text"),
        ("rc", {**RC, "resistor": "9" * 500}, "resistor", "short text"),
        ("rc", {"capacitor": "100n"}, "resistor", "is missing"),
        ("rc", {**RC, "threshold": "2 V"}, "supply", "is missing"),
        ("rc", {**RC, "threshold": "5 V", "supply": "5 V"}, "threshold", "never reached"),
        ("rc", {**RC, "threshold": "100 %"}, "threshold", "never reached"),
        ("rc", {**RC, "threshold": "3 s"}, "threshold", "a time"),
        ("rc", {**RC, "direction": "chrge"}, "direction", 'did you mean "charge"'),
        ("rc", {**RC, "resistor": "10k ±1 %", "resistor_tolerance": "5 %"}, "resistor_tolerance", "its own"),
        ("monostable", {**ONE_SHOT, "pulse": "10"}, "pulse", "no unit"),
        ("monostable", {**ONE_SHOT, "device": "74LS124", "pulse": "10 ms"}, "device", 'mean "74LS123"'),
        ("monostable", {**ONE_SHOT, "pulse": "10 ms", "maker": "Philps"}, "maker", "Fairchild"),
        ("monostable", {**ONE_SHOT, "pulse": "10 ms", "series": "E25"}, "series", "E24"),
        ("monostable", {"device": "74123", "capacitor": "1 uF", "pulse": "1 us"}, "pulse", "so short"),
        (
            "monostable", {"device": "4528", "resistor": "10k", "capacitor": "10n", "supply": "0.9 V"},
            "supply", "too low",
        ),
        ("tempo", {"bpm": "120", "pulses_per_quarter": "2.5"}, "pulses_per_quarter", "whole number"),
        ("tempo", {"bpm": "120", "pulses_per_quarter": "0"}, "pulses_per_quarter", "whole number"),
        ("dac_pitch", {"bits": "25", "full_scale": "10 V"}, "bits", "1 to 24"),
        ("dac_pitch", {"bits": "8", "full_scale": "10 V", "octaves": "13"}, "octaves", "at most 12"),
        ("dac_pitch", {"bits": "8", "full_scale": "10 V", "lowest_note": "H2"}, "lowest_note", "H2"),
        (
            "dac_pitch", {"bits": "2", "full_scale": "8 V", "standard": "hertz_per_volt"},
            "bits", "half a step",
        ),
        (
            "dac_pitch", {"bits": "8", "full_scale": "8 V", "standard": "hertz_per_volt", "lowest": "0 V"},
            "lowest", "above zero",
        ),
        ("dac_pitch", {"bits": "8", "full_scale": "1 V", "lowest": "9 V"}, "lowest", "full scale"),
        ("discharge", {"capacitor": "1u", "voltage": "12 V", "time": "1 s"}, "voltage", "not above"),
        ("preferred_value", {"value": "10 V"}, "value", "a voltage"),
    ],
)  # fmt: skip
def test_each_mistake_names_its_input(name: str, inputs: dict[str, str], key: str, piece: str) -> None:
    found = problems(name, inputs)
    assert [where for where, _ in found] == [key]
    assert piece in found[0][1]


def test_all_mistakes_at_once() -> None:
    found = problems("rc", {"resistor": "ten", "capacitor": "3 V", "treshold": "50 %", "direction": "up"})
    assert {where for where, _ in found} == {"resistor", "capacitor", "treshold", "direction"}
    assert any('did you mean "threshold"' in line for _, line in found)


@pytest.mark.parametrize(
    ("name", "inputs", "piece"),
    [
        (
            "monostable",
            {**ONE_SHOT, "capacitor": "1n", "pulse": "1 ms"},
            "give two of resistor, capacitor, pulse",
        ),
        ("monostable", ONE_SHOT, "capacitor and pulse are missing"),
        ("monostable", {"device": "555"}, "give two of resistor, capacitor, pulse"),
        ("tempo", {}, "either bpm or frequency"),
        ("tempo", {"bpm": "120", "frequency": "48 Hz"}, "both given"),
        ("discharge", {"capacitor": "1u", "voltage": "50 V"}, "either resistor or time"),
    ],
)
def test_too_few_and_too_many_of_a_group(name: str, inputs: dict[str, str], piece: str) -> None:
    ((where, line),) = problems(name, inputs)
    assert where is None
    assert piece in line


def test_unknown_calculator() -> None:
    assert problems("monostabel", {}) == [
        (None, 'there is no calculator "monostabel"; did you mean "monostable"?')
    ]


@pytest.mark.parametrize(
    ("name", "inputs"),
    [
        ("rc", {"resistor": "1e30 ohm", "capacitor": "1e30 F"}),
        ("discharge", {"capacitor": "1e30 F", "voltage": "1e30 V", "resistor": "1e30 ohm"}),
        ("tempo", {"frequency": "1e-30 Hz"}),
        ("dac_pitch", {"bits": "24", "full_scale": "1e30 V"}),
        ("monostable", {"device": "555", "resistor": "1e-30 ohm", "capacitor": "1e-30 F"}),
        ("preferred_value", {"value": "1e30"}),
    ],
)
def test_absurd_sizes_give_a_finite_answer_or_advice(name: str, inputs: dict[str, str]) -> None:
    try:
        calculation = calculate(name, inputs)
    except CalculationError as error:
        assert error.problems  # noqa: PT017 - either way is right, a crash or an infinity is not
    else:
        values = [item.value for item in calculation.results if not isinstance(item.value, str)]
        assert all(math.isfinite(value) for value in values)


WORDS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["10k", "100n", "5 V", "10 ms", "50 %", "120 BPM", "8", "74LS123", "1e30", "4k7 ±5 %"]),
)


@pytest.mark.parametrize("name", sorted(CALCULATORS))
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_words_give_an_answer_or_problems(name: str, data: st.DataObject) -> None:
    keys = [item.key for item in CALCULATORS[name].inputs]
    inputs = data.draw(st.dictionaries(st.sampled_from(keys), WORDS))
    try:
        calculation = calculate(name, inputs)
    except CalculationError as error:
        assert all(str(problem) for problem in error.problems)  # noqa: PT017 - as above
    else:
        assert calculation.results

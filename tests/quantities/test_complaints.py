"""What cannot be read is refused with one plain line and an example that would be right."""

from __future__ import annotations

import re

import pytest

from kb.quantities import QuantityError, parse_any_quantity, parse_quantity

_REFUSED = [
    ("10", "time", '"10" has no unit', 'write for example "10 ms"'),
    ("0", "voltage", '"0" has no unit', 'write for example "0 V"'),
    ("120", "tempo", '"120" has no unit', 'write for example "120 BPM"'),
    ("5 V", "time", '"5 V" is a voltage, expected a time', 'write for example "10 ms"'),
    ("50 %", "number", '"50 %" is a ratio, expected a plain number', 'write "0.5"'),
    ("1k", "number", '"1k" is not a plain number', 'write "1000"'),
    ("10k", "frequency", '"10k" has a multiplier but no unit, expected a frequency', 'write "10 kHz"'),
    ("4k7", "frequency", '"4k7" has a multiplier but no unit, expected a frequency', 'write "4.7 kHz"'),
    ("10 m", "time", '"10 m" has a multiplier but no unit, expected a time', 'write "10 ms"'),
    ("25 C", "temperature", '"25 C" is a charge, expected a temperature', 'write "25 °C"'),
    ("100nJ", "capacitance", '"100nJ" is an energy, expected a capacitance',
     'write the tolerance in %, for example "100n ±5 %"'),
    ("10 khz", "frequency", '"10 khz" has an unknown unit "khz"', 'did you mean "10 kHz"?'),
    ("10 mhz", "frequency", '"10 mhz" has an unknown unit "mhz"', 'did you mean "10 mHz" or "10 MHz"?'),
    ("10 Mhz", "frequency", '"10 Mhz" has an unknown unit "Mhz"', 'did you mean "10 MHz"?'),
    ("5 v", "voltage", '"5 v" has an unknown unit "v"', 'did you mean "5 V"?'),
    ("5 MV", "voltage", '"5 MV" has an unknown unit "MV"', 'did you mean "5 mV"?'),
    ("10 sec", "time", '"10 sec" has an unknown unit "sec"', 'did you mean "10 s"?'),
    ("100 mfd", "capacitance", '"100 mfd" has an unknown unit "mfd"', 'did you mean "100 uF"?'),
    ("10 Kohm", "resistance", '"10 Kohm" has an unknown unit "Kohm"', 'did you mean "10 kohm"?'),
    ("10 smidgens", "time", '"10 smidgens" has an unknown unit "smidgens"', 'write for example "10 ms"'),
    ("", "voltage", "the text is empty", 'write for example "5 V"'),
    (" \n ", "voltage", "the text is empty", 'write for example "5 V"'),
    ("soon", "time", '"soon" has no number', 'write for example "10 ms"'),
    ("inf V", "voltage", '"inf V" has no number', 'write for example "5 V"'),
    ("nan", "number", '"nan" has no number', 'write for example "4"'),
    ("1,5 V", "voltage", '"1,5 V" has a decimal comma', 'write "1.5 V"'),
    ("1,000 ohm", "resistance", '"1,000 ohm" has a comma that may part thousands or decimals',
     'write "1000 ohm" or "1.000 ohm"'),
    ("1 000 ohm", "resistance", '"1 000 ohm" has a thousands separator', 'write "1000 ohm"'),
    ("1,000,000 ohm", "resistance", '"1,000,000 ohm" has thousands separators', 'write "1000000 ohm"'),
    ("1_000 ohm", "resistance", '"1_000 ohm" has an underscore in the number', 'write "1000 ohm"'),
    ("007 V", "voltage", '"007 V" has leading zeros', 'write "7 V"'),
    ("5. V", "voltage", '"5. V" has a decimal point without digits after it', 'write "5 V"'),
    ("- 5 V", "voltage", '"- 5 V" has a blank after the sign', 'write "-5 V"'),
    ("1.2.3 V", "voltage", '"1.2.3 V" does not start with a plain number', 'write for example "5 V"'),
    ("1e31 V", "voltage", 'the exponent in "1e31" is out of range', "write an exponent from -30 to 30"),
    ("٣ V", "voltage", '"٣ V" has digits of another script', "write it with the digits 0 to 9"),
    ("５ V", "voltage", '"５ V" has digits of another script', "write it with the digits 0 to 9"),
    ("10\nms", "time", '"10\\nms" contains a control character', "write it again on one line"),
    ("10 \x1b[31mms", "time", '"10 \\x1b[31mms" contains a control character', "write it again on one line"),
    ("9" * 41 + " V", "voltage", f'the number "{"9" * 39}…" is too long',
     "write it with at most 40 characters"),
    ("x" * 121, "time", f'"{"x" * 39}…" is too long for a quantity', 'write for example "10 ms"'),
    ("9**9**7 V", "voltage", '"9**9**7 V" has an unknown unit "**9**7 V"', 'write for example "5 V"'),
    ("5MV", "voltage", '"5MV" has an unknown unit "MV"', 'did you mean "5 mV"?'),
    ("10mS", "time", '"10mS" has an unknown unit "mS"', 'did you mean "10 ms"?'),
    ("5 v", "time", '"5 v" has an unknown unit "v"', 'write for example "10 ms"'),
    ("4u7H", "inductance", '"4u7H" goes on after the code "4u7"', 'write "4.7 uH"'),
    ("4K7Z", "resistance", '"4K7Z" goes on after the code "4K7"',
     'write "4K7", or a tolerance in %: "4K7 ±5 %"'),
    ("04K7", "resistance", '"04K7" is no code that is read here', 'write "4K7"'),
    ("4r7", "resistance", '"4r7" is no code that is read here', 'write "4R7"'),
    ("4k7Ω", "resistance", '"4k7Ω" goes on after the code "4k7"', 'write "4k7"'),
    ("10 s 4 min", "time", '"10 s 4 min" has its units out of order, or one amount too large',
     'write for example "4 min 10 s"'),
    ("4 min 70 s", "time", '"4 min 70 s" has its units out of order, or one amount too large',
     'write for example "4 min 10 s"'),
    ("4.7k 5%", "resistance", '"4.7k 5%" has a tolerance without a sign', 'write "4.7k ±5%"'),
    ("5 V ±5", "voltage", 'the tolerance in "5 V ±5" has no unit', 'write "5 V ±5 %"'),
    ("5 V ±", "voltage", 'the tolerance in "5 V ±" cannot be read', 'write "5 V ±5 %" or the like'),
    ("5 V ±-5 %", "voltage", 'the tolerance in "5 V ±-5 %" cannot be read', 'write "5 V ±5 %" or the like'),
    ("5 V +20/+80 %", "voltage", 'the tolerance in "5 V +20/+80 %" cannot be read',
     'write "5 V ±5 %" or the like'),
    ("5 V ±101 %", "voltage", 'the tolerance in "5 V ±101 %" goes below -100 %',
     'write a smaller one, for example "±20 %"'),
    ("5 V -20/+201 %", "voltage", 'the tolerance in "5 V -20/+201 %" goes above +200 %',
     'write a smaller one, for example "-20/+80 %"'),
    ("5 V ±0.25 V", "voltage", 'the tolerance in "5 V ±0.25 V" is not in %', 'write "5 V ±5 %"'),
    ("±5 %", "resistance", '"±5 %" has a tolerance but no value', "write the value before it"),
    ("4k7J ±5 %", "resistance", '"4k7J ±5 %" gives the tolerance twice',
     "leave out the letter or the percentage"),
    ("25 °C ±5 %", "temperature", '"25 °C ±5 %" puts a relative tolerance on a temperature',
     'give both limits where a range is asked for, for example "20 °C to 30 °C"'),
    ("50 % ±5 %", "ratio", '"50 % ±5 %" puts a relative tolerance on a ratio',
     'give both limits where a range is asked for, for example "45 % to 55 %"'),
]  # fmt: skip


@pytest.mark.parametrize(("text", "dimension", "what", "advice"), _REFUSED)
def test_it_is_refused_with_advice(text: str, dimension: str, what: str, advice: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, dimension)
    assert (caught.value.what, caught.value.advice) == (what, advice)
    assert str(caught.value) == f"{what}; {advice}"


@pytest.mark.parametrize(
    ("text", "dimension", "advice"),
    [
        (text, dimension, advice)
        for text, dimension, _, advice in _REFUSED
        if '"' in advice and "°C to" not in advice
    ],
)
def test_the_example_in_the_advice_can_be_read(text: str, dimension: str, advice: str) -> None:
    for example in re.findall('"([^"]+)"', advice):
        if not example.startswith(("±", "-20/")) and dimension != "ratio":
            assert parse_quantity(example, dimension).dimension == dimension, text


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("25 C", "may be a temperature or a charge"),
        ("47 K", "may be a temperature or a resistance"),
        ("10 furlongs", "has an unknown unit"),
        ("good", "has no number"),
    ],
)
def test_a_text_that_tells_no_dimension_or_two_is_refused(text: str, what: str) -> None:
    with pytest.raises(QuantityError, match=what):
        parse_any_quantity(text)

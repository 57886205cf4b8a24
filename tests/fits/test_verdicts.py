"""What is said of a pair, against sums done by hand and against published levels of logic families."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from kb.calculators import calculate
from kb.fits import FAILS, FITS, MARGINAL, OTHER_KIND, UNKNOWN, Converter, Fit, Socket, Verdict, fit
from kb.fits.pitch import misfit_cents, octaves
from kb.quantities import Span
from tests.fits.making import inputs, into, out, outputs, socket
from tests.reference.checks import Check
from tests.reference.levels import FACTS, VERDICTS

HANDMADE: tuple[tuple[str, Socket, Socket, Verdict, dict[str, float]], ...] = (
    ("4.4 - 2.5 = 1.9 V, 0.8 - 0.3 = 0.5 V, 8 - 5 = 3 ms", out(), into(), FITS,
     {"High level": 1.9, "Low level": 0.5, "Duration": 3e-3}),
    ("4.4 - 4.4 leaves nothing of the 0.4 V that TTL grants itself", out(), into(">= 4.4 V"), MARGINAL,
     {"High level": 0.0}),
    ("4.4 V is below 4.5 V, though the best part gives 4.9 V", out(), into(">= 4.5 V"), FAILS,
     {"High level": -0.1}),
    ("0.9 V when off is more than 0.8 V", out(low="<= 0.9 V"), into(), FAILS, {"Low level": -0.1}),
    ("4 ms at the least, 5 ms wanted", out(lasts="4 ms to 6 ms"), into(), FAILS, {"Duration": -1e-3}),
    ("5.4 - 5 = 0.4 ms is less than a tenth of 5 ms", out(lasts=">= 5.4 ms"), into(), MARGINAL,
     {"Duration": 0.4e-3}),
    ("5.5 - 5 = 0.5 ms is that tenth", out(lasts=">= 5.5 ms"), into(), FITS, {"Duration": 0.5e-3}),
    ("10.5 V where 10 V are borne", out("9 V to 10.5 V"), into("2.5 V to 10 V"), FAILS,
     {"Below the limit": -0.5}),
    ("10 V where 10 V are borne", out("9 V to 10 V"), into("2.5 V to 10 V"), FITS, {"Below the limit": 0.0}),
    ("it goes to -5 V when off", out(low="-5 V to 0.3 V"), into(), MARGINAL, {"Low level": 0.5}),
    ("a switch that leaves 0.4 V where 0.8 V count as closed", out("", "<= 0.4 V", style="switch"),
     into("", style="switch"), FITS, {"Low level": 0.4, "Duration": 3e-3}),
    ("a voltage where a short is waited for", out(), into("", style="switch"), FAILS, {"Low level": 0.5}),
    ("a short where a voltage is waited for", out("", style="switch"), into(), FAILS, {"Low level": 0.5}),
    ("nobody measured its level when off", out(low=""), into(), UNKNOWN, {"High level": 1.9}),
    ("at most 6 ms says nothing of the least", out(lasts="<= 6 ms"), into(), UNKNOWN, {"High level": 1.9}),
    ("too low is known, whatever else is not", out("2 V", low=""), into(), FAILS, {"High level": -0.5}),
    ("24 pulses a quarter note where 4 are counted", out(carries="clock", pulses_per_quarter=24),
     into(carries="clock", pulses_per_quarter=4), FAILS, {"Duration": 3e-3}),
    ("a clock that starts an envelope may count as it likes", out(carries="clock", pulses_per_quarter=24),
     into(), FITS, {"Duration": 3e-3}),
    ("a gate is no pitch", out(carries="gate"), into(carries="pitch"), OTHER_KIND, {}),
    ("4 V peak where 2 V are taken", out("1 V to 4 V", "", "", carries="audio"),
     into("50 mV to 2 V", "", "", carries="audio"), FAILS,
     {"Below the limit": -2.0, "Above the least": 3.95}),
    ("30 mV where it begins at 50 mV", out("10 mV to 30 mV", "", "", carries="audio"),
     into("50 mV to 2 V", "", "", carries="audio"), FAILS, {"Above the least": -0.02}),
    ("what a data line says is not on record", out("", "", "", carries="data"),
     into("", "", "", carries="data"), UNKNOWN, {}),
)  # fmt: skip


def margins(found: Fit) -> dict[str, float]:
    return {each.label: each.value for each in found.margins}


@pytest.mark.parametrize(
    ("why", "output", "needed", "verdict", "left"), HANDMADE, ids=[row[0] for row in HANDMADE]
)
def test_a_verdict_is_what_the_sum_by_hand_says(
    why: str, output: Socket, needed: Socket, verdict: Verdict, left: dict[str, float]
) -> None:
    found = fit(output, needed)
    assert found.verdict == verdict, why
    got = margins(found)
    assert {label: got[label] for label in left} == pytest.approx(left, abs=1e-12)


BY_LEVELS = [row for row in VERDICTS if {"output_high", "input_high"} <= row.inputs.keys()]


@pytest.mark.parametrize("row", BY_LEVELS, ids=[row.id for row in BY_LEVELS])
def test_published_levels_give_the_published_verdict(row: Check) -> None:
    output = out(f">= {row.inputs['output_high']}", f"<= {row.inputs['output_low']}")
    found = fit(output, into(f">= {row.inputs['input_high']}", f"<= {row.inputs['input_low']}"))
    assert (", ".join(found.faults) or FITS) == row.expected


def test_ttl_into_ttl_has_the_margins_of_the_data_sheets_and_they_just_do() -> None:
    facts = {name: value for name, family, _, _, value, _ in FACTS if family == "ttl"}
    output = out(f">= {facts['T12-fact-ttl_VOH']} V", f"<= {facts['T12-fact-ttl_VOL']} V")
    found = fit(output, into(f">= {facts['T12-fact-ttl_VIH']} V", "<= 0.8 V"))
    assert margins(found)["High level"] == pytest.approx(0.4)
    assert margins(found)["Low level"] == pytest.approx(0.4)
    assert found.works


@given(outputs(), inputs())
def test_the_margins_are_those_of_the_command(output: Socket, needed: Socket) -> None:
    found = fit(output, needed)
    assert found.calculation is not None
    name, texts = found.calculation
    results = {each.key: each.value for each in calculate(name, texts).results}
    keys = {"High level": "level_margin", "Low level": "low_margin", "Duration": "duration_margin"}
    got = {keys[each.label]: each.value for each in found.margins if each.label in keys}
    assert got == pytest.approx({key: results[key] for key in got}, abs=1e-9)
    assert (", ".join(each for each in found.faults) or FITS) == ", ".join(_in_order(results["verdict"]))


def _in_order(verdict: object) -> list[str]:
    """The calculator names the style last, the page first."""
    words = str(verdict).split(", ")
    return sorted(words, key=lambda word: word != "wrong style")


@given(outputs(), inputs())
def test_a_longer_pulse_never_makes_it_fail(output: Socket, needed: Socket) -> None:
    assert output.least_duration_s is not None
    longer = replace(output, duration=Span(1.5 * output.least_duration_s, None, "time"))
    assert set(fit(longer, needed).faults) <= set(fit(output, needed).faults)


def test_an_output_does_not_go_into_an_output() -> None:
    with pytest.raises(ValueError, match="an output goes into an input"):
        fit(out(), out())


# Pitch

OCTAVE, HERTZ = "volt_per_octave", "hertz_per_volt"


def pitch(direction: str, span: str, standard: str = OCTAVE, bits: int = 0) -> Socket:
    converter = Converter(bits, "10 V") if bits else None
    return socket(direction, span, carries="pitch", standard=standard, converter=converter)


PITCHES: tuple[tuple[str, Socket, Socket, Verdict], ...] = (
    ("the same standard and range", pitch("out", "0 V to 5 V"), pitch("in", "0 V to 5 V"), FITS),
    ("5 octaves more than are heard", pitch("out", "0 V to 10 V"), pitch("in", "0 V to 5 V"), MARGINAL),
    ("50 mV more is no semitone", pitch("out", "0 V to 5.05 V"), pitch("in", "0 V to 5 V"), FITS),
    ("half of 2.44 mV: 1.5 cents", pitch("out", "0 V to 5 V", bits=12), pitch("in", "0 V to 5 V"), FITS),
    ("half of 39 mV: 23 cents", pitch("out", "0 V to 5 V", bits=8), pitch("in", "0 V to 5 V"), MARGINAL),
    ("half of 156 mV: 94 cents", pitch("out", "0 V to 5 V", bits=6), pitch("in", "0 V to 5 V"), FAILS),
    ("12 bits by hertz: 8 cents at the lowest notes", pitch("out", "0.25 V to 8 V", HERTZ, 12),
     pitch("in", "0.25 V to 8 V", HERTZ), MARGINAL),
    ("the other standard", pitch("out", "0 V to 5 V"), pitch("in", "0.25 V to 8 V", HERTZ), FAILS),
    ("no note in common", pitch("out", "0 V to 1 V"), pitch("in", "2 V to 5 V"), FAILS),
    ("its end is not on record", pitch("out", ">= 0 V"), pitch("in", "0 V to 5 V"), UNKNOWN),
)  # fmt: skip


@pytest.mark.parametrize(("why", "output", "needed", "verdict"), PITCHES, ids=[row[0] for row in PITCHES])
def test_pitch_is_judged_by_standard_range_and_steps(
    why: str, output: Socket, needed: Socket, verdict: Verdict
) -> None:
    assert fit(output, needed).verdict == verdict, why


def test_the_error_of_steps_is_that_of_the_command() -> None:
    found = fit(pitch("out", "0.25 V to 8 V", HERTZ, 12), pitch("in", "0.25 V to 8 V", HERTZ))
    assert found.calculation is not None
    worst = calculate(*found.calculation).result("worst_error").value
    assert margins(found)["Steps of the converter"] == pytest.approx(5.0 - float(worst))


def test_an_octave_by_volts_is_two_by_hertz() -> None:
    # From 1 V to 4 V: three octaves are meant, log2(4) = 2 are heard: 1200 cents short.
    assert octaves(OCTAVE, 1.0, 4.0) == 3.0
    assert misfit_cents(OCTAVE, 1.0, 4.0) == pytest.approx(1200.0)
    # The other way two are meant and 3 V, three octaves, are heard.
    assert octaves(HERTZ, 1.0, 4.0) == 2.0
    assert misfit_cents(HERTZ, 1.0, 4.0) == pytest.approx(1200.0)

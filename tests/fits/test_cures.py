"""What is proposed as a cure does cure: the pair is judged again behind it, with parts by the commands."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings

from kb.calculators import calculate
from kb.fits import FAILS, Converter, Cure, OneShot, Socket, cure, fit
from kb.fits.stages import into_cmos
from tests.fits.making import inputs, into, out, outputs, socket

LS123 = OneShot("74LS123", "R14", "10k +/-5 %", "1 uF +/-5 %")


def clock(end: Callable[..., Socket], pulses: int) -> Socket:
    return end(carries="clock", pulses_per_quarter=pulses)


def cured(output: Socket, needed: Socket) -> Cure:
    found = cure(fit(output, needed))
    assert found is not None
    assert found.after.works, "a cure that does not cure"
    return found


def test_the_senders_own_one_shot_gets_a_resistor_of_e24_that_is_long_enough_at_its_worst() -> None:
    found = cured(out(lasts="4 ms to 5 ms", one_shot=LS123), into())
    (stage,) = found.stages
    (step,) = stage.steps
    made = calculate(step.calculator, step.inputs)
    # TI's 0.45 R C, both parts 5 % low: 5 ms and a tenth need R = 5.5 ms / (0.45 * 0.95 * 0.95 uF) = 13.5k.
    assert made.result("preferred").value == 15e3
    assert stage.after.least_duration_s == made.result("pulse_with_preferred").low
    assert stage.do == "in the sender, change R14 from 10k +/-5 % to 15\u00a0kΩ (at the 74LS123)"


def test_where_nothing_is_known_of_the_sender_a_one_shot_goes_between() -> None:
    (stage,) = cured(out(lasts=">= 1 ms"), into()).stages
    assert "CD4538 on 5 V" in stage.do
    assert [step.calculator for step in stage.steps] == ["gate_match", "monostable"]


def test_a_wanted_length_beyond_the_resistors_range_takes_another_capacitor() -> None:
    shot = OneShot("74LS123", "R14", "10k +/-5 %", "1 nF +/-5 %")
    (stage,) = cured(out(lasts=">= 4 us", one_shot=shot), into()).stages
    assert stage.do.startswith("in the sender, change the timing capacitor from 1 nF")


def test_too_much_is_divided_and_even_the_highest_stays_below_the_limit() -> None:
    (stage,) = cured(out("9 V to 10.5 V"), into("2 V to 5 V")).stages
    (step,) = stage.steps
    band = calculate(step.calculator, step.inputs).result("output_with_preferred")
    assert step.calculator == "divider"
    assert band.high is not None
    assert band.high <= 5.0
    assert stage.after.most_high_v == band.high


def test_too_little_goes_through_a_comparator_whose_thresholds_lie_between_its_levels() -> None:
    (stage,) = cured(out("2.7 V to 3.4 V", "<= 0.5 V"), into(">= 3.5 V", "<= 1.5 V")).stages
    (step,) = stage.steps
    made = calculate(step.calculator, step.inputs)
    lower, upper = (float(made.result(f"{end}_with_preferred").value) for end in ("lower", "upper"))
    assert 0.5 < lower < upper < 2.7


@pytest.mark.parametrize(
    ("output", "needed", "calculators"),
    [
        (out(), into("", style="switch"), ["series_resistor"]),
        (out("", "<= 0.4 V", style="switch"), into(), ["series_resistor", "gate_match"]),
        (out(lasts="4 ms", one_shot=LS123), into("", style="switch"), ["monostable", "series_resistor"]),
        (clock(out, 24), clock(into, 4), ["tempo", "tempo", "gate_match"]),
        (clock(out, 48), clock(into, 4), ["tempo", "tempo", "gate_match"]),
        (out("2.4 V to 3 V", lasts=">= 1 ms"), into(">= 3 V"), ["comparator", "gate_match", "monostable"]),
    ],
)  # fmt: skip
def test_each_cure_takes_its_numbers_from_calculators(
    output: Socket, needed: Socket, calculators: list[str]
) -> None:
    found = cured(output, needed)
    assert [step.calculator for stage in found.stages for step in stage.steps] == calculators


def test_an_added_part_is_worked_by_the_output() -> None:
    step = into_cmos(out("4.4 V to 4.9 V"), 5.0)
    assert calculate(step.calculator, step.inputs).result("verdict").value == "fits"


@pytest.mark.parametrize(
    ("output", "needed"),
    [
        (clock(out, 4), clock(into, 24)),
        (out("1 V to 1.1 V", "<= 0.9 V"), into()),
        (socket("out", "10 mV to 20 mV", carries="audio"), socket("in", "50 mV to 2 V", carries="audio")),
    ],
    ids=["a clock is not made finer", "no room between the levels", "too quiet"],
)
def test_where_nothing_would_help_no_cure_is_told(output: Socket, needed: Socket) -> None:
    assert fit(output, needed).verdict == FAILS
    assert cure(fit(output, needed)) is None


def test_what_fits_needs_no_cure() -> None:
    assert cure(fit(out(), into())) is None


@pytest.mark.parametrize(
    ("output", "needed"),
    [
        (("0 V to 5 V", "volt_per_octave", None), ("0.25 V to 8 V", "hertz_per_volt")),
        (("0.25 V to 8 V", "hertz_per_volt", None), ("0 V to 5 V", "volt_per_octave")),
        (("0 V to 5 V", "volt_per_octave", Converter(6, "10 V")), ("0 V to 5 V", "volt_per_octave")),
    ],
)
def test_a_pitch_converter_is_told_with_the_bits_that_hold_five_cents(
    output: tuple[str, str, Converter | None], needed: tuple[str, str]
) -> None:
    found = cured(
        socket("out", output[0], carries="pitch", standard=output[1], converter=output[2]),
        socket("in", needed[0], carries="pitch", standard=needed[1]),
    )
    (step,) = found.stages[-1].steps
    made = calculate(step.calculator, step.inputs)
    assert float(made.result("worst_error").value) <= 5.0
    assert int(step.inputs["bits"]) == made.result("bits_needed").value


@settings(max_examples=40)
@given(outputs(), inputs())
def test_whatever_is_proposed_makes_the_pair_work(output: Socket, needed: Socket) -> None:
    found = cure(fit(output, needed))
    if found is None:
        return
    assert found.after == fit(found.stages[-1].after, needed)
    assert found.after.works
    for stage in found.stages:
        for step in stage.steps:
            assert calculate(step.calculator, step.inputs).results

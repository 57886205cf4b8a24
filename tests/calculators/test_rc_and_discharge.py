"""RC times and discharge: they agree with a numerical solution, and the cautions never go missing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from kb.calculators import Calculation, calculate
from kb.calculators.plan_words import rounded_up
from kb.calculators.touch_limits import LIMITS, LOWEST_DC_V

EXACT = {"resistor_tolerance": "0 %", "capacitor_tolerance": "0 %"}


def rc(**inputs: str) -> Calculation:
    return calculate("rc", inputs)


def discharge(**inputs: str) -> Calculation:
    return calculate("discharge", inputs)


def integrated_crossing(first_v: float, target_v: float, level_v: float, tau_s: float) -> float:
    """When the differential equation of the circuit itself passes `level_v`."""

    def reaches(_t: float, v: list[float]) -> float:
        return v[0] - level_v

    reaches.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        lambda _t, v: [(target_v - v[0]) / tau_s],
        (0, 50 * tau_s),
        [first_v],
        events=reaches,
        rtol=1e-10,
        atol=1e-12,
    )
    return float(found.t_events[0][0])


@pytest.mark.parametrize("percent", [5, 36.8, 50, 63.2, 90])
def test_charge_time_agrees_with_integration(percent: float) -> None:
    found = rc(resistor="47k", capacitor="2u2", threshold=f"{percent} %").result("time_to_threshold").value
    assert found == pytest.approx(integrated_crossing(0, 1, percent / 100, 47e3 * 2.2e-6), rel=1e-6)


@pytest.mark.parametrize(("first", "safe"), [(325, 42.4), (60, 12), (35, 5)])
def test_discharge_time_agrees_with_integration(first: float, safe: float) -> None:
    found = (
        discharge(capacitor="470u", resistor="33k", voltage=f"{first} V", safe=f"{safe} V")
        .result("time")
        .value
    )
    assert found == pytest.approx(integrated_crossing(first, 0, safe, 33e3 * 470e-6), rel=1e-6)


def test_all_the_energy_ends_in_the_resistor() -> None:
    found = discharge(capacitor="220u", voltage="325 V", resistor="10k")
    tau = 10e3 * 220e-6
    power = solve_ivp(lambda t, _e: [325**2 / 10e3 * math.exp(-2 * t / tau)], (0, 20 * tau), [0.0], rtol=1e-9)
    assert found.result("energy").value == pytest.approx(power.y[0][-1], rel=1e-5)
    assert found.result("power").value == pytest.approx(325**2 / 10e3)


def test_threshold_in_volts_and_in_percent_are_one_thing() -> None:
    volts = rc(resistor="10k", capacitor="1n", threshold="1.5 V", supply="5 V")
    percent = rc(resistor="10k", capacitor="1n", threshold="30 %")
    assert volts.result("time_to_threshold").value == pytest.approx(percent.result("time_to_threshold").value)


def test_bands_are_the_corners() -> None:
    found = rc(resistor="10k ±1 %", capacitor="100n ±10 %")
    constant, corner = found.result("time_constant"), found.result("corner")
    assert (constant.low, constant.high) == pytest.approx((1e-3 * 0.99 * 0.9, 1e-3 * 1.01 * 1.1))
    assert (corner.low, corner.high) == pytest.approx(
        (1 / (2 * math.pi * constant.high), 1 / (2 * math.pi * constant.low))
    )
    assert "resistor_tolerance" not in {item.key for item in found.inputs}


def test_assumed_tolerance_is_shown_and_said() -> None:
    found = rc(resistor="10k", capacitor="100n")
    assumed = {item.key: item.shown for item in found.inputs if not item.given}
    assert assumed["capacitor_tolerance"] == "±20\u00a0%"
    assert any("±20 % is assumed" in note.text for note in found.notes)


def test_no_tolerance_no_band() -> None:
    found = rc(resistor="10k", capacitor="100n", **EXACT).as_json()["results"]
    assert found["time_constant"] == {"value": pytest.approx(1e-3), "unit": "s"}


def test_leaky_electrolytic_is_spoken_of() -> None:
    assert any("leaks" in note.text for note in rc(resistor="1M", capacitor="10 uF").notes)
    assert not any("leaks" in note.text for note in rc(resistor="10k", capacitor="100n").notes)


@settings(max_examples=40, deadline=None)
@given(
    farads=st.floats(1e-8, 1e-1), first=st.floats(50, 1000), wanted=st.floats(0.01, 100)
)  # fmt: skip
def test_resistor_and_time_agree_both_ways(farads: float, first: float, wanted: float) -> None:
    stored = {"capacitor": f"{farads:.9e} F", "voltage": f"{first:.9g} V"}
    solved = discharge(**stored, time=f"{wanted:.9g} s")
    ohms = solved.result("resistor").value
    again = discharge(**stored, resistor=f"{ohms:.12e} ohm")
    assert again.result("time").value == pytest.approx(wanted, rel=1e-6)
    assert solved.solved_for == "resistor"


def test_preferred_resistor_holds_the_time_with_the_worst_parts() -> None:
    found = discharge(capacitor="4700u", voltage="63 V", time="5 s", capacitor_tolerance="-20/+80 %")
    assert found.result("time_with_preferred").high <= 5.0
    assert found.result("preferred").value < found.result("resistor").value


def test_lowest_published_limit_is_the_default() -> None:
    assert min(limit.limit_v for limit in LIMITS if limit.what.startswith("d.c.")) == LOWEST_DC_V == 42.4
    limits = {
        item.key: item.value for item in discharge(capacitor="1u", voltage="99 V", resistor="1k").inputs
    }
    assert limits["safe"] == 42.4


def test_below_the_limit_is_no_time_but_still_a_warning() -> None:
    found = discharge(capacitor="10000u", voltage="32 V", resistor="100 ohm")
    assert found.result("time").value == 0
    assert any("burn a track" in note.text for note in found.notes)
    assert any("measure across the capacitor before you touch" in note.text for note in found.notes)


def test_a_voltage_that_may_be_above_the_limit_still_takes_time() -> None:
    found = discharge(capacitor="1000u", voltage="40 V ±10 %", resistor="1k").result("time")
    assert (found.value, found.low) == (0, 0)
    assert found.high > 0


@pytest.mark.parametrize(
    "inputs",
    [
        {"capacitor": "220u", "voltage": "325 V", "resistor": "10k"},
        {"capacitor": "220u", "voltage": "325 V", "time": "5 s"},
        {"capacitor": "220u", "voltage": "325 V", "resistor": "10k", "safe": "120 V"},
        {"capacitor": "1n", "voltage": "5 V", "resistor": "10 ohm"},
    ],
)
def test_cautions_stand_whatever_is_asked(inputs: dict[str, str]) -> None:
    said = "\n".join(note.text for note in discharge(**inputs).notes if note.level == "warning")
    for piece in (
        "measure across the capacitor",
        "never a permission",
        "dielectric absorption",
        "local code",
    ):
        assert piece in said


def test_raising_the_limit_is_answered() -> None:
    found = discharge(capacitor="220u", voltage="325 V", resistor="10k", safe="60 V")
    assert any("lowest that was found published" in note.text for note in found.notes)


@given(st.floats(1e-9, 1e6))
def test_printed_wait_is_never_shorter(time_s: float) -> None:
    assert time_s * (1 - 1e-9) <= rounded_up(time_s) <= 1.11 * time_s


def test_limits_differ_and_all_are_listed() -> None:
    rows = discharge(capacitor="220u", voltage="325 V", resistor="10k").tables[0].as_objects()
    assert len({row["limit"] for row in rows}) > 1
    assert all(row["certainty"] for row in rows)
    times = [row["time"] for row in sorted(rows, key=lambda row: row["limit"])]
    assert times == sorted(times, reverse=True)

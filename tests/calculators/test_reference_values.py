"""The calculators agree with the published check values, each to the tolerance written beside it."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from kb.calculators import calculate
from kb.calculators.discharge import DECAY as DECAY_FORMULA
from kb.calculators.monostable_advice import limits
from kb.calculators.one_shot_names import device
from kb.calculators.one_shot_timing import TRANSFER, TURN_OFF
from kb.calculators.pitch import CENTS, FREQUENCY, TARGET
from kb.calculators.rc import LEAKAGE_DROP
from kb.calculators.series import members
from kb.calculators.touch_limits import LIMITS
from tests.reference import one_shots, pitch, preferred, rc_and_discharge
from tests.reference.checks import Check, holds, parameters

CASES = (
    ("monostable", one_shots.ONE_SHOTS), ("rc", rc_and_discharge.RC),
    ("discharge", rc_and_discharge.DISCHARGE), ("preferred_value", preferred.PREFERRED),
    ("dac_pitch", pitch.CONVERTERS), ("tempo", pitch.TEMPO),
)  # fmt: skip


def without_source(rows: Iterable[tuple[object, ...]]) -> list[tuple[object, ...]]:
    """The rows without their last column, which is there for the reader of the table."""
    return [row[:-1] for row in rows]


ALL = [(name, check) for name, checks in CASES for check in checks]


@pytest.mark.parametrize(("name", "check"), [pytest.param(*case, id=case[1].id) for case in ALL])
def test_published_value(name: str, check: Check) -> None:
    assert holds(check, calculate(name, check.inputs).result(check.key).value)


@pytest.mark.parametrize("check", parameters(one_shots.ONE_SHOTS))
def test_a_one_shot_names_the_sheet_behind_its_number(check: Check) -> None:
    calculation = calculate("monostable", check.inputs)
    assert calculation.sources
    assert all(source.status for source in calculation.sources)


@pytest.mark.parametrize(
    ("name", "transfer_v", "supply_v", "expected", "tol"), without_source(one_shots.TRANSFER_4047)
)
def test_4047_with_an_off_centre_threshold(
    name: str, transfer_v: float, supply_v: float, expected: float, tol: float
) -> None:
    found = TRANSFER.pulse.evaluate({"R": 1.0, "C": 1.0, "v": transfer_v / supply_v})
    assert found == pytest.approx(expected, rel=tol), name


def test_switching_off_must_be_slower_than_the_timing_pin_can_bear() -> None:
    _, supply_v, farads, amperes, expected, tol, _ = one_shots.POWER_DOWN
    assert TURN_OFF.evaluate({"V": supply_v, "C": farads, "I": amperes}) == pytest.approx(expected, rel=tol)


@pytest.mark.parametrize(("name", "supply_v", "ohms"), without_source(one_shots.CEILINGS_555))
def test_555_has_a_greatest_resistor(name: str, supply_v: float, ohms: float) -> None:
    assert (supply_v, ohms) in device("NE555").ceilings, name
    assert any("at most" in text for text in limits(device("NE555"), supply_v))


def test_hef4538_typical_figures_lie_in_its_band() -> None:
    # T3-hef4538-keff5: NXP HEF4538B Rev 06, Table 8: 10.8 ms at 5 V where R C is 10 ms
    exact = {"resistor_tolerance": "0 %", "capacitor_tolerance": "0 %"}
    parts = {"device": "HEF4538", "resistor": "100k", "capacitor": "100n"}
    pulse = calculate("monostable", {**parts, **exact}).result("pulse")
    assert pulse.low is not None
    assert pulse.high is not None
    assert all(pulse.low <= seen_s <= pulse.high * (1 + 1e-9) for seen_s in (0.0101, 0.0106, 0.0108, 0.0113))


@pytest.mark.parametrize(
    ("name", "first_v", "ohms", "farads", "after_s", "left_v", "tol"), without_source(rc_and_discharge.DECAY)
)
def test_voltage_left_after_a_time(
    name: str, first_v: float, ohms: float, farads: float, after_s: float, left_v: float, tol: float
) -> None:
    found = DECAY_FORMULA.evaluate({"V_0": first_v, "R": ohms, "C": farads, "t": after_s})
    assert found == pytest.approx(left_v, rel=tol), name


@pytest.mark.parametrize(("name", "document", "limit_v"), without_source(rc_and_discharge.LIMITS_V))
def test_touch_limit_is_listed(name: str, document: str, limit_v: float) -> None:
    assert any(limit.document.startswith(document) and limit.limit_v == limit_v for limit in LIMITS), name


def test_time_between_20_and_80_percent() -> None:
    _, expected, tol, _ = rc_and_discharge.BETWEEN_20_AND_80
    parts = {"resistor": "1M", "capacitor": "1 uF"}
    at = [
        calculate("rc", {**parts, "threshold": t}).result("time_to_threshold").value for t in ("20 %", "80 %")
    ]
    assert at[1] - at[0] == pytest.approx(expected, rel=tol)


def test_leakage_holds_the_voltage_down() -> None:
    _, supply_v, ohms, amperes, expected, tol, _ = rc_and_discharge.LEAKAGE
    assert supply_v - LEAKAGE_DROP.evaluate({"R": ohms, "I_L": amperes}) == pytest.approx(expected, rel=tol)


def test_letter_z_capacitor_may_be_a_fifth_small() -> None:
    _, text, low_f, tol, _ = rc_and_discharge.LETTER_Z
    exact = calculate("rc", {"resistor": "1 ohm", "capacitor": text, "resistor_tolerance": "0 %"})
    assert exact.result("time_constant").low == pytest.approx(low_f, rel=tol)


@pytest.mark.parametrize(("name", "series", "length"), without_source(preferred.LENGTHS))
def test_length_of_a_series(name: str, series: int, length: int) -> None:
    assert len(members(series)) == length, name


@pytest.mark.parametrize(("name", "series", "expected"), without_source(preferred.DEVIATIONS))
def test_deviations_from_the_rounding_rule(name: str, series: int, expected: str) -> None:
    scale = 10 if series <= 24 else 100
    rounded = [round(scale * 10 ** (step / series)) for step in range(series)]
    found = [f"{a}>{b}" for a, b in zip(rounded, members(series), strict=True) if a != b]
    assert (",".join(found) or "none") == expected, name


@pytest.mark.parametrize(("name", "series", "expected"), without_source(preferred.OVERLAPS))
def test_few_e24_values_are_in_the_fine_series(name: str, series: int, expected: str) -> None:
    fine = set(members(series))
    assert ",".join(str(value) for value in members(24) if 10 * value in fine) == expected, name


@pytest.mark.parametrize(("name", "number", "hertz", "tol"), pitch.HERTZ)
def test_pitch_of_a_note(name: str, number: int, hertz: float, tol: float) -> None:
    assert FREQUENCY.evaluate({"m": number}) == pytest.approx(hertz, rel=tol), name


@pytest.mark.parametrize(
    ("name", "standard", "lowest_v", "semitones", "volts", "tol"), without_source(pitch.VOLTS)
)
def test_voltage_of_a_note(
    name: str, standard: str, lowest_v: float, semitones: int, volts: float, tol: float
) -> None:
    found = TARGET[standard].evaluate({"V_L": lowest_v, "V_1": 1.0, "n": semitones})
    assert found == pytest.approx(volts, rel=tol), name


@pytest.mark.parametrize(("name", "inputs", "note", "column", "expected"), pitch.NOTES)
def test_note_of_a_converter(
    name: str, inputs: dict[str, str], note: int, column: str, expected: float
) -> None:
    row = calculate("dac_pitch", inputs).tables[0].as_objects()[note]
    assert row[column] == pytest.approx(expected, rel=1e-6, abs=1e-9), name


def test_top_note_on_the_top_code() -> None:
    _, whole, top, expected, tol, _ = pitch.TOP_CLIP
    assert CENTS.evaluate({"f_1": whole, "f_2": top}) == pytest.approx(expected, rel=tol)
    rows = calculate("dac_pitch", pitch.HERTZ_10_BIT).tables[0].as_objects()
    assert rows[60]["error"] == pytest.approx(expected, rel=tol)
    assert rows[60]["in_reach"] == "no"


def test_half_a_step_up_is_fewer_cents_than_half_a_step_down() -> None:
    _, expected, tol, _ = pitch.HALF_STEP_UP
    found = calculate("dac_pitch", {"standard": "hertz_per_volt", "bits": "10", "full_scale": "8 V"})
    step_v, bound = (float(found.result(key).value) for key in ("step", "half_step_bound"))
    up = CENTS.evaluate({"f_1": 0.25, "f_2": 0.25 + step_v / 2})
    assert up == pytest.approx(expected, rel=tol)
    assert up < bound


def test_steps_of_a_semitone_hit_every_note() -> None:
    _, expected, tol, _ = pitch.EXACT
    inputs = {"bits": "7", "full_scale": f"{128 / 12!r} V", "octaves": "10.584"}
    found = calculate("dac_pitch", inputs)
    assert found.result("worst_error").value == pytest.approx(expected, abs=tol)
    assert [row["code"] for row in found.tables[0].as_objects()] == list(range(128))


def test_six_clocks_make_a_sixteenth() -> None:
    _, expected, tol, _ = pitch.SIXTEENTH
    rows = {row["note"]: row for row in calculate("tempo", pitch.TEMPO[0].inputs).tables[0].as_objects()}
    assert rows["sixteenth"]["time"] == pytest.approx(expected, rel=tol)
    assert rows["sixteenth"]["pulses"] == 6

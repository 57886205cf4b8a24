"""Oscillators agree with published values, with limits tried point by point, and with a simulator."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, astable_formulas, calculate
from kb.calculators.astable_devices import DEVICES, SCHMITT, Oscillator, SchmittSheet
from kb.calculators.astable_names import resolve
from kb.calculators.schmitt_limits import Gate, gate
from kb.formulas import Expression
from tests.calculators.planning import agrees_with_its_plan
from tests.calculators.simulator import needs_simulator, simulated
from tests.reference import oscillators
from tests.reference.checks import Check, holds, parameters

EXACT = {"resistor_tolerance": "0 %", "capacitor_tolerance": "0 %"}
TIMER = {"device": "NE555", "resistor_a": "1k", "resistor_b": "10k", "capacitor": "100n"}
GATE = {"device": "CD40106", "resistor": "100k", "capacitor": "10n", "supply": "5 V"}
OHMS = st.floats(1e3, 1e6)
FARADS = st.floats(1e-10, 1e-5)


def ran(**inputs: str) -> Calculation:
    return calculate("astable", inputs)


def number(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def row(calculation: Calculation, part: str) -> dict[str, float]:
    found = next(each for each in calculation.tables[0].as_objects() if each["part"] == part)
    return {key: value for key, value in found.items() if isinstance(value, float)}


@pytest.mark.parametrize("check", parameters(oscillators.OSCILLATORS))
def test_published_value(check: Check) -> None:
    assert holds(check, ran(**check.inputs).result(check.key).value)


@pytest.mark.parametrize(
    ("name", "inputs", "part", "column", "expected", "tol"), [each[:-1] for each in oscillators.LIMITS]
)
def test_published_limit(
    name: str, inputs: dict[str, str], part: str, column: str, expected: float, tol: float
) -> None:
    assert row(ran(**inputs), part)[column] == pytest.approx(expected * 1e-3, rel=tol), name


def test_one_sheet_allows_a_factor_of_four() -> None:
    name, inputs, part, expected, tol, _ = oscillators.SPAN
    found = row(ran(**inputs), part)
    assert found["greatest"] / found["least"] == pytest.approx(expected, rel=tol), name


def test_two_makers_of_one_number_differ() -> None:
    name, inputs, one, other, expected, tol, _ = oscillators.MAKERS
    found = ran(**inputs)
    periods = [row(found, part)["period"] for part in (one, other)]
    assert periods[0] / periods[1] == pytest.approx(expected, rel=tol), name
    assert any("another maker's" in note.text for note in found.notes if note.level == "warning")
    assert number(found, "period") in periods


@pytest.mark.parametrize(
    ("name", "supply", "ceiling", "below", "above"), [each[:-1] for each in oscillators.CEILINGS_555]
)
def test_555_has_a_greatest_resistor(name: str, supply: str, ceiling: str, below: str, above: str) -> None:
    said = {}
    for ohms in (below, above):
        found = ran(device="NE555", resistor_a="1k", resistor_b=ohms, capacitor="1n", supply=supply)
        said[ohms] = any("may never reach" in note.text for note in found.notes)
    assert said == {below: False, above: True}, name
    shown = f"{ceiling.replace(' M', chr(160) + 'MΩ')}"
    assert any(shown in text for text in found.limits)


SHEETS = [
    pytest.param(device, sheet, supply, id=f"{sheet.part} {supply}")
    for device in DEVICES if device.kind == SCHMITT
    for sheet in device.sheets
    for supply in (3.0, 4.5, 5.0, 10.0, 15.0)
    if device.supply_v and device.supply_v[0] <= supply <= device.supply_v[1]
]  # fmt: skip


@pytest.mark.parametrize(("device", "sheet", "supply_v"), SHEETS)
def test_no_allowed_pair_of_thresholds_lies_outside_the_limits(
    device: Oscillator, sheet: SchmittSheet, supply_v: float
) -> None:
    made = gate(device, sheet, supply_v)
    limits = made.thresholds
    rising, falling = (
        axis.ravel()
        for axis in np.meshgrid(
            np.linspace(limits.rising.least, limits.rising.greatest, 401),
            np.linspace(limits.falling.least, limits.falling.greatest, 401),
        )
    )
    wide = rising - falling
    most = limits.greatest_hysteresis_v
    keeps = (wide >= limits.least_hysteresis_v - 1e-9) & (wide <= (np.inf if most is None else most + 1e-9))
    rising, falling = rising[keeps], falling[keeps]
    high = np.log((made.high_v - falling) / (made.high_v - rising))
    low = np.log((rising - made.low_v) / (falling - made.low_v))
    seen = {"k_H": high, "k_L": low, "k": high + low, "D": high / (high + low)}
    for name, (least, greatest) in made.spread().items():
        # the grid may miss the very edge, but it must never lie beyond it
        assert least <= seen[name].min() * (1 + 1e-6)
        assert greatest >= seen[name].max() * (1 - 1e-6)
        assert least == pytest.approx(seen[name].min(), rel=0.03)
        assert greatest == pytest.approx(seen[name].max(), rel=0.03)


@pytest.mark.parametrize(("device", "sheet", "supply_v"), SHEETS)
def test_typical_thresholds_lie_inside_their_limits(
    device: Oscillator, sheet: SchmittSheet, supply_v: float
) -> None:
    made: Gate = gate(device, sheet, supply_v)
    if made.typical is None:
        assert not sheet.has_typical
        return
    low, high = made.spread()["k"]
    levels = made.typical
    factor = np.log((levels["V_H"] - levels["V_N"]) / (levels["V_H"] - levels["V_P"])) + np.log(
        (levels["V_P"] - levels["V_L"]) / (levels["V_N"] - levels["V_L"])
    )
    assert low <= factor <= high


@given(first=OHMS, second=OHMS, farads=FARADS)
def test_timer_resistor_and_frequency_agree_both_ways(first: float, second: float, farads: float) -> None:
    rest = {"device": "NE555", "resistor_a": f"{first!r} ohm", "capacitor": f"{farads!r} F"}
    forward = ran(**rest, resistor_b=f"{second!r} ohm")
    back = ran(**rest, frequency=f"{number(forward, 'frequency')!r} Hz")
    assert number(back, "resistor_b") == pytest.approx(second, rel=1e-6)
    assert number(forward, "high") + number(forward, "low") == pytest.approx(number(forward, "period"))
    assert number(forward, "duty") == pytest.approx(number(forward, "high") / number(forward, "period"))
    assert number(forward, "frequency") * number(forward, "period") == pytest.approx(1)
    assert agrees_with_its_plan(forward)
    assert agrees_with_its_plan(back)


@given(
    device=st.sampled_from(["CD40106", "HEF40106", "74HC14", "74LS14", "7414", "opamp"]), ohms=OHMS,
    farads=FARADS,
)  # fmt: skip
def test_one_resistor_and_frequency_agree_both_ways(device: str, ohms: float, farads: float) -> None:
    rest = {"device": device, "capacitor": f"{farads!r} F"}
    forward = ran(**rest, resistor=f"{ohms!r} ohm")
    back = ran(**rest, frequency=f"{number(forward, 'frequency')!r} Hz")
    assert number(back, "resistor") == pytest.approx(ohms, rel=1e-9)
    assert number(forward, "high") + number(forward, "low") == pytest.approx(number(forward, "period"))
    assert agrees_with_its_plan(forward)
    assert agrees_with_its_plan(back)


@given(a=st.floats(0.95, 1.05), b=st.floats(0.95, 1.05), c=st.floats(0.9, 1.1))
def test_parts_inside_their_tolerance_stay_inside_the_band(a: float, b: float, c: float) -> None:
    banded = ran(**TIMER)
    made = ran(
        device="NE555", resistor_a=f"{1e3 * a!r} ohm", resistor_b=f"{1e4 * b!r} ohm",
        capacitor=f"{1e-7 * c!r} F", **EXACT,
    )  # fmt: skip
    for key in ("frequency", "period", "duty", "high", "low"):
        band = banded.result(key)
        assert band.low is not None
        assert band.high is not None
        assert band.low * (1 - 1e-9) <= number(made, key) <= band.high * (1 + 1e-9)


def test_the_band_of_a_gate_holds_its_thresholds_too() -> None:
    exact = ran(**GATE, **EXACT).result("period")
    assert exact.low == pytest.approx(0.810930 * 1e-3, rel=1e-5)
    assert exact.high == pytest.approx(3.630580 * 1e-3, rel=1e-5)
    with_parts = ran(**GATE).result("period")
    assert with_parts.high == pytest.approx(3.630580e-3 * 1.05 * 1.1, rel=1e-5)


def test_preferred_part_and_what_it_gives() -> None:
    found = ran(device="NE555", resistor_a="10k", capacitor="10n", frequency="1 kHz")
    assert number(found, "preferred") == 68e3
    expected = ran(device="NE555", resistor_a="10k", resistor_b="68k", capacitor="10n")
    assert number(found, "frequency_with_preferred") == pytest.approx(number(expected, "frequency"))
    assert number(found, "frequency") == pytest.approx(1e3)


def test_resistors_may_be_written_in_one_list() -> None:
    listed = ran(device="NE555", resistors="1k, 10k ±1 %", capacitor="100n")
    apart = ran(device="NE555", resistor_a="1k", resistor_b="10k ±1 %", capacitor="100n")
    assert listed.results == apart.results
    assert {item.key: item.value for item in listed.inputs}["resistor_b"] == 10e3
    mixed = ran(device="NE555", resistors="1k, 22k", resistor_b="10k ±1 %", capacitor="100n")
    assert mixed.results == apart.results
    assert ran(device="74LS14", resistors="330 ohm", capacitor="100n").result(
        "period"
    ).value == pytest.approx(4.1767e-5, rel=1e-3)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("LM555CN", "NE555"), ("ne 555 p", "NE555"), ("NE556N", "NE555"), ("ICM7555IPA", "7555"),
        ("TLC555CP", "7555"), ("HEF40106BP", "CD40106"), ("CD40106BE", "CD40106"), ("40106", "CD40106"),
        ("MC14106BCP", "CD40106"), ("SN74HC14N", "74HC14"), ("SN74LS14N", "74LS14"), ("7414", "7414"),
        ("SN7414N", "7414"), ("op-amp", "opamp"), ("Op Amp", "opamp"), ("74HCT14", None), ("74LS13", None),
        ("", None), ("40107", None),
    ],
)  # fmt: skip
def test_type_number_on_the_part(text: str, name: str | None) -> None:
    assert resolve(text) == name


def test_letters_choose_the_maker() -> None:
    national = ran(device="CD40106BE", resistor="100k", capacitor="10n")
    philips = ran(device="HEF40106BP", resistor="100k", capacitor="10n")
    named = ran(device="CD40106BE", resistor="100k", capacitor="10n", maker="philips")
    assert number(national, "period") > 2 * number(philips, "period")
    assert number(named, "period") == number(philips, "period")


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({"device": "74LS14", "resistor": "10k", "capacitor": "100n"}, "may stop it altogether"),
        ({"device": "CD40106", "resistor": "1k", "capacitor": "100n"}, "cannot drive it"),
        ({**TIMER, "resistor_a": "100 ohm"}, "cannot drive it"),
        ({**TIMER, "supply": "24 V"}, "outside the supply"),
        ({**TIMER, "capacitor": "10 uF"}, "electrolytic"), ({**TIMER, "capacitor": "10p"}, "wiring"),
        ({"device": "74HC14", "resistor": "10k", "capacitor": "1n"}, "in proportion to the supply"),
        ({**GATE, "supply": "9 V"}, "in proportion to the supply"),
        ({**TIMER, "resistor_b": "1k", "capacitor": "1n"}, "delays"),
        (TIMER, "no tolerance was given for the capacitor"),
        ({"device": "opamp", "resistor": "10k", "capacitor": "10n"}, "equally far from the reference"),
    ],
)  # fmt: skip
def test_a_colleague_would_say(inputs: dict[str, str], piece: str) -> None:
    assert any(piece in str(note) for note in ran(**inputs).notes)


@pytest.mark.parametrize(
    ("inputs", "keys", "piece"),
    [
        ({"device": "NE555", "resistor": "1k", "capacitor": "1n"}, ["resistor"], "two resistors"),
        ({"device": "NE555", "capacitor": "1n"}, ["resistor_a", "resistor_b"], "is missing"),
        ({"device": "NE555", "capacitor": "1n", "frequency": "1 kHz"}, ["resistor_a"], "is missing"),
        ({"device": "74LS14", "resistor_a": "1k", "capacitor": "1n"}, ["resistor_a"], "one resistor"),
        ({"device": "74LS14", "capacitor": "1n"}, ["resistor"], "frequency to solve"),
        ({**TIMER, "frequency": "1 kHz"}, [None], "nothing to solve for"),
        ({**TIMER, "resistor_b": "0 ohm"}, ["resistor_b"], "above zero"),
        ({**TIMER, "ratio": "50 %"}, ["ratio"], "no divider"),
        ({**TIMER, "maker": "TI"}, ["maker"], "leave it out"),
        ({**GATE, "maker": "Natonal"}, ["maker"], 'did you mean "National"'),
        ({"device": "74HC14", "resistor": "1k", "capacitor": "1n", "maker": "ON"}, ["maker"], "limits alone"),
        ({**TIMER, "capacitor_tolerance": "100 %"}, ["capacitor_tolerance"], "below 100 %"),
        (
            {"device": "NE555", "resistor_a": "100k", "capacitor": "10n", "frequency": "1 MHz"},
            ["frequency"], "no resistor_b makes",
        ),
        ({"device": "opamp", "resistor": "1k", "capacitor": "1n", "ratio": "1.2"}, ["ratio"], "the whole"),
        ({"device": "NE555", "resistors": "1k, 2k, 3k", "capacitor": "1n"}, ["resistors"], "two resistors"),
        ({"device": "NE555", "resistors": "1k, zwei", "capacitor": "1n"}, ["resistors"], "zwei"),
        ({"device": "NE555", "resistors": "1k, -2k", "capacitor": "1n"}, ["resistors"], "above zero"),
        ({**TIMER, "resistors": "1k, 2k, 3k"}, ["resistors"], "two resistors"),
        ({"device": "NE556X9", "capacitor": "1n"}, ["device"], "not known"),
    ],
)  # fmt: skip
def test_each_mistake_names_its_input(inputs: dict[str, str], keys: list[str | None], piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        ran(**inputs)
    assert [problem.input for problem in caught.value.problems] == keys
    assert piece in str(caught.value)


FORMS = (astable_formulas.TIMER_FORM, astable_formulas.SCHMITT_FORM, astable_formulas.OPAMP_FORM)
CHECKED = [
    *((each, "time") for form in FORMS for each in (form.high, form.low, form.period)),
    *((form.frequency, "frequency") for form in FORMS), *((form.duty, "ratio") for form in FORMS),
    *((form.resistor, "resistance") for form in FORMS), (astable_formulas.FACTOR_HIGH, "number"),
    (astable_formulas.FACTOR_LOW, "number"), (astable_formulas.FACTOR, "number"),
    (astable_formulas.RELAX, "voltage"),
]  # fmt: skip


@pytest.mark.parametrize(("expression", "dimension"), CHECKED, ids=[each[0].text for each in CHECKED])
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, astable_formulas.DIMENSIONS)


def test_picture_ends_where_it_began() -> None:
    for inputs in (TIMER, GATE, {"device": "opamp", "resistor": "10k", "capacitor": "10n"}):
        found = ran(**inputs)
        assert found.figure is not None
        capacitor = found.figure.series[0]
        assert capacitor.y[-1] == pytest.approx(capacitor.y[0], rel=1e-9)
        assert capacitor.x[-1] == pytest.approx(2 * number(found, "period"))
        assert max(capacitor.y) == pytest.approx(found.figure.marks[0].value)


@pytest.mark.slow
@needs_simulator
def test_555_in_the_simulator(tmp_path: Path) -> None:
    seen = simulated(
        tmp_path,
        """VCC vcc 0 5
RA vcc d 22k
RB d c 33k
C1 c 0 22n IC=0
S1 d 0 c 0 SWD
.model SWD SW(VT=2.5 VH=0.8333333 RON=0.1 ROFF=1e12)
.tran 0.5u 12m 0 0.5u UIC
.meas tran high TRIG v(d) VAL=1 RISE=3 TARG v(d) VAL=1 FALL=4
.meas tran low TRIG v(d) VAL=1 FALL=4 TARG v(d) VAL=1 RISE=4""",
    )
    found = ran(device="NE555", resistor_a="22k", resistor_b="33k", capacitor="22n", **EXACT)
    assert number(found, "low") == pytest.approx(seen["low"], rel=3e-3)
    assert number(found, "high") == pytest.approx(seen["high"], rel=3e-3)


@pytest.mark.slow
@needs_simulator
@pytest.mark.parametrize(
    ("inputs", "levels"),
    [
        ({"device": "HEF40106", "resistor": "47k", "capacitor": "10n"}, (5.0, 0.0, 3.0, 2.2)),
        (
            {"device": "CD40106", "resistor": "47k", "capacitor": "10n", "supply": "15 V"},
            (15.0, 0.0, 10.0, 5.0),
        ),
        ({"device": "74LS14", "resistor": "470 ohm", "capacitor": "1u"}, (3.4, 0.25, 1.6, 0.8)),
        (
            {"device": "74HC14", "resistor": "47k", "capacitor": "1n", "supply": "4.5 V"},
            (4.5, 0.0, 2.36, 1.53),
        ),
    ],
)
def test_schmitt_inverter_in_the_simulator(
    tmp_path: Path, inputs: dict[str, str], levels: tuple[float, float, float, float]
) -> None:
    high_v, low_v, rising, falling = levels
    found = ran(**inputs, **EXACT)
    period_s = number(found, "period")
    middle, half, level = (rising + falling) / 2, (rising - falling) / 2, (high_v + low_v) / 2
    seen = simulated(
        tmp_path,
        f"""S1 vh out 0 in SWN
S2 out vl in 0 SWP
VH vh 0 {high_v}
VL vl 0 {low_v}
.model SWP SW(VT={middle} VH={half} RON=0.01 ROFF=1e9)
.model SWN SW(VT={-middle} VH={half} RON=0.01 ROFF=1e9)
R1 out in {inputs["resistor"].removesuffix(" ohm")}
C1 in 0 {inputs["capacitor"]} IC={low_v}
.tran {period_s / 4000} {period_s * 6} 0 {period_s / 4000} UIC
.meas tran whole TRIG v(out) VAL={level} RISE=2 TARG v(out) VAL={level} RISE=3
.meas tran up TRIG v(out) VAL={level} RISE=2 TARG v(out) VAL={level} FALL=3""",
    )
    assert period_s == pytest.approx(seen["whole"], rel=3e-3)
    assert number(found, "duty") == pytest.approx(seen["up"] / seen["whole"], rel=5e-3)


@pytest.mark.slow
@needs_simulator
def test_op_amp_in_the_simulator(tmp_path: Path) -> None:
    seen = simulated(
        tmp_path,
        """S1 vp out p n SWH
S2 vn out n p SWH
VP vp 0 12
VN vn 0 -12
.model SWH SW(VT=0 VH=0 RON=0.01 ROFF=1e9)
R1 out p 20k
R2 p 0 10k
R out n 47k
C n 0 10n IC=-1
Cp p 0 1p
.tran 0.5u 8m 0 0.5u UIC
.meas tran whole TRIG v(out) VAL=0 RISE=3 TARG v(out) VAL=0 RISE=4""",
    )
    found = ran(device="opamp", resistor="47k", capacitor="10n", ratio=f"{1 / 3!r}", **EXACT)
    assert number(found, "period") == pytest.approx(seen["whole"], rel=3e-3)

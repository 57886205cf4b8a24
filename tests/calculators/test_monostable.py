"""One-shots: every direction agrees with the others, limits are spoken of, and makers are never averaged."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate
from kb.calculators.one_shot_devices import DEVICES
from kb.calculators.one_shot_names import NAMES, resolve

OHMS = st.floats(2e3, 1e6)
FARADS = st.floats(1e-9, 1e-4)


def one_shot(**inputs: str) -> Calculation:
    return calculate("monostable", inputs)


def value(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def warnings(calculation: Calculation) -> str:
    return "\n".join(note.text for note in calculation.notes if note.level == "warning")


def notes(calculation: Calculation) -> str:
    return "\n".join(note.text for note in calculation.notes)


@pytest.mark.parametrize("device", NAMES)
@settings(max_examples=12, deadline=None)
@given(ohms=OHMS, farads=FARADS, diode=st.sampled_from(["yes", "no"]), volts=st.sampled_from(["5 V", "12 V"]))
def test_all_three_directions_agree(device: str, ohms: float, farads: float, diode: str, volts: str) -> None:
    common = {"device": device, "diode": diode, "supply": volts}
    resistor, capacitor = f"{ohms:.9g} ohm", f"{farads:.9e} F"
    pulse = f"{value(one_shot(resistor=resistor, capacitor=capacitor, **common), 'pulse'):.12e} s"
    from_capacitor = one_shot(capacitor=capacitor, pulse=pulse, **common)
    from_resistor = one_shot(resistor=resistor, pulse=pulse, **common)
    assert value(from_capacitor, "resistor") == pytest.approx(ohms, rel=1e-6)
    assert value(from_resistor, "capacitor") == pytest.approx(farads, rel=1e-6)
    assert from_resistor.solved_for == "capacitor"


@pytest.mark.parametrize("device", NAMES)
def test_bands_hold_the_nominal_value_and_grow_with_the_tolerance(device: str) -> None:
    parts = {"device": device, "resistor": "33k", "capacitor": "100n"}
    tight = one_shot(**parts, resistor_tolerance="1 %", capacitor_tolerance="2 %").result("pulse")
    loose = one_shot(**parts, resistor_tolerance="5 %", capacitor_tolerance="20 %").result("pulse")
    assert loose.low < tight.low <= tight.value <= tight.high < loose.high


def test_worst_case_is_the_product_of_the_extremes() -> None:
    pulse = one_shot(device="74LS123", resistor="10k ±1 %", capacitor="100n -20/+80 %").result("pulse")
    assert pulse.low == pytest.approx(0.45e-3 * 0.99 * 0.8)
    assert pulse.high == pytest.approx(0.45e-3 * 1.01 * 1.8)


def test_555_band_holds_its_published_initial_error() -> None:
    exact = {"resistor_tolerance": "0 %", "capacitor_tolerance": "0 %"}
    pulse = one_shot(device="NE555", resistor="10k", capacitor="100n", **exact).result("pulse")
    assert pulse.high / pulse.value == pytest.approx(1.03)
    assert pulse.low / pulse.value == pytest.approx(0.97)


def test_mc14528_spread_follows_the_supply() -> None:
    exact = {"resistor_tolerance": "0 %", "capacitor_tolerance": "0 %"}
    at = {
        v: one_shot(device="MC14528", resistor="10k", capacitor="10n", supply=v, **exact)
        for v in ("5 V", "15 V")
    }
    # ON MC14528B: 15 us to 45 us at 5 V; 15 us to 95 us at 15 V, for a formula that is a few percent off
    assert at["5 V"].result("pulse").high == pytest.approx(45e-6, rel=0.08)
    assert at["15 V"].result("pulse").high == pytest.approx(95e-6, rel=0.08)


def test_cure_for_a_short_pulse() -> None:
    found = one_shot(device="74LS123", resistor="33k", pulse="10 ms")
    assert found.solved_for == "capacitor"
    assert value(found, "capacitor") == pytest.approx(10e-3 / (0.45 * 33e3))
    assert found.result("preferred").value == 680e-9
    assert found.result("preferred").dimension == "capacitance"
    assert value(found, "pulse_with_preferred") == pytest.approx(0.45 * 33e3 * 680e-9)


def test_resistor_solved_for_is_from_e24_and_a_series_may_be_asked() -> None:
    wanted = {"device": "74LS123", "capacitor": "1 uF", "pulse": "20 ms"}
    assert one_shot(**wanted).result("preferred").value == 43e3
    assert one_shot(**wanted, series="E12").result("preferred").value == 47e3
    shown = {item.key: item for item in one_shot(**wanted).inputs}
    assert (shown["series"].text, shown["series"].given) == ("E24", False)
    assert (shown["maker"].text, shown["maker"].given) == ("TI", False)


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({"device": "74LS123", "resistor": "1k", "capacitor": "100n"}, "below the least resistor of 5"),
        ({"device": "74123", "resistor": "220k", "capacitor": "100n"}, "above the greatest resistor of 50"),
        ({"device": "74LS123", "resistor": "33k", "capacitor": "100p"}, "the formula stops holding"),
        ({"device": "74121", "resistor": "33k", "capacitor": "100 uF"}, "above the greatest capacitor of 10"),
        ({"device": "555", "resistor": "4.7M", "capacitor": "100n"}, "above the greatest resistor of 3.4"),
        ({"device": "74123", "resistor": "33k", "capacitor": "10 uF"}, "fit the switching diode"),
        ({"device": "74LS123", "resistor": "33k", "capacitor": "10 uF"}, "sources differ"),
        ({"device": "4047", "resistor": "33k", "capacitor": "10 uF"}, "must not be polarised"),
        (
            {"device": "74LS123", "resistor": "33k", "capacitor": "100n", "supply": "12 V"},
            "outside the supply",
        ),
        ({"device": "HEF4528", "resistor": "33k", "capacitor": "100n", "supply": "12 V"}, "published for 10"),
        ({"device": "74HC123", "resistor": "33k", "capacitor": "100n"}, "data sheets disagree"),
    ],
)
def test_colleague_warns(inputs: dict[str, str], piece: str) -> None:
    assert piece in warnings(one_shot(**inputs))


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({"device": "74LS123", "resistor": "33k", "capacitor": "100n"}, "greatest"),
        (
            {"device": "74123", "resistor": "33k", "capacitor": "10 uF", "diode": "yes"},
            "fit the switching diode",
        ),
        ({"device": "NE555", "resistor": "33k", "capacitor": "100n"}, "disagree"),
        ({"device": "HEF4528", "resistor": "33k", "capacitor": "100n", "supply": "10 V"}, "published for"),
    ],
)
def test_colleague_keeps_quiet_where_all_is_well(inputs: dict[str, str], piece: str) -> None:
    assert piece not in warnings(one_shot(**inputs))


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({"device": "74121", "resistor": "33k", "capacitor": "100n"}, "67 %"),
        (
            {"device": "74HC221", "resistor": "33k", "capacitor": "100n"},
            "trigger during the pulse is ignored",
        ),
        (
            {"device": "74LS123", "resistor": "33k", "capacitor": "100n"},
            "another trigger counts only from about 22",
        ),
        ({"device": "74HC123", "resistor": "10k", "capacitor": "100n"}, "only from about 60.3"),
        ({"device": "74AHC123A", "resistor": "33k", "capacitor": "15 pF"}, "2.5\u00a0ns"),
        ({"device": "9602", "resistor": "10k", "capacitor": "100n"}, "0.6 of its greatest"),
        ({"device": "MC14538", "resistor": "10k", "capacitor": "10 uF"}, "no protection resistor"),
    ],
)
def test_habits_of_the_device(inputs: dict[str, str], piece: str) -> None:
    assert piece in notes(one_shot(**inputs))


def test_every_data_sheet_stands_in_the_table_with_its_own_pulse() -> None:
    found = one_shot(device="74HC123", resistor="10k", capacitor="100n")
    rows = {row["maker"]: row for row in found.tables[0].as_objects()}
    factors = {maker: row["factor"] for maker, row in rows.items()}
    assert factors == pytest.approx({"NXP": 0.45, "Philips": 0.55, "National": 1.0, "TI": 0.45})
    assert rows["TI"]["status"] == "from memory"
    assert value(found, "pulse") in [row["pulse"] for row in rows.values()]


def test_a_part_taken_for_another_is_in_the_table_too() -> None:
    found = one_shot(device="MC14528", resistor="10k", capacitor="10n")
    assert {row["device"] for row in found.tables[0].as_objects()} == {"CD4528", "HEF4528"}


def test_maker_is_read_off_the_type_number_unless_it_is_given() -> None:
    parts = {"resistor": "10k", "capacitor": "100n"}
    assert value(one_shot(device="MM74HC123AN", **parts), "pulse") == pytest.approx(1e-3)
    assert value(one_shot(device="MM74HC123AN", maker="nxp", **parts), "pulse") == pytest.approx(0.45e-3)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("SN74LS123N", "74LS123"), ("74ls123", "74LS123"), ("MC14538BCP", "CD4538"), ("CD4538BE", "CD4538"),
        ("LM555CN", "NE555"), ("NE 555", "NE555"), ("HEF4528BP", "HEF4528"), ("MC14528", "CD4528"),
        ("74HCT123", "74HC123"), ("74130", "74123"), ("HEF4047BP", "4047"), ("DM9602N", "9602"),
        ("74HC4538", "74HC4538"), ("CD74HC123E", "74HC123"), ("74LS124", None), ("74LS221", None),
        ("123", None), ("", None), ("555X", None),
    ],
)  # fmt: skip
def test_type_numbers_as_printed(written: str, name: str | None) -> None:
    assert resolve(written) == name


def test_every_name_and_alias_means_its_own_device() -> None:
    for device in DEVICES:
        for spelling in (device.name, *device.aliases):
            assert resolve(spelling) == device.name


def test_every_number_says_where_it_is_from() -> None:
    for device in DEVICES:
        assert set(device.kin) <= set(NAMES)
        for sheet in device.sheets:
            assert sheet.document
            assert sheet.status
            assert bool(sheet.with_diode) == bool(sheet.diode_status)
        for limit in (device.resistor_ohm, device.capacitor_f):
            assert bool(limit.status) == (limit.low is not None or limit.high is not None)


def test_no_result_without_its_limits() -> None:
    assert any(
        "from memory" in text for text in one_shot(device="74123", resistor="10k", capacitor="1n").limits
    )


def test_figure_marks_the_limits_and_the_working_point() -> None:
    figure = one_shot(device="74LS123", resistor="33k", pulse="10 ms").figure
    assert figure is not None
    assert [mark.value for mark in figure.marks] == [5e3, 260e3]
    assert figure.series[1].x == (33e3,)
    assert figure.x.is_log
    assert figure.y.is_log


def test_preferred_resistor_is_checked_too() -> None:
    with pytest.raises(CalculationError):
        one_shot(device="74LS123", resistor="33k")
    found = one_shot(device="74LS123", capacitor="10n", pulse="22.1 us")
    assert "below the least resistor" in warnings(found)

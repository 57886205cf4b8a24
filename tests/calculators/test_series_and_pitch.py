"""Preferred values, tempo and converters: properties that hold for any value."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators import calculate
from kb.calculators.pitch import note_name, note_number
from kb.calculators.series import NAMES, members, neighbours, read_series

ANY_VALUE = st.floats(1e-12, 1e9)
ANY_SERIES = st.sampled_from([*NAMES, "E24+E96"])


@given(ANY_VALUE, ANY_SERIES, st.sampled_from(["arithmetic", "ratio"]))
def test_nearest_is_one_of_the_neighbours_and_no_worse(wanted: float, series: str, rule: str) -> None:
    found = neighbours(wanted, series, rule)  # type: ignore[arg-type]
    assert found.below <= wanted * (1 + 1e-9)
    assert found.above >= wanted * (1 - 1e-9)
    assert found.nearest in (found.below, found.above)
    other = found.below if found.nearest == found.above else found.above
    if rule == "arithmetic":
        assert abs(found.nearest - wanted) <= abs(other - wanted) * (1 + 1e-6)


@given(ANY_SERIES, st.integers(-12, 8), st.data())
def test_a_member_is_its_own_neighbour(series: str, decade: int, data: st.DataObject) -> None:
    count = int(series.split("+", maxsplit=1)[0][1:])
    member = float(f"{data.draw(st.sampled_from(members(count)))}e{decade}")
    found = neighbours(member, series)
    assert (found.below, found.nearest, found.above) == (member, member, member)


@given(ANY_VALUE, ANY_SERIES)
def test_series_repeats_in_every_decade(wanted: float, series: str) -> None:
    one, next_one = neighbours(wanted, series), neighbours(wanted * 10, series)
    assert next_one.below == pytest.approx(10 * one.below, rel=1e-9)
    assert next_one.above == pytest.approx(10 * one.above, rel=1e-9)


@pytest.mark.parametrize("count", [6, 12, 24])
def test_each_series_holds_every_second_member_of_the_next(count: int) -> None:
    assert members(count // 2) == members(count)[::2]


@pytest.mark.parametrize("count", [3, 6, 12, 24, 48, 96, 192])
def test_series_rises_within_its_decade(count: int) -> None:
    found = members(count)
    assert list(found) == sorted(set(found))
    assert found[-1] < 10 * found[0]


def test_a_drawer_with_both_series_is_never_worse() -> None:
    both = calculate("preferred_value", {"value": "22k", "series": "e96 + E24"})
    assert both.result("nearest").value == 22e3
    assert calculate("preferred_value", {"value": "22k", "series": "E96"}).result("nearest").value == 22.1e3


@pytest.mark.parametrize(
    ("text", "name"), [("e24", "E24"), (" E96+e24 ", "E24+E96"), ("E7", None), ("", None)]
)
def test_series_as_written(text: str, name: str | None) -> None:
    assert read_series(text) == name


@pytest.mark.parametrize(
    ("value", "dimension", "unit"),
    [
        ("470n", "capacitance", "F"),
        ("10 mH", "inductance", "H"),
        ("4k7", "resistance", "ohm"),
        ("47", "number", "1"),
    ],
)
def test_result_has_the_dimension_of_what_was_asked(value: str, dimension: str, unit: str) -> None:
    found = calculate("preferred_value", {"value": value})
    assert found.result("nearest").dimension == dimension
    assert found.as_json()["results"]["nearest"]["unit"] == unit


@settings(deadline=None)
@given(st.floats(1, 1000), st.integers(1, 960))
def test_tempo_and_clock_agree_both_ways(tempo: float, pulses: int) -> None:
    count = {"pulses_per_quarter": str(pulses)}
    clock = calculate("tempo", {"bpm": f"{tempo:.9f} BPM", **count}).result("frequency").value
    again = calculate("tempo", {"frequency": f"{clock:.12g} Hz", **count})
    assert again.result("bpm").value == pytest.approx(tempo, rel=1e-6)
    assert again.result("interval").value == pytest.approx(1 / clock, rel=1e-6)


def test_notes_a_clock_can_not_step() -> None:
    notes = calculate("tempo", {"bpm": "120", "pulses_per_quarter": "4"}).notes
    assert "eighth triplet" in notes[0].text
    assert not calculate("tempo", {"bpm": "120"}).notes


@given(st.integers(0, 127))
def test_note_names_read_back(number: int) -> None:
    assert note_number(note_name(number)) == number


@pytest.mark.parametrize(
    ("name", "number"), [("C2", 36), ("C4", 60), ("A4", 69), ("bb3", 58), ("F♯1", 30), ("C-1", 0)]
)
def test_note_numbers(name: str, number: int) -> None:
    assert note_number(name) == number


@settings(max_examples=40, deadline=None)
@given(
    bits=st.integers(6, 16), volts=st.integers(1, 12), convention=st.sampled_from(["reference", "top_code"])
)  # fmt: skip
def test_no_note_in_reach_is_worse_than_the_bound(bits: int, volts: int, convention: str) -> None:
    found = calculate("dac_pitch", {"bits": str(bits), "full_scale": f"{volts} V", "convention": convention})
    assert found.result("worst_error").value <= found.result("half_step_bound").value * (1 + 1e-9)
    for row in found.tables[0].as_objects():
        assert 0 <= row["code"] < 2**bits
        assert abs(row["output"] - row["code"] * found.result("step").value) < 1e-12


@settings(max_examples=30, deadline=None)
@given(standard=st.sampled_from(["volt_per_octave", "hertz_per_volt"]), cents=st.floats(0.5, 40))
def test_bits_needed_are_enough_and_one_fewer_is_not(standard: str, cents: float) -> None:
    asked = {"full_scale": "8 V", "standard": standard, "limit": f"{cents:.6f} cents", "lowest": "0.25 V"}
    needed = calculate("dac_pitch", {"bits": "20", **asked}).result("bits_needed").value
    bounds = [
        calculate("dac_pitch", {"bits": str(bits), **asked}).result("half_step_bound").value
        for bits in (needed, needed - 1)
    ]
    assert bounds[0] <= cents * (1 + 1e-5)
    assert bounds[1] > cents * (1 - 1e-5)


def test_out_of_reach_is_marked_and_left_out() -> None:
    found = calculate("dac_pitch", {"bits": "6", "full_scale": "5 V"})
    rows = found.tables[0].as_objects()
    assert [row["note"] for row in rows if row["in_reach"] == "no"] == ["C7"]
    assert found.result("worst_note").value == "G2"
    assert any("93.8" in note.text and note.level == "warning" for note in found.notes)


def test_good_codes_by_luck_are_told_from_enough_bits() -> None:
    found = calculate("dac_pitch", {"bits": "6", "full_scale": "5.333333333333 V"})
    assert found.result("worst_error").value == pytest.approx(0, abs=1e-6)
    assert found.result("bits_needed").value > 6
    assert any("fall on good codes" in note.text for note in found.notes)

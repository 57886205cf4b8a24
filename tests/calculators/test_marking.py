"""Markings read as published examples do, in every way they can be read, and never with a guess."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate
from kb.calculators.marking_codes import EIA96_POWERS
from kb.calculators.marking_colours import COLOURS
from kb.calculators.marking_dates import LETTERS as YEAR_LETTERS
from kb.calculators.marking_reading import rarity
from kb.calculators.series import members
from kb.quantities import parse_quantity
from tests.reference import markings

NOT_AGREED, NOT_MARKED = "not agreed between tables", "not marked"
DIGITS = [
    each.letters for each in sorted(COLOURS, key=lambda each: each.digit or 0) if each.digit is not None
]
MULTIPLIERS = {each.power: each.letters for each in COLOURS if each.power is not None}


def read(code: str, kind: str | None = None) -> Calculation:
    return calculate("marking", {"code": code} | ({"kind": kind} if kind else {}))


def value(code: str, kind: str | None = None) -> object:
    return read(code, kind).result("value").value


def tolerance(code: str, kind: str | None = None) -> object:
    return read(code, kind).result("tolerance").value


@pytest.mark.parametrize(("name", "bands", "ohms", "percent"), [row[:-1] for row in markings.BANDS])
def test_published_bands(name: str, bands: str, ohms: float, percent: float) -> None:
    assert value(bands) == ohms, name
    assert tolerance(bands) == percent / 100, name


@pytest.mark.parametrize(("name", "code", "kind", "si", "tol"), [row[:-1] for row in markings.VALUES])
def test_published_code(name: str, code: str, kind: str, si: float, tol: float) -> None:
    assert value(code, kind) == pytest.approx(si, rel=tol), name
    assert read(code, kind).result("value").dimension == (
        "capacitance" if kind == "capacitor" else "resistance"
    )


@pytest.mark.parametrize(("name", "code", "ohms", "percent"), [row[:-1] for row in markings.WITH_TOLERANCE])
def test_published_code_with_tolerance(name: str, code: str, ohms: float, percent: float) -> None:
    assert (value(code), tolerance(code)) == (ohms, percent / 100), name


@pytest.mark.parametrize(("name", "letter", "below", "above"), [row[:-1] for row in markings.LETTERS])
def test_published_letter(name: str, letter: str, below: float, above: float) -> None:
    found = read(f"104{letter}", "capacitor")
    assert (found.result("tolerance").low, found.result("tolerance").high) == (below / 100, above / 100), name
    band = found.result("value")
    assert (band.low, band.high) == pytest.approx((1e-7 * (1 + below / 100), 1e-7 * (1 + above / 100)))


@pytest.mark.parametrize(("name", "letter", "below", "above"), [row[:-1] for row in markings.LETTERS_PF])
def test_published_letter_below_ten_picofarads(name: str, letter: str, below: float, above: float) -> None:
    found = read(f"4p7{letter}").result("tolerance")
    assert (found.dimension, found.low, found.high) == (
        "capacitance", pytest.approx(below * 1e-12, rel=1e-12), pytest.approx(above * 1e-12, rel=1e-12)
    ), name  # fmt: skip


@pytest.mark.parametrize(("name", "code", "years", "month"), [row[:-1] for row in markings.DATES])
def test_published_date(name: str, code: str, years: tuple[int, int], month: str) -> None:
    rows = read(code).tables[0].as_objects()
    assert [row["year"] for row in rows] == list(years), name
    assert {row["month"] for row in rows} == {month}, name
    assert all(str(year) in str(value(code, "date")) for year in years)


def test_letters_of_the_years_leave_out_what_looks_like_a_digit() -> None:
    assert len(set(YEAR_LETTERS)) == len(YEAR_LETTERS) == 20
    assert list(YEAR_LETTERS) == sorted(YEAR_LETTERS)
    assert not set(YEAR_LETTERS) & set("GIOQYZ")
    # T2 of the sheet: F 1995, H 1996, L 1999, M 2000, S 2004, T 2005
    years = {letter: 1990 + place for place, letter in enumerate(YEAR_LETTERS)}
    assert [years[letter] for letter in "FHLMSTX"] == [1995, 1996, 1999, 2000, 2004, 2005, 2009]


@pytest.mark.parametrize("number", members(24))
@pytest.mark.parametrize("power", range(-3, 8))
def test_every_preferred_value_in_bands(number: int, power: int) -> None:
    bands = f"{DIGITS[number // 10]} {DIGITS[number % 10]} {MULTIPLIERS[power]} GD"
    assert value(bands) == float(Decimal(number).scaleb(power))
    assert tolerance(bands, "bands") == 0.05


@given(
    number=st.sampled_from(members(96)), power=st.integers(-3, 5), percent=st.sampled_from(["BN", "RD", "GN"])
)
def test_five_and_six_bands(number: int, power: int, percent: str) -> None:
    bands = [*(DIGITS[int(digit)] for digit in str(number)), MULTIPLIERS[power], percent]
    found = read(" ".join([*bands, "RD"]))
    assert value(" ".join(bands)) == found.result("value").value == float(Decimal(number).scaleb(power))
    assert found.result("temperature_coefficient").value == pytest.approx(50e-6)
    assert found.result("temperature_coefficient").shown == "50 ppm/K"


@pytest.mark.parametrize(
    ("bands", "same"),
    [
        ("green red gold silver", "GN RD GD SR"), ("GNRDGDSR", "GN RD GD SR"),
        ("Grey, Red, Black, Gold", "gray red black gold"), ("purple-green-red-gold", "VT GN RD GD"),
        ("  brown   black/orange ", "BN BK OG"),
    ],
)  # fmt: skip
def test_colours_by_name_and_by_letters(bands: str, same: str) -> None:
    assert (value(bands), tolerance(bands)) == (value(same), tolerance(same))


@pytest.mark.parametrize("colour", ["orange", "yellow", "grey"])
def test_disputed_tolerance_colour_is_not_guessed(colour: str) -> None:
    found = read(f"brown black black red {colour}")
    assert found.result("tolerance").value == NOT_AGREED
    assert found.result("value").low is None
    assert any("tables differ" in note.text for note in found.notes)


@pytest.mark.parametrize("letter", "EHNSTWQXLA")
@pytest.mark.parametrize("code", ["4K7", "4n7"])
def test_disputed_letter_is_not_guessed(code: str, letter: str) -> None:
    found = read(f"{code}{letter}")
    assert found.result("tolerance").value == NOT_AGREED
    assert found.result("value").low is None


def test_one_percent_below_ten_picofarads_is_disputed() -> None:
    assert tolerance("479F", "capacitor") == NOT_AGREED
    assert tolerance("100F", "capacitor") == 0.01
    assert tolerance("4p7J") == 0.05


@given(
    digits=st.sampled_from(members(24)),
    letter=st.sampled_from("RKMG"),
    last=st.sampled_from(["", *"BCDFGJKM"]),
)
def test_letter_codes_agree_with_the_reader_of_quantities(digits: int, letter: str, last: str) -> None:
    """Two readers written apart must find the same; what only one of them takes is not asked."""
    for code in (f"{digits // 10}{letter}{digits % 10}{last}", f"{letter}{digits}{last}"):
        expected = parse_quantity(code, "resistance")
        found = read(code, "resistor")
        assert found.result("value").value == pytest.approx(expected.value, rel=1e-15)
        assert found.result("tolerance").value == (expected.plus if last else NOT_MARKED)


@given(
    digits=st.sampled_from(members(24)), letter=st.sampled_from("pnu"), last=st.sampled_from(["", *"BCDGJKM"])
)
def test_capacitor_codes_agree_with_the_reader_of_quantities(digits: int, letter: str, last: str) -> None:
    code = f"{digits // 10}{letter}{digits % 10}{last}"
    expected, found = parse_quantity(code, "capacitance"), read(code, "capacitor").result("value")
    assert found.value == pytest.approx(expected.value, rel=1e-15)
    if last:
        assert (found.low, found.high) == pytest.approx((expected.low, expected.high), rel=1e-12)


@pytest.mark.parametrize("letter", sorted(EIA96_POWERS))
def test_every_place_of_eia96(letter: str) -> None:
    for place in range(1, 97):
        expected = float(Decimal(round(100 * 10 ** ((place - 1) / 96))).scaleb(EIA96_POWERS[letter]))
        assert value(f"{place:02d}{letter}", "eia96") == expected
    for place in ("00", "97"):
        with pytest.raises(CalculationError):
            read(f"{place}{letter}", "eia96")


def test_last_r_is_the_point_unless_told_otherwise() -> None:
    found = read("12R", "smd")
    assert found.result("value").value == 12
    assert any("decimal point" in note.text for note in found.notes)
    assert {row["value"] for row in found.tables[0].as_objects()} == {"12\u00a0Ω", "1.3\u00a0Ω"}
    assert value("12R", "eia96") == pytest.approx(1.3)


@pytest.mark.parametrize("code", ["0", "000", "0000", "0R", "0R0", "BK", "black"])
def test_links(code: str) -> None:
    assert (value(code), tolerance(code)) == (0.0, 0.0)


def test_a_last_letter_multiplies_unless_the_value_is_complete() -> None:
    assert (value("33M"), tolerance("33M")) == (33e6, NOT_MARKED)
    assert (value("R33M"), tolerance("R33M")) == (0.33, 0.2)
    assert (value("47K", "resistor"), value("47KK", "resistor")) == (47e3, 47e3)
    assert tolerance("47KK", "resistor") == 0.1
    assert (value("4K7M"), tolerance("4K7M")) == (4700.0, 0.2)


@pytest.mark.parametrize(
    ("code", "kinds", "first"),
    [
        ("104", {"capacitor", "SMD resistor"}, 1e-7), ("100K", {"capacitor", "resistor"}, 1e5),
        ("104K", {"capacitor", "resistor"}, 1e-7), ("100P", {"capacitor"}, 1e-10),
        ("100nF", {"capacitor"}, 1e-7), ("12R", {"resistor", "SMD resistor, EIA-96"}, 12.0),
    ],
)  # fmt: skip
def test_ambiguous_codes_are_shown_in_every_reading(code: str, kinds: set[str], first: float) -> None:
    found = read(code)
    rows = found.tables[0].as_objects()
    assert {row["kind"] for row in rows} == kinds
    assert len(rows) > 1
    assert found.result("value").value == pytest.approx(first, rel=1e-12)
    assert any(note.level == "warning" and "more than one way" in note.text for note in found.notes)


@pytest.mark.parametrize("code", ["4K7", "2n2", "8663", "24C", "4M7J", "yellow violet red gold"])
def test_plain_codes_are_not_called_ambiguous(code: str) -> None:
    found = read(code)
    assert not found.tables
    assert not any(note.level == "warning" for note in found.notes)


def test_the_other_direction_is_told_where_it_makes_a_part() -> None:
    both = read("BN BK RD RD")
    assert value("RD RD BK BN") == 22
    assert any("other way round the bands are 22\u00a0Ω ±1" in note.text for note in both.notes)
    unlikely = read("RD YE BN BN GN")  # 241 is in E192 alone, backwards 511 is in E96
    assert any("other way round" in note.text for note in unlikely.notes)
    wrong = read("brown grey grey brown brown")  # 188 x 10 is made nowhere; backwards 118 is in E96
    assert rarity(188) == 3
    assert any(note.level == "warning" and "backwards" in note.text for note in wrong.notes)


def test_bands_from_the_wrong_end_say_so() -> None:
    with pytest.raises(CalculationError, match=r"other way round they are 4\.7\u00a0kΩ ±5"):
        read("gold red violet yellow")


def test_fifth_band_for_reliability_is_offered() -> None:
    rows = read("yellow violet red gold brown").tables[0].as_objects()
    assert [row["value"] for row in rows] == ["47.2\u00a0Ω", "4.7\u00a0kΩ"]
    assert [row["status"] for row in rows] == ["seen in source", "from memory"]


def test_date_behind_a_code() -> None:
    found = read("4K7J A5")
    assert found.result("value").value == 4700
    assert "1990" in str(found.result("date").value)
    assert "2010" in str(found.result("date").value)
    assert found.tables[0].title.startswith("Date code")


@pytest.mark.parametrize(
    ("code", "kind", "piece"),
    [
        ("hello", None, "no marking"), ("10n", "resistor", "it reads as capacitor"),
        ("24C", "resistor", "it reads as capacitor or smd or eia96"), ("BL BK OG", None, "BU or blue"),
        ("brown blak orange", None, 'did you mean "black"'), ("GD GD", None, "three to six bands"),
        ("BN BN BN BN BN BN BN", None, "three to six bands"), ("A0", "date", "no date code"),
        ("G5", "date", "no date code"), ("99A", "eia96", "by EIA-96"), ("BK BN RD", None, "other way round"),
        ("479", "smd", "it reads as capacitor"), ("4,7k", None, "no marking"), ("4K7V", None, "no marking"),
        ("99999999999", None, "no marking"), ("½", None, "no marking"), ("٤K٧", None, "no marking"),
    ],
)  # fmt: skip
def test_each_mistake_names_the_code(code: str, kind: str | None, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        read(code, kind)
    assert [problem.input for problem in caught.value.problems] == ["code"]
    assert piece in str(caught.value)


@given(st.text(alphabet="0123456789RKMGLpnuµmFJABCDZ .-BKNRDOG", max_size=12))
def test_any_code_is_read_or_refused(code: str) -> None:
    try:
        found = read(code)
    except CalculationError as error:
        assert error.problems  # noqa: PT017 - either way is right, a crash is not
    else:
        assert found.results
        assert found.sources
        assert found.formulas


def test_no_plan_because_a_code_is_no_number() -> None:
    assert read("4K7").plan is None

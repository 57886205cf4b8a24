"""Serial ranges, held against plain sets of numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.shop import SerialRange, UnreadableSerials, parse_serials
from kb.shop.serials import plain

PREFIXES = st.sampled_from(["", "SX", "sx-", "SW16-", "B/", "Q 7-"])
NUMBERS = st.integers(0, 60)
UNIVERSE = range(70)


@st.composite
def ranges(draw: st.DrawFn, prefix: str | None = None) -> tuple[str, str, frozenset[int]]:
    """A range as somebody writes it, its prefix, and the numbers up to 69 that it means."""
    prefix = draw(PREFIXES) if prefix is None else prefix
    low, high = sorted((draw(NUMBERS), draw(NUMBERS)))
    width = draw(st.sampled_from([1, 2, 4]))
    first, last = f"{prefix}{low:0{width}d}", f"{prefix}{high:0{width}d}"
    bare = f"{high:0{width}d}"
    upwards, downwards = frozenset(UNIVERSE[low:]), frozenset(UNIVERSE[: high + 1])
    both = upwards & downwards
    text, numbers = draw(
        st.sampled_from(
            [
                (f"{first} to {last}", both), (f"{first} TO {last}", both), (f"from {first} to {last}", both),
                (f"{first} – {last}", both), (f"{first} - {last}", both), (f"{first} to {bare}", both),
                (f"  {first}   to {last} ", both), (f"{first} and up", upwards), (f"{first} Up", upwards),
                (f"from {first} on", upwards), (f"up to {last}", downwards), (f"Until {last}", downwards),
                (first, frozenset([low])),
            ]
        )
    )  # fmt: skip
    return text, prefix, numbers


@given(ranges())
def test_a_range_holds_exactly_the_numbers_it_says(written: tuple[str, str, frozenset[int]]) -> None:
    text, prefix, numbers = written
    found = parse_serials(text)
    assert {number for number in UNIVERSE if found.holds(f"{prefix}{number:04d}")} == numbers
    assert {number for number in UNIVERSE if found.holds(f" {prefix.lower()}  {number:04d}")} == numbers


@given(ranges(prefix="SX-"))
def test_a_number_alone_fits_any_prefix(written: tuple[str, str, frozenset[int]]) -> None:
    text, _, numbers = written
    assert {number for number in UNIVERSE if parse_serials(text).holds(str(number))} == numbers


@given(ranges(prefix="SX-"))
def test_another_prefix_is_never_held(written: tuple[str, str, frozenset[int]]) -> None:
    found = parse_serials(written[0])
    assert not any(found.holds(f"TX-{number:04d}") for number in UNIVERSE)


@given(PREFIXES.flatmap(lambda prefix: st.tuples(ranges(prefix), ranges(prefix))))
def test_ranges_of_one_prefix_overlap_where_they_share_a_number(
    written: tuple[tuple[str, str, frozenset[int]], tuple[str, str, frozenset[int]]],
) -> None:
    (first, _, some), (second, _, others) = written
    assert parse_serials(first).overlaps(parse_serials(second)) == bool(some & others)
    assert parse_serials(second).overlaps(parse_serials(first)) == bool(some & others)


@given(ranges("SX-"), ranges("TX-"))
def test_ranges_of_two_prefixes_never_overlap(
    first: tuple[str, str, frozenset[int]], second: tuple[str, str, frozenset[int]]
) -> None:
    assert not parse_serials(first[0]).overlaps(parse_serials(second[0]))


@given(
    st.tuples(st.integers(0, 999), st.integers(0, 999)).map(sorted),
    st.tuples(st.integers(0, 19999), st.integers(0, 19999)).map(sorted),
)
def test_a_prefix_that_ends_in_digits_is_compared_with_one_that_does_not(
    inner: list[int], outer: list[int]
) -> None:
    inside = SerialRange("SW1", inner[0], inner[1], "")
    around = SerialRange("SW", outer[0], outer[1], "")
    shared = any(
        around.holds(f"SW1{number:0{digits}d}")
        for number in range(inner[0], inner[1] + 1)
        for digits in range(len(str(number)), 5)
    )
    assert inside.overlaps(around) == around.overlaps(inside) == shared


@pytest.mark.parametrize(
    ("text", "prefix", "low", "high"),
    [
        ("SX-0001 to SX-0412", "SX", 1, 412),
        ("SX-0001 to 0412", "SX", 1, 412),
        ("SX-0900 and up", "SX", 900, None),
        ("up to SX-0100", "SX", None, 100),
        ("Up To SX-0100", "SX", None, 100),
        ("SX-0007", "SX", 7, 7),
        ("16/0123 to 16/0200", "16", 123, 200),
        ("SX-0001 … SX-0005", "SX", 1, 5),
        ("999999999999", "", 999999999999, 999999999999),
    ],
)
def test_a_range_is_read_as_a_technician_means_it(
    text: str, prefix: str, low: int | None, high: int | None
) -> None:
    found = parse_serials(text)
    assert (found.prefix, found.low, found.high, found.text) == (prefix, low, high, text)


@pytest.mark.parametrize(
    "text",
    ["", " ", "all", "to", "up", "and up", "up to", "SX-", "SX-0001 to", "to SX-0001", "SX-0001 to SY-0002",
     "SX-0002 to SX-0001", "1-100", "SX-1-SX-5", "SX-1..SX-5", "SX 1 SX 2", "SX-1, SX-2", "SX-1 and SX-5",
     "SX-1 or SX-5", "SX-1 bis SX-5", "after SX-1", "before 5", "SX-1 to SX-5 to SX-9", "1234567890123",
     "SX-１２", "SX–0001", "<b>1", "SX-1\nto SX-5 x"],
    ids=ascii,
)  # fmt: skip
def test_what_might_mean_two_things_is_refused(text: str) -> None:
    with pytest.raises(UnreadableSerials) as caught:
        parse_serials(text)
    assert caught.value.what
    assert caught.value.advice


@given(st.text(max_size=40))
def test_any_text_is_a_range_or_refused(text: str) -> None:
    try:
        found = parse_serials(text)
    except UnreadableSerials:
        return
    assert found.low is None or found.high is None or found.low <= found.high
    assert found.prefix == plain(found.prefix)


@given(st.text(max_size=80))
def test_any_serial_as_typed_is_held_or_not(typed: str) -> None:
    assert parse_serials("SX-0001 and up").holds(typed) in (True, False)

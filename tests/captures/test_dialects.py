"""The same waveform in every way an oscilloscope may write it, and what is refused as ambiguous."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.captures import Capture, read_capture
from kb.captures.telling import summary, understood_json, understood_lines
from kb.problems import Problem
from tests.captures.waves import refused, understood

# Eight samples, half a millisecond apart: 0.25 V at rest, 4.75 V in the pulse.
LEVELS = (0.25, 0.25, 4.75, 4.75, 4.5, 0.25, 0.5, 0.25)
INTERVAL_S = 0.5e-3


def rows(pattern: str, *, comma: bool = False, end: str = "\n") -> str:
    """A line for each sample: {t} seconds, {ms}, {n} its number, {v} volts, {mv}, {w} a second channel."""
    found = ""
    for number, level in enumerate(LEVELS):
        t = number * INTERVAL_S
        values = {
            "t": f"{t:.4f}", "ms": f"{t * 1e3:.1f}", "us": f"{t * 1e6:.0f}", "e": f"{t:.3e}",
            "v": f"{level:.2f}",
            "mv": f"{level * 1e3:.1f}", "n": str(number), "w": f"{-level / 2:.3f}",
        }  # fmt: skip
        if comma:
            values = {key: text.replace(".", ",") for key, text in values.items()}
        found += pattern.format(**values) + end
    return found


DIALECTS: dict[str, str | bytes] = {
    "a line of names": "time,volt\n" + rows("{t},{v}"),
    "names with units": "time (ms),CH1 (mV)\n" + rows("{ms},{mv}"),
    "units in square brackets, two channels": "Time [us];A [V];B [V]\n" + rows("{us};{v};{w}"),
    "a line of units": "t,ch1\ns,V\n" + rows("{t},{v}"),
    "units in brackets, a blank line": "Time,Channel A,Channel B\n(ms),(mV),(V)\n\n" + rows("{ms},{mv},{w}"),
    "units in words": "Second,Volt\n" + rows("{e},{v}"),
    "no header": rows("{t},{v}"),
    "semicolon, decimal comma": "Zeit (ms);Kanal 1 (V)\n" + rows("{ms};{v}", comma=True),
    "tab, decimal comma": "time (s)\tch1 (mV)\n" + rows("{t}\t{mv}", comma=True),
    "tab": "time\tch1\n" + rows("{t}\t{v}"),
    "aligned with spaces": "time volt\n" + rows("  {t}   {v}"),
    "blanks behind commas": "time, volt\n" + rows("{t}, {v}"),
    "decimal comma in quotes": '"time (s)","ch1 (V)"\n' + rows('"{t}","{v}"', comma=True),
    "CRLF": "time,volt\r\n" + rows("{t},{v}", end="\r\n"),
    "carriage returns alone": "time,volt\r" + rows("{t},{v}", end="\r"),
    "byte order mark": b"\xef\xbb\xbf" + ("time,volt\n" + rows("{t},{v}")).encode(),
    "UTF-16 with mark": ("time,volt\n" + rows("{t},{v}")).encode("utf-16"),
    "UTF-16 big-endian with mark": b"\xfe\xff" + ("time,volt\n" + rows("{t},{v}")).encode("utf-16-be"),
    "UTF-16 without mark": ("time,volt\n" + rows("{t},{v}")).encode("utf-16-le"),
    "a micro sign of one byte": "time (\xb5s),ch1 (V)\n".encode("latin-1") + rows("{us},{v}").encode(),
    "trailing separators": "time,volt,\n" + rows("{t},{v},"),
    "trailing separators without a header": rows("{t};{v};;"),
    "no line end at the end": ("time,volt\n" + rows("{t},{v}")).rstrip("\n"),
    "interval in the head, one column": "Sample Interval,0.0005,s\nVertical Units,V\n" + rows("{v}"),
    "interval with its unit": "sample interval: 500 us\nch1 (mV)\n" + rows("{mv}"),
    "interval with an equals sign and comments": "# x increment = 5e-4 s\n# ch1 [V]\n" + rows("{v}"),
    "sampling rate": "Sampling rate;2 kS/s\nCH1 [V]\n" + rows("{v}", comma=True),
    "sampling rate with the unit at the key": "sample rate (Hz),2000\nch1 (V),ch2 (V)\n" + rows("{v},{w}"),
    "sample numbers and an interval": "Sample interval,500 us\nsample,ch1 (V)\n" + rows("{n},{v}"),
    "increment named above its value": "X,CH1,Start,Increment,\nSequence,Volt,0,0.0005\n" + rows("{n},{v},"),
    "the head to the left of the figures": "".join(
        f"{left}{line}\n"
        for left, line in zip(
            ["Record Length,8,,", "Sample Interval,0.0005,s,", "Vertical Units,V,,", *[",,,"] * 5],
            rows("{t},{v},").splitlines(), strict=True,
        )
    ),
    "words about the instrument": "Instrument,bench scope 3\nDate,1 of May\n\ntime,volt\n" + rows("{t},{v}"),
}  # fmt: skip


@pytest.mark.parametrize("name", DIALECTS)
def test_every_dialect_holds_the_same_waveform(name: str) -> None:
    found = understood(DIALECTS[name])
    assert found.channels[0].values == pytest.approx(LEVELS)
    assert found.time.interval_s == pytest.approx(INTERVAL_S)
    assert found.time.count == len(LEVELS)
    assert len(understood_lines(found, None)) >= 6
    assert understood_json(found, None)["samples"] == len(LEVELS)
    assert "8 samples" in summary(found)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,234;5\n2,345;6\n3,456;7\n", 'scope.csv:1:1: "1,234" may be 1.234 or 1234'),
        ("dt;1 ms\n1,234\n2,345\n", "may be two columns or one number with a decimal comma"),
        ("0,001,4,75\n0,002,4,80\n0,003,4,05\n", "commas part the cells and stand in the numbers too"),
        ("1.234,5;1\n2.345,5;2\n", "a number holds two signs between its figures"),
        ("t;v\n0,5;1.5\n1,0;2.5\n", "has a decimal comma where other lines have a point"),
        ("0,1\n1,2\n2,4\n", "may count the samples or the seconds"),
        ("volt\n1.5\n2.5\n1.5\n", "neither a column of times nor a sample interval"),
        ("time,volt\n0,0\n1,1\n2,abc\n3,4\n", 'scope.csv:4:3: "abc" is no number'),
        ("time,volt\n0.0,0\n0.1,1\n0.2,1,5\n0.3,4\n", "scope.csv:4:7: the line has 3 cells where others"),
        ("time,volt\n0,1\n2,2\n1,3\n", "scope.csv:4:1: time goes back here"),
        ("time,volt\n1,1\n1,2\n1,3\n", "the time does not advance"),
        ("sample interval,-1 s\nv (V)\n1.5\n2.5\n", 'scope.csv:1:1: "sample interval" is not above zero'),
        ("time (s)\n0.1\n0.2\n", "neither a column of times nor a sample interval"),
        ("time,sample\n0.1,0\n0.2,1\n", "there is no column beside those of time and of sample numbers"),
        ("time,volt\n0.1,1\n", "fewer than two samples"),
        ("just words\nand more\n", "there is no line of figures"),
        ("", "the file is empty"),
        (bytes(range(256)), "the file is not text"),
        (b"\xff\xfe\x00", "begins as UTF-16-LE and does not go on so"),
    ],
)  # fmt: skip
def test_what_cannot_be_understood_is_told_at_its_place(text: str | bytes, said: str) -> None:
    line = refused(text)
    assert said in line
    assert line.startswith("scope.csv:")
    assert "; " in line, "nothing is said of what would be right"


def test_a_nought_before_the_comma_decides_for_the_whole_file() -> None:
    """`1,234` alone may be either; a file that also says `0,500` groups no thousands."""
    found = understood("dt;1 ms\nv (V)\n1,234\n2,345\n0,500\n")
    assert found.channels[0].values == pytest.approx([1.234, 2.345, 0.5])


def test_evidence_counts_wherever_it_stands_in_the_file() -> None:
    many = "1,234;5,125\n" * 3000
    found = understood(f"sample interval;1 ms\n{many}1,5;2,25\n")
    assert found.channels[1].values[-1] == pytest.approx(2.25)
    assert refused(f"sample interval;1 ms\n{many}").startswith("scope.csv:2:1:")


def test_gaps_and_words_for_too_much_are_kept_apart() -> None:
    body = "0,1\n1e-3,OVER\n2e-3,\n3e-3,nan\n4e-3,-inf\n5e-3,9.91E37\n6e-3,9.9E37\n7e-3,2\n8e-3\n"
    found = understood("t,ch1 (V)\n" + body).channels[0]
    assert found.values.tolist()[:2] == [1, np.inf]
    assert (found.gaps, found.over_range) == (4, 3)
    assert found.values[4] == -np.inf


def test_missing_rows_are_counted_and_no_time_is_made_up() -> None:
    at = [0, 1, 2, 3, 6, 7, 8, 9, 10]
    time = understood("time (ms),v (V)\n" + "".join(f"{n * 0.1:.1f},{n % 2}\n" for n in at)).time
    assert (time.missing, time.interval_s) == (2, pytest.approx(1e-4))
    assert time.at(np.arange(9)) == pytest.approx(np.array(at) * 1e-4)


def test_times_printed_with_few_figures_are_still_even() -> None:
    """A step of 0.4 us printed to the microsecond repeats and jumps, and means even sampling."""
    text = "time (s),v (V)\n" + "".join(f"{n * 0.4e-6:.6f},{n % 7}\n" for n in range(1000))
    time = understood(text).time
    assert time.times_s is None
    assert time.interval_s == pytest.approx(0.4e-6, rel=1e-3)


def test_samples_taken_unevenly_keep_their_times() -> None:
    at = [0, 1, 2.5, 3.1, 4.9, 5.2, 6.6]
    found = understood("time (s),v (V)\n" + "".join(f"{t},1\n" for t in at))
    assert found.time.at(np.arange(7)) == pytest.approx(at)
    assert any("not evenly spaced" in each for each in found.understood.assumed)


def test_what_nobody_wrote_is_told_as_taken_for_granted() -> None:
    assumed = understood("time,level\n0.0,1\n0.1,2\n").understood.assumed
    assert any("taken as seconds" in each for each in assumed)
    assert any("taken as volts" in each for each in assumed)


FINITE = st.floats(-1000, 1000, allow_nan=False).map(lambda each: round(each, 4))


@settings(max_examples=60, deadline=None)
@given(
    values=st.lists(FINITE, min_size=3, max_size=40), separator=st.sampled_from([",", ";", "\t"]),
    comma=st.booleans(), end=st.sampled_from(["\n", "\r\n"]), trailing=st.booleans(),
    coding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
    unit=st.sampled_from([("V", 1.0), ("mV", 1e-3)]),
)  # fmt: skip
def test_what_is_written_in_any_dialect_reads_back(
    values: list[float], separator: str, comma: bool, end: str, trailing: bool, coding: str,
    unit: tuple[str, float],
) -> None:  # fmt: skip
    lines = [separator.join(("time (ms)", f"ch1 ({unit[0]})"))]
    for number, value in enumerate(values):
        cells = [f"{number * 0.25:.2f}", f"{value:.4f}"]
        if comma and separator != ",":
            cells = [cell.replace(".", ",") for cell in cells]
        lines.append(separator.join(cells))
    text = "".join(f"{line}{separator if trailing else ''}{end}" for line in lines)
    found = understood(text.encode(coding))
    assert found.channels[0].values == pytest.approx(np.array(values) * unit[1])
    assert found.time.interval_s == pytest.approx(0.25e-3)


JUNK = st.text(st.sampled_from('0123456789.,;\t \n"-+eE:=#sVmunaifOVER()[]'), max_size=120)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200) | JUNK.map(str.encode) | JUNK.map(lambda text: text.encode("utf-16")))
def test_any_bytes_are_a_capture_or_a_problem(data: bytes) -> None:
    found = read_capture(data, "any.csv")
    assert isinstance(found, Capture | Problem)
    if isinstance(found, Problem):
        assert found.line >= 1
        assert found.column >= 1
        assert found.advice

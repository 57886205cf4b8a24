"""Pulse parameters of an oscilloscope capture, and whether its pulse works an input.

Reading and measuring are the business of `kb.captures`; here it becomes results, notes, a table and a figure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Cell,
    Column,
    Input,
    InputProblem,
    Note,
    Result,
    ResultSpec,
    ShownFormula,
    Source,
    Table,
    Worked,
)
from kb.calculators.pulse_sources import EXAMPLE, PLAIN, PulseSources
from kb.calculators.pulse_verdict import Verdict, needs_written, verdict_on
from kb.calculators.reading import Given
from kb.calculators.working import formula, result
from kb.formulas import Expression
from kb.quantities import show

if TYPE_CHECKING:
    from kb.captures import Capture, Estimate, Measurement

AMPLITUDE = Expression("V_T - V_B")
DURATION = Expression("t_2 - t_1")
FREQUENCY = Expression("1 / T")

MEASURED = (
    "base", "top", "amplitude", "duration", "shortest", "rise", "fall", "overshoot", "undershoot", "period",
    "frequency", "duty", "jitter",
)  # fmt: skip
LEVELS = ("base", "top", "amplitude")
COLUMNS = (
    Column("what", "What", "text"),
    Column("value", "Value", "number"),
    Column("doubt", "± about 95 %", "number"),
    Column("least", "Smallest", "number"),
    Column("most", "Greatest", "number"),
    Column("count", "Averaged over", "integer"),
)
_DIGITS = 4
SOURCES = (
    Source(
        "IEEE Std 181: states by histogram mode, transitions from 10 % to 90 %, duration at 50 %",
        "from memory",
    ),
    Source(
        "JCGM 100 (GUM): standard uncertainties combined as the root of the sum of squares", "from memory"
    ),
)
LIMITS = (
    "± is two standard uncertainties from the sample interval, the noise and the code steps of this capture.",
    "The time base, gain and probe of the instrument are not in it.",
    "Base and top are the most frequent values of the lower and the upper half of the range.",
    "Crossings are interpolated in a straight line.",
    "An edge counts when it passes a band around the middle: 20 % of the amplitude, or wider than noise.",
)


def work(given: Given, sources: PulseSources = PLAIN) -> Worked:
    """Read the capture, measure the channel, and hold it against what the input needs."""
    from kb.captures import measure, picture  # noqa: PLC0415 - importing the calculators must stay cheap

    port = sources.port(given.word("needs")) if given.has("needs") else None
    needs = needs_written(
        port, *(_value(given, key) for key in ("needs_high", "needs_low", "needs_duration"))
    )
    capture = sources.capture(given.word("capture"))
    number = given.count("channel")
    if number > len(capture.channels):
        raise CalculationError(_no_channel(number, capture))
    measured = measure(capture, number)
    verdict = verdict_on(measured, needs) if needs else None
    return Worked(
        results=tuple(_results(measured, verdict)),
        formulas=tuple(_formulas(measured)),
        limits=LIMITS,
        notes=(*(verdict.notes if verdict else ()), *_notes(measured)),
        sources=SOURCES,
        tables=(_table(measured),) if measured.estimates else (),
        figure=picture(measured),
    )


def bound(sources: PulseSources) -> Calculator:
    """The calculator with captures and ports from somewhere else, such as a shop."""
    return replace(CALCULATOR, function=partial(work, sources=sources))


def _value(given: Given, key: str) -> float | None:
    return given.value(key) if given.has(key) else None


def _no_channel(number: int, capture: Capture) -> InputProblem:
    named = ", ".join(f"{each.number} ({each.name})" for each in capture.channels)
    return InputProblem("channel", f"there is no channel {number} in {capture.file}", f"it has {named}")


def _results(measured: Measurement, verdict: Verdict | None) -> Iterator[Result]:
    if verdict is not None:
        yield result(CALCULATOR, "verdict", verdict.text)
        for key, value in (
            ("level_margin", verdict.level_margin_v),
            ("duration_margin", verdict.duration_margin_s),
        ):
            if value is not None:
                yield result(CALCULATOR, key, value)
    for key in MEASURED:
        found = measured.estimates.get(key)
        if found is not None and not (key == "shortest" and measured.pulses < 2):
            yield _result(key, found, _dimension(measured, key))


def _dimension(measured: Measurement, key: str) -> str:
    return measured.channel.dimension if key in LEVELS else CALCULATOR.result(key).dimension


def _result(key: str, found: Estimate, dimension: str) -> Result:
    label = CALCULATOR.result(key).label
    if found.bound == "at most":
        shown = f"at most {show(found.high, dimension)}"
        return Result(key, label, found.value, dimension, shown, high=found.high)
    if found.bound == "at least":
        shown = f"at least {show(found.value, dimension)}"
        return Result(key, label, found.value, dimension, shown, low=found.low)
    shown, band = show(found.value, dimension, _DIGITS), f"± {show(found.high - found.value, dimension, 2)}"
    return Result(key, label, found.value, dimension, shown, found.low, found.high, band)


def _formulas(measured: Measurement) -> Iterator[ShownFormula]:
    from kb.captures.doubt import LEVEL  # noqa: PLC0415 - as above

    found, dimension, states = measured.estimates, measured.channel.dimension, measured.states
    if "top" not in found or states is None:
        yield _plain_formula(measured)
        return
    levels = {"V_T": show(states.top, dimension, _DIGITS), "V_B": show(states.base, dimension, _DIGITS)}
    amplitude = AMPLITUDE.evaluate({"V_T": states.top, "V_B": states.base})
    yield _formula("Amplitude", "A", AMPLITUDE, levels, show(amplitude, dimension, _DIGITS))
    numbers = {
        "s": show(states.noise, dimension, 2), "N": str(states.count_top),
        "q": show(states.step, dimension, 2),
    }  # fmt: skip
    yield _formula("Doubt about the top", "u", LEVEL, numbers, show(found["top"].doubt, dimension, 2))
    if measured.shortest is not None:
        ends = {"t_1": measured.shortest.start_s, "t_2": measured.shortest.end_s}
        times = {name: show(at, "time", 6) for name, at in ends.items()}
        which = "Duration" if measured.pulses == 1 else "Shortest pulse"
        yield _formula(which, "t", DURATION, times, show(DURATION.evaluate(ends), "time", _DIGITS))
    if "period" in found:
        period_s = found["period"].value
        frequency = show(FREQUENCY.evaluate({"T": period_s}), "frequency", _DIGITS)
        yield _formula("Frequency", "f", FREQUENCY, {"T": show(period_s, "time", _DIGITS)}, frequency)


def _plain_formula(measured: Measurement) -> ShownFormula:
    """Without two states there is a spread and nothing else."""
    dimension = measured.channel.dimension
    level = show(measured.estimates["base"].value, dimension) if measured.estimates else "–"
    return _formula("Amplitude", "A", AMPLITUDE, {"V_T": level, "V_B": level}, "none")


def _formula(
    name: str, left: str, expression: Expression, numbers: dict[str, str], answer: str
) -> ShownFormula:
    return formula(name, left, expression, symbols={}, numbers=numbers, answer=answer)


def _notes(measured: Measurement) -> Iterator[Note]:
    from kb.captures.telling import summary  # noqa: PLC0415 - as above

    yield from (Note("warning", text) for text in measured.warnings)
    yield from (Note("note", text) for text in (*measured.cannot, *measured.notes))
    yield from (Note("note", text) for text in measured.capture.understood.assumed)
    yield Note("note", summary(measured.capture))


def _table(measured: Measurement) -> Table:
    rows = []
    for key in MEASURED:
        found = measured.estimates.get(key)
        if found is not None and not (key == "shortest" and measured.pulses < 2):
            rows.append(_row(key, found, _dimension(measured, key)))
    return Table("Parameters", COLUMNS, tuple(rows))


def _row(key: str, found: Estimate, dimension: str) -> tuple[Cell, ...]:
    label = CALCULATOR.result(key).label
    value = _result(key, found, dimension)
    ends = tuple(
        Cell(each, "–" if each is None else show(each, dimension, _DIGITS))
        for each in (found.least, found.most)
    )
    doubt = found.high - found.value
    return (
        Cell(label, label), Cell(found.value, value.shown), Cell(doubt, show(doubt, dimension, 2)), *ends,
        Cell(found.count, str(found.count)),
    )  # fmt: skip


def _level(key: str, label: str, symbol: str, text: str, example: str) -> Input:
    return Input(key, label, symbol, "voltage", text, example, positive=False)


CALCULATOR = Calculator(
    name="pulse",
    title="Pulse parameters of a capture",
    summary="Levels, duration, edges, period and jitter from an oscilloscope capture, each with its doubt.",
    inputs=(
        Input(
            "capture", "Capture", "", "text", "the file, as CSV; in a shop one under captures/", EXAMPLE,
            required=True,
        ),
        Input(
            "channel", "Channel", "", "integer", "which trace, counted from 1", "1",
            default="1", least=1, most=64,
        ),
        Input("needs", "Drives", "", "text", "the input, as model/port; in a shop", "tallyman/clock-in"),
        Input("needs_duration", "Needs at least", "t_I", "time", "the least pulse of that input", "1 ms"),
        _level("needs_high", "Needs high", "V_IH", "from where on that input is on", "3 V"),
        _level("needs_low", "Needs low", "V_IL", "up to where that input is off", "0.8 V"),
    ),
    results=(
        ResultSpec("verdict", "Verdict", "text"),
        ResultSpec("level_margin", "High level margin", "voltage", "at worst; below zero: it never turns on"),
        ResultSpec("duration_margin", "Duration margin", "time", "at worst; below zero: it is missed"),
        ResultSpec("base", "Base", "voltage", "the low state"),
        ResultSpec("top", "Top", "voltage", "the high state"),
        ResultSpec("amplitude", "Amplitude", "voltage"),
        ResultSpec("duration", "Pulse duration", "time", "at 50 %, the mean of all whole pulses"),
        ResultSpec("shortest", "Shortest pulse", "time"),
        ResultSpec("rise", "Rise", "time", "from 10 % to 90 %"),
        ResultSpec("fall", "Fall", "time", "from 90 % to 10 %"),
        ResultSpec("overshoot", "Overshoot", "ratio", "of the amplitude, above the top"),
        ResultSpec("undershoot", "Undershoot", "ratio", "of the amplitude, below the base"),
        ResultSpec("period", "Period", "time"),
        ResultSpec("frequency", "Frequency", "frequency"),
        ResultSpec("duty", "Duty", "ratio"),
        ResultSpec("jitter", "Jitter of the period", "time", "rms"),
    ),
    example={"capture": EXAMPLE, "channel": "1", "needs_duration": "1 ms", "needs_high": "3 V"},
    function=work,
)  # fmt: skip

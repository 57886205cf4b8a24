"""A supply at each mains level as a table and as a picture, by the simple form and as solved in time."""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import Cell, Column, Table
from kb.calculators.reading import Given
from kb.calculators.supply_formulas import HIGH_MAINS, LOW_MAINS, PULSES, peak
from kb.calculators.supply_real import LEVELS, Solved
from kb.calculators.supply_solution import Waveform
from kb.calculators.working import cell, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series

COLUMNS = (
    Column("form", "Worked out", "text"),
    Column("mains", "Mains", "text"),
    Column("peak", "Peak", "voltage"),
    Column("ripple", "Ripple", "voltage"),
    Column("valley", "Valley", "voltage"),
    Column("headroom", "Above what is needed", "voltage"),
)


def by_mains(given: Given, values: Mapping[str, float], solved: Solved | None) -> Table:
    """Every mains level in the simple form, and in time where that was done."""
    secondaries = {
        "nominal": values["V_s"], "low": LOW_MAINS.evaluate(values), "high": HIGH_MAINS.evaluate(values),
    }  # fmt: skip
    need = values.get("V_n")
    rows = []
    for level in LEVELS:
        peak_v = peak("V_s").evaluate({**values, "V_s": secondaries[level]})
        rows.append(_row(given, "simple form", level, (peak_v, values["V_r"], peak_v - values["V_r"]), need))
    if solved is not None:
        for level in LEVELS:
            found = solved.at(level)
            rows.append(_row(given, "in time", level, (found.peak_v, found.ripple_v, found.valley_v), need))
    return Table("By mains voltage", COLUMNS, tuple(rows))


def _row(
    given: Given, form: str, level: str, volts: tuple[float, float, float], need: float | None
) -> tuple[Cell, ...]:
    by = {
        "low": f"−{given.quantities['mains_low'].shown}",
        "high": f"+{given.quantities['mains_high'].shown}",
    }
    headroom = None if need is None else volts[2] - need
    numbers = (cell(value, "voltage") for value in (*volts, headroom))
    return (cell(form, "text"), cell(by.get(level, "nominal"), "text"), *numbers)


def figure(given: Given, values: Mapping[str, float], solved: Solved | None) -> FigureSpec:
    """Two periods of the ripple with the valley and what the regulator needs."""
    valley = values["V_v"] if solved is None else solved.nominal.valley_v
    marks = [Mark("horizontal", valley, f"valley {shown(valley, 'voltage')}")]
    if "V_n" in values:
        marks.append(Mark("horizontal", values["V_n"], f"needed {shown(values['V_n'], 'voltage')}"))
    series = (_saw(given, values),) if solved is None else _curves(solved)
    return FigureSpec(
        title="Voltage on the reservoir",
        description=(
            f"The voltage over two periods of the ripple; its valley is {shown(valley, 'voltage')}"
            + (f" and the regulator needs {shown(values['V_n'], 'voltage')}." if "V_n" in values else ".")
        ),
        x=Axis("Time", "time"),
        y=Axis("Reservoir", "voltage"),
        series=series,
        marks=tuple(marks),
    )


def _saw(given: Given, values: Mapping[str, float]) -> Series:
    """The simple form's picture: a straight fall between peaks, and a recharge that takes no time."""
    period = 1 / (given.value("mains_frequency") * PULSES[given.word("rectifier")])
    high, low = values["V_p"], values["V_v"]
    times = (0.0, period, period, 2 * period, 2 * period)
    return Series("nominal mains, simple form", times, (high, low, high, low, high))


def _curves(solved: Solved) -> tuple[Series, ...]:
    return tuple(
        _twice(label, waveform)
        for label, waveform in (("nominal mains", solved.nominal), ("low mains", solved.low))
    )


def _twice(label: str, waveform: Waveform) -> Series:
    # every eighth point is enough for a picture this wide
    times, volts = waveform.times_s[::8], waveform.volts[::8]
    period = waveform.times_s[-1]
    return Series(label, times + tuple(period + at for at in times[1:]), volts + volts[1:])

"""A resistor charging or discharging a capacitor: time constant, corner, rise time, time to a threshold."""

from __future__ import annotations

import math

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Input,
    InputProblem,
    Note,
    ResultSpec,
    ShownFormula,
    Source,
    Worked,
)
from kb.calculators.reading import Given
from kb.calculators.working import Band, corners, formula, result, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

TIME_CONSTANT = Expression("R * C")
CORNER = Expression("1 / (2 * pi * R * C)")
RISE = Expression("R * C * ln(9)")
CHARGE = Expression("R * C * ln(1 / (1 - p))")
DISCHARGE = Expression("R * C * ln(1 / p)")
FRACTION = Expression("V_T / V_S")
CHARGING_CURVE = Expression("1 - exp(-t / (R * C))")
DISCHARGING_CURVE = Expression("exp(-t / (R * C))")
LEAKAGE_DROP = Expression("R * I_L")

# A good small electrolytic leaks about this much; the limit of one maker's series starts at 3 uA.
LEAKAGE_A = 1e-6
CURVE_POINTS = 61

SOURCES = (
    Source("Charge and discharge of a capacitor through a resistor (textbook)", "confirmed with ngspice"),
    Source("Rise time from 10 % to 90 % as in IEC 60469:2013", "the factor ln 9 is computed"),
)


def work(given: Given) -> Worked:
    """Work out all four times with their bands."""
    fraction = _fraction(given)
    to_threshold = CHARGE if given.word("direction") == "charge" else DISCHARGE
    values = {"R": given.value("resistor"), "C": given.value("capacitor"), "p": fraction}
    bands = {"R": given.band("resistor"), "C": given.band("capacitor")}
    named = (
        ("time_constant", "Time constant", "tau", TIME_CONSTANT),
        ("corner", "Corner frequency", "f_c", CORNER),
        ("rise_time", "Rise time, 10 % to 90 %", "t_r", RISE),
        ("time_to_threshold", "Time to the threshold", "t_T", to_threshold),
    )
    return Worked(
        results=tuple(
            result(CALCULATOR, key, expression.evaluate(values), corners(expression, values, bands))
            for key, _, _, expression in named
        ),
        formulas=_threshold_formula(given, fraction)
        + tuple(_shown(given, values, label, left, expression) for _, label, left, expression in named),
        limits=("A source much smaller and a load much larger than the resistor.",),
        notes=_notes(given),
        sources=SOURCES,
        figure=_figure(given, values, to_threshold.evaluate(values)),
    )


def _fraction(given: Given) -> float:
    """The threshold as a part of the whole swing; both ends of the swing are never reached."""
    threshold = given.quantities["threshold"]
    fraction = threshold.value
    if threshold.dimension == "voltage":
        if not given.has("supply"):
            raise CalculationError(
                InputProblem("supply", "is missing", "a threshold in volts needs the supply, for example 5 V")
            )
        fraction = FRACTION.evaluate({"V_T": threshold.value, "V_S": given.value("supply")})
    if fraction >= 1:
        what = f"{threshold.shown} is never reached"
        raise CalculationError(InputProblem("threshold", what, "give one between zero and the supply"))
    return fraction


def _threshold_formula(given: Given, fraction: float) -> tuple[ShownFormula, ...]:
    threshold = given.quantities["threshold"]
    if threshold.dimension != "voltage":
        return ()
    numbers = {"V_T": threshold.shown, "V_S": given.quantities["supply"].shown}
    answer = shown(fraction, "ratio")
    return (formula("Threshold", "p", FRACTION, symbols={}, numbers=numbers, answer=answer),)


def _shown(
    given: Given, values: dict[str, float], label: str, left: str, expression: Expression
) -> ShownFormula:
    numbers = {
        "R": shown(values["R"], "resistance"),
        "C": shown(values["C"], "capacitance"),
        "p": f"{values['p']:.4g}",
    }
    dimension = "frequency" if expression is CORNER else "time"
    answer = shown(expression.evaluate(values), dimension)
    symbols = {item.symbol: item.symbol for item in given.calculator.inputs}
    return formula(label, left, expression, symbols=symbols, numbers=numbers, answer=answer)


def _notes(given: Given) -> tuple[Note, ...]:
    notes = []
    drop = LEAKAGE_DROP.evaluate({"R": given.value("resistor"), "I_L": LEAKAGE_A})
    if given.value("capacitor") >= 1e-6 and drop > 0.05:
        text = (
            f"an electrolytic that leaks 1 µA drops {shown(drop, 'voltage')} across this resistor, so the "
            "voltage stops that far short of the supply and the times grow"
        )
        notes.append(Note("warning" if given.word("direction") == "charge" else "note", text))
    if "capacitor" not in _with_own_tolerance(given) and "capacitor_tolerance" not in given.written:
        notes.append(Note("note", "no tolerance was given for the capacitor: ±20 % is assumed"))
    return tuple(notes)


def _with_own_tolerance(given: Given) -> set[str]:
    return {key for key, quantity in given.quantities.items() if quantity.has_tolerance}


def _figure(given: Given, values: dict[str, float], time_s: float) -> FigureSpec:
    direction = given.word("direction")
    curve = CHARGING_CURVE if direction == "charge" else DISCHARGING_CURVE
    slow: Band = (given.band("resistor")[1], given.band("capacitor")[1])
    end_s = max(5 * TIME_CONSTANT.evaluate(values), 1.3 * time_s)
    times = tuple(end_s * step / (CURVE_POINTS - 1) for step in range(CURVE_POINTS))

    def drawn(label: str, resistor: float, capacitor: float) -> Series:
        levels = tuple(curve.evaluate({"t": t, "R": resistor, "C": capacitor}) for t in times)
        return Series(label, times, levels)

    series = [drawn("nominal parts", values["R"], values["C"])]
    if not math.isclose(slow[0] * slow[1], values["R"] * values["C"]):
        series.append(drawn("slowest parts", *slow))
    threshold = given.quantities["threshold"].shown
    return FigureSpec(
        title=f"{direction.capitalize()} of the capacitor",
        description=(
            f"The voltage as a part of the supply against time; it crosses the threshold of {threshold} "
            f"after {shown(time_s, 'time')} with nominal parts."
        ),
        x=Axis("Time", "time"),
        y=Axis("Part of the supply", "ratio"),
        series=tuple(series),
        marks=(
            Mark("horizontal", values["p"], f"threshold {threshold}"),
            Mark("vertical", time_s, shown(time_s, "time")),
        ),
    )


CALCULATOR = Calculator(
    name="rc",
    title="Resistor and capacitor",
    summary="Time constant, corner frequency, rise time and the time to a threshold.",
    inputs=(
        Input("resistor", "Resistor", "R", "resistance", "in the path", "10 kohm", required=True),
        Input("capacitor", "Capacitor", "C", "capacitance", "the capacitance", "100 nF", required=True),
        Input(
            "threshold", "Threshold", "V_T", "ratio|voltage",
            "a part of the supply in percent, or a voltage together with the supply", "50 %", default="50 %",
        ),
        Input("supply", "Supply", "V_S", "voltage", "the voltage at full charge", "5 V"),
        Input(
            "direction", "Direction", "", "choice", "charge towards the supply or discharge from it to zero",
            "charge", default="charge", choices=("charge", "discharge"),
        ),
        Input(
            "resistor_tolerance", "Resistor tolerance", "", "tolerance", "used when the resistor states none",
            "5 %", default="±5 %", positive=False,
        ),
        Input(
            "capacitor_tolerance", "Capacitor tolerance", "", "tolerance",
            "used when the capacitor states none", "20 %", default="±20 %", positive=False,
        ),
    ),
    results=(
        ResultSpec("time_constant", "Time constant", "time"),
        ResultSpec("corner", "Corner frequency (−3 dB)", "frequency"),
        ResultSpec("rise_time", "Rise time, 10 % to 90 %", "time"),
        ResultSpec("time_to_threshold", "Time to the threshold", "time"),
    ),
    example={"resistor": "10 kohm", "capacitor": "100 nF", "threshold": "2.5 V", "supply": "5 V"},
    function=work,
)  # fmt: skip

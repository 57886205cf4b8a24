"""A resistor charging or discharging a capacitor: time constant, corner, rise time, time to a threshold."""

from __future__ import annotations

import math
from collections.abc import Mapping

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Input,
    InputProblem,
    ResultSpec,
    ShownFormula,
    Source,
    Worked,
)
from kb.calculators.plan import Band, Comparison, Condition, Plan, Refusal, Shown, Step, Variable
from kb.calculators.reading import Given
from kb.calculators.working import formula, planned, shown
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

NAMES = {"resistor": "R", "capacitor": "C"}
LEFT = (
    ("Time constant", "tau"), ("Corner frequency", "f_c"), ("Rise time, 10 % to 90 %", "t_r"),
    ("Time to the threshold", "t_T"),
)  # fmt: skip
LEAKS = (
    "an electrolytic that leaks 1 µA drops {drop} across this resistor, so the voltage stops that far short "
    "of the supply and the times grow"
)
ASSUMED = "no tolerance was given for the capacitor: ±20 % is assumed"

# A good small electrolytic leaks about this much; the limit of one maker's series starts at 3 uA.
LEAKAGE_A = 1e-6
CURVE_POINTS = 61

SOURCES = (
    Source("Charge and discharge of a capacitor through a resistor (textbook)", "confirmed with ngspice"),
    Source("Rise time from 10 % to 90 % as in IEC 60469:2013", "the factor ln 9 is computed"),
)


def work(given: Given) -> Worked:
    """Work out all four times with their bands."""
    plan = plan_of(given)
    values = plan.evaluate()
    return Worked(
        results=planned(CALCULATOR, plan, values),
        formulas=_threshold_formula(given, values["p"])
        + tuple(_shown(given, values, label, left, plan.steps[at]) for at, label, left in _formulas(plan)),
        limits=("A source much smaller and a load much larger than the resistor.",),
        notes=plan.notes(values),
        sources=SOURCES,
        figure=_figure(given, values),
        plan=plan,
    )


def plan_of(given: Given) -> Plan:
    """The calculation as data; with a threshold in volts the supply decides what part of it that is."""
    over = {"R": given.tolerance("resistor"), "C": given.tolerance("capacitor")}
    to_threshold = CHARGE if given.word("direction") == "charge" else DISCHARGE
    steps = tuple(
        Step(key, expression, "frequency" if expression is CORNER else "time", key, Band(expression, over))
        for key, expression in (
            ("time_constant", TIME_CONSTANT), ("corner", CORNER), ("rise_time", RISE),
            ("time_to_threshold", to_threshold),
        )
    )  # fmt: skip
    threshold, fraction = _threshold(given)
    return Plan(
        variables=(*(_variable(given, key, name) for key, name in NAMES.items()), *threshold),
        steps=(*fraction, *steps, Step("drop", LEAKAGE_DROP, "voltage")),
        constants={"I_L": LEAKAGE_A},
        conditions=_conditions(given),
        refusals=() if fraction else (_never_reached("p", "ratio"),),
        assumed=frozenset(key for key in NAMES if given.is_assumed(key)),
    )


def _variable(given: Given, key: str, name: str) -> Variable:
    quantity = given.quantities[key]
    return Variable(key, name, quantity.dimension, quantity.value, *given.tolerance(key))


def _threshold(given: Given) -> tuple[tuple[Variable, ...], tuple[Step, ...]]:
    """The threshold as a part of the whole swing; both ends of the swing are never reached."""
    if given.quantities["threshold"].dimension != "voltage":
        return (_variable(given, "threshold", "p"),), ()
    if not given.has("supply"):
        raise CalculationError(
            InputProblem("supply", "is missing", "a threshold in volts needs the supply, for example 5 V")
        )
    volts = (_variable(given, "threshold", "V_T"), _variable(given, "supply", "V_S"))
    return volts, (Step("p", FRACTION, "ratio", refusals=(_never_reached("V_T", "voltage"),)),)


def _never_reached(name: str, dimension: str) -> Refusal:
    return Refusal(
        (Comparison.read("p >= 1"),), "threshold", "{given} is never reached",
        "give one between zero and the supply", {"given": Shown(name, dimension, 6)},
    )  # fmt: skip


def _conditions(given: Given) -> tuple[Condition, ...]:
    leaks = (Comparison.read("C >= 1e-6"), Comparison.read("drop > 0.05"))
    return (
        Condition.whenever(
            "warning" if given.word("direction") == "charge" else "note", LEAKS, *leaks,
            fills={"drop": Shown("drop", "voltage")},
        ),
        Condition.whenever("note", ASSUMED, assumed="capacitor"),
    )  # fmt: skip


def _formulas(plan: Plan) -> tuple[tuple[int, str, str], ...]:
    """The place of each shown step, its name and its left side."""
    first = next(at for at, step in enumerate(plan.steps) if step.key)
    return tuple((first + number, label, left) for number, (label, left) in enumerate(LEFT))


def _threshold_formula(given: Given, fraction: float) -> tuple[ShownFormula, ...]:
    threshold = given.quantities["threshold"]
    if threshold.dimension != "voltage":
        return ()
    numbers = {"V_T": threshold.shown, "V_S": given.quantities["supply"].shown}
    answer = shown(fraction, "ratio")
    return (formula("Threshold", "p", FRACTION, symbols={}, numbers=numbers, answer=answer),)


def _shown(given: Given, values: Mapping[str, float], label: str, left: str, step: Step) -> ShownFormula:
    numbers = {
        "R": shown(values["R"], "resistance"),
        "C": shown(values["C"], "capacitance"),
        "p": f"{values['p']:.4g}",
    }
    answer = shown(values[step.name], step.dimension)
    symbols = {item.symbol: item.symbol for item in given.calculator.inputs}
    return formula(label, left, step.expression, symbols=symbols, numbers=numbers, answer=answer)


def _figure(given: Given, values: Mapping[str, float]) -> FigureSpec:
    time_s = values["time_to_threshold"]
    direction = given.word("direction")
    curve = CHARGING_CURVE if direction == "charge" else DISCHARGING_CURVE
    slow = (given.band("resistor")[1], given.band("capacitor")[1])
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

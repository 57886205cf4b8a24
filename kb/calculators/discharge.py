"""How long a capacitor stays dangerous through a given resistor, and what that resistor has to bear.

The time is a lower bound for when to measure. It is never a permission to touch, and no input makes it one.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import Calculator, Column, Input, ResultSpec, ShownFormula, Source, Worked
from kb.calculators.plan import (
    Band,
    Comparison,
    Condition,
    Plan,
    PlanTable,
    Refusal,
    Shown,
    Step,
    Variable,
)
from kb.calculators.plan_tables import Row
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance
from kb.calculators.touch_limits import LIMITS, LOWEST_DC_V
from kb.calculators.working import formula, planned, shown, shown_table
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

# Nothing is faster than no time at all: below the limit the logarithm would run backwards.
TIME = Expression("R * C * max(0, ln(V_0 / V_S))")
RESISTOR = Expression("t / (C * ln(V_0 / V_S))")
# The same for a part of which r times the printed value may be fitted.
HIGHEST = Expression("t / (r * C * ln(V_0 / V_S))")
ENERGY = Expression("C * V_0 ** 2 / 2")
POWER = Expression("V_0 ** 2 / R")
DECAY = Expression("V_0 * exp(-t / (R * C))")

MEASURE_FIRST = (
    "measure across the capacitor before you touch anything: the time is a lower bound, never a permission"
)
RECOVERY = (
    "a capacitor recovers some voltage after it was discharged (dielectric absorption): measure again, and "
    "leave the resistor across it while you work"
)
LOCAL_CODE = "the current edition of the standard, the local code and licensed practice come before this page"
STILL_BURNS = "below the limit already, but the energy can still burn a track, a tool or a finger with a ring"

CURVE_POINTS = 61
COMMON_RATING_V = 250.0
RATED_VOLTAGE = (
    f"many small film resistors are rated {COMMON_RATING_V:g} V (common practice, no source): take one rated "
    "for this voltage or several in series"
)
ASSUMED = (
    "no tolerance was given for the capacitor: ±20 % is assumed; old electrolytics were made to -20/+80 % too"
)
ABOVE_LOWEST = f"the limit asked for is above {LOWEST_DC_V} V d.c., the lowest that was found published"
PULSE = "the resistor starts at {power} and takes up nearly all the energy: check its pulse rating"
SERIES = "E24"

COLUMNS = (
    Column("limit", "Limit", "voltage"), Column("what", "For", "text"),
    Column("document", "Document", "text"), Column("certainty", "How it was confirmed", "text"),
    Column("time", "Time, worst case", "time"),
)  # fmt: skip

CONDITIONS = (
    Condition.whenever(
        "warning", f"allow at least {{wait}}, then {MEASURE_FIRST}", Comparison.read("longest > 0"),
        fills={"wait": Shown("longest", "time", rounds_up=True)},
    ),
    Condition.whenever("warning", MEASURE_FIRST, Comparison.read("longest <= 0")),
    Condition.whenever("warning", RECOVERY),
    Condition.whenever("warning", LOCAL_CODE),
    Condition.whenever("warning", STILL_BURNS, Comparison.read("V_0 <= V_S")),
    Condition.whenever("warning", ABOVE_LOWEST, Comparison.read(f"V_S > {LOWEST_DC_V}")),
    Condition.whenever("warning", RATED_VOLTAGE, Comparison.read(f"V_0 > {COMMON_RATING_V}")),
    Condition.whenever("warning", PULSE, fills={"power": Shown("power", "power")}),
    Condition.whenever("note", ASSUMED, assumed="capacitor"),
)  # fmt: skip
"""What has to stand beside the number; the first three always do."""

Over = Mapping[str, PartTolerance]
"""The tolerance of each part by its name in the formulas."""

SOURCES = (
    Source("E = C V²/2, t = R C ln(V0/Vs), P = V²/R (textbook)", "confirmed with ngspice"),
    Source(
        "Limits for touch: see the table; check the current edition and the local code", "read second-hand"
    ),
)


def work(given: Given) -> Worked:
    """Solve for the time or for the resistor, with worst-case bands."""
    plan = plan_of(given)
    values = plan.evaluate()
    return Worked(
        results=planned(CALCULATOR, plan, values),
        formulas=_formulas(given, values),
        limits=("A plain resistor across the capacitor, nothing else charging or discharging it.",),
        notes=plan.notes(values),
        sources=SOURCES,
        tables=(shown_table(plan.tables[0], COLUMNS, values),),
        figure=_figure(given, values),
        plan=plan,
    )


def plan_of(given: Given) -> Plan:
    """The calculation as data; the resistor is given or solved for, with the preferred one that holds it."""
    over = {"R": given.tolerance("resistor"), "C": given.tolerance("capacitor"),
            "V_0": given.tolerance("voltage")}  # fmt: skip
    solves_resistor = given.solved_for == "resistor"
    known = ("time", "t") if solves_resistor else ("resistor", "R")
    return Plan(
        variables=tuple(
            Variable(key, name, given.quantities[key].dimension, given.value(key), *given.tolerance(key))
            for key, name in (("capacitor", "C"), ("voltage", "V_0"), ("safe", "V_S"), known)
        ),
        steps=(
            *(_resistor_steps(over) if solves_resistor else ()),
            Step("time", TIME, "time", "time", Band(TIME, over)),
            Step("energy", ENERGY, "energy", "energy", Band(ENERGY, over)),
            Step("power", POWER, "power", "power", Band(POWER, over)),
            _longest(over),
        ),
        constants={"r": 1.0} if solves_resistor else {},
        conditions=CONDITIONS,
        refusals=(_not_above("{voltage} is not above {limit}", "V_0"),) if solves_resistor else (),
        tables=(_limit_table(over),),
        assumed=frozenset({"capacitor"} if given.is_assumed("capacitor") else ()),
    )


def _longest(over: Over) -> Step:
    """The wait with the slowest parts, which is the one to print."""
    return Step("longest", TIME, "time", band=Band(TIME, over), corner="greatest")


def _resistor_steps(over: Over) -> tuple[Step, ...]:
    """The resistor that takes the wanted time, and the preferred one that holds it with the worst parts."""
    rest = {name: spread for name, spread in over.items() if name != "R"}
    with_preferred = TIME.renamed({"R": "R_P"})
    lowest = _not_above("{voltage} at its lowest is not above {limit}", "V_low")
    return (
        Step("V_low", Expression("V_0"), "voltage", band=Band(Expression("V_0"), rest), corner="least",
             refusals=(lowest,)),
        Step("R", RESISTOR, "resistance", "resistor", Band(RESISTOR, rest)),
        Step("R_P", HIGHEST, "resistance", "preferred", Band(HIGHEST, {**rest, "r": over["R"]}), SERIES,
             pick="below", corner="least"),
        Step("t_P", with_preferred, "time", "time_with_preferred",
             Band(with_preferred, {**rest, "R_P": over["R"]})),
    )  # fmt: skip


def _not_above(what: str, name: str) -> Refusal:
    fills = {"voltage": Shown(name, "voltage", 6), "limit": Shown("V_S", "voltage", 6)}
    when = (Comparison.read(f"{name} <= V_S"),)
    return Refusal(when, "voltage", what, "there is no resistor to solve for", fills)


def _limit_table(over: Over) -> PlanTable:
    """What each published limit would ask for, with the slowest parts."""
    return PlanTable(
        title="Published limits, which differ",
        steps=(_longest(over),),
        cells={"limit": Shown("V_S", "voltage"), "time": Shown("longest", "time")},
        rows=tuple(
            Row(each.what, {"V_S": each.limit_v},
                words={"document": each.document, "certainty": each.certainty})
            for each in LIMITS
        ),
    )  # fmt: skip


def _formulas(given: Given, values: Mapping[str, float]) -> tuple[ShownFormula, ...]:
    symbols = {item.symbol: item.symbol for item in given.calculator.inputs}
    numbers = {
        "R": shown(values["R"], "resistance"), "C": shown(values["C"], "capacitance"),
        "V_0": shown(values["V_0"], "voltage"), "V_S": shown(values["V_S"], "voltage"),
        "t": shown(values["time"], "time"),
    }  # fmt: skip

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols=symbols, numbers=numbers, answer=answer)

    if given.solved_for == "resistor":
        first = one("Resistor", "R", RESISTOR, shown(values["R"], "resistance"))
    else:
        time_s = values["time"]
        answer = shown(time_s, "time") if time_s else "0 s, as it is below the limit already"
        first = one("Time to the limit", "t", TIME, answer)
    return (
        first,
        one("Stored energy", "E", ENERGY, shown(values["energy"], "energy")),
        one("Power in the resistor at first", "P", POWER, shown(values["power"], "power")),
    )


def _figure(given: Given, values: Mapping[str, float]) -> FigureSpec:
    parts = {"R": "resistor", "C": "capacitor", "V_0": "voltage"}
    slowest = {**values} | {name: given.band(key, values[name])[1] for name, key in parts.items()}
    end_s = max(3 * values["R"] * values["C"], 1.2 * TIME.evaluate(slowest))
    times = tuple(end_s * step / (CURVE_POINTS - 1) for step in range(CURVE_POINTS))
    series = [
        Series(label, times, tuple(DECAY.evaluate({**case, "t": t}) for t in times))
        for label, case in (("nominal parts", values), ("slowest parts", slowest))
    ]
    limit = shown(values["V_S"], "voltage")
    return FigureSpec(
        title="Voltage on the capacitor",
        description=(
            f"The voltage falls from {shown(values['V_0'], 'voltage')} and passes {limit} after "
            f"{shown(values['time'], 'time')} with nominal parts, later with the slowest."
        ),
        x=Axis("Time", "time"),
        y=Axis("Voltage", "voltage"),
        series=tuple(series if slowest != dict(values) else series[:1]),
        marks=(Mark("horizontal", values["V_S"], f"limit {limit}"),),
    )


CALCULATOR = Calculator(
    name="discharge",
    title="Discharging a capacitor",
    summary="How long until a stored voltage has fallen to a limit, the energy, and the resistor's power.",
    inputs=(
        Input("capacitor", "Capacitor", "C", "capacitance", "its capacitance", "4700 uF", required=True),
        Input("voltage", "Voltage at first", "V_0", "voltage", "across the capacitor", "35 V", required=True),
        Input(
            "resistor", "Discharge resistor", "R", "resistance", "across the capacitor", "1 kohm",
            solvable=True,
        ),
        Input("time", "Wanted time", "t", "time", "in which the limit must be reached", "5 s", solvable=True),
        Input(
            "safe", "Limit", "V_S", "voltage", "the voltage to fall to; check the local code", "42.4 V",
            default=f"{LOWEST_DC_V} V",
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
        ResultSpec("time", "Time to the limit", "time"),
        ResultSpec("energy", "Stored energy", "energy"),
        ResultSpec("power", "Power in the resistor at first", "power"),
        ResultSpec("resistor", "Resistor for the wanted time", "resistance", "when it is solved for"),
        ResultSpec("preferred", "Preferred resistor that holds it", "resistance", "when it is solved for"),
        ResultSpec("time_with_preferred", "Time with that resistor", "time", "when it is solved for"),
    ),
    example={"capacitor": "220 uF", "voltage": "325 V", "resistor": "10 kohm"},
    function=work,
    solve_group=("resistor", "time"),
)  # fmt: skip

"""How long a capacitor stays dangerous through a given resistor, and what that resistor has to bear.

The time is a lower bound for when to measure. It is never a permission to touch, and no input makes it one.
"""

from __future__ import annotations

import math

from kb.calculators.base import (
    CalculationError,
    Calculator,
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
from kb.calculators.reading import Given
from kb.calculators.series import neighbours
from kb.calculators.touch_limits import LIMITS, LOWEST_DC_V
from kb.calculators.working import Band, cell, corners, formula, result, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

TIME = Expression("R * C * ln(V_0 / V_S)")
RESISTOR = Expression("t / (C * ln(V_0 / V_S))")
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
SERIES = "E24"

SOURCES = (
    Source("E = C V²/2, t = R C ln(V0/Vs), P = V²/R (textbook)", "confirmed with ngspice"),
    Source(
        "Limits for touch: see the table; check the current edition and the local code", "read second-hand"
    ),
)


def work(given: Given) -> Worked:
    """Solve for the time or for the resistor, with worst-case bands."""
    values = {"C": given.value("capacitor"), "V_0": given.value("voltage"), "V_S": given.value("safe")}
    bands = {"C": given.band("capacitor"), "V_0": given.band("voltage")}
    if given.solved_for == "resistor":
        values["R"], found = _solved_resistor(given, values, bands)
    else:
        values["R"], found = given.value("resistor"), ()
    bands["R"] = given.band("resistor", values["R"])
    time_s, time_band = _time(values, bands)
    return Worked(
        results=(
            result(CALCULATOR, "time", time_s, time_band),
            result(CALCULATOR, "energy", ENERGY.evaluate(values), corners(ENERGY, values, bands)),
            result(CALCULATOR, "power", POWER.evaluate(values), corners(POWER, values, bands)),
            *found,
        ),
        formulas=_formulas(given, values, time_s),
        limits=("A plain resistor across the capacitor, nothing else charging or discharging it.",),
        notes=_cautions(given, values, time_band[1]),
        sources=SOURCES,
        tables=(_limit_table(values, bands),),
        figure=_figure(values, bands, time_s),
    )


def _time(values: dict[str, float], bands: dict[str, Band]) -> tuple[float, Band]:
    """Nothing is faster than no time at all: below the limit the formula would run backwards."""
    low, high = corners(TIME, values, bands)
    return max(0.0, TIME.evaluate(values)), (max(0.0, low), max(0.0, high))


def _solved_resistor(
    given: Given, values: dict[str, float], bands: dict[str, Band]
) -> tuple[float, tuple[Result, ...]]:
    """The resistor that takes the wanted time, and the preferred one that holds it with the worst parts."""
    if values["V_0"] <= values["V_S"]:
        what = f"{given.quantities['voltage'].shown} is not above {given.quantities['safe'].shown}"
        raise CalculationError(InputProblem("voltage", what, "there is no resistor to solve for"))
    values = {**values, "t": given.value("time")}
    resistor = RESISTOR.evaluate(values)
    least, most = corners(RESISTOR, values, bands)
    _, plus = given.tolerance("resistor")
    preferred = neighbours(least / (1 + plus), SERIES).below
    with_preferred = {**values, "R": preferred}
    spread = {**bands, "R": given.band("resistor", preferred)}
    time_s, band = _time(with_preferred, spread)
    return resistor, (
        result(CALCULATOR, "resistor", resistor, (least, most)),
        result(CALCULATOR, "preferred", preferred),
        result(CALCULATOR, "time_with_preferred", time_s, band),
    )


def _formulas(given: Given, values: dict[str, float], time_s: float) -> tuple[ShownFormula, ...]:
    symbols = {item.symbol: item.symbol for item in given.calculator.inputs}
    numbers = {
        "R": shown(values["R"], "resistance"), "C": shown(values["C"], "capacitance"),
        "V_0": shown(values["V_0"], "voltage"), "V_S": shown(values["V_S"], "voltage"),
        "t": shown(time_s, "time"),
    }  # fmt: skip

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols=symbols, numbers=numbers, answer=answer)

    if given.solved_for == "resistor":
        first = one("Resistor", "R", RESISTOR, shown(values["R"], "resistance"))
    else:
        answer = shown(TIME.evaluate(values), "time") if time_s else "0 s, as it is below the limit already"
        first = one("Time to the limit", "t", TIME, answer)
    return (
        first,
        one("Stored energy", "E", ENERGY, shown(ENERGY.evaluate(values), "energy")),
        one("Power in the resistor at first", "P", POWER, shown(POWER.evaluate(values), "power")),
    )


def _cautions(given: Given, values: dict[str, float], longest_s: float) -> tuple[Note, ...]:
    """What has to stand beside the number; the first three always do."""
    texts = [MEASURE_FIRST, RECOVERY, LOCAL_CODE]
    if longest_s:
        texts[0] = f"allow at least {shown(rounded_up(longest_s), 'time')}, then {MEASURE_FIRST}"
    if values["V_0"] <= values["V_S"]:
        texts.append(STILL_BURNS)
    if values["V_S"] > LOWEST_DC_V:
        texts.append(
            f"the limit asked for is above {LOWEST_DC_V} V d.c., the lowest that was found published"
        )
    if values["V_0"] > COMMON_RATING_V:
        texts.append(RATED_VOLTAGE)
    power = shown(POWER.evaluate(values), "power")
    texts.append(f"the resistor starts at {power} and takes up nearly all the energy: check its pulse rating")
    return tuple(Note("warning", text) for text in texts) + _assumed(given)


def rounded_up(time_s: float) -> float:
    """Two digits, never rounded down: a shorter wait than computed must not be printed in a caution."""
    step = 10.0 ** (math.floor(math.log10(time_s)) - 1)
    return math.ceil(time_s / step) * step


def _assumed(given: Given) -> tuple[Note, ...]:
    if given.quantities["capacitor"].has_tolerance or "capacitor_tolerance" in given.written:
        return ()
    return (Note("note", ASSUMED),)


def _limit_table(values: dict[str, float], bands: dict[str, Band]) -> Table:
    columns = (
        Column("limit", "Limit", "voltage"), Column("what", "For", "text"),
        Column("document", "Document", "text"), Column("certainty", "How it was confirmed", "text"),
        Column("time", "Time, worst case", "time"),
    )  # fmt: skip
    rows = []
    for limit in LIMITS:
        _, (_, longest_s) = _time({**values, "V_S": limit.limit_v}, bands)
        words = (limit.what, limit.document, limit.certainty)
        rows.append(
            (cell(limit.limit_v, "voltage"), *(cell(word, "text") for word in words), cell(longest_s, "time"))
        )
    return Table("Published limits, which differ", columns, tuple(rows))


def _figure(values: dict[str, float], bands: dict[str, Band], time_s: float) -> FigureSpec:
    slowest = {**values, "R": bands["R"][1], "C": bands["C"][1], "V_0": bands["V_0"][1]}
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
            f"{shown(time_s, 'time')} with nominal parts, later with the slowest."
        ),
        x=Axis("Time", "time"),
        y=Axis("Voltage", "voltage"),
        series=tuple(series if slowest != values else series[:1]),
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

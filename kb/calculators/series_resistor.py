"""A resistor in series with something that drops a voltage of its own: an LED, a Zener, a relay's coil.

The part that drops the voltage is taken as a constant drop. It must not be used for mains or for anything
whose current is set by something else.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import (
    Calculator,
    Input,
    Note,
    ResultSpec,
    ShownFormula,
    Source,
    Worked,
)
from kb.calculators.plan import Band, Comparison, Condition, Plan, Refusal, Shown, Step, Variable
from kb.calculators.planned import UNITY, Outcome, carry_out, tolerance_input
from kb.calculators.reading import Given
from kb.calculators.series import NAMES, read_series
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

RESISTOR = Expression("(V_S - V_D) / I")
CURRENT = Expression("(V_S - V_D) / R")
POWER = Expression("I ** 2 * R")
CURRENT_PREFERRED = Expression("(V_S - V_D) / R_P")
POWER_PREFERRED = Expression("I_P ** 2 * R_P")
# No current flows backwards: with a low supply and a high drop the formula above would run below zero.
RESISTOR_BAND = Expression("(V_S - min(V_S, V_D)) / I")
CURRENT_BAND = Expression("(V_S - min(V_S, V_D)) / R")
CURRENT_PREFERRED_BAND = Expression("(V_S - min(V_S, V_D)) / R_P")
POWER_BAND = Expression("(V_S - min(V_S, V_D)) ** 2 / R")
POWER_PREFERRED_BAND = Expression("(V_S - min(V_S, V_D)) ** 2 / R_P")

COMMON_POWER_W = 0.25
HALF = 0.5
CURVE_POINTS = 41

WARM = Note(
    "warning",
    "the resistor takes more than half of 0.25 W: fit a larger one, and keep it off the board and away from "
    "electrolytics",
)
MORE = Note(
    "note",
    "the nearest preferred part lets a little more than the wanted current through: where that current is a "
    "limit, take the next part up",
)
SHORT = Note(
    "warning",
    "with the lowest supply and the highest drop nothing is left across the resistor: it may not light",
)
CLOSE = Note(
    "note",
    "less than a quarter of the supply is left across the resistor, so the current depends on the part's "
    "own drop more than on the resistor",
)
SHORTED = (
    "if the part fails short the whole supply stands across the resistor, which then takes more power than "
    "this"
)
DROPS = (
    "an LED's drop depends on its colour and current (about 2 V for red, 3 V and more for blue and white: "
    "common practice, no source); measure one of the same kind"
)

EXACT = {
    key: f"no tolerance was given for the {key}, so the bands take it as exact" for key in ("supply", "drop")
}
TOO_LITTLE = Refusal(
    (Comparison.read("V_S <= V_D"),), "supply", "{V_S} is not above the drop of {V_D}",
    "no current flows; give a higher supply",
    {"V_S": Shown("V_S", "voltage"), "V_D": Shown("V_D", "voltage")},
)  # fmt: skip

SOURCES = (
    Source("R = (V - Vf) / I, P = I² R (textbook; check value for 12 V, 2 V, 10 mA)", "computed"),
    Source("Half of the rated power for a long life", "common practice, no source"),
    Source("Preferred values: IEC 60063:2015", "computed from the rule, seen in source"),
)

SYMBOLS = {"V_S": "V_S", "V_D": "V_D", "R_P": "R_P", "I_P": "I_P"}
Spread = tuple[float, float]


def work(given: Given) -> Worked:
    """Solve for the resistor or the current and see what the preferred part gives."""
    outcome = carry_out(plan(given))
    return Worked(
        results=outcome.results(CALCULATOR),
        formulas=_formulas(given, outcome),
        limits=("A drop that hardly changes with the current; direct voltage.",),
        notes=outcome.notes(),
        sources=SOURCES,
        figure=_figure(outcome),
        plan=outcome.plan,
    )


def plan(given: Given) -> Plan:
    """The calculation as data, for the resistor from the current or the other way round."""
    solved = given.solved_for or "resistor"
    part = given.tolerance("resistor")
    volts = {"V_S": given.tolerance("supply"), "V_D": given.tolerance("drop")}
    return Plan(
        variables=_variables(given, "current" if solved == "resistor" else "resistor"),
        steps=(
            *tolerance_input(given, "resistor_tolerance", "r"),
            *_ends(volts),
            *_asked(given, solved, part, volts),
            *_preferred(given.word("series"), part, volts),
        ),
        constants={"P_Q": COMMON_POWER_W, "k": HALF, **UNITY},
        conditions=_conditions(solved),
        refusals=(TOO_LITTLE,),
        assumed=frozenset(key for key in ("supply", "drop") if given.is_assumed(key)),
    )


def _ends(volts: Mapping[str, Spread]) -> tuple[Step, ...]:
    """The lowest supply and the highest drop."""
    supply, drop = (Band(Expression(name), {name: volts[name]}) for name in ("V_S", "V_D"))
    return (
        Step("V_Sl", supply.expression, "voltage", band=supply, corner="least"),
        Step("V_Dh", drop.expression, "voltage", band=drop, corner="greatest"),
    )


def _variables(given: Given, other: str) -> tuple[Variable, ...]:
    names = {"supply": "V_S", "drop": "V_D", "current": "I", "resistor": "R"}
    return tuple(
        Variable(key, names[key], given.quantities[key].dimension, given.value(key), *given.tolerance(key))
        for key in ("supply", "drop", other)
    )


def _asked(given: Given, solved: str, part: Spread, volts: Mapping[str, Spread]) -> tuple[Step, ...]:
    """The resistor, the current and the power with exactly the resistor that is asked for or given."""
    over = {"R": part, **volts}
    if solved == "resistor":
        trim = Band(RESISTOR_BAND, {"I": given.tolerance("current"), **volts})
        first = (
            Step("R", RESISTOR, "resistance", "resistor", trim),
            Step("I_R", CURRENT, "current", "current", Band(CURRENT_BAND, over)),
        )
    else:
        first = (
            Step("R_own", Expression("R"), "resistance", "resistor", Band(Expression("R"), {"R": part})),
            Step("I", CURRENT, "current", "current", Band(CURRENT_BAND, over)),
        )
    return (*first, Step("P", POWER, "power", "power", Band(POWER_BAND, over)))


def _preferred(series: str, part: Spread, volts: Mapping[str, Spread]) -> tuple[Step, ...]:
    over = {"R_P": part, **volts}
    own = Band(Expression("R_P"), {"R_P": part})
    return (
        Step("R_P", Expression("R"), "resistance", "preferred", own, series),
        Step(
            "I_P", CURRENT_PREFERRED, "current", "current_with_preferred", Band(CURRENT_PREFERRED_BAND, over)
        ),
        Step("P_P", POWER_PREFERRED, "power", "power_with_preferred", Band(POWER_PREFERRED_BAND, over)),
    )


def _conditions(solved: str) -> tuple[Condition, ...]:
    found = [
        Condition(Expression("max(P, P_P)"), ">", Expression("k * P_Q"), WARM),
        Condition(Expression("V_Sl"), "<=", Expression("V_Dh"), SHORT),
        Condition(Expression("4 * (V_S - V_D)"), "<", Expression("V_S"), CLOSE),
    ]
    if solved == "resistor":
        found.append(Condition(Expression("I_P"), ">", Expression("I * (1 + 1e-9)"), MORE))
    found += [Condition.whenever("note", text) for text in (SHORTED, DROPS)]
    found += [Condition.whenever("note", text, assumed=key) for key, text in EXACT.items()]
    return tuple(found)


def _formulas(given: Given, outcome: Outcome) -> tuple[ShownFormula, ...]:
    first = (
        outcome.formula("Resistor", "R", "R", SYMBOLS)
        if given.solved_for == "resistor"
        else outcome.formula("Current", "I", "I", SYMBOLS)
    )
    return (
        first,
        outcome.formula("Power in the resistor", "P", "P", SYMBOLS),
        outcome.formula("Current with the preferred part", "I_P", "I_P", SYMBOLS),
        outcome.formula("Power in the preferred part", "P_P", "P_P", SYMBOLS),
    )


def _figure(outcome: Outcome) -> FigureSpec:
    """The current against the supply, because that is what an unregulated rail does to it."""
    values = outcome.values
    supply, drop = values["V_S"], values["V_D"]
    supplies = tuple(drop + (1.5 * supply - drop) * step / (CURVE_POINTS - 1) for step in range(CURVE_POINTS))
    currents = tuple(CURRENT_PREFERRED.evaluate({**values, "V_S": volts}) for volts in supplies)
    return FigureSpec(
        title="Current against the supply",
        description=(
            "The current through the preferred resistor rises in a straight line from nothing at the part's "
            "own drop; the working point is marked."
        ),
        x=Axis("Supply", "voltage"),
        y=Axis("Current", "current"),
        series=(
            Series("preferred resistor", supplies, currents),
            Series("working point", (supply,), (values["I_P"],), "points"),
        ),
        marks=(Mark("vertical", drop, "drop of the part"),),
    )


CALCULATOR = Calculator(
    name="series_resistor",
    title="Series resistor",
    summary="The resistor in series with an LED or another part that drops a voltage of its own.",
    inputs=(
        Input("supply", "Supply", "V_S", "voltage", "feeds resistor and part", "12 V", required=True),
        Input("drop", "Drop", "V_D", "voltage", "across the part itself", "2 V", required=True),
        Input("current", "Current", "I", "current", "wanted through the part", "10 mA", solvable=True),
        Input("resistor", "Resistor", "R", "resistance", "in series with it", "1 kohm", solvable=True),
        Input(
            "series", "Preferred series", "", "choice", "the series in the drawer", "E12", default="E24",
            choices=NAMES, resolve=read_series,
        ),
        Input(
            "resistor_tolerance", "Resistor tolerance", "", "tolerance", "used when the resistor states none",
            "5 %", default="±5 %", positive=False,
        ),
    ),
    results=(
        ResultSpec("resistor", "Resistor", "resistance", "solved for, its band is what may be needed"),
        ResultSpec("preferred", "Nearest preferred part", "resistance"),
        ResultSpec("power", "Power in the resistor", "power"),
        ResultSpec("current", "Current", "current"),
        ResultSpec("current_with_preferred", "Current with the preferred part", "current"),
        ResultSpec("power_with_preferred", "Power in the preferred part", "power"),
    ),
    example={"supply": "12 V ±5 %", "drop": "2 V", "current": "10 mA"},
    function=work,
    solve_group=("current", "resistor"),
)  # fmt: skip

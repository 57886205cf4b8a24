"""Two resistors that divide a voltage, with or without a load: output, its spread, and what heats up.

Worst case and statistical spread stand side by side; the statistical one must never be shown alone, because
it says nothing about the single unit on the bench.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Column,
    Input,
    InputProblem,
    Note,
    ResultSpec,
    ShownFormula,
    Source,
    Table,
    Worked,
)
from kb.calculators.divider_formulas import (
    ALONE,
    HOTTEST_LOWER,
    HOTTEST_UPPER,
    LINEAR,
    LOADED,
    POWER_LOWER,
    POWER_UPPER,
    SHARE,
    STATISTICAL,
    THEVENIN,
    UNLOADED,
    WORST_POWER_LOWER,
    WORST_POWER_UPPER,
    Form,
)
from kb.calculators.plan import Band, Condition, Plan, Step, Variable
from kb.calculators.planned import Outcome, carry_out, leave_something
from kb.calculators.reading import Given
from kb.calculators.series import NAMES, read_series
from kb.calculators.working import cell
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

NAME = {"input": "V_I", "upper": "R_U", "lower": "R_L", "load": "R_X", "output": "V_O"}
LETTER = {"input": "i", "upper": "u", "lower": "l", "load": "x"}
COMMON_POWER_W = 0.25
HALF = 0.5
LOAD_MATTERS = 20.0
CURVE_POINTS = 41

HOT = Note(
    "warning",
    "a resistor takes more than half of 0.25 W: fit a larger one, its value drifts with heat and time",
)
SAGS = Note("note", "the load pulls the output down by more than 5 %: it is part of the divider")
ONE_UNIT = Note(
    "note",
    "the statistical spread says how many of a batch lie close together; the one unit on the bench may lie "
    "anywhere in the worst case",
)
EXACT_INPUT = Note("note", "no tolerance was given for the input: the bands take it as exact")

SOURCES = (
    Source("Divider and Thevenin's theorem (textbook)", "computed by corner enumeration"),
    Source("Worst case: extremes of every combination", "computed by corner enumeration"),
    Source("Root of the sum of squares: sensitivity V R1/(R1 + R2)² times each deviation", "computed"),
    Source("Half of the rated power for a long life", "common practice, no source"),
)


def work(given: Given) -> Worked:
    """Work out the output, or the resistor that gives the wanted one."""
    _check(given)
    outcome = carry_out(plan(given))
    return Worked(
        results=outcome.results(CALCULATOR),
        formulas=_formulas(given, outcome),
        limits=("Direct voltage or low frequency; a source much stiffer than the divider.",),
        notes=(*outcome.notes(), ONE_UNIT, *_assumed(given)),
        sources=SOURCES,
        tables=(_spreads(outcome), _shares(given, outcome)),
        figure=_figure(outcome),
        plan=outcome.plan,
    )  # fmt: skip


def _assumed(given: Given) -> tuple[Note, ...]:
    return () if given.quantities["input"].has_tolerance else (EXACT_INPUT,)


def _check(given: Given) -> None:
    leave_something(given, "tolerance")
    if given.solved_for == "output":
        return
    wanted, source = given.quantities["output"], given.quantities["input"]
    if wanted.value >= source.value:
        what = f"{wanted.shown} is not below the input of {source.shown}"
        raise CalculationError(InputProblem("output", what, "a divider only takes away"))
    if given.solved_for == "lower" and given.has("load"):
        values = {NAME[key]: given.value(key) for key in ("input", "upper", "load")}
        # with no lower resistor at all the load alone divides
        most = ALONE.output.evaluate({"V_I": values["V_I"], "R_U": values["R_U"], "R_L": values["R_X"]})
        if wanted.value >= most:
            what = f"the load alone pulls the output below {wanted.shown}"
            raise CalculationError(InputProblem("output", what, "take a smaller upper resistor"))


def plan(given: Given) -> Plan:
    """The calculation as data, for the one that was left out."""
    solved = given.solved_for or "output"
    form = LOADED if given.has("load") else ALONE
    parts = [key for key in NAME if key != solved and (key != "load" or given.has("load"))]
    spreads = {key: _tolerance(given, key) for key in LETTER if key != "load" or given.has("load")}
    steps = _solved(form, solved, spreads) + _always(form, spreads)
    if solved != "output":
        steps += _preferred(form, solved, spreads, given.word("series"))
    return Plan(
        variables=tuple(_variable(given, key) for key in parts),
        steps=steps,
        constants=_constants(spreads),
        conditions=_conditions(given, solved),
    )


def _tolerance(given: Given, key: str) -> tuple[float, float]:
    """A part's own tolerance, else the common one; input and load have none unless it is written."""
    own = given.quantities.get(key)
    if own is not None and own.has_tolerance:
        return own.minus, own.plus
    common = given.quantities["tolerance"]
    return (common.minus, common.plus) if key in ("upper", "lower") else (0.0, 0.0)


def _variable(given: Given, key: str) -> Variable:
    quantity = given.quantities[key]
    minus, plus = _tolerance(given, key) if key in LETTER else (quantity.minus, quantity.plus)
    return Variable(key, NAME[key], quantity.dimension, quantity.value, minus, plus)


def _constants(spreads: Mapping[str, tuple[float, float]]) -> dict[str, float]:
    found = {"P_Q": COMMON_POWER_W, "k": HALF, "k_X": LOAD_MATTERS}
    for key, (minus, plus) in spreads.items():
        letter = LETTER[key]
        found |= {f"{letter}_m": minus, f"{letter}_p": plus, f"t_{letter.upper()}": max(minus, plus)}
    return found


def _over(spreads: Mapping[str, tuple[float, float]], **renamed: str) -> dict[str, tuple[float, float]]:
    return {renamed.get(key, NAME[key]): spread for key, spread in spreads.items()}


def _solved(form: Form, solved: str, spreads: Mapping[str, tuple[float, float]]) -> tuple[Step, ...]:
    """The one that was left out, and the two others as results too."""
    over = _over(spreads)
    rules = {"output": form.output, "upper": form.upper, "lower": form.lower}
    dimensions = {"output": "voltage", "upper": "resistance", "lower": "resistance"}
    steps = []
    for key in (solved, *(other for other in rules if other != solved)):
        own = Expression(NAME[key])
        name, expression = (NAME[key], rules[key]) if key == solved else (f"{key}_given", own)
        # What is solved for spreads with the others; what was given with its own tolerance alone. An output
        # that was asked for still spreads as the parts make it.
        band = Band(form.output if key == "output" else expression, over)
        if key == solved and key != "output":
            band = Band(expression, {other: over[other] for other in over if other != NAME[key]})
        steps.append(Step(name, expression, dimensions[key], key, band))
    return tuple(steps)


def _always(form: Form, spreads: Mapping[str, tuple[float, float]]) -> tuple[Step, ...]:
    is_loaded = form is LOADED
    over = _over(spreads)
    shares = tuple(
        Step(f"d_{LETTER[key].upper()}", SHARE[key], "voltage") for key in SHARE if key in spreads
    )  # fmt: skip
    return (
        Step("V_low", form.lowest, "voltage", "worst_low"),
        Step("V_high", form.highest, "voltage", "worst_high"),
        *shares,
        Step("d_sum", LINEAR[is_loaded], "voltage"),
        Step("d_rss", STATISTICAL[is_loaded], "voltage", "statistical"),
        Step("I", form.current, "current", "current", Band(form.current, over)),
        Step("P_U", POWER_UPPER, "power", "power_upper"),
        Step("P_L", POWER_LOWER, "power", "power_lower"),
        Step("R_M", form.under_upper, "resistance"),
        Step("R_S", form.beside_lower, "resistance"),
        Step("R_Uw", HOTTEST_UPPER, "resistance"),
        Step("R_Lw", HOTTEST_LOWER, "resistance"),
        Step("P_Uw", WORST_POWER_UPPER, "power", "worst_power_upper"),
        Step("P_Lw", WORST_POWER_LOWER, "power", "worst_power_lower"),
        Step("R_T", THEVENIN, "resistance", "thevenin", Band(THEVENIN, over)),
        Step("V_T", UNLOADED, "voltage", "unloaded", Band(UNLOADED, over)),
    )


def _preferred(
    form: Form, solved: str, spreads: Mapping[str, tuple[float, float]], series: str
) -> tuple[Step, ...]:
    """The nearest part to the one solved for, and what the divider gives with it."""
    with_part = Expression(form.output.text.replace(NAME[solved], "R_P"))
    own = Band(Expression("R_P"), {"R_P": spreads[solved]})
    over = _over(spreads, **{solved: "R_P"})
    return (
        Step("R_P", Expression(NAME[solved]), "resistance", "preferred", own, series),
        Step("V_P", with_part, "voltage", "output_with_preferred", Band(with_part, over)),
    )


def _conditions(given: Given, solved: str) -> tuple[Condition, ...]:
    found = [Condition(Expression("max(P_Uw, P_Lw)"), ">", Expression("k * P_Q"), HOT)]
    if given.has("load"):
        found.append(Condition(Expression("R_X"), "<", Expression("k_X * R_T"), SAGS))
    if solved != "output":
        off = Note("note", "the nearest preferred part moves the output by more than 1 %: see what it gives")
        found.append(
            Condition(Expression("abs(V_P - V_O)"), ">", Expression("0.01 * V_O"), off)
        )  # fmt: skip
    return tuple(found)


def _formulas(given: Given, outcome: Outcome) -> tuple[ShownFormula, ...]:
    solved = given.solved_for or "output"
    rows = [(CALCULATOR.result(solved).label, NAME[solved], NAME[solved])]
    if solved != "output":
        rows.append(("Output with the preferred part", "V_P", "V_O"))
    rows += [
        ("Lowest output", "V_low", "V_low"), ("Highest output", "V_high", "V_high"),
        ("Statistical spread", "d_rss", "d"), ("Thevenin resistance", "R_T", "R_T"),
    ]  # fmt: skip
    return tuple(outcome.formula(label, name, left, {}) for label, name, left in rows)


def _spreads(outcome: Outcome) -> Table:
    columns = (
        Column("rule", "Rule", "text"), Column("below", "Below", "voltage"),
        Column("above", "Above", "voltage"), Column("lowest", "Lowest", "voltage"),
        Column("highest", "Highest", "voltage"),
    )  # fmt: skip
    values, nominal = outcome.values, outcome.values["V_O"]
    both = (
        ("worst case, every corner", values["V_low"] - nominal, values["V_high"] - nominal),
        ("each part's share added up", -values["d_sum"], values["d_sum"]),
        ("root of the sum of squares", -values["d_rss"], values["d_rss"]),
    )
    rows = tuple(
        (cell(rule, "text"), *(cell(each, "voltage") for each in (*off, *(nominal + each for each in off))))
        for rule, *off in both
    )
    return Table("How far the output may be off", columns, rows)


def _shares(given: Given, outcome: Outcome) -> Table:
    columns = (
        Column("part", "Part", "text"), Column("tolerance", "Tolerance", "ratio"),
        Column("moves", "Moves the output by", "voltage"),
    )  # fmt: skip
    rows = []
    for key, letter in LETTER.items():
        if f"d_{letter.upper()}" in outcome.values:
            tolerance, moves = (outcome.values[f"{first}_{letter.upper()}"] for first in ("t", "d"))
            label = given.calculator.input(key).label
            rows.append((cell(label, "text"), cell(tolerance, "ratio"), cell(moves, "voltage")))
    return Table("What each part adds to the spread", columns, tuple(rows))


def _figure(outcome: Outcome) -> FigureSpec:
    """How the output gives way under a load, which the resistors alone do not show."""
    values = outcome.values
    thevenin, unloaded = values["R_T"], values["V_T"]
    loads = tuple(thevenin * 10 ** (-0.5 + 3.5 * step / (CURVE_POINTS - 1)) for step in range(CURVE_POINTS))
    outputs = tuple(LOADED.output.evaluate({**values, "R_X": load}) for load in loads)
    series = [Series("output", loads, outputs)]
    if "R_X" in values:
        series.append(Series("this load", (values["R_X"],), (values["V_O"],), "points"))
    return FigureSpec(
        title="Output under a load",
        description=(
            "The output against the load across the lower resistor: it falls to half when the load equals "
            "the divider's own resistance, and comes close to the unloaded voltage only far above it."
        ),
        x=Axis("Load", "resistance", is_log=True),
        y=Axis("Output", "voltage"),
        series=tuple(series),
        marks=(Mark("horizontal", unloaded, "no load"), Mark("vertical", thevenin, "own resistance")),
    )


CALCULATOR = Calculator(
    name="divider",
    title="Voltage divider",
    summary="The output of two resistors with its worst case, or the resistor that gives a wanted output.",
    inputs=(
        Input("input", "Input", "V_I", "voltage", "across the whole divider", "10 V", required=True),
        Input("upper", "Upper resistor", "R_U", "resistance", "towards the input", "10k", solvable=True),
        Input("lower", "Lower resistor", "R_L", "resistance", "towards ground", "10k", solvable=True),
        Input("output", "Output", "V_O", "voltage", "wanted at the middle", "5 V", solvable=True),
        Input("load", "Load", "R_X", "resistance", "from the middle to ground", "1 Mohm"),
        Input(
            "tolerance", "Tolerance", "", "tolerance", "of a resistor that states none of its own", "5 %",
            default="±5 %", positive=False,
        ),
        Input(
            "series", "Preferred series", "", "choice", "the series in the drawer", "E12", default="E24",
            choices=NAMES, resolve=read_series,
        ),
    ),
    results=(
        ResultSpec("output", "Output", "voltage"),
        ResultSpec("worst_low", "Lowest output, worst case", "voltage"),
        ResultSpec("worst_high", "Highest output, worst case", "voltage"),
        ResultSpec("statistical", "Statistical spread (±)", "voltage", "root of the sum of squares"),
        ResultSpec("current", "Current from the input", "current"),
        ResultSpec("power_upper", "Power in the upper resistor", "power"),
        ResultSpec("power_lower", "Power in the lower resistor", "power"),
        ResultSpec("worst_power_upper", "Most power in the upper resistor", "power", "worst case"),
        ResultSpec("worst_power_lower", "Most power in the lower resistor", "power", "worst case"),
        ResultSpec("thevenin", "Thevenin resistance", "resistance", "what a load sees"),
        ResultSpec("unloaded", "Output without a load", "voltage"),
        ResultSpec("upper", "Upper resistor", "resistance", "solved for, its band is what may be needed"),
        ResultSpec("lower", "Lower resistor", "resistance", "solved for, its band is what may be needed"),
        ResultSpec("preferred", "Nearest preferred part", "resistance", "when a resistor is solved for"),
        ResultSpec("output_with_preferred", "Output with the preferred part", "voltage"),
    ),
    example={"input": "10 V", "upper": "10k", "lower": "10k", "tolerance": "5 %"},
    function=work,
    solve_group=("upper", "lower", "output"),
)  # fmt: skip

"""Two resistors that divide a voltage, with or without a load: output, its spread, and what heats up.

Worst case and statistical spread stand side by side; the statistical one must never be shown alone, because
it says nothing about the single unit on the bench.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import (
    Calculator,
    Column,
    Input,
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
from kb.calculators.plan import Band, Comparison, Condition, Plan, Refusal, Shown, Step, Variable
from kb.calculators.planned import UNITY, Outcome, carry_out, part_tolerance, tolerance_input
from kb.calculators.reading import Given
from kb.calculators.series import NAMES, read_series
from kb.calculators.working import cell
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

NAME = {"input": "V_I", "upper": "R_U", "lower": "R_L", "load": "R_X", "output": "V_O"}
DIMENSION = {"input": "voltage", "upper": "resistance", "lower": "resistance", "load": "resistance"}
LETTER = {"input": "i", "upper": "u", "lower": "l", "load": "x"}
COMMON_POWER_W = 0.25
HALF = 0.5
Over = Mapping[str, tuple[str, str]]
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
EXACT_INPUT = "no tolerance was given for the input: the bands take it as exact"

SOURCES = (
    Source("Divider and Thevenin's theorem (textbook)", "computed by corner enumeration"),
    Source("Worst case: extremes of every combination", "computed by corner enumeration"),
    Source("Root of the sum of squares: sensitivity V R1/(R1 + R2)² times each deviation", "computed"),
    Source("Half of the rated power for a long life", "common practice, no source"),
)


def work(given: Given) -> Worked:
    """Work out the output, or the resistor that gives the wanted one."""
    outcome = carry_out(plan(given))
    return Worked(
        results=outcome.results(CALCULATOR),
        formulas=_formulas(given, outcome),
        limits=("Direct voltage or low frequency; a source much stiffer than the divider.",),
        notes=(*outcome.notes(), ONE_UNIT),
        sources=SOURCES,
        tables=(_spreads(outcome), _shares(given, outcome)),
        figure=_figure(outcome),
        plan=outcome.plan,
    )  # fmt: skip


def plan(given: Given) -> Plan:
    """The calculation as data, for the one that was left out."""
    solved = given.solved_for or "output"
    form = LOADED if given.has("load") else ALONE
    parts = [key for key in NAME if key != solved and (key != "load" or given.has("load"))]
    over = _over(given)
    steps = tolerance_input(given, "tolerance", "c")
    steps += tuple(step for key in parts if key in LETTER for step in _part(given, key))
    steps += _solved(form, solved, over)
    steps += _part(given, solved) if solved in LETTER else ()
    steps += _always(form, over)
    if solved != "output":
        steps += _preferred(form, solved, over, given.word("series"))
    return Plan(
        variables=tuple(_variable(given, key) for key in parts),
        steps=steps,
        constants={"P_Q": COMMON_POWER_W, "k": HALF, "k_X": LOAD_MATTERS, **UNITY},
        conditions=_conditions(given, solved),
        refusals=_refusals(given, solved),
        assumed=frozenset({"input"} if given.is_assumed("input") else ()),
    )


def _variable(given: Given, key: str) -> Variable:
    quantity = given.quantities[key]
    return Variable(key, NAME[key], quantity.dimension, quantity.value, *given.tolerance(key))


def _part(given: Given, key: str) -> tuple[Step, ...]:
    """The tolerance of one part as numbers; a resistor that states none has the common one."""
    common = "c" if key in ("upper", "lower") else ""
    letter = LETTER[key]
    widest = Step(f"t_{letter.upper()}", Expression(f"max({letter}_m, {letter}_p)"), "ratio")
    return (*part_tolerance(given.tolerance(key), NAME[key], letter, DIMENSION[key], common), widest)


def _over(given: Given) -> Over:
    """How far each part may lie: by the names of the numbers that `_part` makes."""
    return {
        NAME[key]: (f"{letter}_m", f"{letter}_p")
        for key, letter in LETTER.items()
        if key != "load" or given.has("load")
    }


def _solved(form: Form, solved: str, over: Over) -> tuple[Step, ...]:
    """The one that was left out, and the two others as results too."""
    rules = {"output": form.output, "upper": form.upper, "lower": form.lower}
    steps = []
    for key in (solved, *(other for other in rules if other != solved)):
        name, rule = (NAME[key], rules[key]) if key == solved else (f"{key}_given", Expression(NAME[key]))
        dimension = "voltage" if key == "output" else "resistance"
        steps.append(Step(name, rule, dimension, key, _own_band(form, key, key == solved, over)))
    return tuple(steps)


def _own_band(form: Form, key: str, is_solved: bool, over: Over) -> Band | None:
    """How an output, a given resistor, or one that is solved for may spread.

    A lower resistor that is solved for has no band: with the input low or the load heavy there may be none
    that does it, so what may be needed has no upper end.
    """
    if key == "output":
        return Band(form.output, over)
    if not is_solved:
        return Band(Expression(NAME[key]), over)
    if key == "lower":
        return None
    return Band(form.upper_band, {name: spread for name, spread in over.items() if name != NAME[key]})


def _always(form: Form, over: Over) -> tuple[Step, ...]:
    is_loaded = form is LOADED
    shares = tuple(
        Step(f"d_{LETTER[key].upper()}", SHARE[key], "voltage") for key in SHARE if NAME[key] in over
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


def _preferred(form: Form, solved: str, over: Over, series: str) -> tuple[Step, ...]:
    """The nearest part to the one solved for, and what the divider gives with it."""
    with_part = Expression(form.output.text.replace(NAME[solved], "R_P"))
    own = {"R_P": over[NAME[solved]]}
    part = Expression(NAME[solved])
    return (
        Step("R_P", part, "resistance", "preferred", Band(Expression("R_P"), own), series),
        Step("V_P", with_part, "voltage", "output_with_preferred", Band(with_part, {**over, **own})),
    )


def _conditions(given: Given, solved: str) -> tuple[Condition, ...]:
    exact = Condition.whenever("note", EXACT_INPUT, assumed="input")
    found = [exact, Condition(Expression("max(P_Uw, P_Lw)"), ">", Expression("k * P_Q"), HOT)]
    if given.has("load"):
        found.append(Condition(Expression("R_X"), "<", Expression("k_X * R_T"), SAGS))
    if solved != "output":
        off = Note("note", "the nearest preferred part moves the output by more than 1 %: see what it gives")
        found.append(
            Condition(Expression("abs(V_P - V_O)"), ">", Expression("0.01 * V_O"), off)
        )  # fmt: skip
    return tuple(found)


def _refusals(given: Given, solved: str) -> tuple[Refusal, ...]:
    """What no divider can do; without these the formulas would ask for a resistor below zero."""
    if solved == "output":
        return ()
    volts = {"V_O": Shown("V_O", "voltage"), "V_I": Shown("V_I", "voltage")}
    found = [
        Refusal(
            (Comparison.read("V_O >= V_I"),), "output", "{V_O} is not below the input of {V_I}",
            "a divider only takes away", volts,
        )
    ]  # fmt: skip
    if solved == "lower" and given.has("load"):
        # with no lower resistor at all the load alone divides
        most = Expression("V_I * R_X / (R_U + R_X)")
        found.append(
            Refusal(
                (Comparison(Expression("V_O"), ">=", most),), "output",
                "the load alone pulls the output below {V_O}", "take a smaller upper resistor", volts,
            )
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
        ResultSpec("lower", "Lower resistor", "resistance"),
        ResultSpec("preferred", "Nearest preferred part", "resistance", "when a resistor is solved for"),
        ResultSpec("output_with_preferred", "Output with the preferred part", "voltage"),
    ),
    example={"input": "10 V", "upper": "10k", "lower": "10k", "tolerance": "5 %"},
    function=work,
    solve_group=("upper", "lower", "output"),
)  # fmt: skip

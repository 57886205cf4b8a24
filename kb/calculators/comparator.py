"""A comparator with hysteresis: where it trips on the way up and down, and the feedback for a wanted width.

Upper and lower mean the voltages, whatever a data sheet calls them: two sheets give the same network
opposite names.
"""

from __future__ import annotations

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
from kb.calculators.comparator_formulas import INVERTING, NON_INVERTING, Network
from kb.calculators.comparator_plan import network, plan_of
from kb.calculators.plan_parts import root_sum_square
from kb.calculators.planned import Outcome, carry_out
from kb.calculators.reading import Given
from kb.calculators.series import NAMES as SERIES
from kb.calculators.series import read_series
from kb.calculators.working import cell, shown
from kb.figures.spec import Axis, FigureSpec, Mark
from kb.figures.spec import Series as Curve

NAMING = (
    "data sheets name the thresholds in opposite ways: TI's TLV3202 sheet (SBOS561C) calls the one with the "
    "output high the lower, its TLV9021 sheet (SNOSDA3F) the one from high to low. Here upper is the higher "
    "voltage; with the output high the network gives the upper one"
)
NO_PULL_UP = (
    "no pull-up was given, so the output is taken to drive both ways; an open collector (LM339, LM393) does "
    "nothing without one"
)
SATURATION = "an open collector that is on leaves some 0.2 V: give output_low where that counts"

COLUMNS = (
    Column("what", "What", "text"),
    Column("nominal", "Nominal", "voltage"),
    Column("worst_low", "Worst case, low", "voltage"),
    Column("worst_high", "Worst case, high", "voltage"),
    Column("likely_low", "Root of squares, low", "voltage"),
    Column("likely_high", "Root of squares, high", "voltage"),
)
SHOWN_STEPS = (("V_U", "Upper threshold"), ("V_L", "Lower threshold"), ("V_H", "Hysteresis"))

SOURCES = (
    Source("TI LMV331 and LM339LV data sheets: hysteresis networks, pull-up rules", "seen in source"),
    Source("TI SNOS018G, Eq. 8: hysteresis = supply times R1/R2 with an ideal swing", "seen in source"),
    Source(
        "TI TLV3202 SBOS561C and TLV9021 SNOSDA3F: names of the thresholds", "seen in source; they disagree"
    ),
    Source("Kirchhoff's current law at the input node (textbook)", "simulated in ngspice"),
)


def work(given: Given) -> Worked:
    """Work out the thresholds, or the feedback resistor for the wanted hysteresis."""
    net = network(given)
    outcome = carry_out(plan_of(given, net))
    return Worked(
        results=outcome.results(CALCULATOR),
        formulas=_formulas(given, outcome),
        limits=(
            "An ideal comparator: offset, input current and delay are not in the bands.",
            "A source much stiffer than the input resistor, and an output that drives nothing else.",
        ),
        notes=(*outcome.notes(), *_remarks(net)),
        sources=SOURCES,
        tables=(_spreads(outcome),),
        figure=_figure(net, outcome),
        plan=outcome.plan,
    )  # fmt: skip


def _formulas(given: Given, outcome: Outcome) -> tuple[ShownFormula, ...]:
    first: tuple[ShownFormula, ...] = ()
    if given.solved_for == "feedback":
        first = (
            outcome.formula("Threshold without feedback", "V_K", "V_K", {}),
            outcome.formula("Resistance the feedback works against", "R_K", "R_K", {}),
            outcome.formula("High output above it, in hysteresis wanted", "a", "a", {}),
            outcome.formula("Low output below it, in hysteresis wanted", "b", "b", {}),
            outcome.formula("Feedback resistor", "R_F", "R_F", {}),
        )
    return first + tuple(outcome.formula(label, name, name, {}) for name, label in SHOWN_STEPS)


def _remarks(net: Network) -> tuple[Note, ...]:
    texts = [NAMING] if net.topology == INVERTING else []
    texts.append(SATURATION if net.pull_up else NO_PULL_UP)
    return tuple(Note("note", text) for text in texts)


def _spreads(outcome: Outcome) -> Table:
    rows = []
    for name, label in SHOWN_STEPS:
        worst = outcome.band(name)
        likely = root_sum_square(outcome.step(name), outcome.values)
        volts = (outcome.values[name], *worst, *likely)
        rows.append((cell(label, "text"), *(cell(value, "voltage", digits=4) for value in volts)))
    return Table("Worst case and likely spread", COLUMNS, tuple(rows))


def _figure(net: Network, outcome: Outcome) -> FigureSpec:
    """The loop: output against input, up along one threshold and down along the other."""
    values = outcome.values
    upper, lower, low, high = values["V_U"], values["V_L"], values["V_OL"], values[net.high]
    margin = max(upper - lower, 0.15 * abs(high - low))
    left, right = lower - margin, upper + margin
    before, after = (high, low) if net.topology == INVERTING else (low, high)
    words = tuple(shown(value, "voltage") for value in (upper, lower))
    return FigureSpec(
        title="Output against input",
        description=(
            f"The output changes over when the rising input passes {words[0]} and back when it falls "
            f"below {words[1]}; between the two it stays where it was."
        ),
        x=Axis("Input", "voltage"),
        y=Axis("Output, unloaded", "voltage"),
        series=(
            Curve("input rises", (left, upper, upper, right), (before, before, after, after)),
            Curve("input falls", (right, lower, lower, left), (after, after, before, before)),
        ),
        marks=(Mark("vertical", upper, words[0]), Mark("vertical", lower, words[1])),
    )


def _resistor(key: str, label: str, symbol: str, text: str, example: str) -> Input:
    return Input(key, label, symbol, "resistance", text, example, solvable=key == "feedback")


CALCULATOR = Calculator(
    name="comparator",
    title="Comparator with hysteresis",
    summary="Thresholds of a comparator with feedback, or the feedback for a wanted hysteresis.",
    inputs=(
        Input(
            "topology", "Topology", "", "choice",
            "inverting: divider and feedback at the plus input; non_inverting: the signal comes in there",
            INVERTING, default=INVERTING, choices=(INVERTING, NON_INVERTING),
        ),
        _resistor("upper", "Divider, to the supply", "R_U", "inverting only", "100k"),
        _resistor("lower", "Divider, to ground", "R_L", "inverting only", "100k"),
        _resistor("input_resistor", "Input resistor", "R_I", "before the plus input; non_inverting", "10k"),
        _resistor("feedback", "Feedback resistor", "R_F", "from output to plus input", "576k"),
        Input(
            "hysteresis", "Wanted hysteresis", "V_W", "voltage", "upper less lower threshold", "0.4 V",
            solvable=True,
        ),
        Input(
            "reference", "Reference", "V_R", "voltage",
            "at the minus input (non_inverting), or feeding the divider instead of the supply", "2.5 V",
            positive=False,
        ),
        Input("supply", "Supply", "V_S", "voltage", "of the divider and of the pull-up", "5 V"),
        Input(
            "output_high", "Output high", "V_OH", "voltage",
            "where the unloaded output goes when high; the supply when left out", "5 V", positive=False,
        ),
        Input(
            "output_low", "Output low", "V_OL", "voltage", "where the output goes when low", "0.2 V",
            default="0 V", positive=False,
        ),
        _resistor("pullup", "Pull-up", "R_P", "of an open collector; none when left out", "2k2"),
        Input(
            "resistor_tolerance", "Resistor tolerance", "", "tolerance", "used where none is stated", "1 %",
            default="±5 %", positive=False,
        ),
        Input(
            "series", "Series", "", "choice", "of the preferred feedback resistor", "E24", default="E24",
            choices=SERIES, resolve=read_series,
        ),
    ),
    results=(
        ResultSpec("upper", "Upper threshold", "voltage", "the rising input trips here"),
        ResultSpec("lower", "Lower threshold", "voltage", "the falling input trips here"),
        ResultSpec("hysteresis", "Hysteresis", "voltage"),
        ResultSpec("feedback", "Feedback for the wanted hysteresis", "resistance", "when it is solved for"),
        ResultSpec("preferred", "Preferred feedback resistor", "resistance", "when it is solved for"),
        ResultSpec("upper_with_preferred", "Upper threshold with that", "voltage", "when it is solved for"),
        ResultSpec("lower_with_preferred", "Lower threshold with that", "voltage", "when it is solved for"),
        ResultSpec("hysteresis_with_preferred", "Hysteresis with that", "voltage", "when it is solved for"),
    ),
    example={"upper": "100k", "lower": "100k", "feedback": "576k", "supply": "5 V"},
    function=work,
    solve_group=("feedback", "hysteresis"),
)  # fmt: skip

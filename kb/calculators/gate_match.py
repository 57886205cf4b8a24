"""Whether a gate or trigger output works an input: high level, low level, duration and style.

The verdict holds for the worst parts that the tolerances allow. A connection that nearly fits is one
that comes back.
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
from kb.calculators.gate_ends import Ends, read_ends
from kb.calculators.gate_verdict import (
    FITS,
    MARGINS,
    MOST,
    OVERLOADED,
    STYLES,
    WRONG_STYLE,
    conditions,
    words,
)
from kb.calculators.logic_levels import FAMILIES, FAN_OUT, read_family
from kb.calculators.plan import Band, Plan, Step
from kb.calculators.planned import Outcome, carry_out
from kb.calculators.reading import Given
from kb.calculators.working import cell, result
from kb.formulas import Expression

MOST_DRIVEN = 100
OVERLOAD_CURE = "the output can't sink the current that these inputs want: put a buffer between"
NOT_COMPARED = "not compared for want of a value at both ends: {}"

COLUMNS = (
    Column("what", "What", "text"),
    Column("given", "Output gives", "number"),
    Column("needed", "Input needs", "number"),
    Column("margin", "Margin", "number"),
    Column("worst", "Margin at worst", "number"),
)

SOURCES = (
    Source("Voltage gates 0 V to 5 V or 10 V; thresholds 1 V to 3 V; 5 ms to 10 ms at least for an envelope; "
           "switch triggers short a pulled-up input to ground", "common practice, no source"),
    Source("Noise margin = guaranteed output level less required input level (textbook)", "computed"),
)  # fmt: skip


def work(given: Given) -> Worked:
    """Compare the two ends and say what would cure a mismatch."""
    ends = read_ends(given)
    outcome = carry_out(plan_of(ends))
    fan_out = _fan_out(ends)
    is_overloaded = fan_out is not None and fan_out < given.count("inputs_driven")
    style = STYLES.get((given.word("output_style"), given.word("input_style")))
    found = words(frozenset(outcome.values), outcome.values)
    found += [word for word, holds in ((WRONG_STYLE, style), (OVERLOADED, is_overloaded)) if holds]
    cures = [text for text, holds in ((style, style), (OVERLOAD_CURE, is_overloaded)) if text and holds]
    return Worked(
        results=(*outcome.results(CALCULATOR), *_other_results(fan_out, found)),
        formulas=_formulas(outcome),
        limits=(
            "Levels as published, with the load they are published for; both instruments share a ground.",
            "Rise times, ringing on long leads and the bounce of contacts are not looked at.",
        ),
        notes=(*(Note("warning", text) for text in cures), *outcome.notes(), *_remarks(ends, outcome)),
        sources=(*_family_sources(given), *SOURCES),
        tables=(_table(outcome),),
        # between two families nothing is left that a page could change
        plan=outcome.plan if ends.variables else None,
    )


def plan_of(ends: Ends) -> Plan:
    """The margins as data; those that can't be formed for want of a value are left out."""
    steps: list[Step] = []
    for margin in MARGINS:
        if ends.knows(*margin.expression.names):
            band = Band(margin.expression, ends.tolerances)
            steps.append(Step(margin.name, margin.expression, margin.dimension, margin.key, band))
            steps.append(_at_worst(margin.worst, margin.expression, margin.dimension, ends))
    if not steps:
        what = "nothing can be compared: no level and no duration is known at both ends"
        raise CalculationError(InputProblem(None, what, "give for example output_high and input_high"))
    if ends.knows(*MOST.names):
        steps.append(_at_worst("m_w", MOST, "voltage", ends))
    known = frozenset((*ends.names, *(step.name for step in steps)))
    return Plan(ends.variables, tuple(steps), ends.constants, conditions(known))


def _at_worst(name: str, expression: Expression, dimension: str, ends: Ends) -> Step:
    """The least that the tolerances leave of a margin: it decides."""
    return Step(name, expression, dimension, band=Band(expression, ends.tolerances), corner="least")


def _fan_out(ends: Ends) -> int | None:
    """How many inputs of the one family an output of the other holds low; None where it isn't published."""
    output, needed = ends.output_levels, ends.input_levels
    if output is None or needed is None or output.sinks_a is None or needed.draws_a is None:
        return None
    return math.floor(FAN_OUT.evaluate({"I_OL": output.sinks_a, "I_IL": needed.draws_a}))


def _other_results(fan_out: int | None, found: list[str]) -> tuple[Result, ...]:
    verdict = result(CALCULATOR, "verdict", ", ".join(found) or FITS)
    return (verdict,) if fan_out is None else (result(CALCULATOR, "fan_out", fan_out), verdict)


def _formulas(outcome: Outcome) -> tuple[ShownFormula, ...]:
    return tuple(
        outcome.formula(CALCULATOR.result(margin.key).label, margin.name, "m", {})
        for margin in MARGINS
        if margin.name in outcome.values
    )


def _remarks(ends: Ends, outcome: Outcome) -> tuple[Note, ...]:
    missing = [margin.label.lower() for margin in MARGINS if margin.name not in outcome.values]
    texts = [NOT_COMPARED.format(", ".join(missing))] if missing else []
    return tuple(Note("note", text) for text in (*texts, *ends.remarks))


def _family_sources(given: Given) -> tuple[Source, ...]:
    keys = [key for key in ("output_family", "input_family") if given.has(key)]
    families = dict.fromkeys(given.word(key) for key in keys)
    return tuple(Source(FAMILIES[name].document, FAMILIES[name].status) for name in families)


def _table(outcome: Outcome) -> Table:
    rows = []
    for margin in MARGINS:
        if margin.name in outcome.values:
            own, other = (outcome.values[name] for name in margin.expression.names)
            given, needed = (other, own) if margin.key == "low_margin" else (own, other)
            numbers = (given, needed, outcome.values[margin.name], outcome.values[margin.worst])
            cells = (cell(number, margin.dimension) for number in numbers)
            rows.append((cell(margin.label, "text"), *cells))
    return Table("Side by side", COLUMNS, tuple(rows))


def _voltage(key: str, label: str, symbol: str, text: str, example: str) -> Input:
    return Input(key, label, symbol, "voltage", text, example, positive=False)


def _family(key: str, label: str) -> Input:
    text = "levels of a logic family where none are written"
    return Input(
        key, label, "", "choice", text, "ls", choices=tuple(FAMILIES), resolve=read_family
    )  # fmt: skip


CALCULATOR = Calculator(
    name="gate_match",
    title="Gate or trigger into an input",
    summary="Whether an output's levels and pulse length work an input, and what would cure it.",
    inputs=(
        _voltage("output_high", "Output high", "V_OH", "what the output gives when on", "5 V"),
        _voltage("output_low", "Output low", "V_OL", "what it leaves when off", "0.2 V"),
        Input("output_duration", "Output lasts", "t_O", "time", "the pulse that comes out", "8 ms"),
        Input(
            "output_style", "Output style", "", "choice", "a voltage, or a switch to ground", "voltage",
            default="voltage", choices=("voltage", "switch"),
        ),
        _voltage("input_high", "Input high", "V_IH", "from where on the input is on", "2.5 V"),
        _voltage("input_low", "Input low", "V_IL", "up to where the input is off", "0.8 V"),
        Input("input_duration", "Input needs", "t_I", "time", "the least pulse it takes", "5 ms"),
        Input(
            "input_style", "Input style", "", "choice", "waits for a voltage, or for a short to ground",
            "voltage", default="voltage", choices=("voltage", "switch"),
        ),
        Input("input_most", "Input bears", "V_IM", "voltage", "the highest level it may see", "15 V"),
        Input(
            "pull_up", "Pulled up to", "V_OH", "voltage", "the voltage behind the resistor of a switch", "5 V"
        ),
        _family("output_family", "Output family"),
        _family("input_family", "Input family"),
        Input("supply", "Supply", "V_S", "voltage", "of the logic families; 5 V when left out", "5 V"),
        Input("output_supply", "Output's supply", "", "voltage", "where it differs from the input's", "5 V"),
        Input("input_supply", "Input's supply", "", "voltage", "where it differs from the output's", "15 V"),
        Input(
            "inputs_driven", "Inputs driven", "n", "integer", "how many inputs hang on the output", "1",
            default="1", least=1, most=MOST_DRIVEN,
        ),
    ),
    results=(
        ResultSpec("level_margin", "High level margin", "voltage", "below zero: the input never turns on"),
        ResultSpec("low_margin", "Low level margin", "voltage", "below zero: the input never turns off"),
        ResultSpec("duration_margin", "Duration margin", "time", "below zero: the input misses the pulse"),
        ResultSpec("fan_out", "Inputs it can drive", "integer", "where both currents are published"),
        ResultSpec("verdict", "Verdict", "text"),
    ),
    example={
        "output_high": "4.4 V", "output_low": "0.3 V", "output_duration": "8 ms", "input_high": "2.5 V",
        "input_low": "0.8 V", "input_duration": "0.5 ms",
    },
    function=work,
)  # fmt: skip

"""A converter driving a pitch voltage: how far each note is off, and how many bits would do.

Whether the full scale is the top code or one step above it is asked, because the two conventions give
different errors and both are found in instruments.
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
    ShownInput,
    Source,
    Worked,
)
from kb.calculators.dac_notes import (
    BITS_REFERENCE,
    BITS_TOP_CODE,
    HALF_STEP_HERTZ,
    HALF_STEP_OCTAVE,
    REFERENCE,
    STEP,
    STEPS_HERTZ,
    STEPS_OCTAVE,
    TOP_CODE,
    note_table,
)
from kb.calculators.pitch import (
    ERROR_CENTS,
    HERTZ_PER_VOLT,
    OCTAVE_V,
    STANDARDS,
    TARGET,
    VOLT_PER_OCTAVE,
    note_name,
    note_number,
    read_note,
)
from kb.calculators.plan import Comparison, Condition, Plan, Refusal, Shown, Step, Variable
from kb.calculators.reading import Given
from kb.calculators.working import formula, planned, shown, shown_table
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

HERTZ_LOWEST_V = 0.25
MAX_OCTAVES = 12
MAX_BITS = 24

COLUMNS = (
    Column("note", "Note", "text"),
    Column("target", "Wanted", "voltage"),
    Column("code", "Code", "integer"),
    Column("output", "Given", "voltage"),
    Column("error", "Error", "interval"),
    Column("in_reach", "In reach", "text"),
    Column("frequency", "Pitch", "frequency"),
)

SOURCES = (
    Source("Pitch of the notes: ISO 16 (A4 = 440 Hz), equal temperament", "computed, three libraries agree"),
    Source("1 V per octave is 0.0833 V per semitone: a MIDI/CV interface manual", "seen in source"),
    Source("Note 36 (C2) at 0 V or 0.25 V: a CV-to-MIDI converter manual, p. 11", "seen in source"),
)


BEYOND_HEARING = Refusal(
    (Comparison.read(f"o > {MAX_OCTAVES}"),), "octaves", "is beyond hearing", f"give at most {MAX_OCTAVES}"
)
NOT_ABOVE_ZERO = Refusal(
    (Comparison.read("V_L <= 0"),), "lowest", "must be above zero",
    "with hertz per volt every note doubles over an octave, so write for example 0.25 V",
)  # fmt: skip
SWALLOWED = Refusal(
    (Comparison.read("V_s / 2 >= V_L"),), "bits",
    "one step is {step}, so half a step is as large as the lowest note's voltage",
    "give more bits, a smaller full scale or a higher lowest voltage", {"step": Shown("V_s", "voltage")},
)  # fmt: skip
NONE_REACHED = Refusal(
    (Comparison.read("reached < 1"),), "lowest", "no note lies within the full scale",
    "check lowest against full_scale",
)  # fmt: skip

LIMIT = {
    "needed": Shown("needed", "integer"), "limit": Shown("e", "interval"), "bits": Shown("N", "integer")
}  # fmt: skip
CONDITIONS = (
    Condition.whenever(
        "warning",
        "out of reach and left out of the worst error: {missed} of {count} notes; the furthest, {note}, is "
        "{short} short",
        Comparison.read("missed > 0"),
        fills={"missed": Shown("missed", "integer"), "count": Shown("count", "integer"),
               "note": Shown("furthest", "note"), "short": Shown("short", "interval")},
    ),
    Condition.whenever(
        "note",
        "these notes fall on good codes; voltages between them need {needed} bits to stay in {limit}",
        Comparison.read("needed > N"), Comparison.read("worst <= e"), fills=LIMIT,
    ),
    Condition.whenever(
        "warning", "{bits} bits can't hold {limit} everywhere: {needed} bits are needed",
        Comparison.read("needed > N"), Comparison.read("worst > e"), fills=LIMIT,
    ),
)  # fmt: skip


def work(given: Given) -> Worked:
    """List the notes, find the worst and say how many bits the limit takes."""
    plan = plan_of(given)
    values = plan.evaluate()
    return Worked(
        results=planned(CALCULATOR, plan, values),
        formulas=_formulas(given, values),
        limits=("An ideal converter: real ones add their own errors of linearity, gain and offset.",),
        notes=plan.notes(values) + _remarks(given),
        sources=SOURCES,
        tables=(shown_table(plan.tables[0], COLUMNS, values),),
        figure=_figure(plan, values),
        also_used=_assumed_lowest(given, values["V_L"]),
        plan=plan,
    )


def plan_of(given: Given) -> Plan:
    """The calculation as data; standard and convention choose the formulas."""
    standard, convention = given.word("standard"), given.word("convention")
    is_hertz = standard == HERTZ_PER_VOLT
    bits = BITS_REFERENCE if convention == REFERENCE else BITS_TOP_CODE
    return Plan(
        variables=_variables(given, HERTZ_LOWEST_V if is_hertz else 0.0),
        constants={"V_1": OCTAVE_V, "m_0": float(note_number(given.word("lowest_note")))},
        refusals=(BEYOND_HEARING, *((NOT_ABOVE_ZERO,) if is_hertz else ())),
        steps=(
            Step("V_s", STEP[convention], "voltage", "step", refusals=(SWALLOWED,) if is_hertz else ()),
            Step("e_s", _half(standard), "interval", "half_step_bound"),
            Step("x", STEPS_HERTZ if is_hertz else STEPS_OCTAVE, "number"),
            Step("needed", bits, "integer", "bits_needed"),
        ),
        tables=(note_table(standard),),
        after=(
            Step("worst", Expression("abs(err_w)"), "interval", "worst_error", refusals=(NONE_REACHED,)),
            Step("worst_note", Expression("m_0 + n_w"), "note", "worst_note"),
            Step("count", Expression("reached + missed"), "integer"),
            Step("furthest", Expression("m_0 + n_m"), "note"),
            Step("short", Expression("abs(err_m)"), "interval"),
        ),
        conditions=CONDITIONS,
    )


def _variables(given: Given, lowest_v: float) -> tuple[Variable, ...]:
    limit = given.quantities["limit"].dimension
    return (
        Variable("bits", "N", "integer", given.count("bits")),
        Variable("full_scale", "V_F", "voltage", given.value("full_scale")),
        Variable(
            "lowest", "V_L", "voltage", given.value("lowest") if given.has("lowest") else lowest_v,
            positive=False,
        ),
        Variable("octaves", "o", "number", given.value("octaves")),
        Variable("limit", "e", limit, given.value("limit"),
                 also=("number" if limit == "interval" else "interval",)),
    )  # fmt: skip


def _half(standard: str) -> Expression:
    return HALF_STEP_HERTZ if standard == HERTZ_PER_VOLT else HALF_STEP_OCTAVE


def _assumed_lowest(given: Given, lowest_v: float) -> tuple[ShownInput, ...]:
    if given.has("lowest"):
        return ()
    spec, text = CALCULATOR.input("lowest"), f"{lowest_v:g} V"
    return (ShownInput(spec.key, spec.label, spec.symbol, text, text, lowest_v, "voltage", False),)


def _formulas(given: Given, values: Mapping[str, float]) -> tuple[ShownFormula, ...]:
    worst = {**values, "V_n": values["V_n_w"], "V_out": values["V_out_w"]}
    volts = ("V_F", "V_L", "V_1", "V_s", "V_n", "V_out")
    numbers = {name: shown(worst[name], "voltage", digits=5) for name in volts}
    numbers |= {"N": f"{values['N']:.0f}", "n": f"{values['n_w']:.0f}"}
    standard = given.word("standard")

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols={}, numbers=numbers, answer=answer)

    return (
        one("One step", "V_s", STEP[given.word("convention")], numbers["V_s"]),
        one("Voltage of a note", "V_n", TARGET[standard], numbers["V_n"]),
        one("Error", "e", ERROR_CENTS[standard], shown(values["err_w"], "interval")),
        one("Half a step at the lowest note", "e_s", _half(standard), shown(values["e_s"], "interval")),
    )


def _remarks(given: Given) -> tuple[Note, ...]:
    """What doesn't depend on any number."""
    other = "is that" if given.word("convention") == REFERENCE else "lies one step above it"
    texts = [
        f"measure the output at the top code: the errors are different ones if the full scale {other}",
        "instruments differ in the note that the lowest voltage stands for",
    ]
    if given.word("standard") == HERTZ_PER_VOLT:
        texts.append("the lowest octave is the worst: a look at the top octave alone says nothing")
    return tuple(Note("note", text) for text in texts)


def _figure(plan: Plan, values: Mapping[str, float]) -> FigureSpec:
    reached = [row for row in plan.tables[0].work_out(values) if row["reach"]]
    worst_note, first = note_name(int(values["worst_note"])), note_name(int(values["m_0"]))
    limit = values["e"]
    return FigureSpec(
        title="Error by note",
        description=(
            "The error of each note in cents; the largest is "
            f"{shown(values['err_w'], 'interval')} at {worst_note}."
        ),
        x=Axis(f"Semitones above {first}"),
        y=Axis("Error", "interval"),
        series=(
            Series("error", tuple(row["n"] for row in reached), tuple(row["err"] for row in reached), "bars"),
        ),
        marks=(
            Mark("horizontal", limit, f"limit {shown(limit, 'interval')}"), Mark("horizontal", -limit, ""),
        ),
    )  # fmt: skip


CALCULATOR = Calculator(
    name="dac_pitch",
    title="Pitch from a converter",
    summary="The error of every note that a digital-to-analogue converter gives, and the bits a limit takes.",
    inputs=(
        Input(
            "standard", "Pitch standard", "", "choice", "how the voltage stands for a pitch", VOLT_PER_OCTAVE,
            default=VOLT_PER_OCTAVE, choices=STANDARDS,
        ),
        Input(
            "bits", "Bits", "N", "integer", "of the converter", "8", required=True, least=1, most=MAX_BITS
        ),
        Input("full_scale", "Full scale", "V_F", "voltage", "see convention", "10 V", required=True),
        Input(
            "lowest", "Lowest note's voltage", "V_L", "voltage",
            "0 V with volt per octave and 0.25 V with hertz per volt when left out", "0 V", positive=False,
        ),
        Input("octaves", "Octaves", "", "number", "how far the notes go up", "5", default="5"),
        Input(
            "limit", "Largest error", "e", "interval|number", "that is good enough", "5 cents",
            default="5 cents",
        ),
        Input(
            "convention", "Full scale is", "", "choice",
            "reference: one step above the top code; top_code: the top code itself", REFERENCE,
            default=REFERENCE, choices=(REFERENCE, TOP_CODE),
        ),
        Input(
            "lowest_note", "Lowest note", "", "choice", "the note at the lowest voltage; C4 is note 60", "C2",
            default="C2", choices=("C1", "C2", "F#2", "A1"), resolve=read_note,
        ),
    ),
    results=(
        ResultSpec("worst_error", "Worst error", "interval"),
        ResultSpec("worst_note", "Worst note", "text"),
        ResultSpec("step", "One step", "voltage"),
        ResultSpec("half_step_bound", "Half a step at the lowest note", "interval"),
        ResultSpec("bits_needed", "Bits for the limit", "integer"),
    ),
    example={"bits": "8", "full_scale": "10 V", "octaves": "5"},
    function=work,
)  # fmt: skip

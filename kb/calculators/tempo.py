"""Tempo and clock pulses: beats a minute against pulse frequency, and how long each note lasts.

A tempo counts quarter notes a minute; the clock gives `pulses_per_quarter` pulses in each of them.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import Calculator, Column, Input, ResultSpec, ShownFormula, Source, Worked
from kb.calculators.plan import Comparison, Condition, Listed, Plan, PlanTable, Shown, Step, Variable
from kb.calculators.plan_tables import Reduction, Row
from kb.calculators.reading import Given
from kb.calculators.working import formula, planned, shown, shown_table
from kb.formulas import Expression

FREQUENCY = Expression("B * p / 60")
TEMPO = Expression("60 * f / p")
INTERVAL = Expression("1 / f")
NOTE_LENGTH = Expression("240 * n / B")
# The fraction in two parts, so that the machine's rounding can't make a whole number of pulses uneven.
PULSES_IN_NOTE = Expression("4 * a * p / b")
IS_UNEVEN = (Comparison.read("count > floor(count)"),)
SYMBOLS = {"B": "B", "p": "p", "f": "f", "n": "n"}

NOTES = (
    ("whole", 1, 1), ("half", 1, 2), ("dotted quarter", 3, 8), ("quarter", 1, 4), ("quarter triplet", 1, 6),
    ("dotted eighth", 3, 16), ("eighth", 1, 8), ("eighth triplet", 1, 12), ("sixteenth", 1, 16),
    ("sixteenth triplet", 1, 24), ("thirty-second", 1, 32),
)  # fmt: skip
"""Name and fraction of a whole note; a triplet puts three in the time of two."""

COLUMNS = (
    Column("note", "Note", "text"),
    Column("time", "Lasts", "time"),
    Column("pulses", "Pulses", "number"),
)
LENGTHS = PlanTable(
    title="Note lengths",
    steps=(Step("length", NOTE_LENGTH, "time"), Step("count", PULSES_IN_NOTE, "number")),
    cells={"time": Shown("length", "time"), "pulses": Shown("count", "number")},
    rows=tuple(Row(name, {"n": over / under, "a": over, "b": under}) for name, over, under in NOTES),
    reductions=(Reduction("uneven", "count", where=IS_UNEVEN),),
)
UNEVEN = Condition.whenever(
    "note",
    "not a whole number of pulses, so a clock can't step them: {notes}",
    Comparison.read("uneven > 0"),
    fills={"notes": Listed(LENGTHS.title, IS_UNEVEN)},
)

SOURCES = (
    Source("MIDI 1.0: the timing clock sends 24 pulses in each quarter note", "seen in source"),
    Source("Some makers count 48 pulses in each quarter note", "seen in source"),
)


def work(given: Given) -> Worked:
    """Solve for the tempo or the frequency and tabulate the notes."""
    plan = plan_of(given)
    values = plan.evaluate()
    return Worked(
        results=planned(CALCULATOR, plan, values),
        formulas=_formulas(given, values),
        notes=plan.notes(values),
        sources=SOURCES,
        tables=(shown_table(plan.tables[0], COLUMNS, values),),
        plan=plan,
    )


def plan_of(given: Given) -> Plan:
    """The calculation as data; whichever of tempo and frequency is given becomes a variable."""
    pulses = Variable("pulses_per_quarter", "p", "integer", given.count("pulses_per_quarter"))
    if given.solved_for == "bpm":
        known = Variable("frequency", "f", "frequency", given.value("frequency"))
        steps = (Step("f_given", Expression("f"), "frequency", "frequency"), Step("B", TEMPO, "tempo", "bpm"))
    else:
        written = given.quantities["bpm"].dimension
        other = "tempo" if written == "number" else "number"
        known = Variable("bpm", "B", written, given.value("bpm"), also=(other,))
        steps = (Step("B_given", Expression("B"), "tempo", "bpm"),
                 Step("f", FREQUENCY, "frequency", "frequency"))  # fmt: skip
    return Plan(
        variables=(known, pulses),
        steps=(*steps, Step("t", INTERVAL, "time", "interval")),
        tables=(LENGTHS,),
        conditions=(UNEVEN,),
    )


def _formulas(given: Given, values: Mapping[str, float]) -> tuple[ShownFormula, ...]:
    numbers = {
        "B": f"{values['B']:.6g}", "f": shown(values["f"], "frequency"), "p": f"{values['p']:.0f}"
    }  # fmt: skip

    def one(name: str, left: str, expression: Expression, dimension: str) -> ShownFormula:
        answer = shown(values[left], dimension)
        return formula(name, left, expression, symbols=SYMBOLS, numbers=numbers, answer=answer)

    if given.solved_for == "bpm":
        first = one("Tempo", "B", TEMPO, "tempo")
    else:
        first = one("Pulse frequency", "f", FREQUENCY, "frequency")
    return (first, one("From pulse to pulse", "t", INTERVAL, "time"))


CALCULATOR = Calculator(
    name="tempo",
    title="Tempo and clock",
    summary="Beats a minute from a clock's frequency or the other way round, with the length of each note.",
    inputs=(
        Input(
            "bpm", "Tempo", "B", "tempo|number", "quarter notes in a minute", "120 BPM", solvable=True
        ),
        Input(
            "frequency", "Pulse frequency", "f", "frequency", "clock pulses in a second", "48 Hz",
            solvable=True,
        ),
        Input(
            "pulses_per_quarter", "Pulses in a quarter note", "p", "integer",
            "how many clock pulses the instrument counts in a quarter note", "24",
            default="24", least=1, most=960,
        ),
    ),
    results=(
        ResultSpec("bpm", "Tempo", "tempo"),
        ResultSpec("frequency", "Pulse frequency", "frequency"),
        ResultSpec("interval", "From pulse to pulse", "time"),
    ),
    example={"bpm": "120 BPM", "pulses_per_quarter": "24"},
    function=work,
    solve_group=("bpm", "frequency"),
)  # fmt: skip

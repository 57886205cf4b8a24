"""Tempo and clock pulses: beats a minute against pulse frequency, and how long each note lasts.

A tempo counts quarter notes a minute; the clock gives `pulses_per_quarter` pulses in each of them.
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
from kb.calculators.reading import Given
from kb.calculators.working import cell, formula, result, shown
from kb.formulas import Expression

FREQUENCY = Expression("B * p / 60")
TEMPO = Expression("60 * f / p")
INTERVAL = Expression("1 / f")
NOTE_LENGTH = Expression("240 * n / B")
PULSES_IN_NOTE = Expression("4 * n * p")
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

SOURCES = (
    Source("MIDI 1.0: the timing clock sends 24 pulses in each quarter note", "seen in source"),
    Source("Some makers count 48 pulses in each quarter note", "seen in source"),
)


def work(given: Given) -> Worked:
    """Solve for the tempo or the frequency and tabulate the notes."""
    pulses = given.count("pulses_per_quarter")
    if given.solved_for == "bpm":
        frequency = given.value("frequency")
        tempo = TEMPO.evaluate({"f": frequency, "p": pulses})
    else:
        tempo = given.value("bpm")
        frequency = FREQUENCY.evaluate({"B": tempo, "p": pulses})
    interval = INTERVAL.evaluate({"f": frequency})
    table = _notes(tempo, pulses)
    return Worked(
        results=(
            result(CALCULATOR, "bpm", tempo),
            result(CALCULATOR, "frequency", frequency),
            result(CALCULATOR, "interval", interval),
        ),
        formulas=_formulas(given, tempo, frequency, pulses, interval),
        notes=_remarks(table),
        sources=SOURCES,
        tables=(table,),
    )


def _formulas(
    given: Given, tempo: float, frequency: float, pulses: int, interval: float
) -> tuple[ShownFormula, ...]:
    numbers = {"B": f"{tempo:.6g}", "f": shown(frequency, "frequency"), "p": str(pulses)}
    if given.solved_for == "bpm":
        first = formula("Tempo", "B", TEMPO, symbols=SYMBOLS, numbers=numbers, answer=shown(tempo, "tempo"))
    else:
        first = formula(
            "Pulse frequency",
            "f",
            FREQUENCY,
            symbols=SYMBOLS,
            numbers=numbers,
            answer=shown(frequency, "frequency"),
        )
    return (
        first,
        formula(
            "From pulse to pulse",
            "t",
            INTERVAL,
            symbols=SYMBOLS,
            numbers=numbers,
            answer=shown(interval, "time"),
        ),
    )


def _notes(tempo: float, pulses: int) -> Table:
    rows = []
    for name, over, under in NOTES:
        length = NOTE_LENGTH.evaluate({"n": over / under, "B": tempo})
        count = 4 * over * pulses / under
        rows.append((cell(name, "text"), cell(length, "time"), cell(count, "number")))
    return Table("Note lengths", COLUMNS, tuple(rows))


def _remarks(table: Table) -> tuple[Note, ...]:
    broken = [row[0].shown for row in table.rows if isinstance(row[2].value, float) and row[2].value % 1]
    if not broken:
        return ()
    return (Note("note", f"not a whole number of pulses, so a clock can't step them: {', '.join(broken)}"),)


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

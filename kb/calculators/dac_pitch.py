"""A converter driving a pitch voltage: how far each note is off, and how many bits would do.

Whether the full scale is the top code or one step above it is asked, because the two conventions give
different errors and both are found in instruments.
"""

from __future__ import annotations

import math

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Cell,
    Column,
    Input,
    InputProblem,
    Note,
    ResultSpec,
    ShownFormula,
    ShownInput,
    Source,
    Table,
    Worked,
)
from kb.calculators.dac_notes import (
    HALF_STEP_HERTZ,
    HALF_STEP_OCTAVE,
    REFERENCE,
    STEP,
    TOP_CODE,
    ConvertedNote,
    Converter,
    worst,
)
from kb.calculators.pitch import (
    ERROR_CENTS,
    FREQUENCY,
    HERTZ_PER_VOLT,
    OCTAVE_V,
    STANDARDS,
    TARGET,
    VOLT_PER_OCTAVE,
    note_name,
    note_number,
    read_note,
)
from kb.calculators.reading import Given
from kb.calculators.working import cell, formula, result, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression, FormulaError

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


def work(given: Given) -> Worked:
    """List the notes, find the worst and say how many bits the limit takes."""
    converter = _converter(given)
    bound = _bound(converter)
    notes = [converter.note(semitone) for semitone in range(_semitones(given) + 1)]
    reached = [note for note in notes if note.is_in_reach]
    if not reached:
        raise CalculationError(
            InputProblem("lowest", "no note lies within the full scale", "check lowest against full_scale")
        )
    first = note_number(given.word("lowest_note"))
    limit = given.value("limit")
    needed = converter.bits_needed(limit)
    worst_note = worst(reached)
    return Worked(
        results=(
            result(CALCULATOR, "worst_error", abs(worst_note.error_cents)),
            result(CALCULATOR, "worst_note", note_name(first + worst_note.semitone)),
            result(CALCULATOR, "step", converter.step_v),
            result(CALCULATOR, "half_step_bound", bound),
            result(CALCULATOR, "bits_needed", needed),
        ),
        formulas=_formulas(converter, worst_note, bound),
        limits=("An ideal converter: real ones add their own errors of linearity, gain and offset.",),
        notes=_remarks(given, converter, notes, first, needed),
        sources=SOURCES,
        tables=(Table("Note by note", COLUMNS, tuple(_row(note, first) for note in notes)),),
        figure=_figure(reached, first, limit),
        also_used=_assumed_lowest(given, converter),
    )


def _converter(given: Given) -> Converter:
    standard = given.word("standard")
    lowest_v = 0.0 if standard == VOLT_PER_OCTAVE else HERTZ_LOWEST_V
    if given.has("lowest"):
        lowest_v = given.value("lowest")
    if standard == HERTZ_PER_VOLT and lowest_v <= 0:
        advice = "with hertz per volt every note doubles over an octave, so write for example 0.25 V"
        raise CalculationError(InputProblem("lowest", "must be above zero", advice))
    return Converter(
        standard, given.word("convention"), given.count("bits"), given.value("full_scale"), lowest_v
    )


def _bound(converter: Converter) -> float:
    try:
        return converter.half_step_cents
    except FormulaError as error:
        step = shown(converter.step_v, "voltage")
        what = f"one step is {step}, so half a step is as large as the lowest note's voltage"
        advice = "give more bits, a smaller full scale or a higher lowest voltage"
        raise CalculationError(InputProblem("bits", what, advice)) from error


def _semitones(given: Given) -> int:
    octaves = given.value("octaves")
    if octaves > MAX_OCTAVES:
        raise CalculationError(InputProblem("octaves", "is beyond hearing", f"give at most {MAX_OCTAVES}"))
    return math.floor(12 * octaves + 1e-6)


def _assumed_lowest(given: Given, converter: Converter) -> tuple[ShownInput, ...]:
    if given.has("lowest"):
        return ()
    spec, text = CALCULATOR.input("lowest"), f"{converter.lowest_v:g} V"
    return (ShownInput(spec.key, spec.label, spec.symbol, text, text, converter.lowest_v, "voltage", False),)


def _row(note: ConvertedNote, first: int) -> tuple[Cell, ...]:
    number = first + note.semitone
    return (
        cell(note_name(number), "text"),
        cell(note.target_v, "voltage", digits=5),
        cell(note.code, "integer"),
        cell(note.output_v, "voltage", digits=5),
        cell(note.error_cents, "interval"),
        cell("yes" if note.is_in_reach else "no", "text"),
        cell(FREQUENCY.evaluate({"m": number}), "frequency", digits=5),
    )


def _formulas(converter: Converter, worst_note: ConvertedNote, bound: float) -> tuple[ShownFormula, ...]:
    volts = {
        "V_F": converter.full_scale_v, "V_L": converter.lowest_v, "V_1": OCTAVE_V, "V_s": converter.step_v,
        "V_n": worst_note.target_v, "V_out": worst_note.output_v,
    }  # fmt: skip
    numbers = {name: shown(value, "voltage", digits=5) for name, value in volts.items()}
    numbers |= {"N": str(converter.bits), "n": str(worst_note.semitone)}
    half = HALF_STEP_HERTZ if converter.standard == HERTZ_PER_VOLT else HALF_STEP_OCTAVE

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols={}, numbers=numbers, answer=answer)

    return (
        one("One step", "V_s", STEP[converter.convention], numbers["V_s"]),
        one("Voltage of a note", "V_n", TARGET[converter.standard], numbers["V_n"]),
        one("Error", "e", ERROR_CENTS[converter.standard], shown(worst_note.error_cents, "interval")),
        one("Half a step at the lowest note", "e_s", half, shown(bound, "interval")),
    )


def _remarks(
    given: Given, converter: Converter, notes: list[ConvertedNote], first: int, needed: int
) -> tuple[Note, ...]:
    found = [*_reach(notes, first), *_limit(given, converter, notes, needed)]
    other = "is that" if converter.convention == REFERENCE else "lies one step above it"
    texts = [
        f"measure the output at the top code: the errors are different ones if the full scale {other}",
        "instruments differ in the note that the lowest voltage stands for",
    ]
    if converter.standard == HERTZ_PER_VOLT:
        texts.append("the lowest octave is the worst: a look at the top octave alone says nothing")
    return (*found, *(Note("note", text) for text in texts))


def _reach(notes: list[ConvertedNote], first: int) -> tuple[Note, ...]:
    missed = [note for note in notes if not note.is_in_reach]
    if not missed:
        return ()
    furthest = max(missed, key=lambda note: abs(note.error_cents))
    name, short = note_name(first + furthest.semitone), shown(abs(furthest.error_cents), "interval")
    text = (
        f"out of reach and left out of the worst error: {len(missed)} of {len(notes)} notes; "
        f"the furthest, {name}, is {short} short"
    )
    return (Note("warning", text),)


def _limit(given: Given, converter: Converter, notes: list[ConvertedNote], needed: int) -> tuple[Note, ...]:
    if needed <= converter.bits:
        return ()
    limit = shown(given.value("limit"), "interval")
    error = abs(worst([note for note in notes if note.is_in_reach]).error_cents)
    if error <= given.value("limit"):
        text = f"these notes fall on good codes; voltages between them need {needed} bits to stay in {limit}"
        return (Note("note", text),)
    text = f"{converter.bits} bits can't hold {limit} everywhere: {needed} bits are needed"
    return (Note("warning", text),)


def _figure(reached: list[ConvertedNote], first: int, limit: float) -> FigureSpec:
    worst_note = worst(reached)
    name = note_name(first + worst_note.semitone)
    return FigureSpec(
        title="Error by note",
        description=(
            "The error of each note in cents; the largest is "
            f"{shown(worst_note.error_cents, 'interval')} at {name}."
        ),
        x=Axis(f"Semitones above {note_name(first)}"),
        y=Axis("Error", "interval"),
        series=(
            Series(
                "error",
                tuple(float(note.semitone) for note in reached),
                tuple(note.error_cents for note in reached),
                "bars",
            ),
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

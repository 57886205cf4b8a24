"""How an oscillator tracks its pitch voltage: scale, offset and what no trimmer takes away.

The readings are fitted by least squares over all of them, because a line through the two ends carries
the errors of the two ends.
"""

from __future__ import annotations

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
    ShownInput,
    Source,
    Table,
    Worked,
)
from kb.calculators.exponential import DRIFT, IDEAL_COEFFICIENT, KELVIN
from kb.calculators.pitch import (
    FREQUENCY,
    HERTZ_PER_VOLT,
    STANDARDS,
    VOLT_PER_OCTAVE,
    note_name,
    note_number,
    read_note,
)
from kb.calculators.reading import Given
from kb.calculators.tracking_advice import LEAST_FOR_DROOP, Trimmers, advice, droop
from kb.calculators.tracking_fit import (
    ASKED,
    LEVEL,
    OFFSET,
    PLAYED,
    SCALE_DOUBT,
    SCALE_ERROR,
    SLOPE,
    TWO_POINT,
    Line,
    Test,
)
from kb.calculators.tracking_readings import EXAMPLE, LONGEST_TEXT, MOST_READINGS, Reading, read_readings
from kb.calculators.working import cell, formula, result, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.formulas import Expression

COLUMNS = (
    Column("voltage", "Voltage", "voltage"),
    Column("frequency", "Played", "frequency"),
    Column("asked", "Octaves asked for", "number"),
    Column("error", "Off the wanted pitch", "interval"),
    Column("residual", "Left after the line", "interval"),
)
ERROR = Expression("1200 * (y - x)")
TRIMMERS = {"scale": ("Scale", "SCALE"), "offset": ("Offset", "TUNE"), "high_end": ("High end", "HF TRIM")}
"""Inputs `scale_trimmer` and so on name what the advice tells to turn; they change no number."""

DEFAULT_BASE_V = {VOLT_PER_OCTAVE: 0.0, HERTZ_PER_VOLT: 1.0}

SOURCES = (
    Source("Least squares through log2 of the frequency (textbook)", "computed with numpy"),
    Source("Pitch of the notes: ISO 16 (A4 = 440 Hz), equal temperament", "computed, three libraries agree"),
    Source("A reset that takes time adds to every period, so high notes run flat (textbook)", "computed"),
)
DRIFT_SOURCE = Source("V_T = k T / q behind the exponential pair, CODATA 2018", "simulated in ngspice")


def work(given: Given) -> Worked:
    """Fit the line, hold it against the base note and say what to turn."""
    test, assumed = _test(given)
    line, limit = test.line(), given.value("limit")
    found = droop(test, line)
    drift, drift_notes = _drift(given)
    return Worked(
        results=(*_results(test, line, found), *drift),
        formulas=_formulas(test, line),
        limits=(
            "One oscillator alone, no vibrato, portamento or second oscillator while you read.",
            f"At most {MOST_READINGS} readings; a droop is looked for from {LEAST_FOR_DROOP} voltages on.",
        ),
        notes=(*advice(test, line, found, limit, _trimmers(given)), *drift_notes),
        sources=(*SOURCES, *((DRIFT_SOURCE,) if drift else ())),
        tables=(_table(test, line),),
        figure=_figure(test, line),
        also_used=assumed,
    )


def _trimmers(given: Given) -> Trimmers:
    named = {each: given.word(f"{each}_trimmer") for each in TRIMMERS if given.has(f"{each}_trimmer")}
    return Trimmers(**named)


def _test(given: Given) -> tuple[Test, tuple[ShownInput, ...]]:
    """The readings and the base; the nearest note to the fit where nobody named a base."""
    standard = given.word("standard")
    lowest_v = 0.0 if standard == HERTZ_PER_VOLT else None
    base_v = given.value("base_voltage") if given.has("base_voltage") else DEFAULT_BASE_V[standard]
    if lowest_v is not None and base_v <= lowest_v:
        raise CalculationError(
            InputProblem("base_voltage", "must be above zero", "with hertz per volt no note lies at zero")
        )
    readings = read_readings(given.word("readings"), lowest_v)
    shown_inputs = []
    if not given.has("base_voltage"):
        shown_inputs.append(_assumed("base_voltage", base_v, f"{base_v:g} V"))
    if given.has("base_note") and given.has("base_frequency"):
        raise CalculationError(InputProblem("base_note", "is given beside base_frequency", "leave one out"))
    if given.has("base_frequency"):
        return Test(standard, readings, base_v, given.value("base_frequency")), tuple(shown_inputs)
    name = given.word("base_note") if given.has("base_note") else _nearest_note(standard, readings, base_v)
    if not given.has("base_note"):
        shown_inputs.append(_assumed("base_note", name, f"{name}, the note nearest to the readings"))
    base_hz = FREQUENCY.evaluate({"m": note_number(name)})
    return Test(standard, readings, base_v, base_hz), tuple(shown_inputs)


def _nearest_note(standard: str, readings: tuple[Reading, ...], base_v: float) -> str:
    """The note of equal temperament nearest to what the line plays at the base voltage."""
    reference = Test(standard, readings, base_v, 440.0).line()
    number = round(69 + 12 * reference.level)
    if not 0 <= number <= 127:
        advice_text = "give base_frequency or base_note, for example base_note: C2"
        raise CalculationError(InputProblem("base_note", "no note lies near the base voltage", advice_text))
    return note_name(number)


def _assumed(key: str, value: float | str, text: str) -> ShownInput:
    spec = CALCULATOR.input(key)
    return ShownInput(key, spec.label, spec.symbol, text, text, value, spec.dimension, False)


def _results(test: Test, line: Line, found: tuple[float, float] | None) -> tuple[Result, ...]:
    scale = SCALE_ERROR.evaluate({"b": line.slope})
    made = [
        result(CALCULATOR, "scale_error", scale),
        result(CALCULATOR, "offset", OFFSET.evaluate({"a": line.level})),
        result(CALCULATOR, "worst_residual", line.worst),
        result(CALCULATOR, "two_point_scale_error", test.two_point()),
    ]
    if len(line.residuals) > 2:
        squares = line.squares / 1200**2
        doubt = SCALE_DOUBT.evaluate({**line.sums, "S_rr": squares})
        made.append(result(CALCULATOR, "scale_doubt", doubt))
    if found is not None:
        made.append(result(CALCULATOR, "droop", found[1]))
    if test.standard == HERTZ_PER_VOLT:
        made.append(result(CALCULATOR, "zero_error", test.zero_error_v()))
    return tuple(made)


def _drift(given: Given) -> tuple[tuple[Result, ...], tuple[Note, ...]]:
    """How far the scale moves between two temperatures, when both are given."""
    keys = ("adjusted_at", "played_at")
    missing = [key for key in keys if not given.has(key)]
    if len(missing) == 2:
        return (), ()
    if missing:
        raise CalculationError(InputProblem(missing[0], "is missing", "give both temperatures or neither"))
    if given.word("standard") == HERTZ_PER_VOLT:
        what = "has no meaning here: hertz per volt works without an exponential pair"
        raise CalculationError(InputProblem("adjusted_at", what, "leave out both temperatures"))
    first, second = (given.value(key) for key in keys)
    values = {"T_1": first, "T_2": second, "T_0": KELVIN, "k": given.value("compensation")}
    ideal = IDEAL_COEFFICIENT.evaluate({"T_0": KELVIN, "T": first})
    text = (
        f"an exponential pair adjusted at this temperature wants {shown(ideal, 'ratio')} per kelvin from its "
        "compensating resistor; parts marked +3300 ppm are exactly right at 29.9 °C only"
    )
    return (result(CALCULATOR, "drift", DRIFT.evaluate(values)),), (Note("note", text),)


def _table(test: Test, line: Line) -> Table:
    rows = []
    for reading, residual in zip(test.readings, line.residuals, strict=True):
        asked = test.asked(reading)
        played = PLAYED.evaluate({"f": reading.frequency_hz, "f_0": test.base_hz})
        rows.append((
            cell(reading.voltage_v, "voltage", digits=5), cell(reading.frequency_hz, "frequency", digits=6),
            cell(asked, "number"), cell(ERROR.evaluate({"y": played, "x": asked}), "interval"),
            cell(residual, "interval"),
        ))  # fmt: skip
    return Table("Reading by reading", COLUMNS, tuple(rows))


def _formulas(test: Test, line: Line) -> tuple[ShownFormula, ...]:
    top = test.readings[-1]
    values = {
        "V": shown(top.voltage_v, "voltage", 5), "V_0": shown(test.base_v, "voltage", 5), "V_1": "1 V",
        "f": shown(top.frequency_hz, "frequency", 6), "f_0": shown(test.base_hz, "frequency", 6),
        "a": f"{line.level:.6g}", "b": f"{line.slope:.7g}",
        **{name: f"{value:.6g}" for name, value in line.sums.items()},
    }  # fmt: skip
    ends = zip(("1", "2"), (test.readings[0], top), strict=True)
    for place, reading in ends:
        values[f"x_{place}"] = f"{test.asked(reading):.6g}"
        played = PLAYED.evaluate({"f": reading.frequency_hz, "f_0": test.base_hz})
        values[f"y_{place}"] = f"{played:.6g}"

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols={}, numbers=values, answer=answer)

    scale, offset = SCALE_ERROR.evaluate({"b": line.slope}), OFFSET.evaluate({"a": line.level})
    return (
        one("Octaves asked for, highest reading", "x", ASKED[test.standard], values["x_2"]),
        one("Octaves played, highest reading", "y", PLAYED, values["y_2"]),
        one("Slope of the line", "b", SLOPE, values["b"]),
        one("Level at the base voltage", "a", LEVEL, values["a"]),
        one("Scale error per octave", "e_s", SCALE_ERROR, shown(scale, "interval")),
        one("Offset at the base voltage", "e_0", OFFSET, shown(offset, "interval")),
        one("Scale error from the two ends", "e_2", TWO_POINT, shown(test.two_point(), "interval")),
    )


def _figure(test: Test, line: Line) -> FigureSpec:
    at = tuple(reading.voltage_v for reading in test.readings)
    return FigureSpec(
        title="What is left after the line",
        description=(
            "For each voltage the cents by which the played pitch lies off the fitted line; the largest is "
            f"{shown(line.worst, 'interval')}."
        ),
        x=Axis("Voltage", "voltage"),
        y=Axis("Left over", "interval"),
        series=(Series("readings", at, line.residuals, "points"),),
        marks=(Mark("horizontal", 0.0, ""),),
    )


CALCULATOR = Calculator(
    name="tracking",
    title="Tracking of an oscillator",
    summary="Scale error, offset and straightness from voltages put in and frequencies that came out.",
    inputs=(
        Input(
            "standard", "Pitch standard", "", "choice", "how the voltage stands for a pitch", VOLT_PER_OCTAVE,
            default=VOLT_PER_OCTAVE, choices=STANDARDS,
        ),
        Input(
            "readings", "Readings", "", "text", "pairs of voltage and frequency, parted by commas", EXAMPLE,
            required=True, most=LONGEST_TEXT,
        ),
        Input(
            "base_note", "Base note", "", "choice",
            "the note wanted at the base voltage; the nearest one when left out", "C2",
            choices=("C1", "C2", "F#2", "A1"), resolve=read_note,
        ),
        Input(
            "base_frequency", "Base frequency", "f_0", "frequency",
            "wanted at the base voltage, instead of a note", "65.4064 Hz",
        ),
        Input(
            "base_voltage", "Base voltage", "V_0", "voltage",
            "0 V with volt per octave and 1 V with hertz per volt when left out", "0 V", positive=False,
        ),
        Input(
            "limit", "Good enough", "", "interval|number", "errors up to this are left alone", "2 cents",
            default="2 cents",
        ),
        Input("adjusted_at", "Adjusted at", "T_1", "temperature", "of the exponential pair", "25 degC"),
        Input("played_at", "Played at", "T_2", "temperature", "of the exponential pair", "30 degC"),
        Input(
            "compensation", "Compensation per kelvin", "k", "ratio",
            "by how much the compensating resistor rises for each kelvin", "3300 ppm", default="0 ppm",
            positive=False,
        ),
        *(
            Input(f"{key}_trimmer", f"{label} trimmer", "", "text", "what it is called on the board", example)
            for key, (label, example) in TRIMMERS.items()
        ),
    ),
    results=(
        ResultSpec("scale_error", "Scale error per octave", "interval", "above zero: octaves too wide"),
        ResultSpec("offset", "Offset at the base voltage", "interval", "above zero: sharp"),
        ResultSpec("worst_residual", "Worst reading off the line", "interval"),
        ResultSpec("two_point_scale_error", "Scale error from the two ends alone", "interval"),
        ResultSpec("scale_doubt", "Standard error of the scale", "interval", "from the readings' scatter"),
        ResultSpec("droop", "Droop at the highest note", "interval", "as far as a slow reset explains it"),
        ResultSpec("zero_error", "Input seems shifted by", "voltage", "with hertz per volt"),
        ResultSpec("drift", "Scale drift per octave", "interval", "when two temperatures are given"),
    ),
    example={
        "readings": "0 V=65.41 Hz, 1 V=130.90 Hz, 2 V=262.30 Hz, 3 V=525.60 Hz, 4 V=1053.0 Hz, 5 V=2109.0 Hz",
        "base_frequency": "65.4064 Hz",
    },
    function=work,
)  # fmt: skip

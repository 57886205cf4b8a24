"""What is printed on a part, read as a value: colour bands, letter codes, digits, EIA-96, date codes.

A code that reads in several ways is shown in all of them. Nothing is guessed where published tables differ.
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
    Source,
    Table,
    Worked,
)
from kb.calculators.marking_dates import CYCLE_YEARS, FIRST_YEAR, YEAR, DateCode
from kb.calculators.marking_kinds import KINDS, Found, find
from kb.calculators.marking_reading import Reading, Tolerance
from kb.calculators.reading import Given
from kb.calculators.working import cell, formula, result
from kb.quantities import show

DIGITS_SHOWN = 4
LABELS = {
    "bands": "colour bands", "resistor": "resistor", "capacitor": "capacitor", "smd": "SMD resistor",
    "eia96": "SMD resistor, EIA-96",
}  # fmt: skip
AMBIGUOUS = "the code reads in more than one way, see the table: say which part it is with kind, and measure"
AGED = "a marking says what the part was when it was made: old parts drift, so measure before you trust it"
EARLIER = "the letters start anew every 20 years, so an older part may be another 20 years older"

COLOUR_SOURCES = (
    Source("IEC 60062 colours as in several public tables; letters as in IEC 60757", "seen in source"),
)
CODE_SOURCES = {
    "bands": COLOUR_SOURCES,
    "resistor": (Source("IEC 60062, letter in place of the point", "seen in source"),),
    "capacitor": (Source("IEC 60062 letters; EIA-198 style three digits", "104 seen, 8 and 9 from memory"),),
    "smd": (Source("Three and four digit codes of SMD resistors", "seen in source"),),
    "eia96": (Source("EIA-96 marking; values from the rule of IEC 60063", "seen in source, computed"),),
}
LETTER_SOURCE = Source("Tolerance letters on which several public tables agree", "seen in source")
DATE_SOURCE = Source("IEC 60062, two characters, cycle of 20 years", "from memory")


def work(given: Given) -> Worked:
    """Read the code in every way its kind allows and show the likeliest first."""
    found = find(given.word("code"), given.word("kind") if given.has("kind") else None)
    if not found.readings and found.date is None:
        raise CalculationError(InputProblem("code", found.what, found.advice))
    tables = (_readings(found),) if len(found.readings) > 1 else ()
    return Worked(
        results=_results(found),
        formulas=_formulas(found),
        limits=("Codes of makers who follow no standard are not covered.",),
        notes=_notes(found),
        sources=_sources(found),
        tables=tables + ((_dates(found.date),) if found.date else ()),
    )


def _results(found: Found) -> tuple[Result, ...]:
    if not found.readings:
        years = found.date.shown if found.date else ""
        return result(CALCULATOR, "value", years, dimension="text"), _tolerance(Tolerance("not marked"))
    first = found.readings[0]
    made = [
        _value(first), _tolerance(first.tolerance), result(CALCULATOR, "kind", LABELS[first.kind]),
    ]  # fmt: skip
    if first.per_kelvin is not None:
        spec = CALCULATOR.result("temperature_coefficient")
        ppm = f"{first.per_kelvin * 1e6:g} ppm/K"
        made.append(Result(spec.key, spec.label, first.per_kelvin, "ratio", ppm))
    if found.date:
        made.append(result(CALCULATOR, "date", found.date.shown))
    return tuple(made)


def _value(reading: Reading) -> Result:
    label = CALCULATOR.result("value").label
    text = show(reading.value, reading.dimension, DIGITS_SHOWN)
    low, high = reading.band
    if low == high:
        return Result("value", label, reading.value, reading.dimension, text)
    between = " to ".join(show(each, reading.dimension, DIGITS_SHOWN) for each in (low, high))
    return Result("value", label, reading.value, reading.dimension, text, low, high, between)


def _tolerance(tolerance: Tolerance) -> Result:
    label = CALCULATOR.result("tolerance").label
    if tolerance.certainty != "marked":
        return Result("tolerance", label, tolerance.certainty, "text", tolerance.certainty)
    dimension = "capacitance" if tolerance.in_farads else "ratio"
    return Result(
        "tolerance", label, max(tolerance.minus, tolerance.plus), dimension, tolerance.shown,
        -tolerance.minus if tolerance.minus else 0.0, tolerance.plus,
    )  # fmt: skip


def _formulas(found: Found) -> tuple[ShownFormula, ...]:
    made = []
    if found.readings:
        first = found.readings[0]
        numbers = {"N": str(first.digits), "m": str(abs(first.power))}
        answer = show(first.value, first.dimension, DIGITS_SHOWN)
        left = "C" if first.dimension == "capacitance" else "R"
        made.append(formula("Value", left, first.formula, symbols={}, numbers=numbers, answer=answer))
    if found.date:
        for start, year in zip((FIRST_YEAR, FIRST_YEAR + CYCLE_YEARS), found.date.years, strict=True):
            numbers = {"y_1": str(start), "i": str(found.date.place)}
            name = f"Year, cycle from {start}"
            made.append(formula(name, "y", YEAR, symbols={}, numbers=numbers, answer=str(year)))
    return tuple(made)


def _readings(found: Found) -> Table:
    columns = (
        Column("kind", "Read as", "text"), Column("value", "Value", "text"),
        Column("tolerance", "Tolerance", "text"), Column("how", "By which rule", "text"),
        Column("status", "How it was confirmed", "text"),
    )  # fmt: skip
    rows = []
    for reading in found.readings:
        value = cell(show(reading.value, reading.dimension, DIGITS_SHOWN), "text")
        words = (LABELS[reading.kind], reading.tolerance.shown, reading.how, reading.status)
        kind, *rest = (cell(word, "text") for word in words)
        rows.append((kind, value, *rest))
    return Table("Every way to read it", columns, tuple(rows))


def _dates(date: DateCode) -> Table:
    columns = (
        Column("year", "Year", "integer"), Column("month", "Month", "text"),
        Column("status", "How it was confirmed", "text"),
    )  # fmt: skip
    rows = tuple(
        (cell(year, "integer"), cell(date.month, "text"), cell(DATE_SOURCE.status, "text"))
        for year in date.years
    )
    return Table("Date code, both years", columns, rows)


def _notes(found: Found) -> tuple[Note, ...]:
    warnings = [AMBIGUOUS] if len(found.readings) > 1 else []
    # what is said of an EIA-96 code holds as well where the code was read as something else first
    heard = [*found.readings[:1], *(each for each in found.readings[1:] if each.kind == "eia96")]
    notes = [*found.remarks, *(remark for reading in heard for remark in reading.remarks)]
    if found.date:
        notes.append(EARLIER)
    if found.readings and found.readings[0].digits:
        notes.append(AGED)
    return (
        *(Note("warning", text) for text in (*warnings, *found.warnings)),
        *(Note("note", text) for text in dict.fromkeys(notes)),
    )


def _sources(found: Found) -> tuple[Source, ...]:
    kinds = dict.fromkeys(reading.kind for reading in found.readings)
    made = [source for kind in kinds for source in CODE_SOURCES[kind]]
    if any(kind != "bands" for kind in kinds):
        made.append(LETTER_SOURCE)
    return (*made, *((DATE_SOURCE,) if found.date else ()))


CALCULATOR = Calculator(
    name="marking",
    title="Markings",
    summary="What is printed or painted on a resistor or capacitor: value, tolerance and date.",
    inputs=(
        Input(
            "code", "Marking", "", "text",
            "as it stands on the part; bands in order, by name or by two letters such as BN RD OG",
            "yellow violet red gold", required=True,
        ),
        Input(
            "kind", "Kind", "", "choice", "what carries it; when left out the code decides", "capacitor",
            choices=KINDS,
        ),
    ),
    results=(
        ResultSpec("value", "Value", "number", "has the dimension of the part; words for a date code"),
        ResultSpec("tolerance", "Tolerance", "ratio", "in farads for a capacitor below 10 pF, or words"),
        ResultSpec("kind", "Read as", "text"),
        ResultSpec("temperature_coefficient", "Temperature coefficient, per kelvin", "ratio", "six bands"),
        ResultSpec("date", "Date code", "text", "both candidates"),
    ),
    example={"code": "yellow violet red gold"},
    function=work,
)  # fmt: skip

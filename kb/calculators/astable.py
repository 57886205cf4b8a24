"""Oscillators with one capacitor: a 555, a Schmitt inverter, an op-amp with feedback to both inputs.

For a Schmitt inverter the thresholds of one named sheet are used and all the others stand in a table; they
are never averaged, and the bands hold that sheet's limits as well as the parts.
"""

from __future__ import annotations

from kb.calculators.astable_advice import always, limits
from kb.calculators.astable_devices import OPAMP, SCHMITT, TIMER, Oscillator, SchmittSheet
from kb.calculators.astable_figure import waveform
from kb.calculators.astable_names import NAMES, device, maker_by_letters, resolve
from kb.calculators.astable_parts import read_parts
from kb.calculators.astable_plan import Circuit, plan
from kb.calculators.astable_table import by_sheet
from kb.calculators.base import (
    CalculationError,
    Calculator,
    Input,
    InputProblem,
    Note,
    ResultSpec,
    ShownFormula,
    ShownInput,
    Source,
    Worked,
)
from kb.calculators.planned import Outcome, carry_out
from kb.calculators.reading import Given
from kb.calculators.schmitt_limits import gate, published
from kb.calculators.series import NAMES as SERIES
from kb.calculators.series import read_series
from kb.problems import did_you_mean
from kb.quantities import Quantity, parse_quantity

USUAL_RATIO = "50 %"

FORMULA_SOURCES = {
    TIMER: Source("TI SLFS022 (NE555): f = 1.44 / ((RA + 2 RB) C), 1.44 is 1 / ln 2", "seen in source"),
    SCHMITT: Source("ON MC14106B, figure 5: the Schmitt oscillator's formula", "seen in source"),
    OPAMP: Source("T = 2 R C ln((1 + b) / (1 - b)) (textbook)", "seen in source, confirmed with ngspice"),
}


def work(given: Given) -> Worked:
    """Work out frequency, period and duty, or the resistor that makes a wanted frequency."""
    circuit = _circuit(given)
    outcome = carry_out(plan(circuit))
    return Worked(
        results=outcome.results(CALCULATOR),
        formulas=_formulas(circuit, outcome),
        limits=limits(circuit.device),
        notes=_notes(circuit, outcome),
        sources=_sources(circuit),
        tables=(by_sheet(circuit, outcome.values),) if circuit.sheet else (),
        figure=waveform(circuit, outcome.values),
        also_used=_also_used(circuit),
        plan=outcome.plan,
    )


def _circuit(given: Given) -> Circuit:
    chosen = device(given.word("device"))
    parts = read_parts(given, chosen)
    supply_v = given.value("supply") if given.has("supply") else chosen.usual_v
    sheet = _sheet(given, chosen)
    levels = gate(chosen, sheet, supply_v) if sheet and supply_v else None
    return Circuit(given, chosen, parts, supply_v, sheet, levels, _ratio(given, chosen))


def _sheet(given: Given, chosen: Oscillator) -> SchmittSheet | None:
    """The sheet to use; raises CalculationError for a maker without one, or without typical thresholds."""
    if chosen.kind != SCHMITT:
        if given.has("maker"):
            what = f"the period of a {chosen.name} does not hang on its maker's thresholds"
            raise CalculationError(InputProblem("maker", what, "leave it out"))
        return None
    sheets = {sheet.maker.lower(): sheet for sheet in chosen.sheets if not sheet.is_kin}
    if not given.has("maker"):
        letters = maker_by_letters(given.texts["device"]) or ""
        return sheets.get(letters.lower(), chosen.sheets[0])
    found = sheets.get(given.word("maker").lower())
    if found is None:
        what = f'there is no sheet by "{given.word("maker")}" for a {chosen.name}'
        known = [sheet.maker for sheet in sheets.values() if sheet.has_typical]
        raise CalculationError(InputProblem("maker", what, did_you_mean(given.word("maker"), known)))
    if not found.has_typical:
        what = f"the sheet by {found.maker} gives limits alone, which stand in the table"
        raise CalculationError(InputProblem("maker", what, f"leave it out to use {chosen.sheets[0].maker}"))
    return found


def _ratio(given: Given, chosen: Oscillator) -> Quantity | None:
    if chosen.kind != OPAMP:
        if given.has("ratio"):
            what = f"the {chosen.name} oscillator has no divider"
            raise CalculationError(InputProblem("ratio", what, "leave it out"))
        return None
    return given.quantities.get("ratio") or parse_quantity(USUAL_RATIO, "ratio")


def _formulas(circuit: Circuit, outcome: Outcome) -> tuple[ShownFormula, ...]:
    rows = [
        ("Frequency", "f_O", "f"), ("Period", "T", "T"), ("Duty", "D", "D"),
        ("High time", "t_H", "t_H"), ("Low time", "t_L", "t_L"),
    ]  # fmt: skip
    if circuit.gate:
        rows = [("Factor of the high time", "k_H", "k_H"), ("Factor of the low time", "k_L", "k_L"),
                ("Both factors", "k", "k"), *rows]  # fmt: skip
    if circuit.parts.solved:
        label = CALCULATOR.result(circuit.parts.solved).label
        rows = [(label, circuit.form.solves, circuit.form.solves), *rows]
        rows.append(("Frequency with the preferred part", "f_P", "f"))
    return tuple(outcome.formula(label, name, left, {}) for label, name, left in rows)


def _notes(circuit: Circuit, outcome: Outcome) -> tuple[Note, ...]:
    sheet, supply_v = circuit.sheet, circuit.supply_v
    published_v = published(sheet, supply_v).supply_v if sheet and supply_v else None
    found = (*outcome.notes(), *always(circuit.device, supply_v, published_v), _what_bands_hold(circuit))
    return tuple(sorted(found, key=lambda note: note.level != "warning"))


def _what_bands_hold(circuit: Circuit) -> Note:
    if circuit.sheet:
        return Note(
            "note", f"the bands hold the parts and the limits of the {circuit.sheet.part} sheet together"
        )
    return Note("note", "the bands hold the parts only")


def _sources(circuit: Circuit) -> tuple[Source, ...]:
    found = [FORMULA_SOURCES[circuit.device.kind]]
    found += [Source(f"Thresholds: {sheet.document}", sheet.status) for sheet in circuit.device.sheets]
    return tuple(found)


def _also_used(circuit: Circuit) -> tuple[ShownInput, ...]:
    """The defaults that depend on other inputs, so that no choice stays hidden."""
    given, found = circuit.given, []
    for key, quantity in circuit.parts.resistors.items() if given.has("resistors") else ():
        found.append(_shown_input(key, quantity))
    if circuit.supply_v is not None and not given.has("supply"):
        found.append(_shown_input("supply", parse_quantity(f"{circuit.supply_v:g} V", "voltage")))
    if circuit.ratio and not given.has("ratio"):
        found.append(_shown_input("ratio", circuit.ratio))
    if circuit.sheet and not given.has("maker"):
        maker = circuit.sheet.maker
        found.append(ShownInput("maker", "Data sheet", "", maker, maker, maker, "text", False))
    return tuple(found)


def _shown_input(key: str, quantity: Quantity) -> ShownInput:
    spec = CALCULATOR.input(key)
    return ShownInput(
        key, spec.label, spec.symbol, quantity.text, quantity.shown, quantity.value, quantity.dimension,
        given=False,
    )  # fmt: skip


CALCULATOR = Calculator(
    name="astable",
    title="Oscillator",
    summary="Frequency, period and duty of a 555, a Schmitt inverter or an op-amp, or its timing resistor.",
    inputs=(
        Input(
            "device", "Device", "", "choice", "the type number on the part, or opamp", "NE555", required=True,
            choices=NAMES, resolve=resolve,
        ),
        Input("resistor_a", "Resistor A", "R_A", "resistance", "of a 555, supply to discharge pin", "1k"),
        Input("resistor_b", "Resistor B", "R_B", "resistance", "of a 555, discharge pin to capacitor", "10k"),
        Input("resistor", "Resistor", "R", "resistance", "of a circuit that has one", "100k"),
        Input("resistors", "Resistors", "", "text", "all of them at once, A before B", "1k, 10k"),
        Input("capacitor", "Capacitor", "C", "capacitance", "the timing capacitor", "100n", required=True),
        Input("frequency", "Wanted frequency", "f", "frequency", "solves for the (second) resistor", "1 kHz"),
        Input("supply", "Supply", "V", "voltage", "of the device; 5 V when left out", "5 V"),
        Input("ratio", "Divider ratio", "b", "ratio|number", "part of an op-amp's output fed back", "50 %"),
        Input("maker", "Data sheet", "", "text", "whose thresholds to use", "National"),
        Input(
            "series", "Preferred series", "", "choice", "the series in the drawer", "E12", default="E24",
            choices=SERIES, resolve=read_series,
        ),
        Input(
            "resistor_tolerance", "Resistor tolerance", "", "tolerance", "used when a resistor states none",
            "5 %", default="±5 %", positive=False,
        ),
        Input(
            "capacitor_tolerance", "Capacitor tolerance", "", "tolerance",
            "used when the capacitor states none", "10 %", default="±10 %", positive=False,
        ),
    ),
    results=(
        ResultSpec("frequency", "Frequency", "frequency"),
        ResultSpec("period", "Period", "time"),
        ResultSpec("duty", "Duty", "ratio", "the high time as a part of the period"),
        ResultSpec("high", "High time", "time"),
        ResultSpec("low", "Low time", "time"),
        ResultSpec("resistor_b", "Resistor B", "resistance", "solved for, its band is what may be needed"),
        ResultSpec("resistor", "Resistor", "resistance", "solved for, its band is what may be needed"),
        ResultSpec("preferred", "Nearest preferred part", "resistance", "when a resistor is solved for"),
        ResultSpec("frequency_with_preferred", "Frequency with the preferred part", "frequency"),
    ),
    example={"device": "NE555", "resistor_a": "1k", "resistor_b": "10k", "capacitor": "100n"},
    function=work,
)  # fmt: skip

"""Every calculator keeps the promises it declares: example, results, JSON, dimensions, cheap import."""

from __future__ import annotations

import json
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from kb.calculators import (
    CALCULATORS,
    Calculation,
    Calculator,
    calculate,
    collect,
    dac_notes,
    discharge,
    one_shot_timing,
    pitch,
    preferred_value,
    rc,
    tempo,
)
from kb.calculators.base import WORDS
from kb.figures import figure_svg
from kb.formulas import Expression
from kb.quantities import DIMENSIONS, unit_of

EVERY = pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=list(CALCULATORS))
PROMISED = {
    "preferred_value": {"nearest", "below", "above", "error"},
    "monostable": {"resistor", "capacitor", "pulse", "preferred", "pulse_with_preferred"},
    "tempo": {"bpm", "frequency", "interval"},
    "dac_pitch": {"worst_error", "worst_note", "step", "bits_needed"},
    "discharge": {"time", "energy", "power"},
    "rc": {"time_constant", "corner", "rise_time", "time_to_threshold"},
}


def worked(calculator: Calculator) -> Calculation:
    return calculate(calculator.name, calculator.example)


@EVERY
def test_example_works_and_its_results_are_declared(calculator: Calculator) -> None:
    declared = {spec.key for spec in calculator.results}
    found = {item.key for item in worked(calculator).results}
    assert found <= declared
    assert PROMISED.get(calculator.name, set()) <= found


@EVERY
def test_json_holds_what_a_script_needs(calculator: Calculator) -> None:
    made = json.loads(json.dumps(worked(calculator).as_json(), allow_nan=False))
    assert set(made) - {"table", "solved_for"} == {"calculator", "inputs", "results", "notes", "sources"}
    assert made["calculator"] == calculator.name
    for item in made["results"].values():
        assert {"value", "unit"} <= set(item) <= {"value", "unit", "low", "high"}
        if "low" in item:
            assert item["low"] <= item["high"]
    for key in calculator.example:
        assert made["inputs"][key] == calculator.example[key]


@EVERY
def test_inputs_are_declared_fully(calculator: Calculator) -> None:
    for item in calculator.inputs:
        for dimension in item.dimension.split("|"):
            assert dimension in (*DIMENSIONS, *WORDS, "integer", "tolerance"), item.key
        assert item.label, item.key
        assert item.help, item.key
        assert item.example, item.key
        assert not (item.required and item.default), item.key


@EVERY
def test_formulas_are_shown_with_symbols_and_with_numbers(calculator: Calculator) -> None:
    calculation = worked(calculator)
    assert calculation.formulas
    assert calculation.sources
    for shown in calculation.formulas:
        for mathml in (shown.mathml, shown.with_numbers):
            assert ElementTree.fromstring(mathml).tag.endswith("math")  # noqa: S314 - our own text
        assert shown.mathml != shown.with_numbers


@EVERY
def test_figure_can_be_drawn_and_tells_in_words(calculator: Calculator) -> None:
    figure = worked(calculator).figure
    if figure is not None:
        assert len(figure.description) > 20
        assert figure_svg(figure).startswith("<svg")


@EVERY
def test_same_inputs_same_calculation(calculator: Calculator) -> None:
    assert worked(calculator) == worked(calculator)


def test_two_of_a_name_are_a_mistake_of_ours() -> None:
    with pytest.raises(ValueError, match="two calculators are called rc"):
        collect([rc.CALCULATOR, rc.CALCULATOR])


def test_importing_calculators_draws_in_no_heavy_library() -> None:
    heavy = ("matplotlib", "numpy", "pint", "mkdocs")
    code = f"import sys, kb.calculators; print([name for name in {heavy} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_units_of_words_and_counts() -> None:
    results = calculate("dac_pitch", CALCULATORS["dac_pitch"].example).as_json()["results"]
    assert isinstance(results, dict)
    assert results["worst_note"]["unit"] == ""
    assert results["bits_needed"]["unit"] == unit_of("number")


RC_NAMES = {
    "R": "resistance", "C": "capacitance", "p": "ratio", "t": "time", "V_T": "voltage", "V_S": "voltage",
    "V_0": "voltage", "I_L": "current",
}  # fmt: skip
PITCH_NAMES = {
    "V_L": "voltage", "V_1": "voltage", "V_F": "voltage", "V_s": "voltage", "V_out": "voltage",
    "V_n": "voltage", "n": "integer", "N": "integer", "k": "integer", "e": "interval", "m": "integer",
    "f_1": "frequency", "f_2": "frequency",
}  # fmt: skip
TEMPO_NAMES = {"B": "tempo", "p": "integer", "f": "frequency", "n": "number"}
ERROR_NAMES = {"N": "resistance", "W": "resistance"}
FORMS = (
    one_shot_timing.PLAIN, one_shot_timing.OFFSET, one_shot_timing.SUPPLY_LOG, one_shot_timing.TWO_THIRDS,
    one_shot_timing.TRANSFER,
)  # fmt: skip


@pytest.mark.parametrize(
    ("expression", "dimension", "names"),
    [
        (rc.TIME_CONSTANT, "time", RC_NAMES), (rc.CORNER, "frequency", RC_NAMES), (rc.RISE, "time", RC_NAMES),
        (rc.CHARGE, "time", RC_NAMES), (rc.DISCHARGE, "time", RC_NAMES), (rc.FRACTION, "ratio", RC_NAMES),
        (rc.CHARGING_CURVE, "ratio", RC_NAMES), (rc.DISCHARGING_CURVE, "ratio", RC_NAMES),
        (rc.LEAKAGE_DROP, "voltage", RC_NAMES), (discharge.TIME, "time", RC_NAMES),
        (discharge.RESISTOR, "resistance", RC_NAMES), (discharge.ENERGY, "energy", RC_NAMES),
        (discharge.POWER, "power", RC_NAMES), (discharge.DECAY, "voltage", RC_NAMES),
        *((form.pulse, "time", one_shot_timing.DIMENSIONS) for form in FORMS),
        *((form.resistor, "resistance", one_shot_timing.DIMENSIONS) for form in FORMS),
        *((form.capacitor, "capacitance", one_shot_timing.DIMENSIONS) for form in FORMS),
        (one_shot_timing.TURN_OFF, "time", {"V": "voltage", "C": "capacitance", "I": "current"}),
        *((formula, "voltage", PITCH_NAMES) for formula in pitch.TARGET.values()),
        *((formula, "interval", PITCH_NAMES) for formula in pitch.ERROR_CENTS.values()),
        (pitch.CENTS, "interval", PITCH_NAMES), (dac_notes.OUTPUT, "voltage", PITCH_NAMES),
        *((formula, "voltage", PITCH_NAMES) for formula in dac_notes.STEP.values()),
        (dac_notes.HALF_STEP_OCTAVE, "interval", PITCH_NAMES),
        (dac_notes.HALF_STEP_HERTZ, "interval", PITCH_NAMES), (dac_notes.STEPS_OCTAVE, "number", PITCH_NAMES),
        (dac_notes.STEPS_HERTZ, "number", PITCH_NAMES), (tempo.FREQUENCY, "frequency", TEMPO_NAMES),
        (tempo.TEMPO, "tempo", TEMPO_NAMES), (tempo.INTERVAL, "time", TEMPO_NAMES),
        (tempo.NOTE_LENGTH, "time", TEMPO_NAMES), (preferred_value.ERROR, "ratio", ERROR_NAMES),
    ],
    ids=lambda value: value.text if isinstance(value, Expression) else "",
)  # fmt: skip
def test_formula_has_the_dimension_of_its_result(
    expression: Expression, dimension: str, names: dict[str, str]
) -> None:
    assert expression.has_dimension(dimension, names)

"""A mains supply with rectifier, reservoir and regulator: peak, ripple, valley, headroom and heat.

The simple form is what textbooks give; where the winding's resistance is known the supply is solved in
time as well, because the simple form calls supplies good that hum.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import (
    Calculator,
    Input,
    Note,
    Result,
    ResultSpec,
    ShownFormula,
    Source,
    Worked,
)
from kb.calculators.plan import Plan
from kb.calculators.planned import Outcome, carry_out
from kb.calculators.reading import Given
from kb.calculators.supply_advice import DIODE_MODEL, NO_REGULATOR, RATING, RIPPLE_CURRENT
from kb.calculators.supply_formulas import BRIDGE, DIODES, RECTIFIERS, REJECTED
from kb.calculators.supply_plan import Demand, conditions, demand, plan_of
from kb.calculators.supply_real import Solved, solve
from kb.calculators.supply_regulators import NONE, REGULATORS, read_regulator
from kb.calculators.supply_solution import CHARGE, DIODE, DIODE_OHM, Waveform
from kb.calculators.supply_tables import by_mains, figure
from kb.calculators.working import formula, result, shown
from kb.formulas import Expression

HEADROOM = Expression("V_v - V_n")
HEAT = Expression("max(0 * V_g, V_m - V_g) * I")

SOURCES = (
    Source("Ripple I/(2 f C) full wave, I/(f C) half wave; reverse voltages (textbook)", "seen in source"),
    Source("How far the simple form is off: six supplies with a diode model", "simulated in ngspice"),
    Source("Mains: 230 V +10/-6 % or ±10 %; EN 50160 allows -15 % at times", "seen in secondary source"),
)  # fmt: skip

SHOWN_STEPS = (
    ("V_p", "Peak"), ("V_r", "Ripple"), ("V_v", "Valley"), ("V_i", "Reverse voltage of a diode"),
    ("h", "Headroom"), ("P", "Heat in the regulator"), ("V_ro", "Ripple behind the regulator"),
)  # fmt: skip


def work(given: Given) -> Worked:
    """Work out the simple form, and the solution in time where the winding's resistance is given."""
    wants = demand(given)
    outcome = carry_out(plan_of(given, wants))
    solved = solve(given) if given.has("source_resistance") else None
    results = outcome.results(CALCULATOR) if solved is None else _solved_results(wants, outcome, solved)
    notes = outcome.notes() if solved is None else _solved_notes(given, wants, outcome, results)
    return Worked(
        results=results,
        formulas=_formulas(given, outcome, solved),
        limits=(
            "A load that draws a steady current; a sine that the transformer does not flatten.",
            "The regulator's own current (up to 8 mA) is not added to the load.",
            "Rated voltages of small transformers are those under load: without it they give more.",
        ),
        notes=(*notes, *_remarks(wants, solved)),
        sources=(*SOURCES, *_regulator_source(wants)),
        tables=(by_mains(given, outcome.values, solved),),
        figure=figure(given, outcome.values, solved),
        plan=outcome.plan if solved is None else None,
    )


def _solved_results(wants: Demand, outcome: Outcome, solved: Solved) -> tuple[Result, ...]:
    """The results of the solution in time; what it does not change is the simple form's."""
    unchanged = ("peak_at_high_mains", "peak_inverse", "peak_inverse_at_high_mains")
    made = [item for item in outcome.results(CALCULATOR) if item.key in unchanged]
    made += [*_of_waveforms(solved), *_of_simple_form(outcome), *_behind(wants, outcome, solved)]
    order = [spec.key for spec in CALCULATOR.results]
    return tuple(sorted(made, key=lambda item: order.index(item.key)))


def _of_waveforms(solved: Solved) -> tuple[Result, ...]:
    nominal = solved.nominal
    return (
        result(CALCULATOR, "peak", nominal.peak_v, solved.band("nominal", lambda wave: wave.peak_v)),
        result(CALCULATOR, "ripple", nominal.ripple_v, solved.band("nominal", lambda wave: wave.ripple_v)),
        result(CALCULATOR, "valley", nominal.valley_v, solved.band("nominal", _valley)),
        result(CALCULATOR, "valley_at_low_mains", solved.low.valley_v, solved.band("low", _valley)),
        result(CALCULATOR, "peak_current", nominal.peak_a, solved.band("nominal", lambda wave: wave.peak_a)),
        result(
            CALCULATOR, "ripple_current", nominal.ripple_a, solved.band("nominal", lambda wave: wave.ripple_a)
        ),
        result(CALCULATOR, "inrush", solved.inrush_a),
    )  # fmt: skip


def _valley(waveform: Waveform) -> float:
    return waveform.valley_v


def _of_simple_form(outcome: Outcome) -> tuple[Result, ...]:
    keys = (("peak", "V_p"), ("ripple", "V_r"), ("valley", "V_v"), ("valley_at_low_mains", "V_vl"))
    return tuple(
        result(CALCULATOR, f"simple_{key}", outcome.values[name], outcome.band(name)) for key, name in keys
    )


def _behind(wants: Demand, outcome: Outcome, solved: Solved) -> tuple[Result, ...]:
    """Headroom, heat and output ripple, as far as the regulator is known."""
    values, made = outcome.values, []
    if wants.needs_input:
        for key, level in (("headroom", "nominal"), ("headroom_at_low_mains", "low")):
            low, high = solved.band(level, _valley)
            ends = [
                HEADROOM.evaluate({**values, "V_v": each}) for each in (solved.at(level).valley_v, low, high)
            ]
            made.append(result(CALCULATOR, key, ends[0], (ends[1], ends[2])))
    if wants.has_output:
        heat = {"V_g": values["V_g"]}
        for key, level in (("dissipation", "nominal"), ("dissipation_at_high_mains", "high")):
            band = solved.band(level, lambda wave: _heat(wave, heat))
            made.append(result(CALCULATOR, key, _heat(solved.at(level), heat), band))
    if "A_r" in wants.constants:
        ripple = REJECTED.evaluate({**values, "V_r": solved.nominal.ripple_v})
        made.append(result(CALCULATOR, "output_ripple", ripple))
    return tuple(made)


def _heat(waveform: Waveform, values: Mapping[str, float]) -> float:
    return HEAT.evaluate({**values, "V_m": waveform.mean_v, "I": waveform.load_a})


def _solved_notes(
    given: Given, wants: Demand, outcome: Outcome, results: tuple[Result, ...]
) -> tuple[Note, ...]:
    """The same notes as in the simple form, held against the solution in time, and how the two differ."""
    found = {item.key: item.value for item in results if not isinstance(item.value, str)}
    names = {
        "h": "headroom", "h_l": "headroom_at_low_mains", "P": "dissipation",
        "P_h": "dissipation_at_high_mains",
    }  # fmt: skip
    values = {**outcome.values, **{name: float(found[key]) for name, key in names.items() if key in found}}
    lowest = next((item.low for item in results if item.key == names["h_l"]), None)
    if lowest is not None:
        values["h_w"] = lowest
    notes = Plan((), (), conditions=conditions(given, wants), assumed=outcome.plan.assumed).notes(values)
    return (*notes, *_differences(outcome.values, found))


def _differences(simple: Mapping[str, float], found: Mapping[str, float]) -> tuple[Note, ...]:
    ripple, valley = (shown(simple[name], "voltage") for name in ("V_r", "V_v"))
    text = (
        f"the simple form shows {ripple} of ripple where there is {shown(found['ripple'], 'voltage')}, and a "
        f"valley of {valley} where it is {shown(found['valley'], 'voltage')}"
    )
    notes = [Note("note", text)]
    real = found.get("headroom_at_low_mains")
    if real is not None and real < 0 <= simple["h_l"]:
        text = (
            f"at low mains the simple form passes with {shown(simple['V_vl'], 'voltage')}, but with the "
            f"winding's resistance it is {shown(found['valley_at_low_mains'], 'voltage')} and fails"
        )
        notes.insert(0, Note("warning", text))
    return tuple(notes)


def _formulas(given: Given, outcome: Outcome, solved: Solved | None) -> tuple[ShownFormula, ...]:
    form = "" if solved is None else ", simple form"
    simple = tuple(
        outcome.formula(f"{label}{form}", name, name, {})
        for name, label in SHOWN_STEPS
        if name in outcome.values
    )
    if solved is None:
        return simple
    ohm = given.value("source_resistance") + DIODES[given.word("rectifier")] * DIODE_OHM
    numbers = {
        "R": shown(ohm, "resistance"), "n": str(DIODES[given.word("rectifier")]),
        "I": given.quantities["load"].shown, "C": given.quantities["capacitor"].shown,
    }  # fmt: skip

    def one(name: str, left: str, expression: Expression, answer: str) -> ShownFormula:
        return formula(name, left, expression, symbols={}, numbers=numbers, answer=answer)

    return (
        *simple,
        one("In time: across winding and diodes", "v_s - v_C", DIODE, "0 V or more"),
        one("In time: rise of the reservoir", "v_t", CHARGE, "volts a second"),
    )


def _remarks(wants: Demand, solved: Solved | None) -> tuple[Note, ...]:
    texts = [RATING, RIPPLE_CURRENT] if solved is None else [RATING, DIODE_MODEL]
    if not wants.needs_input and not wants.has_output:
        texts.append(NO_REGULATOR)
    return tuple(Note("note", text) for text in texts)


def _regulator_source(wants: Demand) -> tuple[Source, ...]:
    regulator = wants.regulator
    return () if regulator is None else (Source(regulator.document, regulator.status),)


def _mains(key: str, label: str, symbol: str) -> Input:
    text = "how far the mains may be off on a bad day"
    return Input(key, label, symbol, "ratio", text, "10 %", default="10 %", positive=False)


CALCULATOR = Calculator(
    name="supply",
    title="Mains supply with reservoir",
    summary="Peak, ripple, valley and headroom of a rectified supply, and the heat in its regulator.",
    inputs=(
        Input(
            "secondary", "Secondary, r.m.s.", "V_s", "voltage",
            "of the winding, or of one half of it with a centre tap", "9 V", required=True,
        ),
        Input("capacitor", "Reservoir", "C", "capacitance", "its capacitance", "4700 uF", required=True),
        Input("load", "Load current", "I", "current", "drawn from the reservoir", "0.8 A", required=True),
        Input(
            "mains_frequency", "Mains frequency", "f", "frequency", "50 Hz or 60 Hz", "50 Hz", default="50 Hz"
        ),
        Input(
            "rectifier", "Rectifier", "", "choice", "how it is wired", BRIDGE, default=BRIDGE,
            choices=RECTIFIERS,
        ),
        Input(
            "diode_drop", "Drop of one diode", "V_D", "voltage", "in the simple form", "0.7 V",
            default="0.7 V",
        ),
        Input(
            "regulator", "Regulator", "", "choice", "negative ones by magnitude", "7805",
            default=NONE, choices=(NONE, *REGULATORS), resolve=read_regulator,
        ),
        Input(
            "least_input", "Least input needed", "V_n", "voltage", "instead of the regulator's own", "7.5 V"
        ),
        Input("regulated", "Regulated output", "V_g", "voltage", "instead of the regulator's own", "5 V"),
        Input(
            "source_resistance", "Winding resistance", "R_s", "resistance",
            "of the path that conducts, referred to the secondary: asks for the solution in time", "0.4 ohm",
        ),
        _mains("mains_low", "Mains low by", "d_l"),
        _mains("mains_high", "Mains high by", "d_h"),
        Input("capacitor_rating", "Reservoir's rating", "V_C", "voltage", "printed on it", "25 V"),
        Input(
            "capacitor_tolerance", "Capacitor tolerance", "", "tolerance",
            "used when the capacitor states none", "20 %", default="±20 %", positive=False,
        ),
    ),
    results=(
        ResultSpec("peak", "Peak", "voltage", "at nominal mains under load"),
        ResultSpec("ripple", "Ripple, peak to peak", "voltage"),
        ResultSpec("valley", "Valley", "voltage", "the lowest voltage between two peaks"),
        ResultSpec("headroom", "Valley above what is needed", "voltage"),
        ResultSpec("dissipation", "Heat in the regulator", "power"),
        ResultSpec("peak_inverse", "Reverse voltage of a diode", "voltage"),
        ResultSpec("valley_at_low_mains", "Valley at low mains", "voltage"),
        ResultSpec("headroom_at_low_mains", "Headroom at low mains", "voltage"),
        ResultSpec("dissipation_at_high_mains", "Heat at high mains", "power"),
        ResultSpec("peak_at_high_mains", "Off-load peak at high mains", "voltage", "for ratings"),
        ResultSpec("peak_inverse_at_high_mains", "Reverse voltage at high mains", "voltage"),
        ResultSpec("output_ripple", "Ripple behind the regulator", "voltage", "at the least rejection"),
        ResultSpec("peak_current", "Peak current in winding and diodes", "current", "solved in time"),
        ResultSpec("ripple_current", "Ripple current of the reservoir", "current", "r.m.s., solved in time"),
        ResultSpec("inrush", "Largest inrush at high mains", "current", "limited by the winding alone"),
        ResultSpec("simple_peak", "Simple form: peak", "voltage"),
        ResultSpec("simple_ripple", "Simple form: ripple", "voltage"),
        ResultSpec("simple_valley", "Simple form: valley", "voltage"),
        ResultSpec("simple_valley_at_low_mains", "Simple form: valley at low mains", "voltage"),
    ),
    example={
        "secondary": "9 V", "capacitor": "4700 uF", "load": "0.8 A", "regulator": "7805",
        "source_resistance": "0.4 ohm",
    },
    function=work,
)  # fmt: skip

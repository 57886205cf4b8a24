"""The plan of an oscillator: which formulas, which constants, which bands, for each of the three kinds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.astable_advice import conditions
from kb.calculators.astable_devices import OPAMP, SCHMITT, TIMER, Oscillator, SchmittSheet
from kb.calculators.astable_formulas import (
    FACTOR,
    FACTOR_HIGH,
    FACTOR_LOW,
    OPAMP_FORM,
    SCHMITT_FORM,
    TIMER_FORM,
    Form,
)
from kb.calculators.astable_parts import KEYS, NAME, Parts
from kb.calculators.plan import Band, Comparison, Plan, Refusal, Shown, Step, Variable
from kb.calculators.planned import UNITY, part_tolerance, tolerance_input
from kb.calculators.reading import Given
from kb.calculators.schmitt_limits import Gate
from kb.calculators.tolerances import PartTolerance
from kb.formulas import Expression
from kb.quantities import Quantity

FORMS = {TIMER: TIMER_FORM, SCHMITT: SCHMITT_FORM, OPAMP: OPAMP_FORM}
LETTER = {"resistor_a": "a", "resistor_b": "q"}
Spread = tuple[str, str] | tuple[float, float]
Over = Mapping[str, Spread]
NO_RESISTOR = Refusal(
    (Comparison.read("R_B <= 0 * R_A"),), "frequency", "no resistor_b makes {f} with these parts",
    "take a smaller capacitor or resistor_a", {"f": Shown("f", "frequency")},
)  # fmt: skip


@dataclass(frozen=True)
class Circuit:
    """An oscillator with its parts; `sheet` and `gate` for a Schmitt inverter, `ratio` for an op-amp."""

    given: Given
    device: Oscillator
    parts: Parts
    supply_v: float | None
    sheet: SchmittSheet | None = None
    gate: Gate | None = None
    ratio: Quantity | None = None

    @property
    def form(self) -> Form:
        """The formulas of its kind."""
        return FORMS[self.device.kind]

    def own_tolerance(self, key: str) -> PartTolerance:
        """A resistor's own tolerance; that of a circuit's only one falls back to `resistor_tolerance`."""
        own = self.parts.resistors.get(key)
        if own is not None and own.has_tolerance:
            return PartTolerance(own.minus, own.plus, key)
        return self.given.tolerance(key)


def plan(circuit: Circuit) -> Plan:
    """The calculation as data; the supply is no variable, because it chooses the thresholds."""
    solved, given = circuit.parts.solved, circuit.given
    over = _over(circuit)
    steps = tolerance_input(given, "resistor_tolerance", "r") + tolerance_input(
        given, "capacitor_tolerance", "c"
    )
    steps += (_greatest_ratio(over["b"]),) if circuit.ratio else ()
    for key in circuit.parts.resistors:
        steps += _tolerance(circuit, key)
    if circuit.gate:
        factors, spread = _factors(circuit.gate)
        steps, over = steps + factors, {**over, **spread}
    if solved:
        rest = {name: each for name, each in over.items() if name != circuit.form.solves}
        steps += (_solved(circuit, solved, rest), *_tolerance(circuit, solved))
    steps += _times(circuit, over)
    if solved:
        steps += _preferred(circuit, over)
    return Plan(
        _variables(circuit), steps, _constants(circuit), conditions(circuit.device, circuit.supply_v),
        assumed=frozenset({"capacitor"} if given.is_assumed("capacitor") else ()),
    )  # fmt: skip


def _tolerance(circuit: Circuit, key: str) -> tuple[Step, ...]:
    """The tolerance of one of two resistors as numbers; one resistor alone needs no such help."""
    if key not in LETTER:
        return ()
    return part_tolerance(circuit.own_tolerance(key), NAME[key], LETTER[key], "resistance", "r")


def _greatest_ratio(spread: Spread) -> Step:
    """The part that is fed back at its greatest; from the whole output on nothing swings any more."""
    ratio = Expression("b")
    whole = Comparison(Expression("b_h"), ">=", Expression("1"))
    what = "the part that is fed back must stay below the whole output"
    refusal = Refusal((whole,), "ratio", what, "for example 50 %")
    return Step(
        "b_h", ratio, "ratio", band=Band(ratio, {"b": spread}), corner="greatest", refusals=(refusal,)
    )


def _over(circuit: Circuit) -> Over:
    """How far each part may lie, by its name in the formulas."""
    found: dict[str, Spread] = {
        NAME[key]: (f"{LETTER[key]}_m", f"{LETTER[key]}_p") if key in LETTER else circuit.own_tolerance(key)
        for key in KEYS[circuit.device.kind]
    }
    found["C"] = circuit.given.tolerance("capacitor")
    if circuit.ratio:
        found["b"] = PartTolerance(circuit.ratio.minus, circuit.ratio.plus, "ratio")
    return found


def _variables(circuit: Circuit) -> tuple[Variable, ...]:
    given = circuit.given
    found = [
        Variable(key, NAME[key], "resistance", quantity.value, quantity.minus, quantity.plus)
        for key, quantity in circuit.parts.resistors.items()
    ]
    found.append(
        Variable("capacitor", "C", "capacitance", given.value("capacitor"), *given.tolerance("capacitor"))
    )
    if circuit.ratio:
        ratio = circuit.ratio
        also = ("number",) if ratio.dimension == "ratio" else ("ratio",)
        found.append(Variable("ratio", "b", ratio.dimension, ratio.value, ratio.minus, ratio.plus, also=also))
    if circuit.parts.solved:
        found.append(Variable("frequency", "f", "frequency", given.value("frequency")))
    return tuple(found)


def _constants(circuit: Circuit) -> dict[str, float]:
    levels = circuit.gate.typical if circuit.gate else None
    return {**UNITY, **(levels or {})}


def _factors(gate: Gate) -> tuple[tuple[Step, ...], dict[str, tuple[float, float]]]:
    """The factors as steps, and how far the sheet's limits let each of them go as fractions."""
    steps = (
        Step("k_H", FACTOR_HIGH, "number"), Step("k_L", FACTOR_LOW, "number"), Step("k", FACTOR, "number"),
        Step("D_typical", SCHMITT_FORM.duty, "ratio"),
    )  # fmt: skip
    values: dict[str, float] = dict(gate.typical or {})
    for step in steps:
        values[step.name] = step.evaluate(values)
    values["D"] = values["D_typical"]
    return steps, {
        name.replace("D", "D_typical"): (1 - low / values[name], high / values[name] - 1)
        for name, (low, high) in gate.spread().items()
    }


def _solved(circuit: Circuit, key: str, over: Over) -> Step:
    rule = circuit.form.resistor
    refusals = (NO_RESISTOR,) if key == "resistor_b" else ()
    return Step(circuit.form.solves, rule, "resistance", key, Band(rule, over), refusals=refusals)


def _times(circuit: Circuit, over: Over) -> tuple[Step, ...]:
    form = circuit.form
    # a Schmitt inverter's duty hangs on its thresholds alone, and not on each factor by itself
    duty = Expression("D_typical") if circuit.gate else form.duty
    return (
        Step("f_O", form.frequency, "frequency", "frequency", Band(form.frequency, over)),
        Step("T", form.period, "time", "period", Band(form.period, over)),
        Step("D", form.duty, "ratio", "duty", Band(duty, over)),
        Step("t_H", form.high, "time", "high", Band(form.high, over)),
        Step("t_L", form.low, "time", "low", Band(form.low, over)),
    )


def _preferred(circuit: Circuit, over: Over) -> tuple[Step, ...]:
    solves, series = circuit.form.solves, circuit.given.word("series")
    rule = Expression(_with_preferred(circuit.form))
    own = {"R_P": over[solves]}
    return (
        Step("R_P", Expression(solves), "resistance", "preferred", Band(Expression("R_P"), own), series),
        Step("f_P", rule, "frequency", "frequency_with_preferred", Band(rule, {**over, **own})),
    )


def _with_preferred(form: Form) -> str:
    """The formula of the frequency with `R_P` in place of the resistor that was solved for."""
    words = form.frequency.to_text().replace("(", "( ").replace(")", " )").split(" ")
    return " ".join("R_P" if word == form.solves else word for word in words)

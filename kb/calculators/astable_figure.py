"""The picture of an oscillator: two periods of the capacitor's voltage and of the output."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.astable_devices import OPAMP, SCHMITT
from kb.calculators.astable_formulas import RELAX
from kb.calculators.astable_plan import Circuit
from kb.figures.spec import Axis, FigureSpec, Mark, Series

POINTS = 16
PERIODS = 2


@dataclass(frozen=True)
class Swing:
    """Between which levels the capacitor swings, and towards which it is driven on the way."""

    upper: float
    lower: float
    driven_up: float
    driven_down: float


def waveform(circuit: Circuit, values: Mapping[str, float]) -> FigureSpec:
    """Capacitor and output over two periods, from the moment the output rises."""
    swing = _swing(circuit, values)
    times, levels, edges, output = _curves(circuit, values, swing)
    kind = circuit.device.kind
    label = "Part of the output level" if kind == OPAMP else "Voltage"
    return FigureSpec(
        title="Capacitor and output",
        description=(
            "The capacitor's voltage climbs while the output is high and falls while it is low, between the "
            "two thresholds; the output is a square wave."
        ),
        x=Axis("Time", "time"),
        y=Axis(label, "ratio" if kind == OPAMP else "voltage"),
        series=(Series("capacitor", times, levels), Series("output", edges, output)),
        marks=(
            Mark("horizontal", swing.upper, "upper threshold"),
            Mark("horizontal", swing.lower, "lower threshold"),
        ),
    )


def _swing(circuit: Circuit, values: Mapping[str, float]) -> Swing:
    if circuit.device.kind == SCHMITT:
        return Swing(values["V_P"], values["V_N"], values["V_H"], values["V_L"])
    if circuit.device.kind == OPAMP:
        return Swing(values["b"], -values["b"], 1.0, -1.0)
    supply_v = circuit.supply_v or 0.0
    return Swing(2 * supply_v / 3, supply_v / 3, supply_v, 0.0)


def _curves(
    circuit: Circuit, values: Mapping[str, float], swing: Swing
) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Times and levels of the capacitor, then times and levels of the output."""
    if circuit.device.kind in (SCHMITT, OPAMP):
        up_s = down_s = values["R"] * values["C"]
    else:
        up_s, down_s = (values["R_A"] + values["R_B"]) * values["C"], values["R_B"] * values["C"]
    halves = (
        (values["t_H"], swing.lower, swing.driven_up, up_s),
        (values["t_L"], swing.upper, swing.driven_down, down_s),
    )
    times: list[float] = []
    levels: list[float] = []
    edges: list[float] = []
    output: list[float] = []
    start_s = 0.0
    for lasts_s, first, driven, tau_s in halves * PERIODS:
        for step in range(POINTS + 1):
            passed_s = lasts_s * step / POINTS
            times.append(start_s + passed_s)
            levels.append(RELAX.evaluate({"V_E": driven, "V_0": first, "t": passed_s, "tau": tau_s}))
        edges += [start_s, start_s + lasts_s]
        output += [driven, driven]
        start_s += lasts_s
    return tuple(times), tuple(levels), tuple(edges), tuple(output)

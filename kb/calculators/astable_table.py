"""What every maker's thresholds make of the same parts, side by side: typical, and as far as limits allow."""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.astable_devices import Level, SchmittSheet
from kb.calculators.astable_formulas import FACTOR, FACTOR_HIGH, FACTOR_LOW, SCHMITT_FORM
from kb.calculators.astable_plan import Circuit
from kb.calculators.base import Cell, Column, Table
from kb.calculators.schmitt_limits import Gate, gate, published
from kb.calculators.working import cell, shown

COLUMNS = (
    Column("part", "Part", "text"),
    Column("maker", "Maker", "text"),
    Column("supply", "Published for", "voltage"),
    Column("rising", "Rising threshold", "text"),
    Column("falling", "Falling threshold", "text"),
    Column("period", "Period, typical", "time"),
    Column("least", "Least in limits", "time"),
    Column("greatest", "Greatest in limits", "time"),
    Column("document", "Document", "text"),
    Column("status", "How it was confirmed", "text"),
)


def by_sheet(circuit: Circuit, values: Mapping[str, float]) -> Table:
    """One row a sheet, with exactly the parts of `values`, kin of the device last."""
    rows = tuple(_row(circuit, sheet, values) for sheet in circuit.device.sheets)
    return Table("Period by data sheet, with exact parts", COLUMNS, rows)


def _row(circuit: Circuit, sheet: SchmittSheet, values: Mapping[str, float]) -> tuple[Cell, ...]:
    supply_v = circuit.supply_v or 0.0
    limits, made = published(sheet, supply_v), gate(circuit.device, sheet, supply_v)
    low, high = made.spread()["k"]
    name = f"{sheet.part}, another family" if sheet.is_kin else sheet.part
    return (
        cell(name, "text"), cell(sheet.maker, "text"), cell(limits.supply_v, "voltage"),
        cell(_levels(limits.rising), "text"), cell(_levels(limits.falling), "text"),
        cell(_typical(made, values), "time"),
        cell(SCHMITT_FORM.period.evaluate({**values, "k": low}), "time"),
        cell(SCHMITT_FORM.period.evaluate({**values, "k": high}), "time"),
        cell(sheet.document, "text"), cell(sheet.status, "text"),
    )  # fmt: skip


def _levels(level: Level) -> str:
    typical = "–" if level.typical is None else f"{level.typical:g}"
    return f"{level.least:g} / {typical} / {shown(level.greatest, 'voltage')}"


def _typical(made: Gate, values: Mapping[str, float]) -> float | None:
    levels = made.typical
    if levels is None:
        return None
    factors = {"k_H": FACTOR_HIGH.evaluate(levels), "k_L": FACTOR_LOW.evaluate(levels)}
    return SCHMITT_FORM.period.evaluate({**values, "k": FACTOR.evaluate(factors)})

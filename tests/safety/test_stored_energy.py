"""What a capacitor still holds, against formulas written down a second time here.

Published check: 100 uF at 100 V holds 0.5 J, and 1 s is one time constant of 100 uF and 10 kohm, after
which 36.8 % is left (any textbook on circuits; the number e^-1).
"""

from __future__ import annotations

import math

import pytest

from kb.quantities import parse_quantity, show
from kb.records import Reservoir
from kb.safety import StoredEnergy, stored_energy
from tests.benches import demo_shop, small_shop

SAFE = parse_quantity("42.4 V", "voltage")


def reservoir(capacitor: str, voltage: str, bleeder: str | None = None) -> Reservoir:
    more = {"bleeder": bleeder} if bleeder else {}
    return Reservoir.model_validate({"name": "C1", "capacitor": capacitor, "voltage": voltage, **more})


def expected(
    capacitor: str, voltage: str, bleeder: str | None, safe_v: float = 42.4
) -> tuple[float, float | None]:
    """Energy in joule and wait in second, worst case: the largest capacitor of the band."""
    c = parse_quantity(capacitor, "capacitance")
    v = parse_quantity(voltage, "voltage")
    # An electrolytic whose tolerance nobody wrote down is taken as +/-20 %.
    largest = c.value * (1 + (c.plus if c.has_tolerance else 0.20))
    highest = v.value * (1 + v.plus)
    energy_j = largest * highest**2 / 2
    if bleeder is None:
        return energy_j, None
    r = parse_quantity(bleeder, "resistance")
    return energy_j, r.value * (1 + (r.plus if r.has_tolerance else 0.05)) * largest * math.log(
        highest / safe_v
    )


CASES = [
    ("1000 uF -20/+50 %", "60 V", "10k"),
    ("4700 uF -20/+50 %", "100 V", "2k2"),
    ("47 uF -20/+50 %", "290 V", "470k"),
    ("100 uF +/-10 %", "100 V", "10k +/-1 %"),
    ("100 uF", "100 V", "10k"),
    ("47 uF -20/+50 %", "290 V", None),
]


@pytest.mark.parametrize(("capacitor", "voltage", "bleeder"), CASES)
def test_energy_and_wait_are_the_worst_case_of_the_formulas(
    capacitor: str, voltage: str, bleeder: str | None
) -> None:
    found = stored_energy(reservoir(capacitor, voltage, bleeder), SAFE)
    energy_j, wait_s = expected(capacitor, voltage, bleeder)
    assert found.energy == show(energy_j, "energy")
    assert found.wait == (None if wait_s is None else show(wait_s, "time"))
    assert not found.below_already


def test_the_textbook_case() -> None:
    safe = parse_quantity("36.787944117 V", "voltage")
    found = stored_energy(reservoir("100 uF", "100 V", "10k"), safe).calculation
    results = {each.key: each.value for each in found.results}
    assert results["energy"] == pytest.approx(0.5)
    assert results["time"] == pytest.approx(1.0)


def test_without_a_bleeder_it_stays_charged() -> None:
    found = stored_energy(reservoir("100 uF", "100 V"), SAFE)
    assert (found.bleeder, found.wait) == (None, None)


def test_below_the_safe_voltage_nothing_is_waited_for() -> None:
    assert stored_energy(reservoir("100 uF", "24 V", "1k"), SAFE).below_already


def test_a_lower_safe_voltage_makes_a_longer_wait() -> None:
    waits = [
        stored_energy(reservoir("1000 uF", "60 V", "10k"), parse_quantity(safe, "voltage")).calculation
        for safe in ("42.4 V", "30 V", "12 V")
    ]
    times = [next(each.value for each in found.results if each.key == "time") for found in waits]
    assert times == sorted(times)
    assert len(set(times)) == 3


def reservoirs_of_all_shops() -> list[tuple[str, Reservoir, StoredEnergy]]:
    return [
        (model, each, stored_energy(each, shop.card.record.safe_voltage))
        for shop in (small_shop(), demo_shop())
        for model, located in shop.models.items()
        if located.record.supply
        for each in located.record.supply.reservoirs
    ]


@pytest.mark.parametrize(("model", "record", "found"), reservoirs_of_all_shops())
def test_the_records_of_both_shops_agree_with_the_formulas(
    model: str, record: Reservoir, found: StoredEnergy
) -> None:
    del model
    bleeder = record.bleeder.text if record.bleeder else None
    energy_j, wait_s = expected(record.capacitor.text, record.voltage.text, bleeder)
    assert found.energy == show(energy_j, "energy")
    if not found.below_already and wait_s is not None:
        assert found.wait == show(wait_s, "time")

"""Backup cells: published values, the smaller of two lives, and cautions that no number takes away."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from kb.calculators import Calculation, CalculationError, backup, calculate
from kb.formulas import Expression
from tests.calculators.planning import agrees_with_its_plan
from tests.reference.batteries import BACKUPS, SPREAD_YEARS, YEAR_S
from tests.reference.checks import Check, holds, parameters

COIN = {"capacity": "225 mAh", "current": "2 uA"}


def kept(**inputs: str) -> Calculation:
    return calculate("backup", inputs)


def years(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found / YEAR_S


@pytest.mark.parametrize("check", parameters(BACKUPS))
def test_published_value(check: Check) -> None:
    assert holds(check, kept(**check.inputs).result(check.key).value)


@pytest.mark.parametrize(("name", "key", "expected", "tol"), [row[:-1] for row in SPREAD_YEARS])
def test_typical_and_greatest_current_lie_far_apart(name: str, key: str, expected: float, tol: float) -> None:
    found = kept(capacity="300 mAh", current="0.1 uA", current_max="3 uA")
    assert years(found, key) == pytest.approx(expected, rel=tol), name


def test_the_smaller_of_both_is_the_life() -> None:
    by_capacity = kept(**COIN, self_discharge="1 %")
    assert years(by_capacity, "life") == pytest.approx(225e-3 / 2e-6 / 8766)
    by_loss = kept(**COIN, self_discharge="20 %")
    assert years(by_loss, "life") == pytest.approx(5)
    by_shelf = kept(**COIN, shelf="10 years")
    assert years(by_shelf, "life") == pytest.approx(10)
    assert years(by_shelf, "storage_life") == pytest.approx(10)


def test_both_at_once_agree_with_integration() -> None:
    """The charge falls by the memory's current and by a fixed part of the full charge each year."""
    charge_c, amps, loss = 60e-3 * 3600, 10e-6, 0.2

    def empties(_t: float, q: list[float]) -> float:
        return q[0]

    empties.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(
        lambda _t, _q: [-amps - loss * charge_c / YEAR_S], (0, 10 * YEAR_S), [charge_c], events=empties,
        rtol=1e-9,
    )  # fmt: skip
    found = kept(capacity="60 mAh", current="10 uA", self_discharge="20 %")
    assert found.result("both_at_once").value == pytest.approx(float(solved.t_events[0][0]), rel=1e-6)


@given(
    milliampere_hours=st.floats(1, 5000), microamps=st.floats(0.01, 1e4), loss=st.floats(0.1, 300),
    more=st.floats(1, 100),
)  # fmt: skip
def test_lives_keep_their_order(milliampere_hours: float, microamps: float, loss: float, more: float) -> None:
    found = kept(
        capacity=f"{milliampere_hours!r} mAh ±10 %", current=f"{microamps!r} uA",
        current_max=f"{microamps * more!r} uA", self_discharge=f"{loss!r} %",
    )  # fmt: skip
    life = years(found, "life")
    assert years(found, "both_at_once") <= life * (1 + 1e-12)
    assert life <= years(found, "capacity_life") * (1 + 1e-12)
    assert life <= years(found, "storage_life") * (1 + 1e-12)
    assert years(found, "life_at_max") <= life * (1 + 1e-12)
    assert agrees_with_its_plan(found)


def test_capacity_tolerance_bounds_the_life() -> None:
    found = kept(capacity="225 mAh ±10 %", current="10 uA ±50 %").result("life")
    assert found.low == pytest.approx(225 * 0.9 * 3.6 / 15e-6)
    assert found.high == pytest.approx(225 * 1.1 * 3.6 / 5e-6)


@pytest.mark.parametrize(
    "more", [{}, {"current_max": "1 mA"}, {"self_discharge": "0.1 %"}, {"shelf": "2 years"}]
)
def test_the_caution_against_charging_stands_whatever_is_asked(more: dict[str, str]) -> None:
    warnings = " ".join(note.text for note in kept(**COIN, **more).notes if note.level == "warning")
    assert "never charge a lithium primary cell" in warnings
    assert "diode" in warnings
    assert "emergency" in warnings


def test_nicd_is_trickled_and_leaks() -> None:
    found = kept(capacity="60 mAh", current="10 uA", chemistry="nicd")
    assert found.result("trickle").value == pytest.approx(3e-3)
    warnings = " ".join(note.text for note in found.notes if note.level == "warning")
    assert "caustic" in warnings
    assert "eye protection" in warnings
    assert "lithium cell in its place must not be charged" in warnings
    assert "trickle" not in {item.key for item in kept(**COIN).results}


def test_alkaline_is_not_charged_either() -> None:
    notes = kept(**COIN, chemistry="alkaline").notes
    assert any("never charge an alkaline cell" in note.text for note in notes)


@pytest.mark.parametrize(
    ("more", "piece", "says"),
    [
        ({}, "give current_max", True), ({"current_max": "50 uA"}, "give current_max", False),
        ({}, "ten years", True), ({"shelf": "5 years"}, "ten years", False),
        ({"current_max": "1 mA"}, "0.2 mA", True), ({}, "0.2 mA", False),
        ({"shelf": "5 years"}, "own loss decides", True),
        ({"self_discharge": "1 %"}, "own loss decides", False),
    ],
)  # fmt: skip
def test_a_colleague_would_say(more: dict[str, str], piece: str, says: bool) -> None:
    assert any(piece in note.text for note in kept(**COIN, **more).notes) is says


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({**COIN, "current_max": "1 uA"}, "current_max", "below the current"),
        ({**COIN, "self_discharge": "-1 %"}, "self_discharge", "above zero"),
        ({**COIN, "chemistry": "zinc"}, "chemistry", "not known"),
        ({"capacity": "225 mA", "current": "2 uA"}, "capacity", "225 mA"),
        ({"capacity": "225 mAh"}, "current", "is missing"),
        ({"capacity": "225 mAh", "current": "0 A"}, "current", "above zero"),
    ],
)
def test_each_mistake_names_its_input(inputs: dict[str, str], key: str, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        kept(**inputs)
    assert [problem.input for problem in caught.value.problems] == [key]
    assert piece in str(caught.value)


def test_the_loss_that_was_taken_is_shown() -> None:
    taken = {item.key: item.shown for item in kept(**COIN).inputs if not item.given}
    assert taken["self_discharge"] == "1\u00a0%"


NAMES = {
    "Q": "charge", "I": "current", "I_M": "current", "Y": "time", "s": "ratio", "t_20": "time", "t": "time",
}  # fmt: skip


@pytest.mark.parametrize(
    ("expression", "dimension"),
    [
        (backup.BY_CAPACITY, "time"), (backup.BY_CAPACITY_MAX, "time"), (backup.ON_THE_SHELF, "time"),
        (backup.BOTH, "time"), (backup.BOTH_MAX, "time"), (backup.TRICKLE, "current"),
        (backup.LEFT, "ratio"),
    ],
    ids=lambda value: value.text if isinstance(value, Expression) else "",
)  # fmt: skip
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, NAMES)

"""A calculation over a range: the table says what each single calculation says."""

from __future__ import annotations

from itertools import pairwise

import pytest

from kb.calculators import CALCULATORS, CalculationError, calculate
from kb.calculators.sweep import MOST_STEPS, sweep

ONE_SHOT = {"device": "74LS123", "capacitor": "1 uF"}


def swept(text: str, key: str = "resistor") -> list[dict[str, object]]:
    done = sweep(CALCULATORS["monostable"], ONE_SHOT, {key: text})
    assert done.sweep is not None
    return done.sweep.as_objects()


def test_each_row_is_the_calculation_with_that_value() -> None:
    for row, text in zip(swept("10k, 22k, 47k"), ("10k", "22k", "47k"), strict=True):
        alone = calculate("monostable", {**ONE_SHOT, "resistor": text})
        assert row["pulse"] == alone.result("pulse").value


def test_a_range_takes_ten_steps_unless_told() -> None:
    assert len(swept("10k to 20k")) == 11
    assert [row["resistor"] for row in swept("10k to 20k in 2 steps")] == [10e3, 15e3, 20e3]


def test_a_wide_range_goes_by_ratio_as_parts_do() -> None:
    values = [float(str(row["resistor"])) for row in swept("5k to 250k in 4 steps")]
    ratios = [b / a for a, b in pairwise(values)]
    assert ratios == pytest.approx([50**0.25] * 4, rel=1e-3)


def test_counts_go_in_whole_steps() -> None:
    inputs = {"standard": "volt_per_octave", "full_scale": "10 V", "octaves": "5"}
    done = sweep(CALCULATORS["dac_pitch"], inputs, {"bits": "6 to 12"})
    assert done.sweep is not None
    errors = [float(str(row["worst_error"])) for row in done.sweep.as_objects()]
    assert len(errors) == 7
    assert errors == sorted(errors, reverse=True)


def test_the_figure_holds_the_curve_and_its_band() -> None:
    done = sweep(CALCULATORS["rc"], {"capacitor": "100 nF"}, {"resistor": "1k to 10k in 3 steps"})
    assert done.figure is not None
    assert [series.label for series in done.figure.series] == ["Time constant", "least", "greatest"]
    assert all(len(series.x) == 4 for series in done.figure.series)


def test_a_value_that_cannot_be_worked_out_is_a_dash_beside_the_others() -> None:
    done = sweep(CALCULATORS["rc"], {"resistor": "10k", "capacitor": "1 uF", "supply": "5 V"},
                 {"threshold": "2.5 V, 5 V"})  # fmt: skip
    assert done.sweep is not None
    assert [row[-1].shown for row in done.sweep.rows] == ["6.93\u00a0ms", "–"]


@pytest.mark.parametrize(
    ("over", "said"),
    [
        ({}, "a sweep goes over one input"),
        ({"resistor": "10k", "supply": "5 V"}, "a sweep goes over one input"),
        ({"resistr": "10k"}, 'there is no input "resistr" to sweep'),
        ({"capacitor": "1 uF"}, "is given and swept"),
        ({"maker": "TI"}, "is a word"),
        ({"resistor": "20k to 10k"}, "goes down"),
        ({"resistor": "10k to 20k in 0 steps"}, "0 steps"),
        ({"resistor": f"10k to 20k in {MOST_STEPS + 1} steps"}, f"{MOST_STEPS + 1} steps"),
        ({"resistor": "10 V to 20 V"}, "is a voltage"),
        ({"resistor": ""}, "empty"),
    ],
)
def test_a_bad_range_is_told(over: dict[str, str], said: str) -> None:
    with pytest.raises(CalculationError, match=said):
        sweep(CALCULATORS["monostable"], ONE_SHOT, over)

"""Pulse parameters of waveforms whose answers are known, and against scipy where it has the same notion."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import signal

from kb.captures import measure
from kb.captures.capture import Samples
from kb.captures.doubt import of_instant, of_jitter, of_level, of_mean
from kb.captures.edges import trace_of
from kb.captures.envelope import envelope
from kb.captures.measurement import Measurement
from tests.captures.waves import INTERVAL_S, capture_of, measured, noise, times, train, trapezoid

AT = times(20_000)


def value(found: Measurement, key: str) -> float:
    return found.estimates[key].value


@pytest.mark.parametrize(
    ("start", "rise", "flat", "fall", "base", "top"),
    [
        (50e-3, 1e-3, 20e-3, 2e-3, 0.0, 5.0), (3e-3, 0.2e-3, 1e-3, 0.2e-3, -0.4, 12.0),
        (100e-3, 5e-3, 60e-3, 1e-3, 0.02, 0.03), (20e-3, 0.1e-3, 150e-3, 0.1e-3, 2.0, 3.3),
    ],
)  # fmt: skip
def test_a_trapezoid_gives_its_own_measures(
    start: float, rise: float, flat: float, fall: float, base: float, top: float
) -> None:
    found = measured(trapezoid(AT, start, rise, flat, fall, base, top))
    assert (found.kind, found.pulses, found.goes_up) == ("pulse", 1, True)
    expected = {
        "base": base, "top": top, "amplitude": top - base, "duration": flat + (rise + fall) / 2,
        "rise": 0.8 * rise, "fall": 0.8 * fall,
    }  # fmt: skip
    for key, wanted in expected.items():
        assert value(found, key) == pytest.approx(wanted, rel=1e-6, abs=1e-9), key
    assert value(found, "overshoot") == 0


def test_a_pulse_downwards_is_told_as_one() -> None:
    found = measured(5 - trapezoid(AT, 50e-3, 1e-3, 20e-3, 2e-3))
    assert not found.goes_up
    assert value(found, "duration") == pytest.approx(21.5e-3, rel=1e-6)
    assert value(found, "fall") == pytest.approx(0.8e-3, rel=1e-6)
    assert any("go down" in each for each in found.notes)


def test_the_rise_of_an_exponential_is_2_2_time_constants() -> None:
    """10 to 90 % of a charging capacitor: ln 9 time constants (textbook)."""
    constant_s = 2e-3
    found = measured(np.where(AT < 20e-3, 0.0, 5 * (1 - np.exp(-np.maximum(AT - 20e-3, 0) / constant_s))))
    assert found.kind == "step"
    assert value(found, "rise") == pytest.approx(np.log(9) * constant_s, rel=1e-3)
    assert "duration" not in found.estimates
    assert any("a step up and no whole pulse" in each for each in found.cannot)


def test_a_ring_is_overshoot_in_parts_of_the_amplitude() -> None:
    """A second-order step of damping d overshoots by exp(-pi d / sqrt(1 - d^2)) (textbook)."""
    damping, angular = 0.4, 2 * np.pi * 400
    damped = angular * np.sqrt(1 - damping**2)
    after = np.maximum(AT - 20e-3, 0)
    ring = np.exp(-damping * angular * after) * (
        np.cos(damped * after) + damping / np.sqrt(1 - damping**2) * np.sin(damped * after)
    )
    found = measured(3 * np.where(AT < 20e-3, 0.0, 1 - ring))
    assert value(found, "overshoot") == pytest.approx(
        np.exp(-np.pi * damping / np.sqrt(1 - damping**2)), rel=1e-3
    )


def test_a_train_gives_period_duty_and_the_jitter_that_was_put_in() -> None:
    rng = np.random.default_rng(4)
    starts = 5e-3 + np.arange(18) * 10e-3 + rng.normal(0, 40e-6, 18)
    found = measured(train(AT, starts, 4e-3, 0.2e-3))
    periods = np.diff(starts)
    assert (found.kind, found.pulses) == ("train", 18)
    assert value(found, "period") == pytest.approx(periods.mean(), rel=1e-9)
    assert value(found, "frequency") == pytest.approx(1 / periods.mean(), rel=1e-9)
    assert value(found, "jitter") == pytest.approx(periods.std(ddof=1), rel=1e-6)
    assert value(found, "duty") == pytest.approx((4e-3 / periods).mean(), rel=1e-6)


@pytest.mark.parametrize("sigma", [0.0, 0.02, 0.1])
def test_widths_agree_with_scipy(sigma: float) -> None:
    """`peak_widths` measures at half the prominence: on a clean base that is the 50 % level."""
    wave = train(AT, np.array([20e-3, 60e-3, 130e-3]), 15e-3, 2e-3)
    found = measured(wave + noise(len(AT), sigma))
    peaks, _ = signal.find_peaks(wave, plateau_size=1)
    widths = signal.peak_widths(wave, peaks, rel_height=0.5)[0] * INTERVAL_S
    assert found.pulses == len(peaks)
    duration = found.estimates["duration"]
    assert duration.value == pytest.approx(widths.mean(), abs=max(4 * duration.doubt, 1e-9))


@pytest.mark.parametrize("seed", range(6))
def test_noise_makes_no_edge_and_the_doubt_covers_what_it_does_make(seed: int) -> None:
    """Slow edges in strong noise cross the middle many times; each is one edge all the same."""
    clean = train(AT, np.array([30e-3, 90e-3, 150e-3]), 25e-3, 8e-3)
    found = measured(clean + noise(len(AT), 0.25, seed))
    assert (found.pulses, found.edges) == (3, 6)
    for key, wanted in (("duration", 25e-3), ("top", 5.0), ("base", 0.0), ("period", 60e-3)):
        estimate = found.estimates[key]
        assert abs(estimate.value - wanted) < 4 * estimate.doubt + 1e-9, key


def test_an_edge_between_two_samples_is_known_to_one_side_only() -> None:
    found = measured(np.where((AT > 50e-3) & (AT < 80e-3), 5.0, 0.0))
    rise = found.estimates["rise"]
    assert rise.bound == "at most"
    assert rise.high >= INTERVAL_S
    assert any("upper bounds" in each for each in found.notes)


@pytest.mark.parametrize(
    ("wave", "kind", "said"),
    [
        (np.full(500, 3.0), "flat", "every sample is 3"),
        (noise(5000, 1.0), "noise", "no transition stands clear of the noise"),
        (np.full(500, np.nan), "flat", "no samples"),
        (np.full(500, np.inf), "flat", "no samples"),
        (np.interp(times(2000), [5e-3, 6e-3], [5.0, 0.0]), "step", "a step down and no whole pulse"),
    ],
    ids=["flat", "noise", "gaps alone", "beyond the range alone", "a step down"],
)
def test_what_is_not_there_is_not_measured(wave: Samples, kind: str, said: str) -> None:
    found = measured(wave)
    assert found.kind == kind
    assert any(said in each for each in found.cannot)
    assert not {"duration", "period", "jitter"} & set(found.estimates)


def test_one_pulse_has_no_period_and_two_periods_no_jitter() -> None:
    one = measured(trapezoid(AT, 50e-3, 1e-3, 20e-3, 2e-3))
    three = measured(train(AT, np.array([20e-3, 60e-3, 100e-3]), 10e-3, 1e-3))
    assert any("one pulse has no period" in each for each in one.cannot)
    assert "period" in three.estimates
    assert any("jitter needs three periods" in each for each in three.cannot)


def test_a_top_cut_off_by_the_range_makes_the_amplitude_a_lower_bound() -> None:
    wave = trapezoid(AT, 50e-3, 1e-3, 20e-3, 2e-3) + noise(len(AT), 0.05)
    for cut in (np.minimum(wave, 4.9), np.where(wave > 4.5, np.inf, wave)):
        found = measured(cut)
        assert found.estimates["amplitude"].bound == "at least"
        assert "overshoot" not in found.estimates
        assert "undershoot" in found.estimates
        assert any("top is cut off" in each for each in found.warnings)
    assert measured(wave).warnings == ()


def test_a_quiet_top_of_a_coarse_converter_is_not_called_cut_off() -> None:
    wave = np.round((trapezoid(AT, 50e-3, 1e-3, 20e-3, 2e-3) + noise(len(AT), 0.01)) / 0.04) * 0.04
    assert measured(wave).warnings == ()


def test_an_edge_in_a_gap_is_left_out_and_a_gap_inside_is_told() -> None:
    wave = train(AT, np.array([20e-3, 60e-3, 100e-3, 140e-3]), 10e-3, 1e-3)
    wave[(AT > 59e-3) & (AT < 61e-3)] = np.nan
    wave[(AT > 104e-3) & (AT < 105e-3)] = np.nan
    found = measured(wave)
    assert found.pulses == 3
    assert value(found, "duration") == pytest.approx(10e-3, rel=1e-6)
    assert "period" not in found.estimates
    assert any("every period has a gap in it" in each for each in found.cannot)
    (told,) = (each for each in found.notes if "missing" in each)
    assert "pulses with an edge in a gap, 1, are left out" in told
    assert "1 measured pulses have a gap inside" in told


def test_missing_rows_are_gaps_too() -> None:
    wave = train(AT, np.array([20e-3, 60e-3, 100e-3]), 10e-3, 1e-3)
    kept = (AT < 59e-3) | (AT > 61e-3)
    found = measure(capture_of(wave[kept], times_s=AT[kept], missing=int((~kept).sum())))
    assert found.pulses == 2
    assert value(found, "duration") == pytest.approx(10e-3, rel=1e-6)


def test_uneven_samples_are_measured_at_their_own_times() -> None:
    at = np.sort(np.random.default_rng(2).uniform(0, 0.2, 8000))
    found = measure(capture_of(trapezoid(at, 50e-3, 1e-3, 20e-3, 2e-3), 25e-6, times_s=at))
    assert value(found, "duration") == pytest.approx(21.5e-3, rel=1e-3)


@pytest.mark.parametrize("place", [0, 1, 499_999, 777_777, 999_999])
def test_a_glitch_of_one_sample_in_a_million_survives_drawing(place: int) -> None:
    wave = noise(1_000_000, 0.01)
    wave[place] = 4.2
    at, levels = envelope(trace_of(wave, capture_of(wave).time))
    assert len(levels) <= 2 * 480
    assert at[levels.index(4.2)] == pytest.approx(place * INTERVAL_S)
    assert min(levels) == wave.min()
    assert list(at) == sorted(at)


def test_the_doubt_is_what_its_formulas_say() -> None:
    assert of_level(0.1, 100, 0.0) == pytest.approx(0.01)
    assert of_level(0.0, 100, 0.12) == pytest.approx(0.12 / np.sqrt(12))
    # an edge within one interval: evenly spread over it; a slow edge: less, by interval over edge
    assert of_instant(0.0, 1.0, 1e-6, 0.0, 0.0) == pytest.approx(1e-6 / np.sqrt(12))
    assert of_instant(0.0, 1.0, 1e-6, 10e-6, 0.0) == pytest.approx(1e-7 / np.sqrt(12))
    assert of_instant(0.3, 100.0, 1e-9, 1.0, 0.4) == pytest.approx(0.005, rel=1e-6)
    assert of_mean(3.0, 8.0, 4) == pytest.approx(5.0)
    assert of_jitter(2.0, 9) == pytest.approx(0.5)

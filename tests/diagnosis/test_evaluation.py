"""The ranking is scored on the shop's own jobs, and no job helps to predict itself."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from kb.diagnosis.case import LEAK
from kb.diagnosis.evaluation import evaluate
from kb.diagnosis.scoring import Prediction, scores
from tests.diagnosis.shops import demo_shop, history, job, shop_in


def test_history_makes_the_ranking_better_than_the_first_guess(tmp_path: Path) -> None:
    found = evaluate(shop_in(tmp_path, history(60)))
    assert found.arrival.n == found.checked.n == len(found.trials) == 60
    assert [trial.job for trial in found.trials] == sorted(trial.job for trial in found.trials)
    assert found.checked.first / 60 > 0.8
    assert found.checked.first_three >= found.checked.first
    assert found.checked.log_loss is not None
    assert found.checked.log_loss < math.log(4)  # three causes and the leak, all alike
    late = scores(trial.arrival for trial in found.trials[30:]).log_loss
    early = scores(trial.arrival for trial in found.trials[:10]).log_loss
    assert late is not None
    assert early is not None
    assert late < early


def test_a_job_is_judged_by_what_was_known_before_it(tmp_path: Path) -> None:
    """Adding later jobs changes nothing about the trials before them."""
    jobs = history(20)
    short = evaluate(shop_in(tmp_path / "short", jobs[:10]))
    long = evaluate(shop_in(tmp_path / "long", jobs))
    assert long.trials[:10] == short.trials


def test_a_fault_that_was_not_on_record_counts_as_the_leak(tmp_path: Path) -> None:
    found = evaluate(shop_in(tmp_path, [job("rail-low", day=0, more="note: on the day it was recorded")]))
    assert [trial.arrival.truth for trial in found.trials] == [LEAK]
    assert found.arrival.n == 1


def test_cures_that_did_not_hold_are_not_scored(tmp_path: Path) -> None:
    found = evaluate(shop_in(tmp_path, [job("rail-low", 5, more="held: false")]))
    assert found.trials == ()
    assert found.arrival.log_loss is None


def test_the_probabilities_of_every_trial_add_up() -> None:
    found = evaluate(demo_shop())
    assert found.arrival.n > 10
    for trial in found.trials:
        for prediction in (trial.arrival, trial.checked):
            assert prediction is not None
            assert math.fsum(prediction.probabilities.values()) == pytest.approx(1)
            assert prediction.truth in prediction.probabilities


def test_a_truth_without_a_place_is_no_hit() -> None:
    found = scores([Prediction({"a": 1.0}, "b")])
    assert (found.first, found.first_three, found.reciprocal_rank) == (0, 0, 0.0)
    assert found.brier == 2.0
    assert found.log_loss == pytest.approx(-math.log(1e-15))

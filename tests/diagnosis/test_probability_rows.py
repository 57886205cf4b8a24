"""Counts become priors, results become probabilities: the worked rows, as published or as enumerated."""

from __future__ import annotations

import pytest

from kb.diagnosis.case import LEAK, last_of_each
from kb.diagnosis.likelihoods import leak_rate, smoothed_rate
from kb.diagnosis.posterior import factors, posterior, ranking, verdict
from kb.diagnosis.priors import backed_off, smoothed, unseen_share, with_leak
from kb.diagnosis.rates import wilson
from kb.diagnosis.scoring import Prediction, scores
from tests.diagnosis.cases import case_of, results_of
from tests.reference.diagnosis import Row, agrees, of_kind, rows


@of_kind("prior_smooth")
def test_counts_become_priors(row: Row) -> None:
    counts, alpha, leak = row.given["counts"], row.given["alpha"], row.given["leak"]
    if leak is None:
        found = smoothed(counts, alpha)
    elif leak["mode"] == "pseudo":
        shares, rest = with_leak(counts, alpha, leak["m"])
        found = {**shares, LEAK: rest}
    else:
        unseen = unseen_share(counts)
        found = {cause: share * (1 - unseen) for cause, share in smoothed(counts, alpha).items()}
        found[LEAK] = unseen
    assert agrees(found, row.expected, row.tolerance)


@of_kind("prior_backoff")
def test_a_rare_model_leans_on_its_family(row: Row) -> None:
    shares, leak = backed_off(row.given["levels"], row.given["alpha"], row.given["kappa"])
    assert agrees(shares, row.expected, row.tolerance)
    assert leak == 0


@of_kind("lik_smooth")
def test_outcomes_become_rates(row: Row) -> None:
    found = [smoothed_rate(each["fails"], each["passes"], each["alpha"]) for each in row.given["rows"]]
    assert agrees(found, row.expected, row.tolerance)


@of_kind("posterior")
def test_results_become_probabilities(row: Row) -> None:
    case, results = case_of(row.given), results_of(row.given)
    found = posterior(case, results)
    assert agrees(found.evidence, row.expected["evidence_prob"], row.tolerance)
    if row.expected["posterior"] is None:
        assert found.probabilities is None
        assert verdict(case, results) == "contradiction"
        return
    assert found.probabilities is not None
    named = dict(zip(case.names, found.probabilities, strict=True))
    if not case.leak:
        assert named.pop(LEAK) == 0
    assert agrees(named, row.expected["posterior"], row.tolerance)
    order = [case.names[place] for place in ranking(case, found.probabilities)]
    assert [name for name in order if name in named] == row.expected["ranking"]


def test_the_leak_rates_of_the_rows_are_averages_over_the_recorded_causes() -> None:
    held = [row for row in rows() if row.id in ("S1-27", "S1-28b")]
    assert len(held) == 2
    for row in held:
        case = case_of(row.given)
        for check in case.checks:
            assert leak_rate(case.priors[:-1], check.fails) == pytest.approx(check.leak, abs=1e-12)


@of_kind("nb_joint")
def test_the_published_bernoulli_example(row: Row) -> None:
    case, results = case_of(row.given), results_of(row.given)
    joint = list(case.priors)
    for result in last_of_each(results):
        likelihoods = factors(case.by_check[result.check], result)
        joint = [mass * factor for mass, factor in zip(joint, likelihoods, strict=True)]
    assert agrees(dict(zip(case.names[:-1], joint[:-1], strict=True)), row.expected, row.tolerance)
    assert posterior(case, results).evidence == pytest.approx(sum(joint), abs=1e-12)


@of_kind("metrics")
def test_rankings_are_scored(row: Row) -> None:
    found = scores(Prediction(each["probs"], each["truth"]) for each in row.given["predictions"])
    assert row.given["ks"] == [1, 3]
    shown = {
        "brier": found.brier, "log_loss_nats": found.log_loss, "mrr": found.reciprocal_rank,
        "top1": found.first / found.n, "top3": found.first_three / found.n,
    }  # fmt: skip
    assert agrees(shown, row.expected, row.tolerance)


@of_kind("sk_binary")
def test_the_scores_of_two_classes_are_those_of_the_library(row: Row) -> None:
    def of(key: str) -> list[Prediction]:
        given = row.given[key]
        return [
            Prediction({"yes": p, "no": 1 - p}, "yes" if y else "no")
            for y, p in zip(given["y"], given["p"], strict=True)
        ]

    squared, loss = scores(of("brier")).brier, scores(of("log_loss")).log_loss
    assert squared is not None
    assert agrees({"brier": squared / 2, "log_loss_nats": loss}, row.expected, row.tolerance)


@of_kind("wilson")
def test_the_interval_of_a_share(row: Row) -> None:
    assert row.given["conf"] == 0.95
    assert agrees([wilson(*each) for each in row.given["rows"]], row.expected, row.tolerance)

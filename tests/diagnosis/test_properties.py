"""What must hold for every case, however it came about: random cases, graphs and results."""

from __future__ import annotations

import math
import random
import time
from dataclasses import replace
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.diagnosis.case import Case, Cause, Check, Result, opened_by
from kb.diagnosis.confirming import Confirming, actions_of
from kb.diagnosis.exact import Puzzle, TooManySuspects, best_plan
from kb.diagnosis.information import entropy, gain
from kb.diagnosis.looking_ahead import next_step
from kb.diagnosis.posterior import effects, factors, posterior
from kb.diagnosis.splitting import Split, half_split, minutes_by_rule
from tests.diagnosis.cases import random_case, random_results

SEEDS = st.integers(0, 10**6)


def probabilities(case: Case, results: tuple[Result, ...]) -> dict[str, float]:
    found = posterior(case, results).probabilities
    assert found is not None
    return dict(zip(case.names, found, strict=True))


@given(SEEDS)
def test_the_probabilities_add_up_to_one_with_the_leak(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, draw.randint(1, 12), 8)
    found = probabilities(case, random_results(draw, case, draw.randint(0, 8)))
    assert math.fsum(found.values()) == pytest.approx(1, abs=1e-12)


@given(SEEDS)
def test_the_posterior_is_the_enumeration_of_all_worlds(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, draw.randint(1, 5), 4)
    results = tuple(replace(each, confidence=1.0) for each in random_results(draw, case, draw.randint(1, 4)))
    rates = np.array([(*check.fails, check.leak) for check in case.checks])
    joint = np.zeros((len(case.names), *[2] * len(case.checks)))
    for world in product((0, 1), repeat=len(case.checks)):
        failed = np.array(world)[:, None]
        joint[(slice(None), *world)] = np.array(case.priors) * np.where(failed, rates, 1 - rates).prod(axis=0)
    seen = {result.check: int(result.outcome == "fail") for result in results}
    index = tuple(seen.get(check.id, slice(None)) for check in case.checks)
    masses = joint[(slice(None), *index)].reshape(len(case.names), -1).sum(axis=1)
    found = posterior(case, results)
    assert found.evidence == pytest.approx(masses.sum(), abs=1e-12)
    assert found.probabilities == pytest.approx(tuple(masses / masses.sum()), abs=1e-12)


@given(SEEDS)
def test_the_order_of_causes_changes_nothing(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, draw.randint(2, 9), 6, ("", "back", "lid"))
    results = random_results(draw, case, draw.randint(0, 5))
    places = list(range(len(case.causes)))
    draw.shuffle(places)
    checks = [replace(check, fails=tuple(check.fails[place] for place in places)) for check in case.checks]
    shuffled = replace(case, causes=tuple(case.causes[place] for place in places), checks=tuple(checks))
    assert probabilities(shuffled, results) == pytest.approx(probabilities(case, results), abs=1e-12)
    one, other = next_step(case, results), next_step(shuffled, results)
    assert one is not None
    assert other is not None
    assert (one.check, one.confirm) == (other.check, other.confirm)
    assert [each.check for each in one.proposals] == [each.check for each in other.proposals]


@given(SEEDS)
def test_results_may_come_in_any_order(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, 5, 6)
    results = list(random_results(draw, case, 5))
    first = probabilities(case, tuple(results))
    draw.shuffle(results)
    assert probabilities(case, tuple(results)) == pytest.approx(first, abs=1e-12)


@given(SEEDS)
def test_of_two_entries_for_a_check_the_last_holds(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, 5, 3)
    wrong, right = Result("t00", "fail"), Result("t00", "pass")
    assert probabilities(case, (wrong, right)) == probabilities(case, (right,))
    assert probabilities(case, (wrong, Result("t00", "not_done"))) == probabilities(case, ())


@given(SEEDS)
def test_a_failing_check_helps_the_causes_that_make_it_fail(seed: int) -> None:
    """The cause under which a check fails most cannot lose by its failing, nor the others' least gain."""
    draw = random.Random(seed)
    case = random_case(draw, 6, 5)
    results = random_results(draw, case, 3)
    check = draw.choice([each for each in case.checks if each.id not in {result.check for result in results}])
    before = probabilities(case, results)
    after = probabilities(case, (*results, Result(check.id, "fail")))
    rates = dict(zip(case.names, (*check.fails, check.leak), strict=True))
    most, least = max(rates, key=lambda each: rates[each]), min(rates, key=lambda each: rates[each])
    assert after[most] >= before[most] - 1e-12
    assert after[least] <= before[least] + 1e-12


@given(SEEDS)
def test_the_surer_a_reading_the_more_it_moves(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, 4, 1)
    leader = max(range(4), key=lambda place: case.checks[0].fails[place])
    steps = [
        probabilities(case, (Result("t00", "fail", sure),))[case.causes[leader].id]
        for sure in (0.5, 0.6, 0.8, 1.0)
    ]
    assert steps == sorted(steps)
    assert steps[0] == pytest.approx(case.causes[leader].prior, abs=1e-12)


@given(SEEDS)
def test_what_results_did_to_a_cause_adds_up_in_log_odds(seed: int) -> None:
    """With one rival, each result's step in log odds is its own, so the steps add up."""
    draw = random.Random(seed)
    case = random_case(draw, 2, 4)
    priors = (0.3, 0.7)
    causes = tuple(replace(cause, prior=prior) for cause, prior in zip(case.causes, priors, strict=True))
    case = replace(case, causes=causes, leak=0.0)
    results = random_results(draw, case, 4)
    steps = [effects(case, results, result.check)[0].log_odds for result in results]
    end = probabilities(case, results)["c00"]
    start = case.causes[0].prior
    assert all(step is not None for step in steps)
    moved = math.log(end / (1 - end)) - math.log(start / (1 - start))
    assert sum(step for step in steps if step is not None) == pytest.approx(moved, abs=1e-9)


@given(SEEDS)
def test_a_check_is_never_proposed_twice(seed: int) -> None:
    draw = random.Random(seed)
    case = random_case(draw, draw.randint(1, 8), 6, ("", "back"))
    results: tuple[Result, ...] = ()
    asked: list[str] = []
    while (step := next_step(case, results)) is not None and step.check:
        assert {each.check for each in step.proposals}.isdisjoint(asked)
        asked.append(step.check)
        results = (*results, Result(step.check, draw.choice(("pass", "fail"))))
    assert len(asked) == len(set(asked))
    assert step is not None
    assert step.confirm in {cause.id for cause in case.causes}


@given(SEEDS)
def test_what_is_set_aside_or_saves_too_little_is_not_proposed(seed: int) -> None:
    case = random_case(random.Random(seed), 6, 6)
    step = next_step(case, ())
    assert step is not None
    if step.check is None:
        return
    without = next_step(case, (Result(step.check, "not_done"),), set_aside=(step.check,))
    assert without is not None
    assert without.check != step.check
    assert step.check in {each.check for each in without.proposals}
    patient = next_step(case, (), least_saving=step.saves_minutes)
    assert patient is not None
    assert patient.check is None


@given(SEEDS)
def test_no_order_of_confirmations_is_quicker(seed: int) -> None:
    """The bundle rule against every permutation, with two things to open."""
    draw = random.Random(seed)
    case = random_case(draw, draw.randint(1, 5), 0, ("", "back", "lid"))
    confirming = Confirming(actions_of(case), case.opening)
    opened = draw.choice(((), ("back",)))
    best = confirming.minutes(case.priors, case.leak_minutes, opened)
    every = [
        confirming.minutes_of(order, case.priors, case.leak_minutes, opened)
        for order in permutations(confirming.actions)
    ]
    assert best == pytest.approx(min(every), abs=1e-9)


def test_causes_with_one_remedy_are_confirmed_together() -> None:
    causes = tuple(
        Cause(name, share, minutes, remedy=remedy)
        for name, share, minutes, remedy in (
            ("a", 0.3, 20, "board"), ("b", 0.3, 15, "board"), ("c", 0.4, 20, ""),
        )
    )  # fmt: skip
    step = next_step(Case(causes, (), 0.0, 0.0), ())
    assert step is not None
    assert step.base_minutes == pytest.approx(20 + 0.4 * 20)
    assert step.confirm == "a"


def test_what_is_open_stays_open() -> None:
    causes = (Cause("a", 0.5, 10, "back"), Cause("b", 0.5, 10, "back"))
    checks = (Check("inside", 2, (1.0, 0.0), 0.5, "back"), Check("outside", 2, (0.5, 0.5), 0.5))
    case = Case(causes, checks, 0.0, 0.0, {"back": 6.0})
    shut, opened = next_step(case, ()), next_step(case, (Result("inside", "pass"),))
    assert shut is not None
    assert opened is not None
    assert opened_by(case, (Result("inside", "not_done"), Result("outside", "pass"))) == frozenset()
    assert shut.base_minutes == pytest.approx(6 + 10 + 5)
    assert [each.expected_minutes for each in shut.proposals if each.check == "inside"] == [6 + 2 + 10]
    assert opened.base_minutes == pytest.approx(10)


@given(SEEDS)
def test_no_check_tells_less_than_nothing(seed: int) -> None:
    case = random_case(random.Random(seed), 6, 3)
    for check in case.checks:
        assert 0 <= gain(case.priors, check) <= min(1.0, entropy(case.priors)) + 1e-12


@given(SEEDS)
def test_the_best_plan_is_no_worse_than_any_rule(seed: int) -> None:
    draw = random.Random(seed)
    names = [f"b{number}" for number in range(draw.randint(1, 7))]
    weights = [draw.random() + 0.01 for _ in names]
    masses = {name: weight / sum(weights) for name, weight in zip(names, weights, strict=True)}
    splits = tuple(
        Split(f"t{number}", draw.randint(1, 9), frozenset(draw.sample(names, draw.randint(0, len(names)))))
        for number in range(6)
    )
    plan = best_plan(Puzzle(masses, splits))
    assert plan.minutes <= minutes_by_rule(masses, splits, half_split) + 1e-9


def test_too_many_suspects_for_an_exact_plan_are_refused() -> None:
    with pytest.raises(TooManySuspects, match="16 suspects"):
        best_plan(Puzzle({str(number): 1 / 16 for number in range(16)}))


def test_forty_causes_and_sixty_checks_take_less_than_a_blink() -> None:
    case = random_case(random.Random(3), 40, 60, ("", "back"))
    results = random_results(random.Random(4), case, 6)
    taken = []
    for _ in range(7):
        start = time.perf_counter()
        assert next_step(case, results) is not None
        taken.append(time.perf_counter() - start)
    assert min(taken) < 0.05, f"{min(taken) * 1000:.0f} ms"


def test_a_case_that_makes_no_sense_is_refused() -> None:
    cause = Cause("a", 0.9, 5)
    for wrong in (
        {"leak": 0.3},
        {"leak": 0.1, "causes": (Cause("a", 0.9, 0),)},
        {"leak": 0.1, "checks": (Check("t", 1, (0.5, 0.5), 0.5),)},
        {"leak": 0.1, "checks": (Check("t", 1, (1.5,), 0.5),)},
        {"leak": -0.8, "causes": (cause, cause)},
    ):
        with pytest.raises(ValueError, match=r"\w"):
            Case(**{"causes": (cause,), "checks": (), "leak_minutes": 60.0, **wrong})  # type: ignore[arg-type]


def test_factors_of_a_check_that_was_not_done_are_one() -> None:
    assert factors(Check("t", 1, (0.2,), 0.4), Result("t", "not_done")) == (1.0, 1.0)

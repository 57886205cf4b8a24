"""Records become a case: what is on the revision, how often it was found, what the checks should give."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from kb.diagnosis.case import Result
from kb.diagnosis.evaluation import evaluate
from kb.diagnosis.from_shop import CASE, LEAK_MINUTES, OPENING_MINUTES, Bench, bench_for
from kb.diagnosis.looking_ahead import next_step
from kb.diagnosis.posterior import posterior
from kb.diagnosis.rates import held_text
from kb.shop import Shop
from kb.shop.links import Links
from tests.diagnosis.shops import demo_shop, history, job, shop_in


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return shop_in(tmp_path_factory.mktemp("shops") / "plain")


def priors(bench: Bench) -> dict[str, float]:
    return dict(zip(bench.case.names, bench.case.priors, strict=True))


def rate(bench: Bench, fault: str, check: str) -> float:
    return bench.case.by_check[check].fails[bench.case.names.index(fault)]


@pytest.mark.parametrize(
    ("revision", "faults", "checks"),
    [
        ("a", {"rail-low", "pulse-short", "jack-worn"}, {"rail", "rate", "length", "lamp"}),
        ("b", {"rail-low", "pulse-late", "jack-worn"}, {"rail", "rate", "length-late", "lamp"}),
    ],
)
def test_only_what_is_on_the_revision_counts(
    shop: Shop, revision: str, faults: set[str], checks: set[str]
) -> None:
    bench = bench_for(shop, "ticker", (revision,))
    assert set(bench.suspects) == faults
    assert set(bench.checks) == checks == {check.id for check in bench.case.checks}


def test_a_revision_that_is_not_known_leaves_all_of_them(shop: Shop) -> None:
    bench = bench_for(shop, "ticker")
    assert bench.revisions == ("a", "b")
    assert {"pulse-short", "pulse-late"} <= set(bench.suspects)


def test_recorded_readings_come_before_the_drawing(shop: Shop) -> None:
    bench = bench_for(shop, "ticker", ("a",))
    expected = {
        ("rail-low", "rail"): 0.95,  # recorded as too low
        ("rail-low", "rate"): 0.8,  # further down
        ("pulse-short", "length"): 0.95,
        ("pulse-short", "rail"): 0.05,  # recorded as in order
        ("pulse-short", "rate"): 0.05,  # before it
        ("jack-worn", "lamp"): 0.95,  # at the block itself
        ("jack-worn", "length"): 0.05,
    }
    assert {key: rate(bench, *key) for key in expected} == pytest.approx(expected)


def test_a_loop_of_one_revision_lets_the_fault_be_seen_before_it(shop: Shop) -> None:
    assert rate(bench_for(shop, "ticker", ("b",)), "pulse-late", "rate") == pytest.approx(0.8)


def test_outcomes_of_jobs_overrule_expectations_in_time(tmp_path: Path) -> None:
    few = [job("jack-worn", day, "length: 4 ms") for day in range(2)]
    many = [job("jack-worn", day, "length: 4 ms") for day in range(40)]
    after_few = rate(bench_for(shop_in(tmp_path / "few", few), "ticker", ("a",)), "jack-worn", "length")
    after_many = rate(bench_for(shop_in(tmp_path / "many", many), "ticker", ("a",)), "jack-worn", "length")
    assert after_few == pytest.approx((2 + 2 * 0.05) / 4)
    assert after_many == pytest.approx((40 + 2 * 0.05) / 42)


def test_readings_of_jobs_are_judged_and_the_rest_is_left_out(tmp_path: Path) -> None:
    text = job("jack-worn", 1, "length: 15 ms", "lamp: never saw one", "rate: not_done", "rail: bad")
    bench = bench_for(shop_in(tmp_path, [text]), "ticker", ("a",))
    assert rate(bench, "jack-worn", "length") == pytest.approx(2 * 0.05 / 3)
    assert rate(bench, "jack-worn", "lamp") == pytest.approx(0.95)
    assert rate(bench, "jack-worn", "rate") == pytest.approx(0.05)
    assert rate(bench, "jack-worn", "rail") == pytest.approx((1 + 2 * 0.05) / 3)


def test_counts_of_the_model_stand_beside_the_probability(tmp_path: Path) -> None:
    jobs = [job("rail-low", 1), job("rail-low", 2), job("jack-worn", 3), job("pulse-short", 4)]
    jobs.append(job("jack-worn", 5, more="held: false"))
    bench = bench_for(shop_in(tmp_path, jobs), "ticker", ("a",))
    assert {each.id: each.count for each in bench.suspects.values()} == {
        "jack-worn": 1, "pulse-short": 1, "rail-low": 2,
    }  # fmt: skip
    assert {each.n for each in bench.suspects.values()} == {4}
    # No other model has a job: each cause starts with a third of four cases, and the leak with one.
    assert priors(bench) == pytest.approx(
        {
            "jack-worn": (1 + 4 / 3) / 9,
            "pulse-short": (1 + 4 / 3) / 9,
            "rail-low": (2 + 4 / 3) / 9,
            "LEAK": 1 / 9,
        }
    )


def test_what_happened_to_the_same_kind_of_block_elsewhere_counts_a_little(tmp_path: Path) -> None:
    jobs = [job("tock-slack", day, model="tocker", serial="TR-0007") for day in range(3)]
    bench = bench_for(shop_in(tmp_path, jobs), "ticker", ("a",))
    assert bench.suspects["pulse-short"].family == 3
    assert bench.suspects["pulse-short"].count == bench.suspects["rail-low"].family == 0
    found = priors(bench)
    assert found["pulse-short"] > found["rail-low"] == found["jack-worn"]


def test_the_complaint_shifts_the_priors_but_not_the_leak(shop: Shop) -> None:
    plain, told = (bench_for(shop, "ticker", ("a",), symptoms) for symptoms in ((), ("Notes are missing",)))
    assert priors(told)["pulse-short"] > 2 * priors(plain)["pulse-short"]
    assert told.case.leak == plain.case.leak
    strange = bench_for(shop, "ticker", ("a",), ("purple smoke",))
    assert priors(strange) == pytest.approx(priors(plain))


def test_words_may_be_read_otherwise(shop: Shop) -> None:
    bench = bench_for(
        shop, "ticker", ("a",), ("mute",),
        to_words=lambda text: frozenset(text.replace("mute", "dead").replace(",", "").split()),
    )  # fmt: skip
    assert max(priors(bench), key=lambda each: priors(bench)[each]) == "rail-low"


def test_minutes_come_from_the_records_and_then_from_jobs(tmp_path: Path) -> None:
    bench = bench_for(shop_in(tmp_path, [job("rail-low", 1, more="minutes: 50")]), "ticker", ("a",))
    minutes = {cause.id: cause.minutes for cause in bench.case.causes}
    assert minutes == {"rail-low": (50 + 2 * 20) / 3, "pulse-short": 20, "jack-worn": 20}
    assert {check.id: check.minutes for check in bench.case.checks} == {
        "rail": 2, "rate": 3, "length": 3, "lamp": 5,
    }  # fmt: skip
    assert bench.case.leak_minutes == LEAK_MINUTES
    assert bench.case.opening == {CASE: OPENING_MINUTES}


def test_blocks_are_the_suspects_where_no_fault_is_recorded(tmp_path: Path) -> None:
    shop = shop_in(tmp_path, leave_out=("rail-low", "pulse-short", "pulse-late", "jack-worn"))
    bench = bench_for(shop, "ticker", ("a",))
    assert {each.kind for each in bench.suspects.values()} == {"block"}
    assert list(bench.suspects) == ["supply", "clock", "shaper", "output"]
    step = next_step(bench.case, ())
    assert step is not None
    assert step.check == "rate"  # the middle of the chain
    after = posterior(bench.case, (Result("rate", "pass"), Result("lamp", "fail"))).probabilities
    assert after is not None
    likely = dict(zip(bench.case.names, after, strict=True))
    assert min(likely["shaper"], likely["output"]) > max(likely["supply"], likely["clock"])


def test_what_came_later_is_left_out_on_request(tmp_path: Path) -> None:
    shop = shop_in(tmp_path, [job("rail-low", 1), job("rail-low", 30)])
    early = bench_for(shop, "ticker", ("a",), before=datetime.date(2024, 1, 20))
    assert early.suspects["rail-low"].count == 1
    none_yet = bench_for(shop, "ticker", ("a",), before=datetime.date(2024, 1, 1))
    assert {each.kind for each in none_yet.suspects.values()} == {"block"}


def test_every_model_of_the_demo_has_a_next_step() -> None:
    shop = demo_shop()
    for model, facts in shop.facts.items():
        for revision in facts.revision_ids:
            bench = bench_for(shop, model, (revision,))
            step = next_step(bench.case, ())
            assert step is not None
            assert step.check in bench.checks, model


def test_the_same_records_make_the_same_case(tmp_path: Path) -> None:
    jobs = history(12)
    one = bench_for(shop_in(tmp_path / "one", jobs), "ticker", ("a",), ("notes go missing",))
    other = bench_for(shop_in(tmp_path / "other", jobs), "ticker", ("a",), ("notes go missing",))
    assert one.case == other.case


TWICE = """\
model: ticker
serial: TK-0001
received: 2024-02-01
complaint: it fails
findings:
  - {fault: rail-low, minutes: 20, held: false, checks: [{check: rail, reading: 5 V}]}
  - {fault: rail-low, minutes: 10, checks: [{check: rail, reading: 4 V}, {check: lamp, outcome: good}]}
  - {fault: rail-low, minutes: 30, held: true, checks: [{check: lamp, outcome: bad}]}
  - {fault: jack-worn, checks: [{check: lamp, outcome: bad}]}
"""


def test_a_job_counts_once_for_each_fault_and_once_of_the_whole(tmp_path: Path) -> None:
    """Two findings that hold are one: the last outcomes and all minutes of it, the failed try apart."""
    shop = shop_in(tmp_path, [TWICE, job("jack-worn", 3)])
    bench = bench_for(shop, "ticker", ("a",))
    counts = {each.id: (each.count, each.n) for each in bench.suspects.values()}
    assert counts == {"rail-low": (1, 2), "jack-worn": (2, 2), "pulse-short": (0, 2)}
    assert rate(bench, "rail-low", "rail") == pytest.approx((1 + 4 * 0.95) / 5)
    assert rate(bench, "rail-low", "lamp") == pytest.approx((1 + 2 * 0.8) / 3)
    minutes = {cause.id: cause.minutes for cause in bench.case.causes}
    assert minutes["rail-low"] == pytest.approx((40 + 2 * 20) / 3)
    trials = evaluate(shop).trials
    assert [(each.job, each.fault, each.checks) for each in trials] == [
        ("job-001", "jack-worn", 0), ("job-000", "rail-low", 2), ("job-000", "jack-worn", 1),
    ]  # fmt: skip
    sightings = Links(shop).sightings("rail-low")
    assert [(each.job, each.held) for each in sightings] == [("job-000", False)]
    assert held_text(each.held for each in sightings) == "0 of 1 so far"

"""Results that contradict everything give a message and never a number."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.diagnosis.case import Case, Cause, Check, Result
from kb.diagnosis.from_shop import bench_for
from kb.diagnosis.posterior import speaking_against, verdict, worth_repeating
from kb.diagnosis.report import report
from tests.diagnosis.shops import job, shop_in


def two_causes(sure: float) -> Case:
    wrong = 1 - sure
    return Case(
        (Cause("a", 0.475, 10), Cause("b", 0.475, 10)),
        tuple(Check(f"t{number}", 1 + number, (sure, wrong), 0.5) for number in range(4)),
        0.05,
        60,
    )


RESULTS = (Result("t0", "pass"), Result("t1", "fail"), Result("t2", "pass"), Result("t3", "fail"))


@pytest.mark.parametrize(
    ("count", "expected"), [(0, "consistent"), (1, "consistent"), (2, "doubtful"), (4, "contradiction")]
)
def test_one_reading_may_be_wrong_and_two_are_a_contradiction(count: int, expected: str) -> None:
    assert verdict(two_causes(0.95), RESULTS[:count]) == expected


def test_checks_that_say_little_speak_against_nobody() -> None:
    assert speaking_against(two_causes(0.8), RESULTS) == ((), ())
    assert verdict(two_causes(0.8), RESULTS) == "consistent"


def test_an_uncertain_reading_speaks_against_nobody() -> None:
    unsure = tuple(Result(each.check, each.outcome, 0.7) for each in RESULTS)
    assert verdict(two_causes(0.95), unsure) == "consistent"


def test_a_leak_on_top_is_doubtful_once_something_was_measured() -> None:
    case = Case((Cause("a", 0.3, 5),), (Check("t", 1, (0.3,), 0.5),), 0.7, 60)
    assert verdict(case, ()) == "consistent"
    assert verdict(case, (Result("t", "fail"),)) == "doubtful"


def test_the_odd_one_out_is_made_again() -> None:
    case = two_causes(0.95)
    odd = (Result("t0", "fail"), Result("t1", "fail"), Result("t3", "pass"), Result("t2", "fail"))
    assert worth_repeating(case, odd) == "t3"
    assert worth_repeating(case, (Result("t0", "not_done"),)) is None


def test_a_report_of_a_contradiction_has_no_number(tmp_path: Path) -> None:
    # The jobs say that the lamp is always wrong when the rail is low.
    shop = shop_in(tmp_path, [job("rail-low", day, "lamp: bad") for day in range(10)])
    bench = bench_for(shop, "ticker", ("a",))
    results = [
        Result("rail", "pass"),
        Result("rate", "fail"),
        Result("length", "pass"),
        Result("lamp", "pass"),
    ]
    found = report(shop, bench, results)
    assert found.verdict == "contradiction"
    assert found.message is not None
    assert "contradict every cause on record" in found.message
    assert "Make lamp again first" in found.message
    assert "no single block explains them all" in found.message
    assert all(cause.probability is None for cause in found.causes)
    assert found.step is None
    assert found.proposals == ()
    assert found.repeat == "lamp"
    assert {caution.hazard.id for caution in found.cautions} == {"mains"}
    assert not any(moved for _, moved in found.effects)


def test_a_report_carries_the_cautions_of_what_it_proposes(tmp_path: Path) -> None:
    shop = shop_in(tmp_path)
    bench = bench_for(shop, "ticker", ("a",))
    found = report(shop, bench, ())
    named = {each.check.id: {caution.hazard.id for caution in each.cautions} for each in found.proposals}
    assert named == {"rail": {"mains"}, "rate": set(), "length": set(), "lamp": {"mains"}}
    assert found.step is not None
    assert found.step.check is not None
    assert {caution.hazard.id for caution in found.cautions} == named[found.step.check]
    confirming = report(shop, bench, [Result(each, "pass") for each in ("rate", "length", "lamp")]
                        + [Result("rail", "fail")])  # fmt: skip
    assert confirming.step is not None
    assert confirming.step.confirm == "rail-low"
    assert "mains" in {caution.hazard.id for caution in confirming.cautions}


def test_a_check_entered_as_not_done_is_kept_but_not_proposed(tmp_path: Path) -> None:
    shop = shop_in(tmp_path)
    bench = bench_for(shop, "ticker", ("a",))
    first = report(shop, bench, ())
    assert first.step is not None
    assert first.step.check is not None
    again = report(shop, bench, [Result(first.step.check, "not_done")])
    assert again.step is not None
    assert again.step.check != first.step.check
    assert first.step.check in {each.check.id for each in again.proposals}
    assert [cause.probability for cause in again.causes] == [cause.probability for cause in first.causes]

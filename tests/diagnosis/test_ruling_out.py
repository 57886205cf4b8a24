"""A cause that was looked at and is not it leaves its share to the rest, and what was opened stays open."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kb.diagnosis.case import Case, Cause, Check, Result
from kb.diagnosis.looking_ahead import next_step
from kb.diagnosis.posterior import posterior
from kb.diagnosis.ruling_out import without

CASE = Case(
    causes=(Cause("a", 0.5, 20, "case"), Cause("b", 0.3, 20, "case"), Cause("c", 0.1, 20)),
    checks=(Check("t", 2, (0.9, 0.2, 0.4), 0.5, "case"),),
    leak=0.1,
    leak_minutes=90,
    opening={"case": 10.0},
)


def test_the_rest_keeps_its_proportions_and_adds_up() -> None:
    left = without(CASE, {"a"})
    assert left.names == ("b", "c", "LEAK")
    assert left.priors == pytest.approx((0.6, 0.2, 0.2))
    assert left.checks[0].fails == (0.2, 0.4)


def test_it_is_what_bayes_says_after_the_cause_was_cleared_for_certain() -> None:
    """A certain look at one cause is a check that fails under it alone."""
    look = Check("look", 20, (1.0, 0.0, 0.0), 0.0)
    with_look = replace(CASE, checks=(*CASE.checks, look))
    wanted = posterior(with_look, (Result("t", "fail"), Result("look", "pass"))).probabilities
    found = posterior(without(CASE, {"a"}), (Result("t", "fail"),)).probabilities
    assert wanted is not None
    assert found == pytest.approx(wanted[1:], abs=1e-12)


def test_what_was_opened_for_it_is_not_opened_again() -> None:
    assert without(CASE, {"a"}).opening == {"case": 0.0}
    assert without(CASE, {"c"}).opening == {"case": 10.0}


@pytest.mark.parametrize("names", [(), ("nobody",)])
def test_names_that_are_not_in_the_case_change_nothing(names: tuple[str, ...]) -> None:
    assert without(CASE, names) is CASE


def test_with_every_cause_gone_only_the_unknown_is_left() -> None:
    left = without(CASE, {"a", "b", "c"})
    assert left.priors == (1.0,)
    step = next_step(left, ())
    assert step is not None
    assert (step.check, step.confirm, step.base_minutes) == (None, None, 90)

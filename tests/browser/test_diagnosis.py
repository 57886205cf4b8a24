"""The diagnosis in the browser says what Python says: on every worked row, and on cases drawn at random."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from kb.diagnosis.case import LEAK, Case, Cause, Check, Result
from kb.diagnosis.closeness import closeness, shifted
from kb.diagnosis.expectations import flow_of
from kb.diagnosis.flow import cones, suspects
from kb.diagnosis.likelihoods import leak_rate
from kb.diagnosis.rates import rate_text, wilson
from tests.benches import demo_shop
from tests.browser.diagnosing import ANSWER, answer, asked, open_engine
from tests.diagnosis.cases import case_of, random_case, random_results, results_of
from tests.diagnosis.test_flow_rows import flow_of as flow_of_row
from tests.reference.diagnosis import agrees, number, numbers, rows

TOLERANCE = 1e-9
RANDOM_CASES = 300
CLOSE = """([asked, told, priors]) => {
  const D = window.halfsplitDiagnosis, close = D.closeness(asked, told);
  return [close, D.shifted(priors, close)];
}"""


@pytest.fixture
def engine(watched_page: Page, tmp_path: Path) -> Page:
    open_engine(watched_page, tmp_path)
    return watched_page


def drawn(count: int) -> list[tuple[Case, tuple[Result, ...], float, tuple[str, ...]]]:
    """Cases from 1 × 1 to 40 × 60, with doors, shared cures, certain rates, repeated and skipped checks."""
    draw = random.Random(20260711)
    found = []
    for number_ in range(count):
        causes, checks = draw.randint(1, 40), draw.randint(1, 60)
        if number_ < 4:
            causes, checks = 40, 60
        case = random_case(draw, causes, checks, draw.choice((("",), ("", "case"), ("", "a", "b", "c"))))
        if number_ % 3 == 0:
            case = replace(
                case,
                causes=tuple(replace(each, remedy=draw.choice(("", "", "R1", "R2"))) for each in case.causes),
            )
        if number_ % 4 == 0:
            case = replace(case, checks=tuple(_certain(draw, each) for each in case.checks))
        results = random_results(draw, case, draw.randint(0, min(7, checks)))
        if results and number_ % 5 == 0:
            again = draw.choice(results)
            results = (*results, Result(again.check, "fail"), Result(draw.choice(case.checks).id, "not_done"))
        aside = tuple(each.check for each in results if each.outcome == "not_done")
        found.append((case, results, draw.choice((0.0, 1.0)), aside))
    return found


def _certain(draw: random.Random, check: Check) -> Check:
    fails = tuple(draw.choice((0.0, 1.0, rate)) for rate in check.fails)
    return replace(check, fails=fails, leak=draw.choice((0.0, 1.0)))


def differing(page: Page, questions: list[tuple[Any, ...]]) -> list[int]:
    """The numbers of the questions to which the browser has another answer."""
    found = page.evaluate(ANSWER, [asked(*each) for each in questions])
    return [
        place
        for place, (question, told) in enumerate(zip(questions, found, strict=True))
        if not agrees(told, answer(*question), TOLERANCE)
    ]


def test_random_cases_are_answered_as_in_python(engine: Page) -> None:
    questions = drawn(RANDOM_CASES)
    assert max(len(case.causes) for case, *_ in questions) == 40
    assert max(len(case.checks) for case, *_ in questions) == 60
    answers = [answer(*each) for each in questions]
    assert {each["verdict"] for each in answers} == {"consistent", "doubtful", "contradiction"}
    steps = [each["step"] for each in answers if each["step"]]
    assert any(step["check"] for step in steps)
    assert any(step["confirm"] for step in steps)
    assert any(each["probabilities"] is None for each in answers)
    assert differing(engine, questions) == []


def test_a_difference_would_be_noticed(engine: Page) -> None:
    engine.evaluate("""() => {
      const D = window.halfsplitDiagnosis, plain = D.posterior;
      D.posterior = (...given) => {
        const found = plain(...given);
        const moved = found.probabilities?.map(each => each + 2e-9) ?? null;
        return { ...found, probabilities: moved };
      };
    }""")
    assert differing(engine, drawn(3)) == [0, 1, 2]


@pytest.mark.parametrize("kind", ["posterior", "nb_joint", "dag_posterior", "next_step"])
def test_worked_rows_of_results(engine: Page, kind: str) -> None:
    for row in (each for each in rows() if each.kind == kind):
        given = row.given if kind != "dag_posterior" else _in_flow(row.given, row.expected)
        case, results = case_of(given), results_of(given)
        (found,) = engine.evaluate(ANSWER, [asked(case, results)])
        named = found["probabilities"] and dict(zip(case.names, found["probabilities"], strict=True))
        if kind == "nb_joint":
            joint = {name: share * found["evidence"] for name, share in named.items() if name != LEAK}
            assert agrees(joint, row.expected, row.tolerance), row.id
            continue
        wanted = row.expected["posterior"]
        if wanted is None:
            assert named is None, row.id
            assert found["verdict"] == "contradiction", row.id
        else:
            assert agrees({name: named[name] for name in wanted}, wanted, row.tolerance), row.id
        if "evidence_prob" in row.expected:
            assert agrees(found["evidence"], row.expected["evidence_prob"], row.tolerance), row.id
        if kind == "next_step":
            step = found["step"]
            told = {
                "base_minutes": step["baseMinutes"], "saving_minutes": step["savesMinutes"],
                "with_check_first": {each["check"]: each["expectedMinutes"] for each in step["proposals"]},
                "next": ["ask", step["check"]] if step["check"] else ["confirm", step["confirm"]],
            }  # fmt: skip
            assert agrees(told, {key: row.expected[key] for key in told}, row.tolerance), row.id


def _in_flow(given: Any, expected: Any) -> dict[str, Any]:
    flow, prior = flow_of_row(given), numbers(given["prior"])
    cone = cones(flow)
    inside, outside = number(given["p_bad_in_cone"]), number(given["p_bad_outside_cone"])
    rates = {
        block: {name: inside if name in cone[block] else outside for name in prior}
        | {LEAK: number(given["p_bad_leak"])}
        for block in expected["cones_of_tested"]
    }
    return {"prior": prior, "p_fail": rates, "observations": given["observations"]}


def _confirming_case(given: Any, minutes: dict[str, float]) -> Case:
    p, doors = numbers(given["p"]), given.get("group", {})
    left = 1 - sum(p.values())
    return Case(
        tuple(Cause(name, share, minutes[name], doors.get(name, "")) for name, share in p.items()),
        (), left if left > 1e-12 else 0.0, number(given.get("fail_cost", 0)),
        numbers(given.get("open_cost", {})),
    )  # fmt: skip


def test_worked_rows_of_confirmations(engine: Page) -> None:
    seen = 0
    for row in rows():
        if row.kind not in ("ecr", "ecr_obs_repair", "ecr_cluster"):
            continue
        minutes = numbers(row.given["obs_cost" if row.kind == "ecr_obs_repair" else "cost"])
        (found,) = engine.evaluate(ANSWER, [asked(_confirming_case(row.given, minutes), ())])
        if row.kind == "ecr":
            wanted = row.expected["pc_order"], row.expected["opt_ecr"]
        elif row.kind == "ecr_cluster":
            wanted = row.expected["bundle_order"], row.expected["bundle_cost"]
        else:
            p, cure = numbers(row.given["p"]), numbers(row.given["repair_cost"])
            always = sum(p[name] * cure[name] for name in p)
            wanted = row.expected["optimal_orders"][0], row.expected["opt_cost"] - always
        assert agrees([found["order"], found["minutes"]], wanted, row.tolerance), row.id
        seen += 1
    assert seen == 6


def test_worked_rows_of_checks_that_split(engine: Page) -> None:
    (row,) = (each for each in rows() if each.kind == "mixed")
    p, minutes = numbers(row.given["p"]), numbers(row.given["confirm_cost"])
    costs = numbers(row.given["question_cost"])
    case = Case(
        tuple(Cause(name, p[name], minutes[name]) for name in p),
        tuple(Check(each, costs[each], tuple(float(name in fails) for name in p), 0.5)
              for each, fails in row.given["questions"].items()), 0.0, 0.0,
    )  # fmt: skip
    (found,) = engine.evaluate(ANSWER, [asked(case, ())])
    step = found["step"]
    told = [["ask", step["check"]], step["baseMinutes"] - step["savesMinutes"], step["baseMinutes"]]
    wanted = [row.expected[key] for key in ("lookahead_first", "lookahead_estimate", "pc_only_cost")]
    assert agrees(told, wanted, row.tolerance)
    (row,) = (each for each in rows() if each.kind == "ig")
    (found,) = engine.evaluate(ANSWER, [asked(case_of({**row.given, "check_cost": row.given["cost"]}), ())])
    failing = {each["check"]: each["fails"] for each in found["step"]["proposals"]}
    assert agrees(
        failing, {name: each["p_fail"] for name, each in row.expected["checks"].items()}, row.tolerance
    )


def test_worked_rows_of_shares_and_their_words(engine: Page) -> None:
    ask = "(rows) => rows.map(([held, cases]) => window.halfsplitDiagnosis.wilson(held, cases))"
    for row in (each for each in rows() if each.kind == "wilson"):
        assert agrees(engine.evaluate(ask, row.given["rows"]), row.expected, row.tolerance)
    every = [[held, cases] for cases in range(41) for held in range(cases + 1)]
    told = engine.evaluate("(rows) => rows.map(each => window.halfsplitDiagnosis.rateText(...each))", every)
    assert told == [rate_text(*each) for each in every]
    counted = [each for each in every if each[1]]
    assert agrees(engine.evaluate(ask, counted), [wilson(*each) for each in counted], TOLERANCE)


def test_a_complaint_shifts_the_priors_as_in_python(engine: Page) -> None:
    draw = random.Random(7)
    for _ in range(60):
        told = {
            f"c{cause:02}": [
                " ".join(draw.sample(WORDS, draw.randint(1, 5))) for _ in range(draw.randint(0, 4))
            ]
            for cause in range(draw.randint(1, 20))
        }
        complaint = [" ".join(draw.sample(WORDS, draw.randint(1, 4))) for _ in range(draw.randint(1, 3))]
        priors = {cause: draw.random() for cause in told}
        close = closeness(complaint, told, lambda text: frozenset(text.split()))
        found = engine.evaluate(
            CLOSE,
            [[_ids(text) for text in complaint], [[_ids(text) for text in texts] for texts in told.values()],
             list(priors.values())],
        )  # fmt: skip
        assert agrees(found, [list(close.values()), list(shifted(priors, close).values())], TOLERANCE)


WORDS = sorted(
    ["clock", "stops", "late", "warm", "trigger", "short", "lamp", "dark", "hum", "drift", "note", "silent"]
)


def _ids(text: str) -> list[int]:
    return sorted(WORDS.index(word) for word in text.split())


def test_the_leak_fails_as_the_others_do_on_average(engine: Page) -> None:
    draw = random.Random(3)
    rows_ = [[[draw.random() for _ in range(9)], [draw.random() for _ in range(9)]] for _ in range(40)] + [
        [[], []]
    ]
    found = engine.evaluate("(rows) => rows.map(each => window.halfsplitDiagnosis.leakRate(...each))", rows_)
    assert agrees(found, [leak_rate(*each) for each in rows_], TOLERANCE)


def test_the_signal_flow_leaves_the_same_blocks(engine: Page) -> None:
    facts = demo_shop().facts["sixteenfold"]
    flow = flow_of(facts, facts.revision_ids)
    cone = {block: sorted(each) for block, each in cones(flow).items()}
    draw = random.Random(11)
    for _ in range(100):
        good, bad = draw.sample(flow.blocks, draw.randint(0, 3)), draw.sample(flow.blocks, draw.randint(0, 3))
        found = engine.evaluate(
            "given => window.halfsplitDiagnosis.flowSuspects(...given)", [list(flow.blocks), cone, good, bad]
        )
        assert set(found) == suspects(flow, good, bad)

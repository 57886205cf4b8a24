"""Which suspect to confirm and which check to make first: the worked rows, against every order there is."""

from __future__ import annotations

from itertools import permutations

import pytest

from kb.diagnosis.case import Case, Cause, Check, Result
from kb.diagnosis.confirming import Action, Confirming
from kb.diagnosis.exact import Puzzle, best_plan
from kb.diagnosis.information import entropy, gain
from kb.diagnosis.looking_ahead import after, next_step
from kb.diagnosis.posterior import posterior
from kb.diagnosis.splitting import Split, bits_per_minute, half_split, minutes_by_rule
from tests.diagnosis.cases import case_of, results_of
from tests.diagnosis.rules import half_by_mass
from tests.reference.diagnosis import Row, agrees, number, numbers, of_kind


def confirming_of(p: dict[str, float], minutes: dict[str, float], **doors: dict[str, str]) -> Confirming:
    group = doors.get("group", {})
    actions = [Action(name, (place,), minutes[name], group.get(name, "")) for place, name in enumerate(p)]
    return Confirming(actions, numbers(doors.get("opening", {})))


@of_kind("ecr")
def test_the_order_of_confirmations(row: Row) -> None:
    p, minutes = numbers(row.given["p"]), numbers(row.given["cost"])
    work_up = number(row.given["fail_cost"])
    masses = [*p.values(), 1 - sum(p.values())]
    confirming = confirming_of(p, minutes)

    def taken(order: tuple[Action, ...]) -> float:
        return confirming.minutes_of(order, masses, work_up)

    every = [taken(order) for order in permutations(confirming.actions)]
    by_mass = sorted(confirming.actions, key=lambda each: (-p[each.id], each.minutes))
    by_time = sorted(confirming.actions, key=lambda each: each.minutes)
    found = {
        "ratio": {name: p[name] / minutes[name] for name in p},
        "pc_order": [each.id for each in confirming.order(masses)],
        "opt_ecr": confirming.minutes(masses, work_up),
        "worst_ecr": max(every),
        "n_optimal_orders": sum(1 for each in every if each - min(every) < 1e-9),
        "ecr_most_probable_first": taken(tuple(by_mass)),
        "ecr_cheapest_first": taken(tuple(by_time)),
    }
    assert agrees(found, row.expected, row.tolerance)
    assert min(every) == pytest.approx(found["opt_ecr"], abs=1e-9)


@of_kind("ecr_obs_repair")
def test_looking_is_ordered_by_the_time_to_look(row: Row) -> None:
    p = numbers(row.given["p"])
    look, cure = numbers(row.given["obs_cost"]), numbers(row.given["repair_cost"])
    always = sum(p[name] * cure[name] for name in p)
    masses = [*p.values(), 0.0]
    confirming = confirming_of(p, look)
    assert [[each.id for each in confirming.order(masses)]] == row.expected["optimal_orders"]
    assert agrees(confirming.minutes(masses, 0) + always, row.expected["opt_cost"], row.tolerance)
    together = confirming_of(p, {name: look[name] + cure[name] for name in p}).order(masses)
    by_id = {each.id: each for each in confirming.actions}
    wrong = confirming.minutes_of([by_id[each.id] for each in together], masses, 0) + always
    assert agrees(wrong, row.expected["cost_if_sorted_by_total_cost"], row.tolerance)


@of_kind("ecr_cluster")
def test_what_is_opened_once_competes_as_a_bundle(row: Row) -> None:
    p, minutes = numbers(row.given["p"]), numbers(row.given["cost"])
    masses = [*p.values(), 0.0]
    doors = confirming_of(p, minutes, group=row.given["group"], opening=row.given["open_cost"])
    order = doors.order(masses)
    assert [each.id for each in order] == row.expected["bundle_order"]
    assert agrees(doors.minutes(masses, 0), row.expected["bundle_cost"], row.tolerance)
    every = {each: doors.minutes_of(each, masses, 0) for each in permutations(doors.actions)}
    best = min(every.values())
    assert agrees(best, row.expected["opt_cost"], row.tolerance)
    optimal = [[each.id for each in one] for one, taken in every.items() if taken - best < 1e-9]
    assert sorted(optimal) == sorted(row.expected["optimal_orders"])
    by_id = {each.id: each for each in doors.actions}

    def behind_doors(plain: Confirming) -> float:
        return doors.minutes_of([by_id[each.id] for each in plain.order(masses)], masses, 0)

    surcharge = {
        name: minutes[name] + row.given["open_cost"].get(row.given["group"].get(name), 0) for name in p
    }
    assert agrees(behind_doors(confirming_of(p, minutes)), row.expected["pc_ignoring_access"], row.tolerance)
    assert agrees(
        behind_doors(confirming_of(p, surcharge)), row.expected["pc_access_added_to_each"], row.tolerance
    )
    puzzle = Puzzle(p, confirming=minutes, behind=row.given["group"], opening=row.given["open_cost"])
    assert agrees(best_plan(puzzle).minutes, row.expected["opt_cost"], row.tolerance)


@of_kind("ig")
def test_what_a_check_tells_in_bits(row: Row) -> None:
    case = case_of({**row.given, "check_cost": row.given["cost"]})
    masses = case.priors
    told = {
        check.id: {
            "p_fail": after(masses, check)[0].evidence,
            "ig_bits": gain(masses, check),
            "ig_per_min": gain(masses, check) / check.minutes,
        }
        for check in case.checks
    }
    found = {
        "entropy_bits": entropy(masses),
        "checks": told,
        "order_by_ig": sorted(told, key=lambda each: -told[each]["ig_bits"]),
        "order_by_ig_per_min": sorted(told, key=lambda each: -told[each]["ig_per_min"]),
    }
    assert agrees(found, row.expected, row.tolerance)


@of_kind("next_step")
def test_the_next_check_is_the_one_that_saves_minutes(row: Row) -> None:
    case, results = case_of(row.given), results_of(row.given)
    step = next_step(case, results)
    assert step is not None
    probabilities = posterior(case, results).probabilities
    assert probabilities is not None
    found = {
        "posterior": dict(zip(case.names, probabilities, strict=True)),
        "base_minutes": step.base_minutes,
        "with_check_first": {each.check: each.expected_minutes for each in step.proposals},
        "next": ["ask", step.check] if step.check else ["confirm", step.confirm],
        "saving_minutes": step.saves_minutes,
    }
    assert agrees(found, row.expected, row.tolerance)


def splits_of(tests: dict[str, list[str]], minutes: dict[str, float]) -> tuple[Split, ...]:
    return tuple(Split(name, minutes[name], frozenset(fails)) for name, fails in tests.items())


def looked_ahead(case: Case, results: tuple[Result, ...]) -> float:
    """The minutes if the proposals are followed to the end, every result being certain."""
    step = next_step(case, results)
    assert step is not None
    if step.check is None:
        return step.base_minutes
    masses = posterior(case, results).probabilities
    assert masses is not None
    check = case.by_check[step.check]
    total = check.minutes
    for outcome, branch in zip(("fail", "pass"), after(masses, check), strict=True):
        if branch.probabilities is not None:
            total += branch.evidence * looked_ahead(case, (*results, Result(check.id, outcome)))
    return total


@of_kind("mixed")
def test_a_splitting_check_comes_before_long_confirmations(row: Row) -> None:
    p, minutes = numbers(row.given["p"]), numbers(row.given["confirm_cost"])
    asked, costs = row.given["questions"], numbers(row.given["question_cost"])
    case = Case(
        tuple(Cause(name, p[name], minutes[name]) for name in p),
        tuple(
            Check(each, costs[each], tuple(float(name in asked[each]) for name in p), 0.5) for each in asked
        ),
        0.0,
        0.0,
    )
    step = next_step(case, ())
    assert step is not None
    plan = best_plan(Puzzle(p, splits_of(asked, costs), minutes))
    shortest = min(plan.first, key=lambda move: (costs[move.id], move.id))
    found = {
        "opt_cost": plan.minutes,
        "opt_first": [shortest.kind, shortest.id],
        "pc_only_cost": step.base_minutes,
        "lookahead_first": ["ask", step.check],
        "lookahead_estimate": step.base_minutes - step.saves_minutes,
        "lookahead_cost": looked_ahead(case, ()),
    }
    assert agrees(found, row.expected, row.tolerance)


@of_kind("escalate")
def test_a_full_work_up_may_come_before_the_last_trials(row: Row) -> None:
    p, minutes = numbers(row.given["p"]), numbers(row.given["cost"])
    work_up = number(row.given["escalate_cost"])
    left = 1 - sum(p.values())
    plan = best_plan(Puzzle(p, confirming=minutes, work_up_minutes=work_up, unlisted=left))
    order, rest, move = [], dict(p), plan.first[0]
    while move.kind == "confirm":
        order.append(move.id)
        del rest[move.id]
        left_over = Puzzle(rest, confirming=minutes, work_up_minutes=work_up, unlisted=left)
        move = best_plan(left_over).first[0]
    masses = [*p.values(), left]
    found = {
        "opt_cost": plan.minutes,
        "opt_order_before_escalation": order,
        "cost_trying_everything_first": confirming_of(p, minutes).minutes(masses, work_up),
        "cost_escalate_now": work_up,
    }
    assert agrees(found, row.expected, row.tolerance)


@of_kind("det_policy")
def test_the_best_plan_of_certain_checks(row: Row) -> None:
    p, costs = numbers(row.given["p"]), numbers(row.given["cost"])
    splits = splits_of(row.given["tests"], costs)
    plan = best_plan(Puzzle(p, splits))
    everyone = frozenset(p)

    found = {
        "opt_cost": plan.minutes,
        "optimal_first": [move.id for move in plan.first],
        "ig_per_min_cost": minutes_by_rule(p, splits, bits_per_minute),
        "ig_per_min_first": bits_per_minute(p, everyone, splits).id,
        "half_split_cost": minutes_by_rule(p, splits, half_by_mass),
        "half_split_first": half_by_mass(p, everyone, splits).id,
        "half_split_over_cost_cost": minutes_by_rule(p, splits, half_split),
    }
    assert agrees(found, row.expected, row.tolerance)


@of_kind("det_groups")
def test_the_search_stops_at_one_remedy(row: Row) -> None:
    p, splits = numbers(row.given["p"]), splits_of(row.given["tests"], numbers(row.given["cost"]))
    assert agrees(
        best_plan(Puzzle(p, splits, remedy=row.given["remedy"])).minutes,
        row.expected["opt_cost"],
        row.tolerance,
    )
    assert agrees(best_plan(Puzzle(p, splits)).minutes, row.expected["opt_cost_single_cause"], row.tolerance)

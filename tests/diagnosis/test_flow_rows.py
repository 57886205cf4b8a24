"""Half-splitting chains, forks, joins and loops: the worked rows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import pytest

from kb.diagnosis.case import LEAK
from kb.diagnosis.exact import Puzzle, best_plan
from kb.diagnosis.flow import Flow, cones, loops
from kb.diagnosis.information import entropy
from kb.diagnosis.posterior import posterior
from kb.diagnosis.splitting import Split, bits_per_minute, flow_splits, half_split, minutes_by_rule
from tests.diagnosis.cases import case_of, results_of
from tests.diagnosis.rules import front_to_back, half_by_count, half_by_mass
from tests.reference.diagnosis import Row, agrees, number, numbers, of_kind


def chain_of(p: list[float], minutes: list[float] | None) -> tuple[dict[str, float], tuple[Split, ...]]:
    """Stages in a row; the point after each one but the last can be checked."""
    names = [f"{number_:02}" for number_ in range(1, len(p) + 1)]
    flow = Flow(tuple(names), tuple(pairwise(names)))
    costs = dict(zip(names, minutes or [1.0] * (len(p) - 1), strict=False))
    return dict(zip(names, p, strict=True)), flow_splits(flow, costs)


@of_kind("chain")
def test_half_splitting_a_chain(row: Row) -> None:
    masses, splits = chain_of(row.given["p"], row.given["cost"])
    plan = best_plan(Puzzle(masses, splits))
    found = {
        "opt_cost": plan.minutes,
        "front_to_back_cost": minutes_by_rule(masses, splits, front_to_back),
        "half_by_count_cost": minutes_by_rule(masses, splits, half_by_count),
        "half_by_mass_cost": minutes_by_rule(masses, splits, half_by_mass),
        "half_mass_over_cost_cost": minutes_by_rule(masses, splits, half_split),
        "ig_per_min_cost": minutes_by_rule(masses, splits, bits_per_minute),
        "entropy_bits": entropy(tuple(masses.values())),
        "optimal_first_points": [int(move.id) for move in plan.first],
    }
    assert agrees(found, row.expected, row.tolerance)


@of_kind("chain_equal")
def test_equal_stages_take_the_logarithm(row: Row) -> None:
    found = []
    for stages in row.given["N"]:
        masses, splits = chain_of([1 / stages] * stages, None)
        found.append(minutes_by_rule(masses, splits, half_split))
        if stages <= 15:
            assert best_plan(Puzzle(masses, splits)).minutes == pytest.approx(found[-1], abs=1e-9)
    assert agrees(found, row.expected["expected"], row.tolerance)
    assert [math.ceil(math.log2(stages)) for stages in row.given["N"]] == row.expected["worst"]


def flow_of(given: Mapping[str, Any]) -> Flow:
    edges = tuple((source, target) for source, target in given["edges"])
    loads = {block: tuple(each) for block, each in given.get("loads", {}).items()}
    return Flow(tuple(given["nodes"]), edges, frozenset(given["or_nodes"]), loads)


@of_kind("dag_policy")
def test_half_splitting_forks_and_joins(row: Row) -> None:
    flow, p = flow_of(row.given), numbers(row.given["p"])
    cone = cones(flow)
    left = cone[row.given["bad_output"]]
    masses = {block: p[block] for block in flow.blocks if block in left}
    splits = flow_splits(flow, numbers(row.given["cost"]))
    plan = best_plan(Puzzle(masses, splits))
    found = {
        "suspects": sorted(left),
        "cones": {block: sorted(each) for block, each in cone.items()},
        "opt_cost": plan.minutes,
        "optimal_first": [move.id for move in plan.first],
        "ig_per_min_cost": minutes_by_rule(masses, splits, bits_per_minute),
        "half_split_cost": minutes_by_rule(masses, splits, half_split),
        "half_split_first": half_split(masses, left, splits).id,
        "entropy_bits": entropy(tuple(masses.values())),
    }
    assert agrees(found, row.expected, row.tolerance)


@of_kind("dag_posterior")
def test_readings_in_the_signal_flow(row: Row) -> None:
    flow, prior = flow_of(row.given), numbers(row.given["prior"])
    cone = cones(flow)
    inside, outside = number(row.given["p_bad_in_cone"]), number(row.given["p_bad_outside_cone"])
    rates = {
        block: {name: inside if name in cone[block] else outside for name in flow.blocks}
        | {LEAK: number(row.given["p_bad_leak"])}
        for block in row.expected["cones_of_tested"]
    }
    case, results = case_of({"prior": prior, "p_fail": rates}), results_of(row.given)
    after_all = posterior(case, results)
    found = {
        "posterior": None,
        "evidence_prob": after_all.evidence,
        "cones_of_tested": {block: sorted(cone[block]) for block in rates},
    }
    if after_all.probabilities is not None:
        named = dict(zip(case.names, after_all.probabilities, strict=True))
        found["posterior"] = {name: named[name] for name in prior}
    assert agrees(found, row.expected, row.tolerance)


@of_kind("loop")
def test_a_closed_loop_is_one_suspect_until_it_is_broken(row: Row) -> None:
    names = [str(number_) for number_ in range(1, len(row.given["p"]) + 1)]
    first, last = names[row.given["loop_first"] - 1], names[row.given["loop_last"] - 1]
    chain = Flow(tuple(names), tuple(pairwise(names)))
    closed = Flow(chain.blocks, (*chain.feeds, (last, first)))
    masses = dict(zip(names, row.given["p"], strict=True))
    minutes = dict(zip(names, row.given["test_cost"], strict=False))
    inside = next(group for group in loops(closed) if len(group) > 1)
    whole = flow_splits(closed, minutes)
    opened = tuple(
        Split(each.id, each.minutes, each.fails, "loop") if each.id in inside and each.id != last else each
        for each in flow_splits(chain, minutes)
    )
    cost = float(row.given["break_cost"])
    plan = best_plan(Puzzle(masses, opened, opening={"loop": cost}))
    as_one = best_plan(Puzzle(masses, whole))
    found = {
        "opt_cost": plan.minutes,
        "opt_first": ["test", int(plan.first[0].id)],
        "cost_if_loop_broken_first": cost + best_plan(Puzzle(masses, flow_splits(chain, minutes))).minutes,
        "cost_to_reach_loop_as_one_block": as_one.minutes,
        "opt_first_group": ["test", int(as_one.first[0].id)],
    }
    assert agrees(found, row.expected, row.tolerance)

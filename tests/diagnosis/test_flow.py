"""The cones of random graphs, with forks, joins and loops."""

from __future__ import annotations

import random
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from kb.diagnosis.flow import Flow, cones, loops, suspects
from kb.diagnosis.splitting import Split, flow_splits

SEEDS = st.integers(0, 10**6)
GRAPHS = st.integers(1, 14).flatmap(
    lambda size: st.tuples(
        st.just(size),
        st.lists(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=40),
        st.sets(st.integers(0, size - 1)),
    )
)


def flow_of(graph: tuple[int, list[tuple[int, int]], set[int]], any_of: bool = False) -> Flow:
    size, edges, joins = graph
    return Flow(
        tuple(f"b{number:02}" for number in range(size)),
        tuple((f"b{source:02}", f"b{target:02}") for source, target in edges),
        frozenset(f"b{join:02}" for join in joins) if any_of else frozenset(),
    )


@given(GRAPHS)
def test_the_cone_of_a_block_is_all_that_reaches_it_whatever_loops_there_are(
    graph: tuple[int, list[tuple[int, int]], set[int]],
) -> None:
    flow = flow_of(graph)
    reached = {block: {block} for block in flow.blocks}
    for _ in flow.blocks:
        for source, target in flow.feeds:
            reached[target] |= reached[source]
    assert cones(flow) == {block: frozenset(each) for block, each in reached.items()}
    assert sorted(block for group in loops(flow) for block in group) == sorted(flow.blocks)


@given(GRAPHS)
def test_a_join_that_needs_one_input_only_clears_blocks(
    graph: tuple[int, list[tuple[int, int]], set[int]],
) -> None:
    every, some = cones(flow_of(graph)), cones(flow_of(graph, any_of=True))
    assert all(block in some[block] and some[block] <= every[block] for block in every)


@given(GRAPHS)
def test_the_blocks_of_a_loop_share_their_cone(graph: tuple[int, list[tuple[int, int]], set[int]]) -> None:
    flow = flow_of(graph, any_of=True)
    cone = cones(flow)
    for group in loops(flow):
        assert len({cone[block] for block in group}) == 1


@given(GRAPHS, SEEDS)
def test_readings_that_one_fault_explains_leave_it_under_suspicion(
    graph: tuple[int, list[tuple[int, int]], set[int]], seed: int
) -> None:
    flow, draw = flow_of(graph), random.Random(seed)
    cone, broken = cones(flow), draw.choice(flow.blocks)
    tested = draw.sample(flow.blocks, draw.randint(0, len(flow.blocks)))
    bad = [block for block in tested if broken in cone[block]]
    left = suspects(flow, (block for block in tested if broken not in cone[block]), bad)
    assert broken in left
    assert all((broken in cone[block]) == (block in bad) for block in tested)


def test_long_chains_and_large_loops_need_no_recursion() -> None:
    names = tuple(f"b{number:05}" for number in range(3000))
    ring = Flow(names, (*pairwise(names), (names[-1], names[0])))
    assert len(loops(ring)) == 1
    chain = Flow(names, tuple(pairwise(names)))
    assert cones(chain)[names[-1]] == frozenset(names)


def test_splits_of_a_flow_are_the_cones_that_can_be_checked() -> None:
    flow = Flow(("a", "b"), (("a", "b"),))
    assert flow_splits(flow, {"b": 2.0}) == (Split("b", 2.0, frozenset("ab")),)

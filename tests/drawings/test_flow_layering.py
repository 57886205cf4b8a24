"""Layers against expectations worked out by trying everything."""

from __future__ import annotations

from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.drawings.layering import Cell, cells_across, cells_down, layers_of, parts_of, returning_links
from kb.drawings.nets import Band, Spot
from kb.drawings.ordering import crossings, neighbours, ordered
from kb.drawings.placing import fit

PAIRS = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=12)


@pytest.mark.parametrize(
    ("links", "back"),
    [
        ([(0, 1), (1, 2)], set()),
        ([(0, 1), (1, 2), (2, 0)], {(2, 0)}),
        ([(0, 0)], {(0, 0)}),
        ([(0, 1), (1, 0)], {(1, 0)}),
        ([(0, 1), (0, 2), (1, 3), (2, 3)], set()),
        ([(1, 0), (0, 1)], {(1, 0)}),
        ([(0, 1), (1, 2), (2, 1), (2, 3), (3, 0)], {(2, 1), (3, 0)}),
    ],
)
def test_the_link_that_closes_a_loop_is_found(
    links: list[tuple[int, int]], back: set[tuple[int, int]]
) -> None:
    assert returning_links(4, links) == back


@given(links=PAIRS)
def test_without_its_returns_no_flow_goes_in_a_circle(links: list[tuple[int, int]]) -> None:
    back = returning_links(7, links)
    assert not has_cycle(7, [link for link in links if link not in back])


@given(links=PAIRS)
def test_every_return_is_needed_for_a_circle(links: list[tuple[int, int]]) -> None:
    back = returning_links(7, links)
    onward = [link for link in links if link not in back]
    assert all(has_cycle(7, [*onward, link]) for link in back)


def has_cycle(count: int, links: list[tuple[int, int]]) -> bool:
    left = set(range(count))
    while True:
        loose = {
            block for block in left if not any(target == block and source in left for source, target in links)
        }
        if not loose:
            return bool(left)
        left -= loose


@given(links=PAIRS)
def test_layers_are_the_longest_way_from_a_start(links: list[tuple[int, int]]) -> None:
    onward = [link for link in links if link not in returning_links(7, links)]
    for part in parts_of(7, onward):
        layer = layers_of(part, onward, 99)
        for block in part:
            fed_by = [source for source, target in onward if target == block]
            feeds = [target for source, target in onward if source == block]
            if fed_by:
                assert layer[block] == longest_way(block, onward)
            elif feeds:
                assert layer[block] == min(layer[target] for target in feeds) - 1
        assert min(layer.values()) == 0


def longest_way(block: int, links: list[tuple[int, int]]) -> int:
    return max((1 + longest_way(source, links) for source, target in links if target == block), default=0)


@given(links=PAIRS, most=st.integers(1, 3))
def test_no_layer_holds_more_than_fits_and_links_go_onward(links: list[tuple[int, int]], most: int) -> None:
    onward = [link for link in links if link not in returning_links(7, links)]
    for part in parts_of(7, onward):
        layer = layers_of(part, onward, most)
        assert all(list(layer.values()).count(place) <= most for place in layer.values())
        assert all(layer[source] < layer[target] for source, target in onward if source in layer)


def test_one_abreast_follows_a_branch_to_its_end() -> None:
    layer = layers_of(range(5), [(0, 1), (0, 3), (1, 2), (3, 4)], 1)
    assert sorted(layer, key=lambda block: layer[block]) == [0, 1, 2, 3, 4]


def test_parts_keep_the_written_order() -> None:
    assert parts_of(6, [(4, 1), (2, 0), (5, 5)]) == [[0, 2], [1, 4], [3], [5]]


def test_a_long_part_folds_evenly_and_a_short_one_uses_the_rest_of_the_row() -> None:
    cells = cells_across([{number: number for number in range(7)}, {7: 0}, {8: 0, 9: 1, 10: 2}], 6)
    assert [cells[number] for number in (0, 3, 4, 6)] == [Cell(0, 0), Cell(0, 3), Cell(1, 0), Cell(1, 2)]
    assert cells[7] == Cell(1, 3)
    assert cells[8] == Cell(2, 0)


def test_down_the_page_loose_blocks_stand_in_pairs() -> None:
    cells = cells_down([{0: 0}, {1: 0}, {2: 0}, {3: 0, 4: 1}], 2)
    assert [cells[number].column for number in range(5)] == [0, 0, 1, 2, 3]


@given(joins=st.sets(st.tuples(st.integers(0, 3), st.integers(4, 7)), max_size=9))
def test_crossings_are_counted_right_and_never_made_more(joins: set[tuple[int, int]]) -> None:
    columns = (tuple(Spot(box, -1, 0) for box in range(4)), tuple(Spot(box, -1, 1) for box in range(4, 8)))
    band = Band(columns, tuple((Spot(one, -1, 0), Spot(other, -1, 1)) for one, other in sorted(joins)))
    _, after = neighbours(band)
    by_pairs = sum(one[0] < other[0] and one[1] > other[1] for one, other in permutations(sorted(joins), 2))
    assert crossings(band.columns, after) == by_pairs
    assert crossings(ordered(band).columns, after) <= by_pairs


@given(
    wanted=st.lists(st.integers(-50, 50), min_size=1, max_size=8),
    distance=st.integers(0, 20),
)
def test_the_fit_keeps_distances_and_moves_nothing_that_has_room(wanted: list[int], distance: int) -> None:
    found = fit(wanted, [1.0] * len(wanted), [distance] * (len(wanted) - 1))
    assert all(after - before >= distance - 1e-9 for before, after in pairwise(found))
    roomy = fit(sorted(wanted), [1.0] * len(wanted), [0.0] * (len(wanted) - 1))
    assert roomy == pytest.approx(sorted(wanted))

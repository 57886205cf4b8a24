"""Which faults answer a symptom, in what order, and what is left of them on one unit."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from kb.search import Narrowing, SymptomIndex, files_of
from kb.search.faults import Instrument
from kb.search.postings import decode_numbers, encode_numbers
from kb.search.symptoms import MOST_STEPS, UNSEEN, boost, nearest_symptom
from kb.search.words import query_words
from kb.wording.phrases import NO_PHRASES
from tests.search.bench_faults import (
    FAULTS,
    NARROWINGS,
    QUERIES,
    fault,
    ids,
    made_up_faults,
    symptom_assets,
    symptom_index,
)

TRIGGERS = {"r14-too-small", "ic9-exchanged", "weak-driver"}


@pytest.fixture(scope="module")
def bench() -> SymptomIndex:
    return symptom_index()


@pytest.fixture(scope="module")
def many() -> SymptomIndex:
    return symptom_index((*FAULTS, *made_up_faults(300)))


@pytest.fixture(scope="module")
def five_thousand() -> dict[str, str]:
    return files_of(symptom_assets((*FAULTS, *made_up_faults(5000 - len(FAULTS)))))


@pytest.mark.parametrize("words", ["no gate out", "envelope doesn't start", "misses notes", "won't trigger"])
def test_every_wording_reaches_the_same_faults(bench: SymptomIndex, words: str) -> None:
    assert set(ids(bench, words)[:3]) == TRIGGERS
    assert ids(bench, words)[:3] == ids(bench, "no gate out")[:3]


def test_words_far_apart_answer_after_the_phrase(bench: SymptomIndex) -> None:
    assert ids(bench, "no gate out")[3:] == ["gate-far-apart"]


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("clock stops", "crystal-cracked"),
        ("clock freezes", "crystal-cracked"),
        ("clok stalls", "crystal-cracked"),
        ("loses its memory", "pack-leaked"),
        ("forgets everything", "pack-leaked"),
        ("warbling", "belt-old"),
    ],
)
def test_what_is_asked_for_comes_first(bench: SymptomIndex, words: str, first: str) -> None:
    assert ids(bench, words)[0] == first


def test_a_fault_that_denies_the_symptom_is_not_told_by_it(bench: SymptomIndex) -> None:
    assert set(ids(bench, "buzzing")[:2]) == {"reservoir-dry", "ground-loop"}
    assert "belt-old" not in ids(bench, "buzzing")[:2]


def test_what_was_seen_more_often_comes_first_but_not_before_what_fits_better() -> None:
    same = [fault(f"f{number}", "pacer", "clock", "steps run twice", seen=number) for number in (0, 1, 2, 9)]
    better = fault("better", "pacer", "clock", "steps run twice twice", "twice", title="Steps run twice")
    index = symptom_index((*same, better))
    assert ids(index, "steps run twice") == ["better", "f9", "f2", "f1", "f0"]


@pytest.mark.parametrize("seen", [0, 1, 2, 3, 4, 7, 8, 100, 10_000_000])
def test_having_been_seen_counts_for_a_quarter_at_most(seen: int) -> None:
    assert boost(seen) <= MOST_STEPS == UNSEEN // 4
    assert boost(seen) <= boost(seen + 1)


@pytest.mark.parametrize(
    ("narrowing", "found"),
    [
        (Narrowing(model="pacer"), ["r14-too-small", "ic9-exchanged", "weak-driver"]),
        (Narrowing(model="tally"), ["weak-driver", "r14-too-small", "ic9-exchanged"]),
        (Narrowing(model="lull"), ["gate-far-apart"]),
        (Narrowing(serial="PA-0100"), ["r14-too-small", "weak-driver"]),
        (Narrowing(serial="PA-0300"), ["ic9-exchanged", "weak-driver"]),
        (Narrowing(model="pacer", serial="0300"), ["ic9-exchanged", "weak-driver"]),
        (Narrowing(block="one-shot"), ["weak-driver", "r14-too-small", "ic9-exchanged"]),
        (Narrowing(block="shaper"), ["r14-too-small", "ic9-exchanged"]),
        (Narrowing(model="pacer", block="shaper"), ["r14-too-small", "ic9-exchanged", "weak-driver"]),
        (Narrowing(model="pacer", block="clock"), []),
        (Narrowing(hazard="mains"), []),
        (Narrowing(model="nobody"), []),
        (Narrowing(serial="PB-1"), []),
    ],
)
def test_a_unit_leaves_its_own_faults_and_behind_them_those_of_the_same_kind_of_block(
    bench: SymptomIndex, narrowing: Narrowing, found: list[str]
) -> None:
    assert ids(bench, "no gate out", narrowing) == found


def test_without_words_all_that_is_left_comes_the_most_seen_first(bench: SymptomIndex) -> None:
    assert ids(bench, "", Narrowing(hazard="mains")) == ["ground-loop", "reservoir-dry"]
    assert ids(bench, "", Narrowing(serial="PA-100"))[:2] == ["crystal-cracked", "r14-too-small"]


def test_scores_fall_from_the_first_to_the_last(many: SymptomIndex) -> None:
    for words in QUERIES:
        for narrowing in NARROWINGS:
            hits = many.find(words, narrowing)
            assert [hit.score for hit in hits] == sorted((hit.score for hit in hits), reverse=True)
            assert [hit.here for hit in hits] == sorted((hit.here for hit in hits), reverse=True)


@pytest.mark.parametrize(
    ("asked", "nearest"),
    [
        ("envelope", "envelope does not start"),
        ("misses notes", "envelope does not start"),
        ("thin", "sounds thin"),
        ("thinn", "sounds thin"),
        ("elsewhere", "envelope does not start"),
    ],
)
def test_the_symptom_that_is_shown_is_the_one_that_answers(
    bench: SymptomIndex, asked: str, nearest: str
) -> None:
    hit = next(hit for hit in bench.find("envelope thin") if "r14" in bench.index.row(hit.number)[0])
    shown = bench.show(hit, bench.asked(asked))
    assert shown.symptom == nearest
    assert (shown.models, shown.revisions, shown.on) == (("pacer",), ("pacer/a",), ("Pacer, revision A",))
    assert (shown.block, shown.block_name, shown.seen) == ("shaper", "Trigger shaper", 1)


def test_a_fault_without_symptoms_shows_none() -> None:
    assert nearest_symptom((), query_words("hum"), NO_PHRASES) == ""


def test_the_same_faults_give_the_same_bytes_in_any_order() -> None:
    faults = [*FAULTS, *made_up_faults(80)]
    shuffled = random.Random(4).sample(faults, len(faults))
    assert symptom_assets(tuple(faults)) == symptom_assets(tuple(shuffled))


def test_a_model_that_cannot_be_read_does_not_hide_its_faults() -> None:
    lost = replace(FAULTS[0], id="lost", on=(("vanished", ()),), path="faults/lost.html")
    index = symptom_index((*FAULTS, lost))
    assert "lost" in ids(index, "no gate out")
    assert ids(index, "no gate out", Narrowing(model="vanished"))[0] == "lost"


def test_a_model_without_faults_is_there_to_be_narrowed_to(bench: SymptomIndex) -> None:
    index = symptom_index(FAULTS[:2])
    assert [model[0] for model in index.table.models] == ["lull", "pacer", "tally"]
    assert ids(index, "no gate out", Narrowing(model="tally")) == ["r14-too-small", "ic9-exchanged"]
    assert isinstance(bench.table.models[0], list)
    assert Instrument("x", "x").blocks == ()


@pytest.mark.parametrize("words", [*QUERIES, "st", "clock tape note stop hum half switch key"])
def test_a_query_over_five_thousand_faults_loads_little(five_thousand: dict[str, str], words: str) -> None:
    index = SymptomIndex(five_thousand)
    hits = index.find(words, Narrowing(model="pacer"))
    for hit in hits[:10]:
        index.show(hit, index.asked(words))
    # The edition of the whole search is read from the index of all pages.
    loaded = ["search/index.js", *index.index.loaded]
    assert sum(len(five_thousand[path]) for path in loaded) < 250_000


@pytest.mark.parametrize("numbers", [[], [0], [31, 32, 33], [0, 0, 0], [1 << 40, 5]])
def test_numbers_come_back_as_they_were(numbers: list[int]) -> None:
    assert list(decode_numbers(encode_numbers(numbers))) == numbers

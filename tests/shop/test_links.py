"""Links between records: what is said on one side is found from the other."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from kb.shop import Links, Shop, load_shop
from kb.shop.symptoms import alike, words_of
from tests.golden.cases import BENCH

Write = Callable[..., Links]
FAULT = "title: {id}\nmodels: [{models}]\nrevisions: [{revisions}]\nblock: clock\nsymptoms:\n"


@pytest.fixture(scope="module")
def demo(demo_content: Path) -> Shop:
    shop, problems = load_shop(demo_content)
    assert shop is not None, "\n".join(map(str, problems))
    return shop


@pytest.fixture
def faults(tmp_path: Path) -> Write:
    """Writes faults beside the sound shop's own, as (id, revisions, symptoms…), and gives the links."""

    def write(*written: tuple[str, ...], models: str = "sixteen") -> Links:
        folder = Path(shutil.copytree(BENCH, tmp_path / "shop"))
        for identifier, revisions, *symptoms in written:
            text = FAULT.format(id=identifier, models=models, revisions=revisions)
            text += "".join(f"  - {symptom}\n" for symptom in symptoms) + "cause: c\nfix: f\n"
            (folder / "faults" / f"{identifier}.yml").write_text(text, encoding="utf-8")
        shop, problems = load_shop(folder)
        assert shop is not None, "\n".join(map(str, problems))
        return Links(shop)

    return write


def elsewhere(links: Links, fault: str) -> list[str]:
    return [match.fault for match in links.same_symptom_elsewhere(fault)]


def test_one_symptom_on_sibling_revisions_is_told_on_both(faults: Write) -> None:
    links = faults(("early", "a", "Steps are skipped"), ("late", "b", "It skips steps", "Hums"))
    (match,) = links.same_symptom_elsewhere("early")
    assert (match.fault, match.symptom, match.other_symptom) == (
        "late",
        "Steps are skipped",
        "It skips steps",
    )
    assert elsewhere(links, "late") == ["early"]


def test_one_symptom_on_the_same_revision_is_no_trap(faults: Write) -> None:
    links = faults(("one", "a", "Steps are skipped"), ("other", "'a', b", "Steps are skipped"))
    assert elsewhere(links, "one") == elsewhere(links, "other") == []


def test_a_fault_of_all_revisions_has_no_sibling(faults: Write) -> None:
    links = faults(("everywhere", "all", "Steps are skipped"), ("late", "b", "Steps are skipped"))
    assert elsewhere(links, "late") == []


def test_other_symptoms_are_not_told(faults: Write) -> None:
    links = faults(("early", "a", "Steps are skipped"), ("late", "b", "The fuse blows"))
    assert elsewhere(links, "early") == []


def test_a_fault_of_two_models_shares_a_unit_where_either_has_both(faults: Write) -> None:
    links = faults(
        ("early", "sixteen/a", "Steps are skipped"),
        ("late", "sixteen/b", "Steps are skipped"),
        models="sixteen, eight",
    )
    # On the other model both are on every revision.
    assert elsewhere(links, "early") == []


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("The clock stops", "clock stopped", True),
        ("It doesn't start", "does not start", True),
        ("No sound", "no sound from the output", True),
        ("no pitch above the third octave", "no hum", False),
        ("Steps are skipped", "skips a step", True),
        ("", "the", False),
    ],
)
def test_symptoms_are_alike_when_half_of_their_words_are(one: str, other: str, same: bool) -> None:
    assert alike(words_of(one), words_of(other)) == alike(words_of(other), words_of(one)) == same


def test_related_faults_are_found_from_both_sides(demo: Shop) -> None:
    links = Links(demo)
    named = [(fault, other) for fault, each in demo.faults.items() for other in each.record.related]
    assert named
    for fault, other in named:
        assert other in links.related(fault)
        assert fault in links.related(other)
    assert all(fault in links.related(other) for fault in demo.faults for other in links.related(fault))


def test_parts_are_found_from_the_faults_and_blocks_that_name_them(demo: Shop) -> None:
    links = Links(demo)
    uses = {(part, use.model, use.block, use.fault) for part in demo.parts for use in links.part_uses(part)}
    expected = {
        (needed.part, model, each.record.block, fault)
        for fault, each in demo.faults.items()
        for needed in each.record.parts
        for model in each.record.models
    }
    expected |= {
        (part, model, block.id, None)
        for model, located in demo.models.items()
        for block in located.record.blocks
        for part in block.parts
    }
    assert uses == expected
    assert expected


def test_substitutes_are_found_from_what_they_stand_in_for(demo: Shop) -> None:
    links = Links(demo)
    named = {(part, each.part) for part in demo.parts for each in demo.parts[part].record.substitutes}
    found = {(other, part) for part in demo.parts for other in links.stands_in_for(part)}
    assert found == {(part, other) for part, other in named if other}


def test_guides_are_found_from_what_they_are_about(demo: Shop) -> None:
    links = Links(demo)
    for kind, records in (("models", demo.models), ("faults", demo.faults), ("parts", demo.parts)):
        for identifier in records:
            assert set(links.guides_about(kind, identifier)) == {
                guide for guide, each in demo.guides.items() if identifier in getattr(each.record.head, kind)
            }


def test_jobs_are_found_from_the_faults_they_met_newest_first(demo: Shop) -> None:
    links = Links(demo)
    met = {(each.fault, job) for job, located in demo.jobs.items() for each in located.record.findings}
    assert met == {(fault, seen.job) for fault in demo.faults for seen in links.sightings(fault)}
    for fault in demo.faults:
        days = [seen.received for seen in links.sightings(fault)]
        assert days == sorted(days, reverse=True)


def test_every_sighting_has_the_revision_that_its_serial_its_marks_or_its_record_say(demo: Shop) -> None:
    links = Links(demo)
    for fault in demo.faults:
        for seen in links.sightings(fault):
            job = demo.jobs[seen.job].record
            by_serial = demo.facts[job.model].revisions_for_serial(job.serial)
            if job.seen:
                assert len(seen.revisions) == 1
                assert set(seen.revisions) <= set(by_serial)
            else:
                assert seen.revisions == ((job.revision,) if job.revision else by_serial)


def test_faults_of_a_model_are_those_that_name_it_and_narrow_to_block_and_revision(demo: Shop) -> None:
    links = Links(demo)
    for model, facts in demo.facts.items():
        all_of_it = links.faults_of(model)
        assert set(all_of_it) == {fault for fault, each in demo.faults.items() if model in each.record.models}
        by_block = [fault for block in facts.model.blocks for fault in links.faults_of(model, block=block.id)]
        assert sorted(by_block) == sorted(all_of_it)
        for revision in facts.revision_ids:
            on_it = links.faults_of(model, revision=revision)
            assert set(on_it) == {fault for fault in all_of_it if revision in links.revisions(fault, model)}


def test_blocks_of_one_role_find_each_other(demo: Shop) -> None:
    links = Links(demo)
    for model, facts in demo.facts.items():
        for block in facts.model.blocks:
            for other_model, other_block in links.same_role(model, block.id):
                assert other_model != model
                assert (model, block.id) in links.same_role(other_model, other_block)

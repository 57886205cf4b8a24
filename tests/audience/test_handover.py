"""The report of a unit holds what its table lists, and nothing else of the shop decides a byte of it."""

from __future__ import annotations

import os
import random
from dataclasses import fields, replace
from typing import Any

import pytest

from kb.audience import FIELDS
from kb.audience.handing_over import hand_over
from kb.audience.handover import Adjustment, ChangedPart, Handover, Measured
from kb.audience.handover_fields import HANDOVER_FIELDS, goes_home, handover_values
from kb.records import ChangedValue, Fault, Finding, Job, Model, Part, Reading, Written
from kb.records.job import CheckOutcome, FinalTest, UsedPart
from kb.records.trim import Trim, TrimResult
from kb.shop import Shop
from tests.audience.handing import (
    JOB,
    NAMED,
    complaints,
    elsewhere_changed,
    report,
    with_job,
    with_record,
)

CHANGES = 300
SEED = os.environ.get("HALFSPLIT_SEED", "handover")


def test_nothing_else_in_the_shop_reaches_a_report(bench: Shop) -> None:
    before, changed = report(bench), 0
    for number in range(CHANGES):
        other = elsewhere_changed(bench, random.Random(f"{SEED}-{number}"))
        changed += other != bench
        assert report(other) == before, f"HALFSPLIT_SEED={SEED}: {number}"
    assert changed > CHANGES * 0.8, "the shops were not even different"


def test_a_report_needs_none_of_the_records_that_its_job_does_not_name(bench: Shop) -> None:
    only = {kind: {each: getattr(bench, kind)[each] for each in named} for kind, named in NAMED.items()}
    bare = replace(bench, **only, guides={}, calculators={}, handbook={}, synonyms=())
    assert report(bare) == report(bench)


@pytest.mark.parametrize("kind", HANDOVER_FIELDS, ids=lambda kind: kind.__name__)
def test_the_table_lists_no_field_that_is_gone(kind: type[Written]) -> None:
    assert set(FIELDS[kind]) >= HANDOVER_FIELDS[kind]


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        (Job, "note"), (Job, "outside_because"), (Finding, "note"), (Finding, "minutes"), (Finding, "held"),
        (Part, "price"), (Part, "kept_in"), (Part, "private_note"), (Fault, "private_note"), (Fault, "cause"),
        (Fault, "fix"), (Fault, "symptoms"), (ChangedValue, "calculation"),
        (ChangedValue, "accepted_because"), (TrimResult, "note"), (Trim, "do"), (Trim, "set_up"),
        (Model, "private_note"), (Model, "revisions"),
    ],
)  # fmt: skip
def test_what_never_goes_home(kind: type[Written], name: str) -> None:
    assert name in kind.model_fields
    assert not goes_home(kind, name)


def test_a_field_that_nobody_listed_stays_in_the_shop() -> None:
    class Later(Written):
        added: str = "x"

    assert handover_values(Later()) == {}
    assert not goes_home(Job, "added_tomorrow")


def test_the_report_has_no_room_for_anything_else() -> None:
    assert {each.name for each in fields(Handover)} == {
        "job", "shop", "instrument", "reference", "received", "returned", "complaint", "arrival", "earlier",
        "repairs", "readings", "changed", "adjustments", "parts", "final_checks",
        "photographs", "hazards", "cautions", "advice",
    }  # fmt: skip


def _finding(bench: Shop, **update: Any) -> dict[str, Any]:
    return {"findings": (bench.jobs[JOB].record.findings[0].model_copy(update=update),)}


JOB_CHANGES: dict[str, Any] = {
    "serial": "PA-0008", "received": "returned", "returned": None, "customer": None, "complaint": ("hums",),
    "arrival": None, "earlier_work": (), "findings": (), "parts": (), "final_tests": (), "photos": (),
    "cautions": (), "advice": None, "trims": (),
}  # fmt: skip


@pytest.mark.parametrize("name", JOB_CHANGES)
def test_each_listed_field_of_the_job_does_go_home(bench: Shop, name: str) -> None:
    value = JOB_CHANGES[name]
    if value == "returned":
        value = bench.jobs[JOB].record.returned
    assert report(with_job(bench, **{name: value})) != report(bench)


def test_no_listed_field_of_the_job_is_left_untried() -> None:
    assert {*JOB_CHANGES, "model"} == HANDOVER_FIELDS[Job]


@pytest.mark.parametrize(
    "update",
    [
        {"told": "another word"}, {"done": None}, {"before": None}, {"after": "16 ms"}, {"checks": ()},
        {"checks": (CheckOutcome(check="pulse", reading="4.6 ms"),)},
        {"checks": (CheckOutcome(check="rail", outcome="good"),)},
        {"values": (ChangedValue(what="R9", now="4k7"),)}, {"values_of_fault": True},
    ],
)  # fmt: skip
def test_each_listed_field_of_a_finding_does_go_home(bench: Shop, update: dict[str, Any]) -> None:
    assert report(with_job(bench, **_finding(bench, **update))) != report(bench)


@pytest.mark.parametrize(
    ("kind", "update"),
    [
        ("models", {"name": "Pacer Two"}), ("models", {"maker": "Marlpit"}), ("models", {"kind": "clock"}),
        ("models", {"hazards": ("batteries",)}), ("faults", {"hazards": ("hot-parts",)}),
        ("parts", {"name": "74LS123N"}), ("parts", {"hazards": ("chemicals",)}),
    ],
)  # fmt: skip
def test_what_the_named_records_are_called_and_their_hazards_go_home(
    bench: Shop, kind: str, update: dict[str, Any]
) -> None:
    (identifier,) = NAMED[kind]
    record = getattr(bench, kind)[identifier].record.model_copy(update=update)
    assert report(with_record(bench, kind, identifier, record)) != report(bench)


def test_the_title_of_the_fault_stands_where_nobody_said_it_for_the_owner(bench: Shop) -> None:
    title = bench.faults["pacer-short-pulse"].record.title
    assert title not in report(bench)
    assert title in report(with_job(bench, **_finding(bench, told=None)))


# What is measured is never said to be better than it is.


@pytest.mark.parametrize(
    ("reading", "outcome", "verdict"),
    [
        ("15 ms", "good", "holds"), ("21 ms", "bad", "fails"), ("15 ms", "bad", "fails"),
        ("9 ms to 11 ms", "bad", "fails"), (None, "good", "holds"), (None, "bad", "fails"),
        (None, "not_done", "not_done"), ("steady", "good", "holds"), ("10 ms to 20 ms", "good", "holds"),
    ],
)  # fmt: skip
def test_a_final_test_gets_the_verdict_its_reading_bears(
    bench: Shop, reading: str | None, outcome: str, verdict: str
) -> None:
    read = Reading.read(reading) if reading else None
    test = FinalTest.model_construct(check="pulse", reading=read, outcome=outcome)
    found, _ = hand_over(with_job(bench, final_tests=(test,)), JOB)
    assert found is not None
    assert found.final_checks[0].result.verdict == verdict
    assert found.readings[0].after == found.final_checks[0].result


@pytest.mark.parametrize("reading", ["21 ms", "9.9 ms", "15 ms to 25 ms", ">= 12 ms"])
def test_good_said_of_a_reading_outside_its_limits_stops_the_report(bench: Shop, reading: str) -> None:
    test = FinalTest(check="pulse", reading=reading, outcome="good")
    (found,) = complaints(with_job(bench, final_tests=(test,)))
    assert found.startswith("jobs/2026-pacer-0007.yml:34:14: ")
    assert f'"good" is said of {reading}, which lies outside 10 ms to 20 ms; correct one of them' in found


def test_a_reading_on_the_way_is_judged_by_itself(bench: Shop) -> None:
    found, _ = hand_over(bench, JOB)
    assert found is not None
    assert [(each.what, each.before.verdict) for each in found.readings] == [("length of the beat", "fails")]
    words = _finding(bench, checks=(CheckOutcome(check="pulse", reading="jumps about"),))
    found, _ = hand_over(with_job(bench, **words), JOB)
    assert found is not None
    assert found.readings[0].before.verdict == "not_judged"


# What was set and changed, for whoever repairs it next.


def _handed_over(shop: Shop) -> Handover:
    found, problems = hand_over(shop, JOB)
    assert found is not None, problems
    return found


RATE, SPAN = ("RATE", "RV1 beside the lamp", "1.98 Hz to 2.02 Hz"), (
    "SPAN", "RV2 under the lid", "15.8 Hz to 16.2 Hz",
)  # fmt: skip


def test_trims_are_told_in_the_order_of_the_model_and_judged_by_their_readings(bench: Shop) -> None:
    results = (
        TrimResult(trim="span", before="15.9 Hz"), TrimResult(trim="rate", before="steady", after="2.05 Hz"),
    )  # fmt: skip
    assert _handed_over(with_job(bench, trims=results)).adjustments == (
        Adjustment(*RATE, Measured("steady", "not_judged"), Measured("2.05 Hz", "fails")),
        Adjustment(*SPAN, Measured("15.9 Hz", "holds"), None),
    )


def test_a_trim_that_was_not_looked_at_decides_nothing(bench: Shop) -> None:
    model = bench.models["pacer"].record
    assert model.calibration is not None
    first = model.calibration.model_copy(update={"trims": model.calibration.trims[:1]})
    without = with_record(bench, "models", "pacer", model.model_copy(update={"calibration": first}))
    assert report(without) == report(bench)


def test_the_shops_note_on_a_trim_stays(bench: Shop) -> None:
    (noted,) = bench.jobs[JOB].record.trims
    assert noted.note == "stiff, but it turns"
    assert noted.note not in report(bench)
    assert report(with_job(bench, trims=(noted.model_copy(update={"note": None}),))) == report(bench)


OWN_VALUE = ChangedValue(what="R9, for the lamp", was="1k", now="4k7", accepted_because="none smaller here")


@pytest.mark.parametrize("of_fault", [False, True])
def test_values_of_the_fault_go_home_only_where_the_job_says_so(bench: Shop, *, of_fault: bool) -> None:
    shop = with_job(bench, **_finding(bench, values=(OWN_VALUE,), values_of_fault=of_fault))
    of_the_fault = (ChangedPart("R7, timing resistor", "10k", "33k"),) if of_fault else ()
    own = ChangedPart("R9, for the lamp", "1k", "4k7")
    assert _handed_over(shop).changed == (*of_the_fault, own)
    page = report(shop)
    assert ("R7, timing resistor" in page) == of_fault
    assert "none smaller here" not in page
    fault = bench.faults["pacer-short-pulse"].record
    other = fault.values[0].model_copy(update={"now": "qzx"})
    changed = with_record(shop, "faults", "pacer-short-pulse", fault.model_copy(update={"values": (other,)}))
    assert (report(changed) == page) != of_fault


@pytest.mark.parametrize(
    ("was", "now", "goes_home"),
    [
        pytest.param("10k", "33k", ("10k", "33k"), id="one part for another"),
        pytest.param("4700 uF, read 420 uF", "4700 uF, 25 V", (None, "4700 uF, 25 V"), id="with a reading"),
        pytest.param("CD4528, with a bent pin", "CD4538", (None, "CD4538"), id="a part by its name"),
        pytest.param("4.1 V", "7.6 V", None, id="a voltage read elsewhere"),
        pytest.param("0.9 ms", "10 ms", None, id="a time read elsewhere"),
    ],
)
def test_of_a_faults_values_only_the_parts_that_were_fitted_go_home(
    bench: Shop, was: str, now: str, goes_home: tuple[str | None, str] | None
) -> None:
    fault = bench.faults["pacer-short-pulse"].record
    value = ChangedValue(what="At C1", was=was, now=now)
    shop = with_record(bench, "faults", "pacer-short-pulse", fault.model_copy(update={"values": (value,)}))
    found = _handed_over(with_job(shop, **_finding(shop, values_of_fault=True))).changed
    assert found == (() if goes_home is None else (ChangedPart("At C1", *goes_home),))


def test_a_value_of_the_fault_that_tells_of_another_unit_stops_the_report(bench: Shop) -> None:
    fault = bench.faults["pacer-short-pulse"].record
    value = fault.values[0].model_copy(update={"was": "10k, on number 950 too"})
    shop = with_record(bench, "faults", "pacer-short-pulse", fault.model_copy(update={"values": (value,)}))
    assert complaints(shop) == []
    (found,) = complaints(with_job(shop, **_finding(shop, values_of_fault=True)))
    assert found.startswith("faults/pacer-short-pulse.yml:")
    assert '"number 950" is the serial of a unit on the bench' in found


@pytest.mark.parametrize(("where", "hazard"), [("trim", "chemicals"), ("block", "hot-parts")])
def test_the_hazards_of_what_was_trimmed_are_told_to_the_owner(bench: Shop, where: str, hazard: str) -> None:
    model = bench.models["pacer"].record
    assert model.calibration is not None
    rate, span = model.calibration.trims
    more = {"hazards": (hazard,)}
    if where == "trim":
        trims = model.calibration.model_copy(update={"trims": (rate.model_copy(update=more), span)})
        model = model.model_copy(update={"calibration": trims})
    else:
        blocks = tuple(each.model_copy(update=more if each.id == "output" else {}) for each in model.blocks)
        trims = model.calibration.model_copy(
            update={"trims": (rate.model_copy(update={"block": "output"}), span)}
        )
        model = model.model_copy(update={"calibration": trims, "blocks": blocks})
    shop = with_record(bench, "models", "pacer", model)
    assert hazard in _handed_over(shop).hazards
    assert hazard not in _handed_over(with_job(shop, trims=())).hazards


# Nobody else's unit, and nothing that leads into the shop.


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ("the same as on LU-950, no. 950", '"no. 950" is the serial of a unit on the bench'),
        ("as in 2026-lull-0950", '"2026-lull-0950" is the id of a job'),
        ("as with ref-0815 last week", '"ref-0815" is a customer\'s reference'),
    ],
)
def test_words_that_tell_of_another_unit_stop_the_report(bench: Shop, told: str, says: str) -> None:
    other = bench.jobs["2026-lull-0950"].record.model_copy(update={"customer": "ref-0815"})
    shop = with_record(bench, "jobs", "2026-lull-0950", other)
    (found,) = complaints(with_job(shop, **_finding(shop, told=told)))
    assert found.startswith("jobs/2026-pacer-0007.yml:21:")
    assert f"{says}; take it out; the owner of this unit reads it" in found


@pytest.mark.parametrize("text", ["of PA-0007", "for ref-1", "job 2026-pacer-0007, and 2026-again before"])
def test_words_about_this_unit_and_its_earlier_visits_do_not(bench: Shop, text: str) -> None:
    again = replace(bench.jobs[JOB], id="2026-again")
    shop = replace(bench, jobs={**bench.jobs, "2026-again": again})
    assert complaints(with_job(shop, complaint=(text,))) == []


@pytest.mark.parametrize(
    ("advice", "says"),
    [
        ("See [the fault](fault:pacer-warm-stop).", "links to nothing in the shop"),
        ("![x](photos/pacer.png)", "has no pictures in its text"),
        ("[x](captures/speed.csv)", "has no captures"),
        ("```calc\ntempo:\n  bpm: 120 BPM\n```", "has no calculations"),
    ],
)
def test_prose_that_needs_more_than_one_file_stops_the_report(bench: Shop, advice: str, says: str) -> None:
    (found,) = complaints(with_job(bench, advice=advice + "\n"))
    assert says in found
    assert found.startswith("jobs/2026-pacer-0007.yml:40:")


def test_a_picture_that_cannot_be_made_anew_stops_the_report(bench: Shop) -> None:
    photo = bench.jobs[JOB].record.photos[0].model_copy(update={"file": "gone.png"})
    (found,) = complaints(with_job(bench, photos=(photo,)))
    assert found.startswith('jobs/2026-pacer-0007.yml:36:11: there is no picture "photos/gone.png"')


def test_a_part_is_told_with_its_value_and_its_place(bench: Shop) -> None:
    found, _ = hand_over(
        with_job(bench, parts=(UsedPart(part="one-shot", value="LS", where="IC1", quantity="2"),)), JOB
    )
    assert found is not None
    part = found.parts[0]
    assert (part.name, part.value, part.where, part.quantity) == ("74LS123", "LS", "IC1", 2)

"""Which revision a unit is: serial, marks that were seen, and what is written, one table for all of it."""

from __future__ import annotations

import pytest

from kb.reading import read_record
from kb.records import Job, Model
from kb.shop import ModelFacts
from kb.shop.job_rules import _revision as problems_of
from kb.shop.sight import revisions_of_unit, told

MODEL = b"""
name: Pacer
maker: Varnhollow
kind: clock box
summary: Three boards, two of them in one range of numbers.
revisions:
  - id: a
    serials: PA-0001 to PA-0199
    by_sight: [brown board, two screws in the lid]
  - id: b
    serials: PA-0200 to PA-0400
    shares_serials_with: c
    by_sight: [green board, four screws in the lid]
  - id: c
    serials: PA-0350 and up
    by_sight: [green board, "no key beside the lamp"]
blocks:
  - id: clock
    name: Clock
"""


def facts() -> ModelFacts:
    located, problems = read_record(MODEL, "models/pacer.yml", "pacer", Model)
    assert located, problems
    return ModelFacts("pacer", located.record)


def job(serial: str, **fields: object) -> object:
    lines = ["model: pacer", f"serial: {serial}", "received: 2026-02-02"]
    lines += [f"{key}: {value}" for key, value in fields.items()]
    located, problems = read_record("\n".join(lines).encode(), "jobs/j.yml", "j", Job)
    assert located, [str(each) for each in problems]
    return located


BECAUSE = {"outside_because": "the plate was changed"}


@pytest.mark.parametrize(
    ("serial", "fields", "is_one_of", "says"),
    [
        # The serial tells by itself; marks that agree change nothing.
        ("PA-0007", {}, "a", ""),
        ("PA-0007", {"seen": "brown board"}, "a", ""),
        # Two ranges hold the number: the marks decide, as far as they tell the two apart.
        ("PA-0360", {}, "bc", "may be revision b or c"),
        ("PA-0360", {"seen": "green board"}, "bc", "may be revision b or c"),
        ("PA-0360", {"seen": "four screws in the lid"}, "b", ""),
        ("PA-0360", {"seen": "[Green board., No  KEY beside the lamp]"}, "c", ""),
        ("PA-0360", {"revision": "b"}, "b", ""),
        ("PA-0360", {"revision": "b", "seen": "four screws in the lid"}, "b", ""),
        # What contradicts is told, and who writes why decides.
        ("PA-0360", {"revision": "b", "seen": "no key beside the lamp"}, "b", "those of revision c"),
        ("PA-0360", {"seen": "brown board"}, "a", "of revision b or c, the marks are those of a"),
        ("PA-0007", {"seen": "green board"}, "bc", "of revision a, the marks are those of b or c"),
        ("PA-0007", {"seen": "four screws in the lid", **BECAUSE}, "b", ""),
        ("PA-0007", {"revision": "b"}, "b", "is a serial of revision a"),
        ("PA-0007", {"revision": "b", **BECAUSE}, "b", ""),
        ("PA-0007", {"seen": "[brown board, green board]"}, "", "no revision has all of these marks"),
        # Outside every range: only with a reason.
        ("PX-0007", {}, "", "in no serial range"),
        ("PX-0007", {"seen": "brown board"}, "a", "in no serial range"),
        ("PX-0007", {"revision": "a"}, "a", "in no serial range"),
        ("PX-0007", {"seen": "brown board", **BECAUSE}, "a", ""),
        ("PX-0007", {"revision": "a", **BECAUSE}, "a", ""),
        ("PX-0007", BECAUSE, "", ""),
        # Only a whole mark counts: "key beside the lamp" is the contrary of what stands there.
        ("PA-0360", {"revision": "b", "seen": "key beside the lamp"}, "b", "is no mark under by_sight"),
    ],
)  # fmt: skip
def test_serial_marks_and_what_is_written(
    serial: str, fields: dict[str, str], is_one_of: str, says: str
) -> None:
    located = job(serial, **fields)
    assert revisions_of_unit(facts(), located.record) == tuple(is_one_of)  # type: ignore[attr-defined]
    problems = [each.what for each in problems_of(located, facts())]  # type: ignore[arg-type]
    assert len(problems) == bool(says), problems
    assert not says or says in problems[0]


def test_a_model_without_serial_ranges_is_told_by_its_marks() -> None:
    text = MODEL.replace(b"    serials: PA-0001 to PA-0199\n", b"")
    text = text.replace(b"    serials: PA-0200 to PA-0400\n", b"").replace(
        b"    serials: PA-0350 and up\n", b""
    )
    located, _ = read_record(text, "models/pacer.yml", "pacer", Model)
    assert located
    none = ModelFacts("pacer", located.record)
    for fields, wrong in (
        ({"seen": "brown board"}, 0),
        ({"revision": "a"}, 0),
        ({}, 1),
        ({"seen": "green board"}, 1),
    ):
        assert len(list(problems_of(job("7", **fields), none))) == wrong, fields  # type: ignore[arg-type]


def test_no_mark_looked_for_is_not_the_same_as_none_that_fits() -> None:
    assert told(facts(), job("PA-0007").record).by_marks is None  # type: ignore[attr-defined]
    assert told(facts(), job("PA-0007", seen="brass lid").record).strange == (0,)  # type: ignore[attr-defined]

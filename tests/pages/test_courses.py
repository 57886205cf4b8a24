"""Courses: the list of lessons, the way from one to the next, and what is wrong with one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benches import body_of, copied, found_in, loaded

HEAD = "---\ntitle: A course\nsummary: What a newcomer reads.\n{more}lessons:\n{lessons}---\nRead on.\n"


def course(target: Path, *lessons: str, more: str = "") -> Path:
    listed = "".join(f"  - {each}\n" for each in lessons)
    return copied(target, {"guides/a-course.md": HEAD.format(more=more, lessons=listed)})


def test_a_course_lists_its_lessons_and_each_leads_to_the_next(tmp_path: Path) -> None:
    lessons = ("handbook:writing-it-down", "guide:first-look", "handbook:reading-a-pulse")
    shop = loaded(course(tmp_path / "shop", *lessons))
    listed = body_of(shop, "guides/a-course.html")
    order = ["handbook/writing-it-down.html", "guides/first-look.html", "handbook/reading-a-pulse.html"]
    assert sorted(order, key=lambda path: listed.index(f'data-lesson="{path}"')) == order
    between = body_of(shop, "guides/first-look.html")
    assert "Lesson 2 of 3" in between
    assert 'href="../handbook/writing-it-down.html">← ' in between
    assert 'class="hs-next" href="../handbook/reading-a-pulse.html"' in between
    assert 'data-hs-lesson="guides/first-look.html"' in between


@pytest.mark.parametrize(
    ("lessons", "more", "what"),
    [
        (("handbook:writing-it-dwn",), "", '5:5: there is no handbook "writing-it-dwn"'),
        (("writing-it-down",), "", '5:5: "writing-it-down" is no lesson'),
        (("guide:a-course",), "", '5:5: "a-course" is itself a course'),
        (("guide:first-look", "guide:first-look"), "", '6:5: "first-look" is a lesson here already'),
        (("guide:first-look",), "audience: customer\n", "4:11: a course is for the shop"),
    ],
)
def test_what_is_wrong_with_a_course_is_told(
    tmp_path: Path, lessons: tuple[str, ...], more: str, what: str
) -> None:
    found = found_in(course(tmp_path / "shop", *lessons, more=more))
    assert len(found) == 1, found
    assert found[0].startswith(f"guides/a-course.md:{what}"), found


EXERCISE = "```exercise\nquestion: At {bpm}?\ncalculation:\n  tempo: {bpm: 120 BPM}\nanswer: frequency\n```\n"


def test_customers_get_no_exercise_and_records_hold_none(tmp_path: Path) -> None:
    guide = f"---\ntitle: For owners\nsummary: What to do.\naudience: customer\n---\n{EXERCISE}"
    fault = (
        "title: A fault\nmodels: pacer\nblock: clock\nsymptoms: something\nfix: Mend it.\ncause: |\n"
        + "".join(f"  {line}\n" for line in EXERCISE.splitlines())
    )
    found = found_in(copied(tmp_path / "shop", {"guides/owners.md": guide, "faults/a-fault.yml": fault}))
    assert [each.split("; ")[0] for each in found] == [
        "faults/a-fault.yml:7:3: an exercise stands in a guide, not in a record",
        "guides/owners.md:6:1: this guide is for customers, and an exercise is for the shop",
    ]

"""Courses: guides that name their lessons; the list of those, and the way from one to the next.

What somebody has done stays in the browser; the pages hold only what there is to do.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from markupsafe import Markup

from kb.pages.addresses import Target, address, find_target, known_ids
from kb.pages.fences import exercises_in
from kb.pages.practice_data import LEAST_READINGS, LEAST_UNITS, practice_path, units_of
from kb.pages.rendering import render
from kb.problems import did_you_mean
from kb.reading import Located
from kb.records import Guide
from kb.shop import Shop

if TYPE_CHECKING:
    from kb.pages.sheet import Sheet


@dataclass(frozen=True)
class Course:
    """One course: the guide or handbook page that names the lessons."""

    kind: str
    located: Located[Guide]

    @property
    def lessons(self) -> tuple[tuple[str, str], ...]:
        """Kind and id of each lesson; practice on every model has no id."""
        parts = (each.partition(":") for each in self.located.record.head.lessons)
        return tuple((kind, identifier) for kind, _, identifier in parts)


@dataclass(frozen=True)
class Around:
    """Where a page stands in a course: its number, and the ways on, which at both ends lead to the course."""

    target: Target
    number: int
    count: int
    before: Target
    after: Target


class Courses:
    """All courses of a site."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.by_page: dict[tuple[str, str], Course] = {
            (kind, identifier): Course(kind, located)
            for kind, identifier, located in self._guides()
            if located.record.head.lessons
        }

    def _guides(self) -> Iterator[tuple[str, str, Located[Guide]]]:
        every: tuple[tuple[str, Mapping[str, Located[Guide]]], ...] = (
            ("handbook", self.shop.handbook), ("guide", self.shop.guides),
        )  # fmt: skip
        for kind, guides in every:
            for identifier, located in guides.items():
                yield kind, identifier, located

    def around(self, sheet: Sheet) -> list[Around]:
        """For each course with this page in it: where it stands there."""
        return [
            found for course in self.by_page.values() if (found := self._around(course, sheet)) is not None
        ]

    def _around(self, course: Course, sheet: Sheet) -> Around | None:
        lessons = [each for each in course.lessons if find_target(self.shop, *each) is not None]
        whole = sheet.to(course.kind, course.located.id)
        addresses = [address(*each) for each in lessons]
        if sheet.path not in addresses:
            return None
        at = addresses.index(sheet.path)
        return Around(
            whole, at + 1, len(lessons),
            sheet.to(*lessons[at - 1]) if at else whole,
            sheet.to(*lessons[at + 1]) if at + 1 < len(lessons) else whole,
        )  # fmt: skip


def lessons_html(sheet: Sheet, course: Course) -> Markup:
    """The list of a course's lessons; what is wrong with one goes to the desk's problems."""
    located = course.located
    if located.record.head.audience == "customer":
        what = "a course is for the shop, and this guide is for customers"
        sheet.problem(located.problem(("audience",), what, "write shop, or take lessons out"))
    rows: list[dict[str, object]] = []
    for number, lesson in enumerate(course.lessons):
        complaint = _complaint(sheet, course, number)
        if complaint is not None:
            sheet.problem(located.problem(("lessons", number), *complaint))
        elif lesson[0] == "practice":
            rows += _practice_rows(sheet, lesson[1])
        else:
            rows.append(_row(sheet, *lesson))
    heading = sheet.section("lessons", "Lessons")
    return render("lessons.html", rows=rows, heading=heading, shop=sheet.desk.shop.card.record.name)


def _row(sheet: Sheet, kind: str, identifier: str) -> dict[str, object]:
    guide = (sheet.desk.shop.handbook if kind == "handbook" else sheet.desk.shop.guides)[identifier].record
    return {
        "path": address(kind, identifier),
        "target": sheet.to(kind, identifier),
        "summary": guide.head.summary,
        "exercises": exercises_in(guide.body),
        "practice": "",
    }


def _practice_rows(sheet: Sheet, model: str) -> list[dict[str, object]]:
    """A row for one model, or for each that has units to practise on."""
    rows: list[dict[str, object]] = []
    for identifier in [model] if model else sheet.desk.shop.models:
        units = units_of(sheet.desk, identifier)
        if units:
            path = practice_path(identifier)
            title = f"Practice on the {sheet.to('model', identifier).title}"
            rows.append({
                "path": path, "target": Target(sheet.link(path), title), "exercises": [],
                "summary": f"Find faults that were on this bench, played by the page: {len(units)} units.",
                "practice": identifier, "units": len(units),
            })  # fmt: skip
    return rows


def _complaint(sheet: Sheet, course: Course, number: int) -> tuple[str, str] | None:
    kind, identifier = course.lessons[number]
    if course.lessons[number] in course.lessons[:number]:
        return f'"{identifier[:60] or kind}" is a lesson here already', "keep one of them"
    if kind == "practice":
        return _no_practice(sheet, identifier) if identifier else None
    if find_target(sheet.desk.shop, kind, identifier) is None:
        what = f'there is no {kind} "{identifier[:60]}"'
        return what, did_you_mean(identifier, known_ids(sheet.desk.shop, kind))
    if (kind, identifier) in sheet.desk.courses.by_page:
        return f'"{identifier[:60]}" is itself a course', "name the pages of it that are lessons here"
    return None


def _no_practice(sheet: Sheet, model: str) -> tuple[str, str] | None:
    if model not in sheet.desk.shop.models:
        return f'there is no model "{model[:60]}"', did_you_mean(model, known_ids(sheet.desk.shop, "model"))
    if units_of(sheet.desk, model):
        return None
    what = f'"{model[:60]}" has too few faults with recorded readings to practise on'
    return what, f"write down how {LEAST_READINGS} checks read with {LEAST_UNITS} of its faults"

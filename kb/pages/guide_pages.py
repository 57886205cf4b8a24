"""Guides of the shop and pages of the handbook: prose with live calculations, exercises and courses."""

from __future__ import annotations

from collections.abc import Mapping

from kb.pages.addresses import address
from kb.pages.courses import Course, lessons_html
from kb.pages.exercise_view import SCRIPTS, STYLE
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk
from kb.reading import Located
from kb.records import Guide


def guide_page(desk: Desk, kind: str, identifier: str) -> Page:
    """The page of a guide (`kind` is guide) or of the handbook (`kind` is handbook)."""
    located = _all(desk, kind)[identifier]
    head = located.record.head
    sheet = desk.sheet(address(kind, identifier))
    sheet.expect_reservoirs(tuple(
        reservoir
        for model in head.models
        for reservoir in desk.shop.facts[model].reservoirs_on(desk.shop.facts[model].revision_ids)
    ))  # fmt: skip
    on_top = sheet.cautions_before(head.title, head.summary, declared=head.hazards)
    text = sheet.prose(located, (), located.record.body)
    about = [
        *(sheet.to("model", each) for each in head.models),
        *(sheet.to("fault", each) for each in head.faults),
        *(sheet.to("part", each) for each in head.parts),
    ]
    lessons = lessons_html(sheet, Course(kind, located)) if head.lessons else None
    courses = desk.courses.around(sheet)
    before, after = _neighbours(desk, kind, identifier) if not courses else (None, None)
    exercises = desk.exercises.get(sheet.path, [])
    is_live = bool(head.lessons or courses or exercises)
    body = render(
        "guide.html", head=head, kind=kind, on_top=on_top, text=text, about=about, lessons=lessons,
        before=sheet.to(kind, before) if before else None, after=sheet.to(kind, after) if after else None,
        courses=courses, exercises=exercises, path=sheet.path,
        shop=desk.shop.card.record.name, style=sheet.link(STYLE) if is_live else "",
        scripts=[sheet.link(each) for each in SCRIPTS] if is_live else [],
    )  # fmt: skip
    search = SearchText(head.title, (head.summary,), (located.record.body,))
    return Page(sheet.path, head.title, kind, body, head.summary, tuple(sheet.headings), search)


def guide_index(desk: Desk, kind: str) -> Page:
    """The list of guides or of handbook pages."""
    folder, title = ("handbook", "Handbook") if kind == "handbook" else ("guides", "Guides")
    sheet = desk.sheet(f"{folder}/index.html")
    rows = [
        (sheet.to(kind, identifier), located.record.head)
        for identifier, located in in_reading_order(_all(desk, kind))
    ]
    fits = sheet.link("fits/index.html") if desk.matrix.sockets else ""
    body = render("guide-index.html", kind=kind, title=title, rows=rows, fits=fits)
    return Page(sheet.path, title, "index", body)


def in_reading_order(guides: Mapping[str, Located[Guide]]) -> list[tuple[str, Located[Guide]]]:
    """Guides by their `order`, those without one by title behind the others."""

    def key(item: tuple[str, Located[Guide]]) -> tuple[int, str, str]:
        head = item[1].record.head
        return (head.order if head.order is not None else 10**9, head.title.lower(), item[0])

    return sorted(guides.items(), key=key)


def _all(desk: Desk, kind: str) -> Mapping[str, Located[Guide]]:
    return desk.shop.handbook if kind == "handbook" else desk.shop.guides


def _neighbours(desk: Desk, kind: str, identifier: str) -> tuple[str | None, str | None]:
    """The pages before and after in reading order; the handbook is read through, guides are not."""
    if kind != "handbook":
        return None, None
    ids = [each for each, _ in in_reading_order(_all(desk, kind))]
    at = ids.index(identifier)
    return (ids[at - 1] if at else None), (ids[at + 1] if at + 1 < len(ids) else None)

"""The symptom index: what was complained of, and which faults were told by it."""

from __future__ import annotations

from collections.abc import Iterator

from kb.pages.pageset import Page
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet

MOST_ON_ONE_PAGE = 300
"""Up to this many symptoms the index lists all of them itself; beyond, each model has a page."""

Row = tuple[str, list[tuple[object, str, str]]]


def symptom_pages(desk: Desk) -> Iterator[Page]:
    """The index, and a page for each model that has faults."""
    models = sorted(
        (model for model in desk.shop.models if desk.links.faults_of(model)),
        key=lambda model: desk.shop.models[model].record.name.lower(),
    )
    for model in models:
        yield _model_page(desk, model)
    sheet = desk.sheet("symptoms/index.html")
    total = sum(len(located.record.symptoms) for located in desk.shop.faults.values())
    rows = symptom_rows(sheet, tuple(desk.shop.faults)) if total <= MOST_ON_ONE_PAGE else []
    by_model = [
        (
            sheet.link(f"symptoms/{model}.html"),
            desk.shop.models[model].record,
            len(desk.links.faults_of(model)),
        )
        for model in models
    ]
    body = render("symptom-index.html", title="Symptoms", rows=rows, by_model=by_model, total=total,
                  root=sheet.link("index.html").removesuffix("index.html"))  # fmt: skip
    yield Page(sheet.path, "Symptoms", "symptoms", body)


def _model_page(desk: Desk, model: str) -> Page:
    sheet = desk.sheet(f"symptoms/{model}.html")
    title = f"Symptoms of the {desk.shop.models[model].record.name}"
    rows = symptom_rows(sheet, desk.links.faults_of(model))
    body = render("symptom-index.html", title=title, rows=rows, by_model=[], total=len(rows), root=None)
    return Page(sheet.path, title, "symptoms", body)


def symptom_rows(sheet: Sheet, faults: tuple[str, ...]) -> list[Row]:
    """Each wording once, in alphabetical order, with the faults told by it: link, model, block."""
    shop = sheet.desk.shop
    found: dict[str, list[tuple[object, str, str]]] = {}
    wording: dict[str, str] = {}
    for fault in faults:
        record = shop.faults[fault].record
        names = ", ".join(shop.models[model].record.name for model in record.models)
        block = shop.facts[record.models[0]].block(record.block).name
        for symptom in dict.fromkeys(record.symptoms):
            key = symptom.casefold()
            wording.setdefault(key, symptom)
            found.setdefault(key, []).append((sheet.to("fault", fault), names, block))
    return [(wording[key], found[key]) for key in sorted(found)]

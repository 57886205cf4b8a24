"""The pages of components: one for each part, and the list of all."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from kb.pages.addresses import address
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet


def part_page(desk: Desk, identifier: str) -> Page:
    """The page of the part with that id."""
    located = desk.shop.parts[identifier]
    part = located.record
    sheet = desk.sheet(address("part", identifier))
    texts = [part.name, part.kind, part.package, *part.markings, part.summary]
    texts += [text for each in part.ratings for text in (each.what, each.value.text, each.condition)]
    texts += [text for each in part.substitutes for text in (each.type, each.condition)]
    texts += [use.where for use in desk.links.part_uses(identifier)]
    on_top = sheet.cautions_before(*texts, declared=part.hazards)
    body = render(
        "part.html", sheet=sheet, part=part, on_top=on_top,
        summary=sheet.prose(located, ("summary",), part.summary),
        ratings_heading=sheet.section("ratings", "Ratings") if part.ratings else "",
        substitutes_heading=sheet.section("substitutes", "What may take its place"),
        substitutes=[(each, sheet.to("part", each.part) if each.part else None) for each in part.substitutes],
        stands_in_for=[sheet.to("part", each) for each in desk.links.stands_in_for(identifier)],
        calculations=sheet.calculations(located, ("calculations",), part.calculations),
        used_heading=sheet.section("used", "Where it is used"), uses=_uses(desk, sheet, identifier),
        guides=[sheet.to("guide", each) for each in desk.links.guides_about("parts", identifier)],
        private_note=sheet.prose(located, ("private_note",), part.private_note),
        photos=[sheet.link(each) for name in part.photos if (each := sheet.picture(name))],
    )  # fmt: skip
    types = tuple(each.type for each in part.substitutes if each.type)
    search = SearchText(part.name, (part.kind, *part.markings), (part.summary or "", *types))
    return Page(sheet.path, part.name, "part", body, part.kind, tuple(sheet.headings), search)


def _uses(desk: Desk, sheet: Sheet, identifier: str) -> list[dict[str, Any]]:
    """The blocks that carry the part, each with the faults whose cure needs it there."""
    by_block: dict[tuple[str, str], list[dict[str, Any]]] = defaultdict(list)
    for use in desk.links.part_uses(identifier):
        faults = by_block[use.model, use.block]
        if use.fault:
            faults.append({"target": sheet.to("fault", use.fault), "where": use.where})
    return [
        {"block": sheet.to("block", f"{model}/{block}"), "faults": faults}
        for (model, block), faults in sorted(by_block.items())
    ]


def part_index(desk: Desk) -> Page:
    """All parts by kind."""
    sheet = desk.sheet("parts/index.html")
    kinds: dict[str, list[Any]] = defaultdict(list)
    for identifier, located in desk.shop.parts.items():
        kinds[located.record.kind].append((sheet.to("part", identifier), located.record))
    groups = [
        (kind, sorted(rows, key=lambda row: row[0].title.lower())) for kind, rows in sorted(kinds.items())
    ]
    body = render("part-index.html", groups=groups)
    return Page(sheet.path, "Parts", "index", body)

"""The pages that customers get: guides, faults, instruments, parts and the first page.

Every function takes what is public and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from kb.audience.public import PublicFault, PublicGuide, PublicModel, PublicPart, PublicSite
from kb.pages.addresses import Target, address
from kb.pages.pageset import Page
from kb.pages.public.sheet import PublicDesk, PublicSheet
from kb.pages.rendering import render

MOST_FAULTS = 40
"""So many stand on the first page and on the page of an instrument; more get lists of their own."""

MOST_ON_ONE_PAGE = 100
"""So many faults stand on one page of such a list."""


def public_pages(desk: PublicDesk) -> Iterator[Page]:
    """Every page of the customers' site."""
    site = desk.site
    yield from (guide_page(desk, each) for each in site.guides.values())
    yield from (fault_page(desk, each) for each in site.faults.values())
    yield from (model_page(desk, each) for each in site.models.values())
    yield from (part_page(desk, each) for each in site.parts.values())
    for model in site.models.values():
        yield from fault_list_pages(desk, model)
    yield first_page(desk)


def guide_page(desk: PublicDesk, guide: PublicGuide) -> Page:
    """One guide."""
    sheet = desk.sheet(address("guide", guide.id))
    on_top = sheet.cautions_before(guide.title, guide.summary, declared=guide.hazards)
    text = sheet.prose(guide.body)
    about = [
        *(sheet.to("model", each) for each in guide.models),
        *(sheet.to("fault", each) for each in guide.faults),
        *(sheet.to("part", each) for each in guide.parts),
    ]
    body = render("public/guide.html", guide=guide, on_top=on_top, text=text, about=about)
    return _page(sheet, guide.title, "guide", body, guide.summary)


def fault_page(desk: PublicDesk, fault: PublicFault) -> Page:
    """One fault: what is heard, why, and what is done about it."""
    sheet = desk.sheet(address("fault", fault.id))
    on_top = sheet.cautions_before(fault.title, *fault.symptoms, declared=fault.hazards)
    symptoms_heading = sheet.section("symptoms", "What you notice")
    cause_heading = sheet.section("cause", "Why")
    before_cause = sheet.cautions_before(fault.cause.text)
    cause = sheet.prose(fault.cause)
    fix_heading = sheet.section("fix", "What is done about it")
    steps = [(sheet.cautions_before(step.text), sheet.prose(step)) for step in fault.fix]
    related = _both_ways(desk.site, fault)
    guides = [each.id for each in _guides(desk.site) if fault.id in each.faults]
    body = render(
        "public/fault.html", fault=fault, on_top=on_top, symptoms_heading=symptoms_heading,
        models=[(desk.site.models[each], sheet.to("model", each)) for each in fault.models],
        cause_heading=cause_heading, before_cause=before_cause, cause=cause,
        fix_heading=fix_heading, steps=steps, related=[sheet.to("fault", each) for each in related],
        guides=[sheet.to("guide", each) for each in guides],
    )  # fmt: skip
    return _page(sheet, fault.title, "fault", body, fault.symptoms[0])


def model_page(desk: PublicDesk, model: PublicModel) -> Page:
    """One instrument by its name, with what there is to read about it."""
    sheet = desk.sheet(address("model", model.id))
    faults = [each for each in _faults(desk.site) if model.id in each.models]
    guides = [each for each in _guides(desk.site) if model.id in each.models]
    shown = faults[:MOST_FAULTS]
    on_top = _cautions_of_lists(sheet, [model.name, model.kind], guides, shown)
    more = _to_list(sheet, model, len(faults)) if len(faults) > MOST_FAULTS else None
    body = render("public/model.html", model=model, on_top=on_top, more=more, **_lists(sheet, guides, shown))
    return _page(sheet, model.name, "model", body, f"{model.maker} {model.name}, {model.kind}")


def part_page(desk: PublicDesk, part: PublicPart) -> Page:
    """One part in a few words."""
    sheet = desk.sheet(address("part", part.id))
    guides = [each for each in _guides(desk.site) if part.id in each.parts]
    on_top = sheet.cautions_before(part.name, part.kind, declared=part.hazards)
    summary = sheet.prose(part.summary)
    before_list = _cautions_of_lists(sheet, [], guides, [])
    body = render(
        "public/part.html", part=part, on_top=on_top, summary=summary, before_list=before_list,
        **_lists(sheet, guides, []),
    )  # fmt: skip
    return _page(sheet, part.name, "part", body, part.kind)


def fault_list_pages(desk: PublicDesk, model: PublicModel) -> Iterator[Page]:
    """All faults of an instrument that has more than its own page or the first page shows."""
    faults = [each for each in _faults(desk.site) if model.id in each.models]
    if not faults or len(desk.site.faults) <= MOST_FAULTS:
        return
    chunks = [faults[at : at + MOST_ON_ONE_PAGE] for at in range(0, len(faults), MOST_ON_ONE_PAGE)]
    paths = [_list_path(model, number) for number in range(1, len(chunks) + 1)]
    for number, (path, chunk) in enumerate(zip(paths, chunks, strict=True)):
        sheet = desk.sheet(path)
        on_top = _cautions_of_lists(sheet, [model.name, model.kind], [], chunk)
        body = render(
            "public/fault-list.html", model=model, on_top=on_top, target=sheet.to("model", model.id),
            next=sheet.link(paths[number + 1]) if number + 1 < len(paths) else None,
            previous=sheet.link(paths[number - 1]) if number else None, **_lists(sheet, [], chunk),
        )  # fmt: skip
        title = f"{model.name}: when something is wrong"
        yield _page(sheet, title if number == 0 else f"{title}, page {number + 1}", "index", body)


def _list_path(model: PublicModel, number: int) -> str:
    return f"faults/of/{model.id}/{'index' if number == 1 else f'page-{number}'}.html"


def _to_list(sheet: PublicSheet, model: PublicModel, count: int) -> tuple[Target, int]:
    """The link to the list of all faults of an instrument, and how many there are."""
    return Target(sheet.link(_list_path(model, 1)), f"{model.maker} {model.name}"), count


def first_page(desk: PublicDesk) -> Page:
    """The page the folder opens with: guides, faults or the lists of them, instruments."""
    site = desk.site
    sheet = desk.sheet("index.html")
    guides, faults = _guides(site), _faults(site)
    lists = []
    if len(faults) > MOST_FAULTS:
        lists, faults = _lists_by_model(sheet, faults), []
    on_top = _cautions_of_lists(sheet, [], guides, faults)
    body = render(
        "public/index.html", site=site, on_top=on_top, lists=lists,
        models=[(each, sheet.to("model", each.id)) for each in _models(site)],
        **_lists(sheet, guides, faults),
    )  # fmt: skip
    return _page(sheet, site.name, "index", body)


def _page(sheet: PublicSheet, title: str, kind: str, body: Markup, summary: str = "") -> Page:
    return Page(sheet.path, title, kind, body, summary, tuple(sheet.headings))


def _guides(site: PublicSite) -> list[PublicGuide]:
    """Guides in reading order, those without a place in it by title behind the others."""

    def key(guide: PublicGuide) -> tuple[bool, int, str, str]:
        return guide.order is None, guide.order or 0, guide.title.lower(), guide.id

    return sorted(site.guides.values(), key=key)


def _models(site: PublicSite) -> list[PublicModel]:
    return sorted(site.models.values(), key=lambda each: (each.name.lower(), each.id))


def _lists_by_model(sheet: PublicSheet, faults: list[PublicFault]) -> list[tuple[Target, int]]:
    """The link to each instrument's list, and how many faults are on it; those of several are on each."""
    counts = {each: sum(each.id in fault.models for fault in faults) for each in _models(sheet.desk.site)}
    return [_to_list(sheet, model, count) for model, count in counts.items() if count]


def _faults(site: PublicSite) -> list[PublicFault]:
    return sorted(site.faults.values(), key=lambda each: (each.title.lower(), each.id))


def _both_ways(site: PublicSite, fault: PublicFault) -> list[str]:
    """The faults that this one names as related, or that name it; customers may see all of them."""
    naming = {each.id for each in site.faults.values() if fault.id in each.related}
    return [each.id for each in _faults(site) if each.id in naming | set(fault.related)]


Lists = dict[str, list[tuple[PublicGuide, Target]] | list[tuple[PublicFault, Target, str]]]


def _lists(sheet: PublicSheet, guides: list[PublicGuide], faults: list[PublicFault]) -> Lists:
    models = sheet.desk.site.models
    return {
        "guides": [(each, sheet.to("guide", each.id)) for each in guides],
        "faults": [
            (each, sheet.to("fault", each.id), ", ".join(models[model].name for model in each.models))
            for each in faults
        ],
    }


def _cautions_of_lists(
    sheet: PublicSheet, texts: list[str], guides: list[PublicGuide], faults: list[PublicFault]
) -> Markup:
    """The cautions for what a list names: they stand above it, as they do above a text."""
    told = [text for guide in guides for text in (guide.title, guide.summary)]
    told += [text for fault in faults for text in (fault.title, fault.symptoms[0])]
    return sheet.cautions_before(*texts, *told)

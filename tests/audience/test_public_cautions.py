"""Customers read cautions in words for those who don't repair, above the first place that names a hazard."""

from __future__ import annotations

import inspect
from dataclasses import replace

import pytest

from kb.audience import PublicFault, PublicGuide, PublicPart, select
from kb.audience.attaching import Attachments
from kb.audience.public import PublicText
from kb.pages.public import public_site
from kb.pages.public.making import public_pages
from kb.pages.public.sheet import PublicDesk, PublicSheet
from kb.safety import DEFERENCE, hazards
from kb.shop import Shop


def page(bench: Shop, path: str, **changes: object) -> str:
    """The body of one page, the fault or guide on it changed."""
    site = select(bench)
    if path.startswith("faults/"):
        fault = replace(site.faults["lull-socket"], **changes)  # type: ignore[arg-type]
        site = replace(site, faults={**site.faults, "lull-socket": fault})
    elif path.startswith("guides/"):
        guide = replace(site.guides["for-owners"], **changes)  # type: ignore[arg-type]
        site = replace(site, guides={**site.guides, "for-owners": guide})
    desk = PublicDesk(site, Attachments(bench.root, bench.data_files), draws=False)
    return {each.path: str(each.body) for each in public_pages(desk)}[path]


def prose(bench: Shop, text: str) -> PublicText:
    return replace(select(bench).guides["for-owners"].body, text=text)


FAULT = "faults/lull-socket.html"
GUIDE = "guides/for-owners.html"


@pytest.mark.parametrize("hazard", hazards().values(), ids=lambda hazard: hazard.id)
def test_each_hazard_has_words_for_customers(bench: Shop, hazard: object) -> None:
    body = page(bench, FAULT, hazards=(hazard.id,))  # type: ignore[attr-defined]
    for line in hazard.customer:  # type: ignore[attr-defined]
        assert line in body.replace("&#39;", "'")
    for line in hazard.shop:  # type: ignore[attr-defined]
        assert line not in body
    assert DEFERENCE in body
    assert "ask" in body


@pytest.mark.parametrize("hazard", hazards().values(), ids=lambda hazard: hazard.id)
def test_a_caution_stands_above_the_first_place_that_names_it(bench: Shop, hazard: object) -> None:
    word = hazard.words[0]  # type: ignore[attr-defined]
    mark = f'aria-label="Caution: {hazard.title}"'  # type: ignore[attr-defined]
    named = f"Mind the {word} here"
    for path, changes in (
        (FAULT, {"symptoms": (named,)}),
        (FAULT, {"cause": prose(bench, f"{named}.\n")}),
        (FAULT, {"fix": (prose(bench, "Wait.\n"), prose(bench, f"{named}.\n"))}),
        (GUIDE, {"summary": named, "hazards": ()}),
        (GUIDE, {"body": prose(bench, f"One.\n\nTwo.\n\n- {named}.\n"), "hazards": ()}),
    ):
        body = page(bench, path, **changes)
        assert body.count(mark) == 1
        if "summary" not in changes:
            assert body.index(mark) < body.index(named)


def test_a_list_that_names_a_hazard_has_the_caution_above_it(bench: Shop) -> None:
    site = select(bench)
    fault = replace(site.faults["lull-socket"], title="The fuse blows")
    site = replace(site, faults={**site.faults, "lull-socket": fault})
    desk = PublicDesk(site, Attachments(bench.root, bench.data_files), draws=False)
    bodies = {each.path: str(each.body) for each in public_pages(desk)}
    for path in ("index.html", "models/lull.html"):
        assert bodies[path].index("Mains voltage can kill") < bodies[path].index("The fuse blows")


def test_the_hazards_of_the_block_come_along(bench: Shop) -> None:
    # The motor of the Lull declares one; the record of the fault does not have to say it again.
    assert select(bench).faults["lull-socket"].hazards == ("sharp-or-heavy",)


@pytest.mark.parametrize("what", [public_site, PublicSheet.cautions_before, PublicSheet.__init__, PublicDesk])
def test_nothing_that_makes_pages_can_be_told_to_leave_one_out(what: object) -> None:
    names = set(inspect.signature(what).parameters)  # type: ignore[arg-type]
    assert names <= {
        "self", "site", "attachments", "desk", "path", "texts", "declared", "draws", "calculates", "problems",
        "attached", "plans", "anchors", "styles", "writer",
    }  # fmt: skip


def test_leaving_figures_out_leaves_no_caution_out(bench: Shop) -> None:
    site, attachments = select(bench), Attachments(bench.root, bench.data_files)
    counts = [
        sum(
            str(each.body).count("hs-caution-title")
            for each in public_pages(PublicDesk(site, attachments, draws))
        )
        for draws in (False, True)
    ]
    assert counts[0] == counts[1] > 0


def test_the_types_are_those_of_the_projection() -> None:
    for function, kind in (
        ("guide_page", PublicGuide),
        ("fault_page", PublicFault),
        ("part_page", PublicPart),
    ):
        from kb.pages.public import making  # noqa: PLC0415 - asked by name

        parameters = inspect.signature(getattr(making, function), eval_str=True).parameters
        assert [each.annotation for each in parameters.values()] == [PublicDesk, kind]

"""Beyond a limit the customers' faults get lists of their own, so that the first page stays short."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from kb.audience import PublicFault, PublicSite, select
from kb.audience.attaching import Attachments
from kb.pages.public import making, public_site
from kb.shop import Shop
from tests.markup import Markup


def with_faults(bench: Shop, count: int, **changes: object) -> PublicSite:
    """The public site with so many faults, each of them the same but for its name."""
    site = select(bench)
    one = site.faults["lull-belt-slips"]
    faults = {f"f{number:03}": _fault(one, number, **changes) for number in range(count)}
    guides = {name: replace(each, faults=()) for name, each in site.guides.items()}
    guides = {name: replace(each, body=replace(each.body, text="Ask us.\n")) for name, each in guides.items()}
    return replace(site, faults=faults, guides=guides)


def _fault(one: PublicFault, number: int, **changes: object) -> PublicFault:
    title = f"Fault no. {number:03}"
    return replace(one, id=f"f{number:03}", title=title, related=(), **changes)  # type: ignore[arg-type]


def pages(site: PublicSite, bench: Shop) -> dict[str, str]:
    made, problems = public_site(site, Attachments(bench.root, bench.data_files))
    assert made is not None, problems
    return {each.path: each.content.decode() for each in made.files if each.path.endswith(".html")}


def named(page: str) -> list[str]:
    return re.findall(r">(Fault no\. [0-9]{3})<", page)


def lists(made: dict[str, str]) -> list[str]:
    return [path for path in made if path.startswith("faults/of/")]


def test_up_to_the_limit_the_first_page_lists_all(bench: Shop) -> None:
    made = pages(with_faults(bench, making.MOST_FAULTS), bench)
    assert len(named(made["index.html"])) == making.MOST_FAULTS
    assert lists(made) == []


def test_beyond_it_each_instrument_has_a_list_and_the_first_page_leads_there(bench: Shop) -> None:
    count = making.MOST_ON_ONE_PAGE + 20
    made = pages(with_faults(bench, count), bench)
    assert lists(made) == ["faults/of/lull/index.html", "faults/of/lull/page-2.html"]
    first, second = (made[each] for each in lists(made))
    assert named(made["index.html"]) == []
    assert (
        f'href="faults/of/lull/index.html">Marlpit Lull</a> <span class="hs-quiet">{count}<'
        in (made["index.html"])
    )
    assert (len(named(first)), len(named(second))) == (making.MOST_ON_ONE_PAGE, 20)
    assert 'href="page-2.html">Next page' in first
    assert 'href="index.html">Previous page' in second
    assert len(named(made["models/lull.html"])) == making.MOST_FAULTS
    assert f'href="../faults/of/lull/index.html">All {count}<' in made["models/lull.html"]
    assert not [fault for path in lists(made) for fault in Markup(made[path]).faults]


@pytest.mark.parametrize("extra", [2, 500])
def test_the_first_page_stays_as_short_however_many_there_are(bench: Shop, extra: int) -> None:
    few = pages(with_faults(bench, making.MOST_FAULTS + 1), bench)["index.html"]
    many = pages(with_faults(bench, making.MOST_FAULTS + extra), bench)["index.html"]
    assert abs(len(many) - len(few)) < 10


def test_a_caution_stands_above_each_list_that_names_its_hazard(bench: Shop) -> None:
    made = pages(with_faults(bench, making.MOST_FAULTS + 1, symptoms=("the fuse blows",)), bench)
    page = made["faults/of/lull/index.html"]
    assert 0 < page.index('aria-label="Caution: Mains') < page.index("Fault no. 000")

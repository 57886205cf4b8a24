"""The bench page of a model and the page that holds the ranking against the shop's own jobs."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import Any

import pytest

from kb.diagnosis.from_shop import bench_for
from kb.pages import Page
from kb.pages.bench_data import MOST_CAUSES, bench_data, unit_states, units_for
from kb.pages.bench_page import SCRIPTS, STYLE, bench_page
from kb.pages.sheet import Desk
from kb.pages.site import _pages
from kb.pages.statistics_page import statistics_page
from kb.quantities import parse_any_span
from kb.reading import Located
from kb.safety import hazards
from kb.shop import Shop
from tests.benches import copied, demo_shop, edited, loaded, page, small_shop, small_site
from tests.markup import Markup, repeated

MODELS = sorted(demo_shop().models)


@cache
def demo_page(model: str) -> Page:
    return bench_page(Desk(demo_shop(), draws=False), model)


def data_of(page: Page) -> dict[str, Any]:
    found = re.search(r'class="hs-bench-data">(.*?)</script>', page.body, re.DOTALL)
    assert found
    data: dict[str, Any] = json.loads(found[1])
    return data


@pytest.mark.parametrize("model", MODELS)
def test_every_model_has_a_bench_page_that_is_small(model: str) -> None:
    made = demo_page(model)
    assert made.path == f"models/{model}/bench.html"
    assert made.kind == "bench"
    assert Markup(made.body).faults == []
    assert repeated(Markup(made.body).ids) == []
    assert len(json.dumps(data_of(made))) < 40_000


@pytest.mark.parametrize("model", MODELS)
def test_the_cases_in_the_page_are_those_of_the_command(model: str) -> None:
    data = data_of(demo_page(model))
    facts = demo_shop().facts[model]
    for revisions in unit_states(facts):
        case = bench_for(demo_shop(), model, revisions).case
        given = data["cases"]["+".join(revisions)]
        assert [data["causes"][each[0]]["id"] for each in given["causes"]] == [
            each.id for each in case.causes
        ]
        assert [each[1:5] for each in given["causes"]] == [
            [each.prior, each.minutes, each.access, each.remedy] for each in case.causes
        ]
        assert [[name, minutes, access, [data["rates"][rate] for rate in rates]]
                for name, minutes, access, rates in given["checks"]] == [
            [each.id, each.minutes, each.access, list(each.fails)] for each in case.checks
        ]  # fmt: skip
        assert (given["leak"], given["leakMinutes"], given["opening"]) == (
            case.leak, case.leak_minutes, dict(case.opening),
        )  # fmt: skip


@pytest.mark.parametrize("model", MODELS)
def test_there_is_a_case_for_every_serial_that_may_be_typed(model: str) -> None:
    facts = demo_shop().facts[model]
    known = set(unit_states(facts))
    prefixes = {"", *(each.prefix for ranges in facts.ranges.values() for each in ranges)}
    for prefix in prefixes:
        for number in range(0, 3000, 7):
            found = facts.revisions_for_serial(f"{prefix}{number}")
            assert not found or found in known, (prefix, number)


def test_numbers_that_two_revisions_share_are_a_case_of_their_own() -> None:
    assert ("c", "d") in unit_states(demo_shop().facts["sixteenfold"])


@pytest.mark.parametrize("model", MODELS)
def test_all_cautions_a_check_or_a_cause_may_need_are_in_the_page(model: str) -> None:
    made = demo_page(model)
    data = data_of(made)
    ready = re.findall(r'<template data-hazard="([a-z-]+)">\s*<aside class="hs-caution', made.body)
    called = {hazard for each in (*data["checks"], *data["causes"]) for hazard, _ in each["hazards"]}
    assert set(ready) == called
    assert called
    for hazard in ready:
        template = made.body.split(f'<template data-hazard="{hazard}">')[1].split("</template>")[0]
        assert all(line in Markup(template).text for line in hazards()[hazard].shop)
        assert "details" not in template


def test_without_scripts_a_caution_stands_above_the_first_check_that_needs_it() -> None:
    body = demo_page("sixteenfold").body
    static = body[body.index("<section data-static") : body.index("<template")]
    assert static.index("hs-caution-mains") < static.index('class="hs-check-do"')
    first_rail = static.index("Measure TP1 against TP0")
    assert static.index("hs-caution-stored-energy") < first_rail


def test_a_hostile_text_of_a_record_is_text(tmp_path: Any) -> None:
    folder = edited(
        tmp_path / "shop", "models/pacer.yml", ("name: Pacer\n", "name: '</script><b>Pacer</b>'\n")
    )  # fmt: skip
    made = bench_page(Desk(loaded(folder), draws=False), "pacer")
    assert "<b>Pacer" not in made.body
    assert data_of(made)["name"] == "</script><b>Pacer</b>"


def crowded(count: int) -> Shop:
    """The demo with so many more faults on one model."""
    shop = demo_shop()
    like = shop.faults["trigger-too-short-first-series"]
    more = {
        f"more-{number:03}": Located(
            f"more-{number:03}", f"faults/more-{number:03}.yml", like.record, like.tree
        )
        for number in range(count)
    }
    return replace(shop, faults=MappingProxyType({**shop.faults, **more}))


def test_of_many_causes_the_likeliest_are_kept_and_the_rest_is_owned_up_to() -> None:
    shop = crowded(100)
    sheet = Desk(shop, draws=False).sheet("models/sixteenfold/bench.html")
    given = bench_data(sheet, shop.facts["sixteenfold"])["cases"]["a"]
    whole = bench_for(shop, "sixteenfold", ("a",)).case
    assert len(given["causes"]) == MOST_CAUSES
    assert given["leftOut"] == len(whole.causes) - MOST_CAUSES
    least = min(each[1] for each in given["causes"])
    assert sorted((each.prior for each in whole.causes), reverse=True)[MOST_CAUSES - 1] == least
    assert sum(each[1] for each in given["causes"]) + given["leak"] == pytest.approx(1, abs=1e-12)
    assert given["leak"] > whole.leak


@pytest.mark.parametrize(
    ("good", "units"),
    [
        ("4.75 V to 5.25 V", ["V", "mV"]), ("<= 20 mV", ["mV", "V"]), ("40 Hz to 52 Hz", ["Hz", "kHz"]),
        ("4.0 ms to 5.0 ms", ["ms", "us", "s"]), ("<= 0.2 ohm", ["ohm", "kohm", "Mohm"]), (">= 60 %", ["%"]),
    ],
)  # fmt: skip
def test_the_unit_of_the_record_is_offered_first(good: str, units: list[str]) -> None:
    assert units_for(good, parse_any_span(good)) == units


def test_the_page_is_linked_from_where_a_technician_comes_from() -> None:
    model = "pacer"
    wanted = {
        "index.html": "models/pacer/bench.html",
        "models/index.html": "pacer/bench.html",
        "models/pacer.html": "pacer/bench.html",
        "models/pacer/revision-a.html": "bench.html",
        "models/pacer/revision-b.html": "bench.html",
        "faults/pacer-short-pulse.html": "../models/pacer/bench.html",
    }
    for path, link in wanted.items():
        assert link in Markup(page(small_site(), path).body).links, path
    for fault, located in small_shop().faults.items():
        links = Markup(page(small_site(), f"faults/{fault}.html").body).links
        assert all(f"../models/{each}/bench.html" in links for each in located.record.models), fault
    assert page(small_site(), f"models/{model}/bench.html").kind == "bench"


def test_its_files_are_in_the_site_also_where_nothing_is_calculated() -> None:
    paths = {asset.path for asset in small_site().assets}
    assert {STYLE, *SCRIPTS} <= paths


# The statistics


def test_the_shares_stand_with_their_number_and_interval() -> None:
    made = statistics_page(Desk(demo_shop()))
    share = r"<td>\d+ % \(\d+ % to \d+ %, \d+ of \1\)</td>"
    assert re.search(rf"from the complaint alone</th><td>(\d+)</td>{share}{share}", made.body)
    assert re.search(rf"after the checks that were made</th><td>(\d+)</td>{share}{share}", made.body)
    assert "Wilson" in made.body
    assert Markup(made.body).faults == []
    assert [each.anchor for each in made.headings] == ["ranking", "jobs", "cures"]


def test_a_shop_without_jobs_is_told_that_nothing_can_be_said() -> None:
    shop = replace(demo_shop(), jobs=MappingProxyType({}))
    text = Markup(statistics_page(Desk(shop)).body).text
    assert "nothing can be said" in text
    assert "%" not in text


def test_the_statistics_are_linked_from_home_and_from_the_bench() -> None:
    assert "bench/statistics.html" in Markup(page(small_site(), "index.html").body).links
    assert "../../bench/statistics.html" in Markup(page(small_site(), "models/pacer/bench.html").body).links


def test_few_cures_are_told_as_counts(tmp_path: Any) -> None:
    shop = loaded(copied(tmp_path / "shop"))
    made = {each.path: each for each in _pages(Desk(shop, draws=False))}
    told = [
        body
        for path, each in made.items()
        if path.startswith("faults/") and "cure held in" in (body := each.body)
    ]
    assert told
    for body in told:
        said = re.search(r"the cure held in ([^.]*)\.", body)
        assert said
        assert re.fullmatch(r"\d+ of \d+ so far|no case yet", said[1])

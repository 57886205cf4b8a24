"""What fits what, as pages: verdicts agree, failing pairs lead to their working, and size is bounded."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from kb.fits import FAILS
from kb.pages.fits_pages import MOST_COLUMNS, MOST_WORKED, MOST_WORKED_IN_ALL, fits_pages
from kb.pages.pageset import Page
from kb.pages.sheet import Desk
from kb.shop import Shop
from tests.benches import demo_shop, edited, found_in
from tests.markup import Markup

UNITS = 50
CELL = re.compile(r'<td class="hs-fit-\w+"><a href="([^"#]+)#([^"]+)"><span[^>]*>(.)</span> ([a-z ]+)</a>')


@pytest.fixture(scope="module")
def pages() -> dict[str, Page]:
    return {page.path: page for page in fits_pages(Desk(demo_shop()))}


def many(units: int) -> Shop:
    """The demo's converter and synthesizer again and again, as other units."""
    shop = demo_shop()
    kept = [shop.models[name] for name in ("weighbridge", "sorrel")]
    models = {f"unit-{number}": replace(kept[number % 2], id=f"unit-{number}") for number in range(units)}
    return replace(shop, models=models, faults={}, jobs={}, guides={})


def test_each_cell_of_the_overview_leads_to_a_line_that_says_the_same(pages: dict[str, Page]) -> None:
    cells = CELL.findall(pages["fits/index.html"].body)
    assert len(cells) > 100
    for href, anchor, sign, word in cells:
        line = pages[f"fits/{href}"].body.split(f'<li id="{anchor}"')[1].split("</p>")[0]
        assert f"{sign}</span> {word}</span>" in line


def test_every_pair_that_fails_has_its_calculation_and_the_command(pages: dict[str, Page]) -> None:
    desk = Desk(demo_shop())
    for output in desk.matrix.outputs:
        body = pages[f"fits/{output.model}.html"].body
        for pair in desk.matrix.partners(output):
            name = f"{output.id}-into-{pair.input.model}-{pair.input.id}"
            assert (pair.verdict == FAILS) == (f'href="#worked-{name}"' in body)
            if pair.verdict == FAILS and output.kind == "pulses":
                worked = body.split(f'id="worked-{name}"')[1].split("</details>")[0]
                sockets = f"output={output.reference} input={pair.input.reference}"
                assert f"halfsplit calc gate_match {sockets}" in worked
                assert 'class="hs-calc"' in worked


def test_cautions_stand_above_what_is_worked_out_in_an_opened_unit(pages: dict[str, Page]) -> None:
    above = pages["fits/sixteenfold.html"].body.split('id="worked"')[1].split("hs-fit-worked")[0]
    assert "hs-caution-mains" in above


def test_a_socket_of_other_revisions_is_told_apart(pages: dict[str, Page]) -> None:
    body = pages["fits/sixteenfold.html"].body
    early = body.split('id="trigger-out-early-into-sorrel-trigger-in"')[1].split("</li>")[0]
    late = body.split('id="trigger-out-into-sorrel-trigger-in"')[1].split("</li>")[0]
    assert "does not fit" in early
    assert "does not fit" not in late


def test_fifty_units_make_no_page_of_forty_thousand_cells() -> None:
    desk = Desk(many(UNITS))
    made = {page.path: page.body for page in fits_pages(desk)}
    assert len(made) == UNITS + 1
    assert len(desk.matrix.inputs) > MOST_COLUMNS
    assert made["fits/index.html"].count("<td") == 0
    assert made["fits/index.html"].count("<li data-model") == UNITS
    assert sum(body.count('class="hs-fit-worked"') for body in made.values()) <= MOST_WORKED_IN_ALL
    assert max(body.count("<li") for body in made.values()) < 2500
    assert max(len(body) for body in made.values()) < 1_500_000


def test_a_page_works_out_no_more_than_its_share(pages: dict[str, Page]) -> None:
    assert max(page.body.count('class="hs-fit-worked"') for page in pages.values()) <= MOST_WORKED


def test_an_unknown_one_shot_is_a_problem_at_its_line(tmp_path: Path) -> None:
    folder = edited(tmp_path / "shop", "models/pacer.yml", ("{device: 74LS123", "{device: 74LX123"))
    (line,) = [line for line in found_in(folder) if "74LX123" in line]
    assert re.match(r"models/pacer\.yml:\d+:\d+: ", line)
    assert 'no one-shot "74LX123" is known; did you mean "74LS123"?' in line


def test_the_pages_are_sound_markup(pages: dict[str, Page]) -> None:
    for page in pages.values():
        found = Markup(page.body)
        assert not found.faults, page.path
        assert len(found.ids) == len(set(found.ids)), page.path

"""The page's script and Python come to the same: values, bands, notes, tables and refusals."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from kb.calculators import Calculation, CalculationError, Table
from tests.browser.calculating import Draw, is_close, open_scripts, outcome, work, written

CASES = 200
WRITTEN = written()


def problems(error: CalculationError) -> list[dict[str, str | None]]:
    return [{"input": each.input, "what": each.what, "advice": each.advice} for each in error.problems]


def say(found: dict[str, Any], expected: Calculation) -> list[str]:
    """Every difference between what the script and what Python found."""
    if found["problems"]:
        return [f"the script refuses: {found['problems']}"]
    differences = []
    computed = {each["key"]: each for each in found["results"]}
    for result in expected.results:
        if result.key not in computed:
            continue
        made = computed[result.key]
        shown = (made["shown"], made["band"], made["label"])
        if shown != (result.shown, result.shown_band, result.label):
            differences.append(f"{result.key}: {shown} for {result}")
        for key in ("value", "low", "high"):
            wanted = getattr(result, key)
            if isinstance(wanted, float) and not is_close(made.get(key, wanted), wanted):
                differences.append(f"{result.key}: {key} {made.get(key)!r} for {wanted!r}")
    notes = sorted((note["level"], note["text"]) for note in found["notes"])
    wanted_notes = sorted((note.level, note.text) for note in set(expected.notes))
    if notes != wanted_notes:
        differences.append(f"notes {sorted(set(notes) ^ set(wanted_notes))}")
    by_title = {table.title: table for table in expected.tables}
    for made in found["tables"]:
        differences += say_table(made, by_title[made["title"]])
    return differences


def say_table(found: dict[str, Any], expected: Table) -> list[str]:
    places = {column.key: number for number, column in enumerate(expected.columns)}
    if len(found["rows"]) != len(expected.rows):
        return [f"{expected.title}: {len(found['rows'])} rows for {len(expected.rows)}"]
    return [
        f"{expected.title}: {key} {text!r} for {row[places[key]].shown!r}"
        for made, row in zip(found["rows"], expected.rows, strict=True)
        for key, text in made.items()
        if text != row[places[key]].shown
    ]


@pytest.mark.parametrize(("name", "inputs"), WRITTEN, ids=lambda value: str(value)[:60])
def test_the_script_and_python_agree(
    watched_page: Page, tmp_path: Path, name: str, inputs: dict[str, str]
) -> None:
    draw = Draw(name, inputs, f"{name} {inputs}")
    drawn = [draw.case() for _ in range(CASES)]
    open_scripts(watched_page, tmp_path, [draw.plan])
    found = work(watched_page, [{"name": draw.plan.name, "way": way, "texts": texts} for texts, way in drawn])
    differences, worked = [], 0
    for (texts, _), made in zip(drawn, found, strict=True):
        expected = outcome(name, texts)
        if isinstance(expected, Calculation):
            worked += 1
            differences += [f"{texts}: {each}" for each in say(made, expected)]
        elif made["problems"] != problems(expected):
            differences.append(f"{texts}: {made['problems']} for {problems(expected)}")
    assert not differences, f"{len(differences)}:\n" + "\n".join(differences[:8])
    assert worked >= CASES / 10


@pytest.mark.parametrize(("name", "inputs"), WRITTEN, ids=lambda value: str(value)[:60])
def test_the_values_as_written_give_what_the_page_shows(
    watched_page: Page, tmp_path: Path, name: str, inputs: dict[str, str]
) -> None:
    plan = Draw(name, inputs, "").plan
    open_scripts(watched_page, tmp_path, [plan])
    expected = outcome(name, inputs)
    assert isinstance(expected, Calculation)
    found = work(watched_page, [{"name": plan.name, "way": plan.way, "texts": inputs}])[0]
    assert not say(found, expected)
    # A result in words may be Python's alone; the page then points to the command.
    numbers = {result.key for result in expected.results if result.dimension != "text"}
    assert numbers <= {each["key"] for each in found["results"]}

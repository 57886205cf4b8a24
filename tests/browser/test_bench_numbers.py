"""What the bench page reckons, and how honestly it says it: held against `halfsplit rank`."""

from __future__ import annotations

import json
import random
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import Page, expect

from kb.cli.rank import rank
from kb.diagnosis.case import Result
from kb.diagnosis.from_shop import bench_for
from kb.diagnosis.posterior import verdict
from tests.benches import demo_shop
from tests.browser.benching import ANSWER, COMPLAINT, SET, is_confirming, log, now, press, read, take
from tests.browser.watching import open_file
from tests.reference.diagnosis import agrees


def test_the_page_reckons_what_the_command_prints(
    bench: Page, plain_demo: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Forty units: serials, sights, complaints, results and ruled out causes drawn at random."""
    draw = random.Random(20261)
    seen, leads = set(), 0
    units = [(model, *_drawn(draw, model)) for model in sorted(demo_shop().models) for _ in range(8)]
    monkeypatch.setattr("kb.cli.rank.shop_or_stop", lambda _folder: demo_shop())
    for number, (model, state, options) in enumerate(units):
        if number % 8 == 0:
            open_file(bench, plain_demo / f"models/{model}/bench.html")
        bench.evaluate(SET, state)
        found = bench.evaluate(ANSWER)
        told = CliRunner().invoke(rank, [model, "--json", *options])
        assert told.exit_code == 0, told.output
        wanted = _as_answer(json.loads(told.output))
        assert agrees(found, wanted, 1e-9), (number, model, options)
        leads += wanted["ifBad"] is not None
        seen.add((wanted["verdict"], len(wanted["revisions"]) > 1, bool(state["symptoms"])))
    assert {verdict for verdict, *_ in seen} == {"consistent", "doubtful", "contradiction"}
    assert {several for _, several, _ in seen} == {True, False}
    assert leads > 10


def _drawn(draw: random.Random, model: str) -> tuple[dict[str, Any], list[str]]:
    """A state of the page and the same as options of the command."""
    facts = demo_shop().facts[model]
    state: dict[str, Any] = {"serial": "", "revision": "", "symptoms": [], "entries": []}
    options: list[str] = []
    every = [each for ranges in facts.ranges.values() for each in ranges]
    way = draw.choice(("nothing", "serial", "sight", "both"))
    if way in ("serial", "both") and every:
        chosen = draw.choice(every)
        state["serial"] = (
            f"{chosen.prefix}-{draw.choice((chosen.low or 1, chosen.high or (chosen.low or 0) + 5)):04}"
        )
        options += ["--serial", state["serial"]]
    if way in ("sight", "both"):
        state["revision"] = draw.choice(facts.revision_ids)
        options += ["--revision", state["revision"]]
    on = (
        (state["revision"],)
        if state["revision"]
        else facts.revisions_for_serial(state["serial"]) or facts.revision_ids
    )
    told = sorted(
        {
            text
            for each in demo_shop().faults.values()
            if model in each.record.models
            for text in each.record.symptoms
        }
    )
    state["symptoms"] = draw.sample(told, draw.randint(0, 3))
    for text in state["symptoms"]:
        options += ["--symptom", text]
    made = [each for each in facts.model.checks if set(facts.revisions_of(each.revisions)) & set(on)]
    for check in draw.sample(made, min(len(made), draw.randint(0, 7))):
        outcome, word = draw.choice(
            (("pass", "good"), ("fail", "bad"), ("fail", "bad"), ("not_done", "not_done"))
        )
        state["entries"].append({"check": check.id, "outcome": outcome, "reading": None, "at": 0})
        options += ["--result", f"{check.id}={word}"]
    faults = sorted(bench_for(demo_shop(), model, on).suspects)
    for fault in draw.sample(faults, draw.choice((0, 0, 1, 2))):
        state["entries"].append({"cause": fault, "outcome": "ruled_out", "at": 0})
        options += ["--ruled-out", fault]
    return state, options


def _as_answer(told: dict[str, Any]) -> dict[str, Any]:
    def name(each: dict[str, Any]) -> str:
        return str(each["fault"] or each["block"])

    def lead(each: dict[str, Any] | None) -> list[Any] | None:
        return each and [each["fault"], each["probability"]]

    return {
        "ifBad": lead(told["if_bad"]), "ifGood": lead(told["if_good"]),
        "revisions": told["revisions"], "verdict": told["verdict"], "message": told["message"],
        "repeat": told["repeat"], "next": told["next"], "confirm": told["confirm"],
        "causes": [[name(each), each["probability"]] for each in told["causes"]],
        "checks": [[each["check"], each["expected_minutes"], each["saves_minutes"], each["fails"]]
                   for each in told["checks"]],
        "counts": sorted(
            [name(each), each["count"], each["n"]] for each in told["causes"] if each["kind"] != "leak"
        ),
        "outcomes": [[each["check"], [[did["before"], did["after"]] for did in each["effect"]]]
                     for each in told["outcomes"]],
    }  # fmt: skip


def test_a_newcomer_finds_the_short_trigger(bench: Page) -> None:
    """From what the customer tells to the fault, doing what the page says on a unit that has it."""
    bench.get_by_label("Serial number").fill("SX16-0123")
    bench.get_by_label("Words to look for").fill("envelope start")
    bench.get_by_label(COMPLAINT).check()
    good = {check.id for check in demo_shop().facts["sixteenfold"].model.checks}
    for _ in range(12):
        if is_confirming(bench):
            break
        assert now(bench) in good
        press(bench, "✓ Good")
    expect(bench.locator("#now")).to_have_text(
        "Confirm: First series sends triggers too short for older envelopes"
    )
    first = bench.locator("[data-slot=causes] li").first
    expect(first).to_contain_text("First series sends triggers too short for older envelopes")
    bench.locator("[data-slot=now]").get_by_role("link", name="First series sends triggers").click()
    expect(bench.get_by_role("heading", level=1)).to_contain_text("too short for older envelopes")


def test_no_percentage_stands_where_repairs_are_few(bench: Page) -> None:
    take(bench, "rail-5")
    read(bench, "4.1 V")
    causes = bench.locator("[data-slot=causes]")
    expect(causes).to_contain_text("jobs")
    assert "%" not in causes.inner_text() + bench.locator("[data-slot=why]").inner_text()
    assert "%" not in bench.locator("[data-slot=log]").inner_text()
    expect(causes.locator(".hs-bench-share").first).to_be_visible()


def test_with_many_repairs_the_count_stands_beside_the_percentage(bench: Page) -> None:
    bench.evaluate("""() => {
      const { page } = window.halfsplitBench;
      const causes = Object.values(page.data.cases).flatMap(each => each.causes);
      for (const cause of causes) [cause[5], cause[6]] = [3, 14];
      page.show();
    }""")
    take(bench, "rail-5")
    press(bench, "✗ Bad")
    for row in bench.locator("[data-slot=causes] li, .hs-bench-branches li").all():
        assert re.search(r"%.*(3 of 14 jobs|beside the 14 on record)", row.inner_text(), re.DOTALL)
    assert all("%" not in line or "(from 14 jobs)" in line for line in log(bench)[0][4].split("\n"))
    expect(bench.locator("[data-slot=causes] li").first).to_contain_text("%")
    expect(bench.locator("[data-slot=causes] li").first).to_contain_text("3 of 14 jobs")


def test_it_says_what_would_lead_after_each_outcome(bench: Page) -> None:
    """And once the outcome is entered, that is what leads."""
    for name, label in (("✗ Bad", "If bad"), ("✓ Good", "If good"), ("✓ Good", "If good")):
        rows = {row.split(" ")[1]: row for row in bench.locator(".hs-bench-branches li").all_inner_texts()}
        assert list(rows) == ["good", "bad"]
        told = rows[label.split(" ")[1]]
        press(bench, name)
        first = bench.locator("[data-slot=causes] li").first
        title, said = first.locator("p").inner_text(), first.locator("strong").inner_text()
        assert told.startswith(f"{label} {title}: {said}")


def test_a_check_made_again_is_foretold_without_its_first_result(bench: Page) -> None:
    take(bench, "rail-5")
    before = bench.locator(".hs-bench-branches").inner_text()
    press(bench, "✗ Bad")
    press(bench, "Make rail-5 again")
    assert bench.locator(".hs-bench-branches").inner_text() == before


def _contradicting() -> tuple[Result, ...]:
    """The shortest row of results found by chance that no cause on revision C can give."""
    case = bench_for(demo_shop(), "sixteenfold", ("c",)).case
    draw = random.Random(5)
    rows = (
        tuple(_result(draw, each.id) for each in draw.sample(case.checks, size))
        for size in range(2, 9)
        for _ in range(400)
    )
    return next(row for row in rows if verdict(case, row) == "contradiction")


def _result(draw: random.Random, check: str) -> Result:
    return Result(check, "fail" if draw.random() < 0.5 else "pass")


def test_contradicting_readings_get_a_message_and_no_number(bench: Page) -> None:
    bench.get_by_label("C with quantiser").check()
    for result in _contradicting():
        take(bench, result.check)
        press(bench, "✗ Bad" if result.outcome == "fail" else "✓ Good")
    expect(bench.locator("#now")).to_contain_text("Again first: ")
    expect(bench.locator(".hs-bench-message")).to_contain_text(f"Make {now(bench)} again first")
    causes = bench.locator("[data-slot=causes]")
    expect(causes.locator(".hs-bench-share")).to_have_count(0)
    expect(causes.locator("strong")).to_have_count(0)
    expect(bench.get_by_role("button", name="✓ Good")).to_be_visible()
    repeated = now(bench)
    press(bench, "✓ Good")
    assert [row[1] for row in log(bench)].count(repeated) == 2
    assert "made again below" in next(row[4] for row in log(bench) if row[1] == repeated)

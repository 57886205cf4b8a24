"""`halfsplit rank`: causes with their cases, the next check with its cautions above it, clear refusals."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from tests.cli.shops import run
from tests.diagnosis.shops import job, shop_in


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with eight jobs on its clock box."""
    made = tmp_path_factory.mktemp("shops") / "bench"
    jobs = [job("pulse-short", day, "length: 4 ms", "rail: 5.0 V") for day in range(4)]
    jobs += [job("rail-low", day, "rail: 4 V") for day in range(4, 7)]
    jobs += [job("jack-worn", 8, "lamp: bad")]
    shop_in(made, jobs)
    return made


def ranked(folder: Path, *words: str) -> dict[str, Any]:
    result = run("rank", "ticker", "--shop", str(folder), "--json", *words)
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.output)
    return found


def shares(found: dict[str, Any]) -> dict[str, float]:
    return {each["fault"]: each["probability"] for each in found["causes"]}


def test_the_shape_of_the_json(folder: Path) -> None:
    found = ranked(folder, "--serial", "TK-0007", "--symptom", "notes go missing", "--result", "rail=5.02 V")
    assert (found["model"], found["revision"], found["serial"]) == ("ticker", "a", "TK-0007")
    assert {"fault", "title", "probability", "count", "n", "block"} <= set(found["causes"][0])
    assert found["causes"][0]["fault"] == "pulse-short"
    assert (found["causes"][0]["count"], found["causes"][0]["n"]) == (4, 8)
    assert found["causes"][0]["block"] == "shaper"
    assert {"check", "expected_minutes", "saves_minutes", "hazards"} <= set(found["checks"][0])
    assert [each["kind"] for each in found["causes"]].count("leak") == 1
    assert math.fsum(shares(found).values()) == pytest.approx(1, abs=1e-12)
    assert found["next"] is None or found["next"] in {each["check"] for each in found["checks"]}
    assert (found["next"] is None) != (found["confirm"] is None)
    (outcome,) = found["outcomes"]
    assert (outcome["check"], outcome["outcome"], outcome["reading"]) == ("rail", "good", "5.02 V")
    moved = {each["fault"]: each for each in outcome["effect"]}
    assert moved["rail-low"]["after"] < moved["rail-low"]["before"]
    assert moved["rail-low"]["log_odds"] < 0
    assert moved["pulse-short"]["after"] == found["causes"][0]["probability"]
    assert found["message"] is None


def test_checks_come_best_first_and_say_what_they_save(folder: Path) -> None:
    found = ranked(folder, "--revision", "a")
    expected = [each["expected_minutes"] for each in found["checks"]]
    assert expected == sorted(expected)
    assert found["next"] == found["checks"][0]["check"]
    for each in found["checks"]:
        base = found["minutes_without_checks"]
        assert each["saves_minutes"] == pytest.approx(base - each["expected_minutes"])
    hazards = {each["check"]: each["hazards"] for each in found["checks"]}
    assert hazards["rail"] == hazards["lamp"] == ["mains"]


@pytest.mark.parametrize(
    ("said", "outcome"),
    [("good", "good"), ("bad", "bad"), ("not_done", "not_done"), ("5 V", "good"), ("4400 mV", "bad"),
     (" 4.9 V to 5.1 V ", "good")],
)  # fmt: skip
def test_a_result_is_a_word_or_a_reading(folder: Path, said: str, outcome: str) -> None:
    found = ranked(folder, "--revision", "a", "--result", f"rail={said}")
    assert found["outcomes"][0]["outcome"] == outcome
    open_checks = {each["check"] for each in found["checks"]}
    assert ("rail" in open_checks) == (outcome == "not_done")
    assert found["next"] != "rail"


def test_a_bad_rail_makes_the_rail_likely_and_the_last_entry_holds(folder: Path) -> None:
    bad = ranked(folder, "--revision", "a", "--result", "rail=4 V")
    good = ranked(folder, "--revision", "a", "--result", "rail=5 V")
    mended = ranked(folder, "--revision", "a", "--result", "rail=4 V", "--result", "rail=5 V")
    assert shares(bad)["rail-low"] > 0.7 > shares(good)["rail-low"]
    assert shares(mended) == shares(good)


def test_results_in_another_order_say_the_same(folder: Path) -> None:
    one = ranked(folder, "--revision", "a", "--result", "rail=5 V", "--result", "length=4 ms")
    other = ranked(folder, "--revision", "a", "--result", "length=4 ms", "--result", "rail=5 V")
    assert shares(one) == pytest.approx(shares(other), abs=1e-12)
    assert one["next"] == other["next"]


def test_the_serial_tells_the_revision_or_leaves_two(folder: Path) -> None:
    late = ranked(folder, "--serial", "TK-0150")
    assert late["revision"] == "b"
    assert "pulse-late" in shares(late)
    assert "pulse-short" not in shares(late)
    both = ranked(folder, "--serial", "TK-0055")
    assert both["revision"] is None
    assert both["revisions"] == ["a", "b"]
    assert "may be revision a or b" in both["note"]
    seen = ranked(folder, "--serial", "TK-0150", "--revision", "a")
    assert seen["revision"] == "a"
    assert "as told by sight" in seen["note"]


def test_a_contradiction_is_a_message_and_no_number(tmp_path: Path) -> None:
    shop_in(tmp_path, [job("rail-low", day, "lamp: bad") for day in range(10)])
    told = ("rail=good", "rate=bad", "length=good", "lamp=good")
    words = [word for each in told for word in ("--result", each)]
    found = ranked(tmp_path, "--revision", "a", *words)
    assert found["verdict"] == "contradiction"
    assert set(shares(found).values()) == {None}
    assert "contradict" in found["message"]
    assert (found["next"], found["confirm"], found["repeat"]) == (None, None, "lamp")
    shown = run("rank", "ticker", "--shop", str(tmp_path), "--revision", "a", *words).output
    assert "contradict" in shown
    assert "%" not in shown
    assert shown.index("Again first: lamp") < shown.index("CAUTION") < shown.index("watch the lamp")


def test_the_text_says_cases_beside_every_share_and_cautions_with_the_check(folder: Path) -> None:
    shown = run("rank", "Ticker", "--shop", str(folder), "--revision", "a", "--result", "length=good").output
    assert "Ticker (ticker), revision a" in shown
    assert "rail-low, in supply; in 3 of 8 jobs here" in shown
    assert "something that is not on record yet" in shown
    assert "length: good; jack-worn" in shown
    assert "Next check: rail" in shown
    assert "measure the rail" in shown
    assert "good: 4.75 V to 5.25 V" in shown
    assert "saves about" in shown
    assert "CAUTION Mains voltage can kill." in shown
    assert "Local codes and licensed practice come first." in shown
    assert shown.index("Next check") < shown.index("CAUTION") < shown.index("measure the rail")


def test_where_no_fault_is_on_record_the_blocks_are_ranked(tmp_path: Path) -> None:
    shop_in(tmp_path, leave_out=("rail-low", "pulse-short", "pulse-late", "jack-worn"))
    found = ranked(tmp_path, "--revision", "a", "--result", "rate=good", "--result", "lamp=bad")
    assert [each["block"] for each in found["causes"][:2]] in (["output", "shaper"], ["shaper", "output"])
    assert {each["kind"] for each in found["causes"]} == {"block", "leak"}
    shown = run("rank", "ticker", "--shop", str(tmp_path), "--revision", "a").output
    assert "no fault is on record here" in shown


def test_a_cause_that_is_not_it_is_left_out_and_said_so(folder: Path) -> None:
    whole = ranked(folder, "--revision", "a")
    found = ranked(folder, "--revision", "a", "--ruled-out", "rail-low", "--ruled-out", "rail-low")
    assert found["ruled_out"] == ["rail-low"]
    assert "rail-low" not in shares(found)
    left = 1 - shares(whole)["rail-low"]
    assert shares(found)["jack-worn"] == pytest.approx(shares(whole)["jack-worn"] / left)
    shown = run("rank", "ticker", "--shop", str(folder), "--revision", "a", "--ruled-out", "rail-low").output
    assert "rail-low: looked at, and it was not it" in shown
    assert "reckoned from 8 jobs on this model that found one of them; too few" in shown


HELD = 'cannot be held against "4.75 V to 5.25 V"; write a reading with its unit, as in 4.75 V to 5.25 V, or'
NO_RESULT = "is no result; write CHECK=good, bad, not_done or a reading"
BY_SIGHT = "correct it, or tell the revision by sight with --revision a or b"


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("tikker", 'there is no model "tikker"; did you mean "ticker"?'),
        ("ticker --revision c", 'there is no revision "c" of ticker; known are: a, b'),
        ("ticker --serial TK-9999", f'"TK-9999" lies in no serial range of ticker; {BY_SIGHT}'),
        ("ticker --result rial=good", 'ticker has no check "rial"; did you mean "rail"?'),
        ("ticker --result rail", f'"rail" {NO_RESULT}'),
        (
            "ticker --ruled-out rail-lo",
            '"rail-lo" is not among the causes of this unit; did you mean "rail-low"?',
        ),
        ("ticker --result rail=", f'"rail=" {NO_RESULT}'),
        (
            "ticker --revision b --result length=bad",
            '"length" is not made on revision b; ticker has it on a',
        ),
        ("ticker --result rail=5ms", f'rail: "5ms" {HELD} good or bad'),
        ("ticker --result rail=5", f'rail: "5" {HELD} good or bad'),
        (
            "ticker --result lamp=dim",
            'lamp: "dim" cannot be held against "one flash for every pulse"; say good or bad',
        ),
    ],
)
def test_what_is_not_known_is_refused_in_one_line(folder: Path, words: str, line: str) -> None:
    result = run("rank", *words.split(), "--shop", str(folder))
    assert result.exit_code == 2
    assert result.stderr == line + "\n"
    assert result.stdout == ""


def test_the_folder_is_this_one_unless_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    assert run("rank", "ticker").exit_code == 0
    assert run("rank", "ticker", "--shop", "nowhere").exit_code == 2


def test_a_shop_with_problems_ranks_nothing(tmp_path: Path) -> None:
    shop_in(tmp_path)
    (tmp_path / "faults" / "broken.yml").write_text("title: x\n", "utf-8")
    result = run("rank", "ticker", "--shop", str(tmp_path))
    assert result.exit_code == 1
    assert "faults/broken.yml:1:1" in result.stderr

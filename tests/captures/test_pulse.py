"""The calculator, the command and the pages: what a pulse is held against, and what is said of it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from kb.audience.attaching import Attachments
from kb.calculators import Calculation, CalculationError
from kb.calculators.pulse import bound
from kb.calculators.pulse_sources import Needs, PulseSources
from kb.calculators.run import run
from kb.captures.capture import Samples
from kb.cli import main
from kb.pages.public.captures import public_pulse, without_file_name
from kb.pages.shop_captures import ShopCaptures
from kb.shop import load_shop
from tests.benches import ONE_BENCH, edited, small_page, small_shop
from tests.captures.waves import capture_of, noise, times, train, trapezoid

AT = times(20_000)
PULSE = trapezoid(AT, 50e-3, 0.2e-3, 3.8e-3, 0.2e-3, 0.1, 4.9)
"""Four milliseconds at half height, from 0.1 V to 4.9 V."""


def held(wave: Samples, needs: Needs | None = None, **written: str) -> Calculation:
    sources = PulseSources(lambda _: capture_of(wave), lambda _: needs or Needs(""))
    inputs = {"capture": "wave.csv", **({"needs": "model/port"} if needs else {}), **written}
    return run(bound(sources), inputs)


def verdict(found: Calculation) -> str:
    return str(found.result("verdict").value)


def said(found: Calculation) -> str:
    return " | ".join(str(note) for note in found.notes)


@pytest.mark.parametrize(
    ("needs", "word", "words"),
    [
        (Needs("Organ", 2.5, 0.8, 1e-3), "fits", "Organ: the pulse is 3 ms longer than the 1 ms needed, 4.0"),
        (Needs("Organ", 2.5, 0.8, 3.8e-3), "fits", "only 199 µs longer than the 3.8 ms needed"),
        (Needs("Organ", 2.5, 0.8, 5e-3), "pulse too short", "the pulse is 1 ms short of the 5 ms needed"),
        (Needs("Organ", 5.5, 0.8, 1e-3), "high level fails", "its top is 600 mV below the 5.5 V needed"),
        (Needs("Organ", 2.5, 0.05, 1e-3), "low level fails", "warning: the low level stays above"),
        (Needs("Organ", 2.5, 0.8, 1e-3, most_v=3.3), "level too high", "bring it down with a divider"),
        (Needs("Organ", low_v=0.8, duration_s=1e-3, is_switch=True), "wrong direction", "a short to ground"),
    ],
)  # fmt: skip
def test_a_pulse_is_held_against_what_an_input_needs(needs: Needs, word: str, words: str) -> None:
    found = held(PULSE, needs)
    assert verdict(found) == word
    assert words in said(found).replace("\u00a0", " ")


def test_margins_are_those_at_worst() -> None:
    found = held(PULSE + noise(len(AT), 0.1), Needs("Organ", 2.5, 0.8, 3e-3))
    duration, top = found.result("duration"), found.result("top")
    assert duration.low is not None
    assert top.low is not None
    assert found.result("duration_margin").value == pytest.approx(duration.low - 3e-3, rel=1e-3)
    assert found.result("level_margin").value == pytest.approx(top.low - 2.5, rel=1e-6)


def test_a_train_that_rests_high_is_judged_by_its_high_times() -> None:
    wave = 5 - train(AT, 20e-3 + 40e-3 * (AT[:4] / 10e-6), 5e-3, 0.2e-3)
    found = held(wave, Needs("Organ", 2.5, 0.8, 30e-3))
    assert verdict(found) == "fits"
    assert "between these pulses" in said(found)
    alone = held(5 - PULSE, Needs("Organ", 2.5, 0.8, 1e-3))
    assert verdict(alone) == "wrong direction"


def test_a_step_fits_by_its_levels_and_says_that_the_duration_is_open() -> None:
    step = trapezoid(AT, 50e-3, 1e-3, 1.0, 1e-3)
    assert verdict(held(step, Needs("Organ", 2.5, 0.8, 1e-3))) == "levels fit, duration not measured"
    assert verdict(held(0 * AT, Needs("Organ", 2.5, 0.8, 1e-3))) == "no pulse"


def test_a_lower_bound_says_so_and_no_result_hides_it() -> None:
    wave = PULSE + noise(len(AT), 0.05)
    wave[wave > 4] = float("inf")
    found = held(wave, Needs("Organ", 2.5, 0.8, 1e-3, most_v=10.0))
    assert found.result("amplitude").shown.startswith("at least")
    assert "whether it is more than the input bears is open" in said(found)


@pytest.mark.parametrize(
    ("written", "input_", "words"),
    [
        ({"channel": "2"}, "channel", "there is no channel 2"), ({"channel": "0"}, "channel", "whole number"),
        ({"needs_high": "3"}, "needs_high", "3"), ({"capture": ""}, "capture", "short text"),
    ],
)  # fmt: skip
def test_wrong_inputs_are_named(written: dict[str, str], input_: str, words: str) -> None:
    with pytest.raises(CalculationError) as caught:
        held(PULSE, **written)
    assert caught.value.problems[0].input == input_
    assert words in str(caught.value)


# The command


def measure(*words: str) -> tuple[int, str, str]:
    found = CliRunner().invoke(main, ["measure", *words])
    return found.exit_code, found.stdout, found.stderr


def test_measure_tells_how_it_read_and_what_it_found(demo_content: Path) -> None:
    file = str(demo_content / "captures/sx16-0137-trigger-before.csv")
    code, text, _ = measure(file, "--needs", "sorrel/trigger-in", "--shop", str(demo_content))
    assert code == 0
    for words in (
        "separator comma, decimal point",
        "3,600, 25",
        "Verdict: pulse too short",
        "Pulse duration: 4.44",
    ):
        assert words in text.replace("\u00a0", " ")
    code, text, _ = measure(file, "--json")
    data = json.loads(text)
    assert data["results"]["duration"]["value"] == pytest.approx(4.42e-3, abs=0.1e-3)
    assert data["results"]["duration"]["low"] < data["results"]["duration"]["value"]
    assert data["understood"]["sample_interval"]["value"] == pytest.approx(25e-6)
    assert data["understood"]["clipping"] == "none"


@pytest.mark.parametrize(
    ("text", "options", "code", "words"),
    [
        ("time,v\n0.0,1\n0.1,x\n0.2,1\n", (), 1, 'bad.csv:3:5: "x" is no number; write a number'),
        ("time,v\n0.0,1\n0.1,2\n0.2,1\n", ("--channel", "3"), 2, "channel: there is no channel 3"),
        ("time,v\n0.0,1\n0.1,2\n0.2,1\n", ("--needs", "a/b", "--shop", "nowhere"), 2, "needs: "),
        (None, (), 2, "cannot be read"),
    ],
)  # fmt: skip
def test_measure_says_in_one_line_what_is_wrong(
    tmp_path: Path, text: str | None, options: tuple[str, ...], code: int, words: str
) -> None:
    file = tmp_path / "bad.csv"
    if text is not None:
        file.write_text(text, encoding="utf-8")
    found, out, error = measure(str(file), *options)
    assert (found, out) == (code, "")
    (line,) = error.splitlines()
    assert words in line


# Pages


def test_a_fault_page_shows_its_capture_measured_and_judged() -> None:
    body = small_page("faults/pacer-short-pulse.html").body
    for words in (
        "pulse too short",
        "at the clock socket, R7 still 10k",
        "captures/r7-10k.csv",
        "<svg",
        "<desc",
    ):
        assert words in body, words


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("file: r7-10k.csv", "file: r7.csv", 'there is no file "captures/r7.csv"'),
        ("needs: pacer/reset-in", "needs: pacer/clock-out", '"pacer/clock-out" is an output'),
        ("needs: pacer/reset-in", "needs: pacer/rest-in", 'pacer has no socket "rest-in"'),
        ("needs: pacer/reset-in", "channel: 4", "there is no channel 4"),
    ],
)
def test_what_is_wrong_with_a_listed_capture_is_told_at_its_line(
    tmp_path: Path, old: str, new: str, line: str
) -> None:
    folder = edited(tmp_path / "shop", "faults/pacer-short-pulse.yml", (old, new))
    error = CliRunner().invoke(main, ["check", str(folder)]).stderr
    (told,) = error.splitlines()[:1]
    assert told.startswith("faults/pacer-short-pulse.yml:")
    assert line in told


def test_a_file_that_is_no_capture_is_told_with_its_own_place(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(ONE_BENCH, folder)
    (folder / "captures/r7-10k.csv").write_text("time (s),v (V)\n0.0,1\n0.1,?!\n", encoding="utf-8")
    error = CliRunner().invoke(main, ["check", str(folder)]).stderr
    assert 'captures/r7-10k.csv:3:5: "?!" is no number' in error


def test_only_files_of_the_captures_folder_are_opened(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(ONE_BENCH, folder)
    (tmp_path / "outside.csv").write_text("time (s),v (V)\n0.0,1\n0.1,2\n", encoding="utf-8")
    (folder / "captures/linked.csv").symlink_to(tmp_path / "outside.csv")
    shop, _ = load_shop(folder)
    assert shop is not None
    for name, words in (
        ("../shop.yml", "there is no capture"),
        ("linked.csv", "leads out of the shop folder"),
    ):
        with pytest.raises(CalculationError, match=words):
            ShopCaptures(shop).capture(name)


# Customers


def test_customers_get_what_was_made_anew_and_neither_port_nor_file_name(tmp_path: Path) -> None:
    folder = tmp_path / "captures"
    folder.mkdir()
    (folder / "pennick-0137.csv").write_text("time,level\n0,0\n0.001,5\n0.002,5\n0.003,0\n", encoding="utf-8")
    (folder / "owner.csv").write_text("Owner,Pennick\ntime,level\n0,0\n0.001,5\n", encoding="utf-8")
    names = frozenset(("captures/pennick-0137.csv", "captures/owner.csv"))
    calculator = public_pulse(Attachments(tmp_path, names))
    shown = without_file_name(run(calculator, {"capture": "pennick-0137.csv", "needs_duration": "1 ms"}))
    assert verdict(shown) == "fits"
    assert "pennick" not in repr(shown)
    for inputs, words in (
        ({"capture": "owner.csv"}, "leave only columns and figures"),
        ({"capture": "other.csv"}, "there is no capture"),
        ({"capture": "pennick-0137.csv", "needs": "pacer/reset-in"}, "what sockets need is for the shop"),
    ):
        with pytest.raises(CalculationError, match=words):
            run(calculator, inputs)


def test_ports_of_the_shop_know_their_needs() -> None:
    found = ShopCaptures(small_shop()).calculator()
    data = run(found, {"capture": "r7-10k.csv", "needs": "pacer/reset-in"}).as_json()["results"]
    assert isinstance(data, dict)
    assert data["duration_margin"]["value"] == pytest.approx(4.5e-3 - 12e-3, abs=0.2e-3)

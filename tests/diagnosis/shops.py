"""A small shop written into a folder: a chain of four blocks, two revisions, four faults, jobs to order."""

from __future__ import annotations

import datetime
import random
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from kb.handbook import handbook_folder
from kb.shop import Shop, load_shop

CARD = """\
name: Lanternfold Bench
mains: {voltage: 230 V, frequency: 50 Hz}
safe_voltage: 42.4 V
local_code: ask
"""
TICKER = """\
name: Ticker
maker: Tessimere
kind: clock box
summary: A clock.
revisions:
  - {id: a, serials: TK-0001 to TK-0099, by_sight: [brown board]}
  - {id: b, serials: [TK-0100 to TK-0199, TK-0050 to TK-0060],
     shares_serials_with: a, by_sight: [green board]}
blocks:
  - {id: supply, name: Supply, role: supply, feeds: clock, hazards: [mains]}
  - {id: clock, name: Clock, role: clock, feeds: shaper}
  - {id: shaper, name: Shaper, role: one-shot, feeds: [output, {to: clock, revisions: b}]}
  - {id: output, name: Output, role: output}
checks:
  - {id: rail, block: supply, do: measure the rail, good: 4.75 V to 5.25 V, minutes: 2}
  - {id: rate, block: clock, do: measure the rate, good: 10 Hz to 20 Hz, minutes: 3}
  - {id: length, block: shaper, do: measure the pulse, good: 10 ms to 20 ms, minutes: 3, revisions: a}
  - {id: length-late, block: shaper, do: measure the pulse, good: 20 ms to 30 ms, minutes: 3, revisions: b}
  - {id: lamp, block: output, do: watch the lamp beside the fuse, good: one flash for every pulse}
"""
TOCKER = """\
name: Tocker
maker: Tessimere
kind: drum box
summary: A drum.
revisions: [{id: x, serials: TR-0001 and up}]
blocks: [{id: shape, name: Shaper, role: one-shot}, {id: voice, name: Voice}]
checks: [{id: strike, block: shape, do: strike it, good: a sound, minutes: 1}]
"""
FAULTS = {
    "rail-low": ("ticker", "all", "supply", "it is dead, no lamp at all", [("rail", "3 V to 4 V")]),
    "pulse-short": ("ticker", "a", "shaper", "notes go missing", [("length", "4 ms"), ("rail", "5 V")]),
    "pulse-late": ("ticker", "b", "shaper", "notes go missing", [("length-late", "15 ms to 25 ms")]),
    "jack-worn": ("ticker", "all", "output", "crackles when the plug is moved", []),
    "tock-slack": ("tocker", "all", "shape", "one sound missing", [("strike", "no sound")]),
}


@cache
def demo_shop() -> Shop:
    """The demo shop, read once."""
    shop, problems = load_shop(Path(__file__).parents[2] / "demo_content", handbook_folder())
    assert shop is not None, "\n".join(map(str, problems))
    return shop


def shop_in(folder: Path, jobs: Sequence[str] = (), leave_out: Sequence[str] = ()) -> Shop:
    """The shop with those jobs, written into `folder`, without some of its faults."""
    for name in ("models", "faults", "jobs"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    (folder / "shop.yml").write_text(CARD, "utf-8")
    (folder / "models" / "ticker.yml").write_text(TICKER, "utf-8")
    (folder / "models" / "tocker.yml").write_text(TOCKER, "utf-8")
    for identifier in FAULTS.keys() - set(leave_out):
        (folder / "faults" / f"{identifier}.yml").write_text(_fault(identifier), "utf-8")
    for number, text in enumerate(jobs):
        (folder / "jobs" / f"job-{number:03}.yml").write_text(text, "utf-8")
    shop, problems = load_shop(folder)
    assert shop is not None, "\n".join(map(str, problems))
    return shop


def job(
    fault: str,
    day: int = 1,
    *checks: str,
    model: str = "ticker",
    serial: str = "TK-0001",
    complaint: str = "it fails",
    more: str = "",
) -> str:
    """The text of a job in which `fault` was found; each check is "id: reading" or "id: good"."""
    received = datetime.date(2024, 1, 1) + datetime.timedelta(days=day)
    lines = [f"model: {model}", f"serial: {serial}", f"received: {received}", f"complaint: {complaint}"]
    lines += ["findings:", f"  - fault: {fault}", *([f"    {more}"] if more else [])]
    lines += ["    checks:"] if checks else []
    for check in checks:
        name, _, said = check.partition(": ")
        key = "outcome" if said in ("good", "bad", "not_done") else "reading"
        lines.append(f"      - {{check: {name}, {key}: {said}}}")
    return "\n".join(lines) + "\n"


def history(count: int, seed: int = 1) -> list[str]:
    """Jobs on first-series units whose faults give the readings on record nine times in ten."""
    draw = random.Random(seed)
    made = []
    for day in range(count):
        fault = draw.choices(("pulse-short", "rail-low", "jack-worn"), (5, 3, 2))[0]
        bad = {"pulse-short": {"length"}, "rail-low": {"rail", "rate", "length"}, "jack-worn": {"lamp"}}[
            fault
        ]
        checks = [
            f"{check}: {'bad' if (check in bad) == (draw.random() < 0.9) else 'good'}"
            for check in draw.sample(("rail", "rate", "length", "lamp"), 2)
        ]
        made.append(job(fault, day, *checks, complaint=FAULTS[fault][3]))
    return made


def _fault(identifier: str) -> str:
    model, revisions, block, symptom, checks = FAULTS[identifier]
    lines = [
        f"title: Title of {identifier}",
        f"models: {model}",
        f"revisions: {revisions}",
        f"block: {block}",
    ]
    lines += [f"symptoms: {symptom}", "cause: worn", "fix: mend it", "minutes: 20", "recorded: 2024-01-01"]
    lines += ["checks:"] if checks else []
    lines += [f"  - {{check: {check}, reads: {reads}}}" for check, reads in checks]
    return "\n".join(lines) + "\n"

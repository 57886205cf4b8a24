"""The handbook's way of one unit through the shop: each command it names works in a fresh shop."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from kb.handbook import handbook_folder
from tests.cli.shops import run, started

PAGE = "one-unit-from-door-to-door.md"
CAPTURE = "tp3-before.csv"
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.MULTILINE | re.DOTALL)


def fences() -> list[str]:
    """What a reader is told to type or to write, in the order of the page; no live calculations."""
    page = (handbook_folder() / PAGE).read_text(encoding="utf-8")
    return [text for kind, text in FENCE.findall(page) if not kind]


def test_a_reader_who_follows_the_page_gets_a_whole_job_and_its_report(
    tmp_path: Path, demo_content: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(started(tmp_path / "trial"))
    trace = demo_content / "captures" / "sx16-0137-trigger-before.csv"
    Path(CAPTURE).write_bytes(trace.read_bytes())
    said: dict[str, str] = {}
    job = Path()
    for fence in fences():
        if not fence.startswith("halfsplit "):
            job.write_text(f"{job.read_text(encoding='utf-8')}\n{fence}", encoding="utf-8")
            continue
        # The number of a job begins with the year, and the page was written in one.
        words = [re.sub(r"^20[0-9]{2}-001$", job.stem, each) for each in shlex.split(fence)[1:]]
        done = run(*words)
        assert done.exit_code == 0, f"{fence}{done.output}"
        said[words[0]] = done.output
        if words[0] == "new":
            job = next(iter(Path("jobs").glob("*-001.yml")))
    assert list(said) == ["new", "find", "rank", "measure", "check", "handover"]
    assert "example-short-pulse" in said["find"]
    assert "example-short-pulse" in said["rank"]
    assert "Pulse duration: 4.4" in said["measure"]
    report = Path("report.html").read_text(encoding="utf-8")
    for told in (
        "14.7 ms at TP3", "The pulse was too short for what it has to drive",
        "R7, timing resistor", "0.67 Hz",
    ):  # fmt: skip
        assert told in report

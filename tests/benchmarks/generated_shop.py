"""A shop of any size, made up from the demo's own models, for measuring and for nothing else."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

from kb.shop import ModelFacts, load_shop

_THINGS = ("clock", "trigger", "envelope", "pitch", "lamp", "memory", "output", "tape", "filter", "keyboard")
_DOES = ("stops", "drifts", "crackles", "stays on", "comes late", "is too short", "hums", "fades", "repeats")
_WHEN = (
    "when warm",
    "after an hour",
    "on some steps",
    "with a long lead",
    "at low mains",
    "since the last repair",
)
_WHY = (
    "a cracked joint",
    "a leaky capacitor",
    "a worn contact",
    "a part of another maker",
    "a drifted resistor",
)


def make_shop(folder: Path, demo: Path, faults: int, seed: int = 1, jobs: int = 0) -> Path:
    """A copy of the demo's models and parts with generated faults and jobs, the same for the same seed."""
    shutil.copytree(demo / "models", folder / "models")
    shutil.copytree(demo / "parts", folder / "parts")
    shutil.copy(demo / "shop.yml", folder)
    shop, problems = load_shop(folder)
    if shop is None:
        raise ValueError(problems)
    (folder / "faults").mkdir()
    draw = random.Random(seed)
    places = [(model, block.id) for model, facts in shop.facts.items() for block in facts.model.blocks]
    models = []
    for number in range(faults):
        model, block = draw.choice(places)
        models.append(model)
        text = _fault(draw, number, model, block)
        (folder / "faults" / f"generated-{number:05}.yml").write_text(text, "utf-8")
    (folder / "jobs").mkdir()
    for number in range(jobs):
        # Few faults are met again and again, most of them once or never.
        fault = int(faults * draw.random() ** 3)
        text = _job(draw, fault, models[fault], shop.facts[models[fault]])
        (folder / "jobs" / f"generated-{number:05}.yml").write_text(text, "utf-8")
    return folder


def _job(draw: random.Random, fault: int, model: str, facts: ModelFacts) -> str:
    first = next(each for ranges in facts.ranges.values() for each in ranges)
    return f"""\
model: {model}
serial: {first.prefix}-{first.low or first.high}
received: 20{draw.randrange(10, 26)}-0{draw.randrange(1, 9)}-1{draw.randrange(0, 9)}
findings:
  - {{fault: generated-{fault:05}, held: true}}
"""


def _fault(draw: random.Random, number: int, model: str, block: str) -> str:
    def told() -> str:
        return f"{draw.choice(_THINGS)} {draw.choice(_DOES)} {draw.choice(_WHEN)}"

    cause, part = draw.choice(_WHY), f"R{draw.randrange(1, 200)}"
    related = f"related: [generated-{draw.randrange(number):05}]\n" if number else ""
    return f"""\
title: {told()}, {number}
models: {model}
revisions: all
block: {block}
symptoms:
  - {told()}
  - {told()}
cause: |
  The unit has {cause} near {part}. It shows {draw.choice(_WHEN)} and hides {draw.choice(_WHEN)}.
fix:
  - Measure at the block's test point first.
  - Replace {part} and measure again.
values:
  - what: {part}, timing resistor
    was: 10k
    now: 33k
    within: 10 %
    calculation:
      monostable: {{device: 74LS123, capacitor: 1 uF, pulse: 15 ms}}
{related}recorded: 20{draw.randrange(10, 26)}-0{draw.randrange(1, 9)}-1{draw.randrange(0, 9)}
"""

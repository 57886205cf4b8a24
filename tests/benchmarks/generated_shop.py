"""A shop of any size, made up from the demo's own models, for measuring and for nothing else."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

from kb.calculators import calculate
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
        text = _fault(draw, number, shop.facts[model], block)
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


def _fault(draw: random.Random, number: int, facts: ModelFacts, block: str) -> str:
    def told() -> str:
        return f"{draw.choice(_THINGS)} {draw.choice(_DOES)} {draw.choice(_WHEN)}"

    cause, part = draw.choice(_WHY), f"R{draw.randrange(1, 200)}"
    related = f"related: [generated-{draw.randrange(number):05}]\n" if number else ""
    # Most faults are on every revision, some on one of them alone.
    revision = draw.choice(("all", "all", draw.choice(facts.revisions_of(facts.block(block).revisions))))
    values = _values(draw, part) if draw.random() < WITH_CALCULATION else ""
    return f"""\
title: {told()}, {number}
models: {facts.id}
revisions: {revision}
block: {block}
symptoms:
  - {told()}
  - {told()}
cause: |
  The unit has {cause} near {part}. It shows {draw.choice(_WHEN)} and hides {draw.choice(_WHEN)}.
fix:
  - Measure at the block's test point first.
  - Replace {part} and measure again.
{values}{related}recorded: 20{draw.randrange(10, 26)}-0{draw.randrange(1, 9)}-1{draw.randrange(0, 9)}
"""


WITH_CALCULATION = 0.68
"""As in the demo: 23 calculations in 34 faults."""

_CAPACITORS = ("10 nF", "47 nF", "100 nF", "220 nF", "470 nF", "1 uF")


def _values(draw: random.Random, part: str) -> str:
    """One changed value with its calculation, from a few hundred that a shop may well meet."""
    name, inputs, key = draw.choice(
        (
            ("monostable", {"device": draw.choice(("74LS123", "CD4538", "NE555", "4047")),
                            "capacitor": draw.choice(_CAPACITORS),
                            "pulse": draw.choice(("1 ms", "2 ms", "5 ms", "8 ms", "10 ms", "15 ms"))},
             "resistor"),
            ("rc", {"resistor": draw.choice(("4k7", "10k", "22k", "47k", "100k")),
                    "capacitor": draw.choice(_CAPACITORS), "threshold": "2.5 V", "supply": "5 V"},
             "time_to_threshold"),
            ("series_resistor", {"supply": draw.choice(("5 V", "9 V", "12 V", "15 V")), "drop": "2 V",
                                 "current": draw.choice(("2 mA", "5 mA", "10 mA", "20 mA"))}, "resistor"),
        )
    )  # fmt: skip
    now = calculate(name, inputs).result(key)
    asked = ", ".join(f"{each}: {text}" for each, text in inputs.items())
    return f"""\
values:
  - what: {part}, set anew
    now: {now.shown}
    within: 10 %
    stands_for: {key}
    calculation:
      {name}: {{{asked}}}
"""

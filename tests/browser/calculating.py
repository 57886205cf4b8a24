"""What the tests of changing calculations share: a bare page with the scripts, and inputs drawn by chance."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from kb.calculators import CALCULATORS, Calculation, CalculationError, Calculator, Input, calculate
from kb.calculators.changing import Changeable, changeable
from kb.calculators.series import NAMES, read_series
from kb.pages.calculation_assets import calculation_assets
from kb.quantities import parse_any_quantity, parse_quantity, unit_of
from tests.browser.watching import open_file

SCRIPTS = ("units.js", "quantities.js", "plans.js")

ONE_SHOTS = (
    {"device": "NE555", "resistor": "100k", "capacitor": "100n"},
    {"device": "MC14528", "resistor": "100k", "pulse": "10 ms", "supply": "10 V"},
    {"device": "HEF4528", "capacitor": "10 nF", "pulse": "10 ms", "supply": "12 V"},
    {"device": "74HC123", "resistor": "33k", "pulse": "10 ms", "maker": "Philips"},
    {"device": "74123", "capacitor": "10 uF", "pulse": "10 ms", "diode": "yes"},
    {"device": "74AHC123A", "resistor": "10k", "capacitor": "10n"},
)
MORE = {
    "monostable": ONE_SHOTS,
    "rc": ({"resistor": "10k", "capacitor": "4.7 uF", "threshold": "30 %", "direction": "discharge"},),
    "discharge": ({"capacitor": "4700u", "voltage": "63 V ±10 %", "time": "5 s"},),
    "preferred_value": ({"value": "33.9 nF", "series": "E6"}, {"value": "7.3", "rule": "ratio"}),
    "dac_pitch": ({"standard": "hertz_per_volt", "bits": "10", "full_scale": "8 V", "lowest_note": "A1"},),
    "tempo": ({"frequency": "51.2 Hz", "pulses_per_quarter": "20"},),
}
"""Further ways to ask than the example of a calculator."""


def written() -> list[tuple[str, dict[str, str]]]:
    """Every calculation that a page could change, as a page would have it."""
    every = (
        (name, dict(inputs))
        for name, calculator in CALCULATORS.items()
        for inputs in (calculator.example, *MORE.get(name, ()))
    )
    return [(name, inputs) for name, inputs in every if calculate(name, inputs).plan is not None]


def plan_of(name: str, inputs: Mapping[str, str]) -> Changeable:
    """What the page of a calculation carries."""
    found = changeable(CALCULATORS[name], calculate(name, inputs))
    assert found is not None
    return found


def open_scripts(page: Page, folder: Path, plans: Iterable[Changeable]) -> None:
    """Open an empty page that has loaded the scripts and these plans."""
    assets = Path(__file__).parents[2] / "kb" / "pages" / "assets"
    names = ["calculation.js", *SCRIPTS]
    for name in names:
        if name != "units.js":
            (folder / name).write_bytes((assets / name).read_bytes())
    for asset in calculation_assets(plans):
        place = folder / Path(asset.path).relative_to("halfsplit")
        place.parent.mkdir(exist_ok=True)
        place.write_bytes(asset.content)
        if place.parent != folder:
            names.append(f"plans/{place.name}")
    tags = "".join(f'<script src="{name}"></script>' for name in names)
    (folder / "bare.html").write_text(
        f"<!doctype html><meta charset=utf-8><title>Bare</title>{tags}", "utf-8"
    )
    open_file(page, folder / "bare.html")


WORK = """(cases) => {
  const { plan, plans } = window.halfsplitCalculations;
  return cases.map(({ name, way, texts }) => plans.work(plan[name], plans.wayOf(plan[name], way), texts));
}"""


def work(page: Page, cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What the script makes of many inputs at once."""
    return list(page.evaluate(WORK, cases))


# Inputs drawn by chance


class Draw:
    """Draws inputs for one calculation that a page could have; the words that stay fixed stay."""

    def __init__(self, name: str, inputs: Mapping[str, str], seed: str) -> None:
        self.calculator: Calculator = CALCULATORS[name]
        self.inputs = inputs
        self.chance = random.Random(seed)
        self.plan = plan_of(name, inputs)

    def case(self) -> tuple[dict[str, str], int]:
        """Inputs and the way that a page would work them out by."""
        number = self.chance.randrange(len(self.plan.data["w"]))
        way = self.plan.data["w"][number]
        solved, words = way.get("of"), way.get("o", {})
        variables = {self.plan.data["p"][each][0] for each in way["v"]}
        found = {}
        for item in self.calculator.inputs:
            if item.key in words:
                found[item.key] = words[item.key]
            elif item.key == solved:
                continue
            elif item.resolve is read_series:
                if self.chance.random() < 0.5 or item.key in self.inputs:
                    found[item.key] = self.chance.choice([*NAMES, "E24+E96"])
            elif item.key in variables or item.dimension == "tolerance":
                self._draw(item, found)
            elif item.key in self.inputs:
                found[item.key] = self.inputs[item.key]
        return found, number

    def _draw(self, item: Input, found: dict[str, str]) -> None:
        is_bare = item.key not in self.inputs and not item.required and not item.solvable
        if is_bare and self.chance.random() < 0.5:
            return
        if item.dimension == "tolerance":
            found[item.key] = self.chance.choice(["1 %", "±5 %", "-20/+80 %", "0 %", "10"])
        elif item.dimension == "integer":
            found[item.key] = str(self._whole(item))
        else:
            found[item.key] = self._quantity(item)

    def _whole(self, item: Input) -> int:
        least, most = item.least or 0, item.most or 1000
        return self.chance.randint(max(0, least - 1), min(most + 1, 30))

    def _quantity(self, item: Input) -> str:
        text = self.inputs.get(item.key, item.default or item.example)
        kinds = item.dimension.split("|")
        known = parse_quantity(text, kinds[0]) if len(kinds) == 1 else parse_any_quantity(text)
        size = known.value * 10 ** self.chance.uniform(-1, 1) if known.value else self.chance.uniform(-1, 2)
        if self.chance.random() < 0.03:
            size = -size
        digits = self.chance.choice(["{:.2g}", "{:.4g}", "{:.9g}"])
        if known.dimension == "ratio":
            return f"{_plainly(digits.format(100 * size))} %"
        unit = "" if unit_of(known.dimension) == "1" else f" {unit_of(known.dimension)}"
        tolerance = self.chance.choice(["", "", "", " ±1 %", " -20/+80 %"])
        return f"{_plainly(digits.format(size))}{unit}{'' if known.dimension == 'temperature' else tolerance}"


def _plainly(text: str) -> str:
    """The number as our grammar takes it."""
    return repr(float(text)).replace("+", "")


def outcome(name: str, texts: Mapping[str, str]) -> Calculation | CalculationError:
    """What Python makes of the inputs."""
    try:
        return calculate(name, texts)
    except CalculationError as error:
        return error


def is_close(one: float, other: float) -> bool:
    """Equal but for the last places of a float."""
    return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)

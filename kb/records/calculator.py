"""A calculator of the shop's own: inputs with units, a formula for each result, limits and sources."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import AfterValidator, Field

from kb.records.fields import Key, Line, OneOrMany, Prose, Written, wrong

OwnDimension = Literal[
    "resistance", "capacitance", "inductance", "voltage", "current", "power", "energy", "time", "frequency",
    "charge", "ratio", "temperature", "length", "mass", "interval", "tempo", "number",
]  # fmt: skip
OWN_DIMENSIONS: tuple[str, ...] = get_args(OwnDimension)


def _symbol(text: str) -> str:
    if not text.isascii() or not text[:1].isalpha() or not text.replace("_", "").isalnum() or len(text) > 20:
        raise wrong(f'"{text[:40]}" is not a symbol', "letters, digits and _, such as R or V_S")
    return text


Symbol = Annotated[Line, AfterValidator(_symbol)]


class OwnInput(Written):
    """One input of the shop's own calculator."""

    id: Key
    symbol: Symbol = Field(description="what the formulas call it, such as R")
    label: Line
    dimension: OwnDimension
    example: Line = Field(description="a value with its unit, such as 33k")
    default: Line | None = Field(None, description="what is taken when it is left out")
    help: Line | None = None


class OwnResult(Written):
    """One result and the formula that gives it; a later formula may use an earlier result's symbol."""

    id: Key
    symbol: Symbol
    label: Line
    dimension: OwnDimension
    formula: Line = Field(description="such as t / (C * ln(V / V_S)), everything in SI units")
    series: Literal["E3", "E6", "E12", "E24", "E48", "E96", "E192"] | None = Field(
        None, description="take the nearest preferred value of this series"
    )


class OwnWarning(Written):
    """What a colleague would say when something is too small or too large."""

    when: Line = Field(description="a comparison in SI units, such as P > 0.25")
    say: Line


class OwnCalculator(Written):
    """A file in `calculators/`; its name is the calculator's."""

    title: Line
    summary: Line
    inputs: tuple[OwnInput, ...] = Field(min_length=1)
    results: tuple[OwnResult, ...] = Field(min_length=1)
    warnings: tuple[OwnWarning, ...] = ()
    limits: Annotated[tuple[Line, ...], OneOrMany] = Field((), description="where the formula holds")
    sources: Annotated[tuple[Line, ...], OneOrMany] = Field(
        min_length=1, description='where it comes from; "common practice, no source" if nowhere'
    )
    private_note: Prose | None = None

"""The types a record's fields are made of.

Every value arrives as the text a person wrote: the *field's* type decides what it means, so `NO`
stays a word, `0100` stays a serial number and `1:30` stays what was written. A value that a type
refuses raises `PydanticCustomError` with what is wrong and what would be right.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Annotated, Any, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, PlainSerializer, WithJsonSchema
from pydantic_core import PydanticCustomError

from kb.quantities import (
    Quantity,
    QuantityError,
    Span,
    parse_any_span,
    parse_quantity,
    parse_span,
)
from kb.quantities.spellings import MISSPELLINGS, UNITS

Item = TypeVar("Item")

LONGEST_LINE = 300
LONGEST_IDENTIFIER = 80
IDENTIFIER = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z")


def wrong(what: str, advice: str = "") -> PydanticCustomError:
    """The refusal of a value: `what` is wrong and, as `advice`, what would be right."""
    # The template has no braces of its own, so text from a record cannot be taken for one.
    return PydanticCustomError("halfsplit", "{what}", {"what": what, "advice": advice})


class Written(BaseModel):
    """Base of everything a shop writes down: frozen, and unknown keys are refused."""

    # Built at the first record of a kind: a build that takes them all from what was kept has none to check.
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise wrong(
            "a single text is expected here, not a list or a mapping",
            'write it on one line, in quotes where it holds ": "',
        )
    return value


def _line(value: Any) -> str:
    text = _text(value).strip()
    if not text:
        raise wrong("the text is empty", "write it, or leave the key out")
    if "\n" in text:
        raise wrong("the text runs over several lines", "write it on one line")
    if len(text) > LONGEST_LINE:
        raise wrong(f"the text has {len(text)} characters", f"keep it under {LONGEST_LINE}")
    return text


def _prose(value: Any) -> str:
    text = _text(value)
    if not text.strip():
        raise wrong("the text is empty", "write it, or leave the key out")
    return text.rstrip() + "\n"


def is_identifier(text: str) -> bool:
    """Whether `text` may be the id of a record, and so the stem of its file."""
    return bool(IDENTIFIER.match(text)) and len(text) <= LONGEST_IDENTIFIER


def suggested_identifier(text: str) -> str:
    """The id nearest to `text`."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower())[:LONGEST_IDENTIFIER].strip("-") or "clock"


def _identifier(value: Any) -> str:
    text = _text(value).strip()
    if not is_identifier(text):
        raise wrong(
            f'"{text[:40]}" is not an id',
            f'small letters, digits and single hyphens, for example "{suggested_identifier(text)}"',
        )
    return text


def _key(value: Any) -> str:
    text = _text(value).strip()
    if not re.fullmatch(r"[a-z][a-z0-9_]{0,39}", text):
        raise wrong(
            f'"{text[:40]}" is not an input or result', "write it as the calculation does, such as pulse"
        )
    return text


def _whole(value: Any) -> int:
    text = _text(value).strip()
    if not re.fullmatch(r"0|[1-9][0-9]{0,8}", text):
        advice = (
            "leave out the noughts before it" if text.isdigit() and text[0] == "0" else "write digits only"
        )
        raise wrong(f'"{text[:40]}" is not a whole number', f"{advice}, for example 12")
    return int(text)


def _flag(value: Any) -> bool:
    text = _text(value).strip()
    if text not in ("true", "false"):
        raise wrong(f'"{text[:40]}" is neither true nor false', "write true or false")
    return text == "true"


def _date(value: Any) -> datetime.date:
    text = _text(value).strip()
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            raise ValueError
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise wrong(f'"{text[:40]}" is not a date', "write year-month-day, for example 2024-03-14") from None


def _one_or_many(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


def _as_problem(parse: Callable[..., Item], *arguments: str) -> Callable[[Any], Item]:
    """A validator that turns the refusal of a quantity into the refusal of a field."""

    def validate(value: Any) -> Item:
        try:
            return parse(_text(value), *arguments)
        except QuantityError as error:
            raise wrong(error.what, error.advice) from None

    return validate


Line = Annotated[str, BeforeValidator(_line), WithJsonSchema({"type": "string"})]
"""One line of text, shown exactly as written, never as markup."""

Prose = Annotated[str, BeforeValidator(_prose), WithJsonSchema({"type": "string"})]
"""Text in restricted Markdown: paragraphs, lists, tables, emphasis, record links, calc blocks."""

Identifier = Annotated[str, BeforeValidator(_identifier), WithJsonSchema({"type": "string"})]
Key = Annotated[str, BeforeValidator(_key), WithJsonSchema({"type": "string"})]
"""The name of a calculator's input or result, such as `time_to_threshold`."""

Whole = Annotated[int, BeforeValidator(_whole), WithJsonSchema({"type": "integer"})]
Flag = Annotated[bool, BeforeValidator(_flag), WithJsonSchema({"type": "boolean"})]
Date = Annotated[datetime.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]

OneOrMany = BeforeValidator(_one_or_many)
"""Lets a list of one be written without the list."""

Audience = Literal["shop", "customer"]


def quantity_of(dimension: str, example: str) -> Any:
    """The type of a field that holds one quantity of `dimension`, such as `10 ms`."""
    return Annotated[
        Quantity,
        BeforeValidator(_as_problem(parse_quantity, dimension)),
        PlainSerializer(lambda quantity: quantity.text),
        WithJsonSchema({"type": "string", "description": f"a {dimension}", "examples": [example]}),
    ]


def span_of(dimension: str, example: str) -> Any:
    """The type of a field that holds a range or a limit of `dimension`, such as `>= 5 ms`."""
    return Annotated[
        Span,
        BeforeValidator(_as_problem(parse_span, dimension)),
        PlainSerializer(lambda span: span.text),
        WithJsonSchema({"type": "string", "description": f"a range of {dimension}", "examples": [example]}),
    ]


Voltage = quantity_of("voltage", "24 V")
Resistance = quantity_of("resistance", "2k2")
Capacitance = quantity_of("capacitance", "4700 uF")
Frequency = quantity_of("frequency", "50 Hz")
Minutes = quantity_of("time", "5 min")
VoltageSpan = span_of("voltage", "4.75 V to 5.25 V")
TimeSpan = span_of("time", ">= 5 ms")

_AMOUNT = r"[-+−]?[0-9][0-9.,_']*\s*[^\W\d_]*[%°Ω]?[^\W\d_]*"
_ONLY_AMOUNTS = re.compile(
    rf"[<>=≤≥\s]*{_AMOUNT}(?:\s*(?:to\b|±|\+/?-|\+/?−|-|–|—|…|\.\.+)\s*{_AMOUNT})*\s*\Z"
)
_WORDS = re.compile(r"[^\W\d_]+")
_LIKE_UNITS = frozenset(each.lower() for each in (*UNITS, *MISSPELLINGS, "to"))


def _is_meant_as_quantity(text: str) -> bool:
    """Whether `text` is nothing but amounts, so that words cannot be what was meant."""
    return bool(_ONLY_AMOUNTS.match(text)) and all(
        word.lower() in _LIKE_UNITS for word in _WORDS.findall(text)
    )


class Reading(Written):
    """What a check shows: words, or a span that a meter reading can be judged against."""

    text: str
    span: Span | None = None

    @classmethod
    def read(cls, text: str) -> Reading:
        """The reading that `text` means; a number with no unit or a misspelt one is refused."""
        text = _line(text)
        try:
            span = parse_any_span(text)
        except QuantityError as error:
            if _is_meant_as_quantity(text):
                raise wrong(error.what, error.advice) from None
            return cls(text=text)
        if span.dimension == "number":
            raise wrong(
                f'"{text[:40]}" has no unit',
                'write it, such as "5 V"; a count needs its word, such as "24 pulses"',
            )
        return cls(text=text, span=span)


ReadingText = Annotated[
    Reading,
    BeforeValidator(lambda value: Reading.read(_text(value))),
    PlainSerializer(lambda reading: reading.text),
    WithJsonSchema({"type": "string", "examples": ["4.75 V to 5.25 V", "one pulse for every step"]}),
]


def _calculation(value: Any) -> Any:
    written = value if isinstance(value, dict) else {}
    beside = {key: written[key] for key in ("about", "sweep") if key in written}
    rest = {key: under for key, under in written.items() if key not in beside}
    if len(rest) != 1:
        raise wrong(
            "a calculation is one calculator's name with its inputs under it",
            "for example  tempo: {bpm: 120 BPM}",
        )
    ((name, inputs),) = rest.items()
    if not isinstance(inputs, dict):
        raise wrong(f'"{name}" has no inputs under it', "write them as  input: value")
    return {"name": name, "inputs": inputs, **beside}


def _input_text(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(_text(item).strip() for item in value)
    return _text(value).strip()


InputTexts = Annotated[
    Mapping[str, Annotated[str, BeforeValidator(_input_text)]], AfterValidator(MappingProxyType)
]


class CalculationText(Written):
    """A calculation as written: the calculator's name, each input as text, and what it is about.

    `sweep` names one more input with the range or the values it is to be worked out for.
    """

    name: str
    inputs: InputTexts
    about: Line | None = None
    sweep: InputTexts | None = None


Calculation = Annotated[
    CalculationText,
    BeforeValidator(_calculation),
    PlainSerializer(
        lambda written: {
            **({"about": written.about} if written.about else {}),
            written.name: dict(written.inputs),
            **({"sweep": dict(written.sweep)} if written.sweep else {}),
        }
    ),
    WithJsonSchema(
        {
            "type": "object",
            "minProperties": 1,
            "maxProperties": 3,
            "properties": {"about": {"type": "string"}, "sweep": {"type": "object"}},
            "additionalProperties": {"type": "object"},
            "examples": [{"tempo": {"bpm": "120 BPM"}}],
        }
    ),
]

"""New values in an old file: what was meant is read back, and nobody's comment or line is touched."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.entry.patching import CannotPatch, patched, said, whole
from kb.entry.shapes import KINDS, Shape, shape_of
from kb.entry.values import from_form, tidy, to_form
from tests.benches import ONE_BENCH

FAULT = """\
# who wrote this
title: Short pulse   # as the customer says
models: [pacer]

# the block
block: one-shot
symptoms:
  - It skips     # mostly when cold
  - "no: never"
cause: |
  The capacitor dried out.

  It is old.
# the cure
fix:
- Change it.
minutes: 35
"""
FOLDERS = {"faults": "fault", "jobs": "job", "parts": "part", "models": "model"}
AWKWARD = (
    "NO", "1:30", "0100", "2024-03-14", "a: b", "# x", "- y", "'q'", '"z', "x\ny", ">= 5 ms", "yes", "~",
    "null", "1e3", "[a", "{", "tab\tx", "a #b", "long " * 40, "one\n\n  in\nthree", "&a", "*b", "%x", "@x",
    "`x", "? x", ": x", "!t", "|", "trailing:", "é Ω µ", "y", "0o7", "1_000", "-", "=", "<<", "a\n#b\n",
    " \n x",
)  # fmt: skip


def fault(**changed: Any) -> dict[str, Any]:
    return {**said(FAULT, shape_of("fault")), **changed}


@pytest.mark.parametrize(
    ("changed", "out", "now"),
    [
        ({"title": "No pulse"}, ["Short pulse   #"], ["title: No pulse   # as the customer says"]),
        ({"title": "NO"}, ["Short pulse   #"], ["title: 'NO'   # as the customer says"]),
        ({"models": ["pacer", "lull"]}, ["[pacer]"], ["models: [pacer, lull]"]),
        ({"minutes": "40"}, ["35"], ["minutes: 40"]),
        ({"recorded": "2024-03-14"}, [], ["recorded: 2024-03-14"]),
        ({"fix": ["Change it.", "1:30"]}, [], ["- '1:30'"]),
        ({"symptoms": ["It skips"]}, ['"no: never"'], []),
        ({"symptoms": ["no: never"]}, ["It skips"], []),
        ({"symptoms": ["0100", "It skips", "no: never"]}, [], ["  - '0100'"]),
        ({"cause": "One.\n\nTwo."}, ["dried out", "is old"], ["  One.", "  Two."]),
        ({"checks": [{"check": "width", "reads": ">= 5 ms"}]}, [],
         ["checks:", "  - check: width", "    reads: '>= 5 ms'"]),
    ],
)  # fmt: skip
def test_only_the_lines_that_change_change(changed: dict[str, Any], out: list[str], now: list[str]) -> None:
    meant = fault(**changed)
    made = patched(FAULT, shape_of("fault"), meant)
    assert said(made, shape_of("fault")) == meant
    lines, before = made.splitlines(), FAULT.splitlines()
    assert [line for line in before if line not in lines and not any(each in line for each in out)] == []
    assert [line for line in now if line not in lines] == []
    assert len([line for line in lines if line not in before]) == len(now)


def test_a_field_that_is_emptied_goes_and_what_stands_around_it_stays() -> None:
    meant = fault()
    del meant["minutes"]
    assert patched(FAULT, shape_of("fault"), meant) == FAULT.replace("minutes: 35\n", "")
    unended = FAULT.rstrip("\n")
    assert patched(unended, shape_of("fault"), fault(minutes="9")) == unended.replace("35", "9")


def test_keys_that_the_form_does_not_know_are_left_alone() -> None:
    text = f"{FAULT}colour: red  # a slip\n"
    made = patched(text, shape_of("fault"), fault(title="No pulse"))
    assert made == text.replace("title: Short pulse", "title: No pulse")


def test_what_cannot_be_changed_in_place_is_not_changed() -> None:
    with pytest.raises(CannotPatch):
        patched("{title: a}", shape_of("fault"), {"title": "b"})


def records() -> list[tuple[str, str]]:
    return [
        (kind, path.read_text(encoding="utf-8"))
        for folder, kind in FOLDERS.items()
        for path in sorted((ONE_BENCH / folder).rglob("*.yml"))
    ]


@pytest.mark.parametrize(("kind", "text"), records())
def test_a_record_as_the_form_has_it_is_the_record(kind: str, text: str) -> None:
    shape = shape_of(kind)
    there = said(text, shape)
    assert from_form(shape, to_form(shape, there)) == there
    assert patched(text, shape, there) == text
    assert said(whole(shape, there), shape) == there


@settings(max_examples=60)
@given(st.sampled_from(records()), st.integers(0, 10**9), st.integers(1, 4))
def test_whatever_is_changed_is_read_back_as_it_was_meant(
    record: tuple[str, str], seed: int, times: int
) -> None:
    kind, text = record
    shape, luck = shape_of(kind), random.Random(seed)
    meant = said(text, shape)
    for _ in range(times):
        meant = tidy(shape, _changed(shape, meant, luck))
    assert said(patched(text, shape, meant), shape) == meant
    assert not meant or said(whole(shape, meant), shape) == meant


def _changed(shape: Shape | None, value: Any, luck: random.Random) -> Any:
    if shape is None:
        return value
    if isinstance(value, dict) and shape.kind == "record":
        key = luck.choice(list(shape.fields))
        rest = {each: value[each] for each in value if each != key}
        if key in value and luck.random() < 0.3:
            return rest
        field = shape.fields[key]
        return {**value, key: _changed(field, value[key], luck) if key in value else _filled(field, luck)}
    if isinstance(value, list) and value:
        at, what = luck.randrange(len(value)), luck.random()
        middle = [] if what < 0.3 else [_changed(shape.item, value[at], luck)]
        return [*value[:at], *([_filled(shape.item, luck)] if what > 0.6 else []), *middle, *value[at + 1 :]]
    return _filled(shape, luck)


def _filled(shape: Shape | None, luck: random.Random) -> Any:
    if shape is None or shape.kind not in ("list", "record", "calculation"):
        return luck.choice(AWKWARD)
    if shape.kind == "list":
        return [_filled(shape.item, luck) for _ in range(luck.randint(1, 2))]
    if shape.kind == "calculation":
        return {"tempo": {"bpm": luck.choice(AWKWARD)}}
    return {key: _filled(each, luck) for key, each in shape.fields.items() if luck.random() < 0.6}


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_a_record_is_asked_for(kind: str) -> None:
    assert set(shape_of(kind).fields) - {"body"} == set(KINDS[kind].model_fields)
    assert shape_of(kind).fields["audience" if kind != "job" else "note"].help

"""Whatever is typed into an option reads back as it was typed."""

from __future__ import annotations

import string

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kb.cli.filling import fill, prose, scalar
from kb.reading import read_record
from kb.records import Part, ShopCard
from tests.cli.shops import is_text

NASTY = st.sampled_from([*"\"'#:-?*&!|>%@`{}[],~= \n\t\r\\", ": ", " #", "\n- ", "NO", "{{", "é", "🔧"])
TEXTS = st.lists(st.one_of(NASTY, st.sampled_from(string.ascii_letters), st.characters()), max_size=30).map(
    "".join
)


@given(TEXTS.filter(is_text).filter(lambda text: "\n" not in text.strip()))
@example("NO")
@example("null")
@example("~")
@example("2024-03-14")
@example("1:30")
@example("0100")
@example("- yard")
@example("a: b # c")
@example("'")
@example('"')
@example("!!python/object x")
@example("&a *a")
@example("...")
@example("---")
@example("<<")
@example("=")
def test_a_line_reads_back_as_it_was_typed(text: str) -> None:
    record, problems = read_record(f"name: {scalar(text)}\nkind: x\n".encode(), "parts/x.yml", "x", Part)
    assert record, problems
    assert record.record.name == text.strip()


@given(TEXTS.filter(is_text), st.sampled_from((2, 4)))
@example("  first line indented\nsecond", 2)
@example("\n\nblank lines before", 2)
@example("a\n\n\n    b\n # c\n- d: e\n---\n...", 4)
@example("ends in spaces   \nand goes on\t", 2)
@example("a\rb", 2)
def test_prose_reads_back_as_it_was_typed(text: str, indent: int) -> None:
    yaml = f"name: x\nkind: x\nsummary: {prose(text, indent)}\nprice: 1\n"
    record, problems = read_record(yaml.encode(), "parts/x.yml", "x", Part)
    assert record, problems
    assert record.record.summary == text.rstrip() + "\n"


def test_ordinary_text_is_written_plain() -> None:
    assert scalar("Trigger too short") == "Trigger too short"
    assert prose("One.\n\nTwo.") == "|\n  One.\n\n  Two."


@pytest.mark.parametrize("name", ["a: b", "{% if %}", "x\ny: z"])
def test_no_value_reaches_a_file_unquoted(name: str) -> None:
    text = fill("starter/shop.yml.jinja", name=name.replace("\n", " "), place=None)
    record, problems = read_record(text.encode(), "shop.yml", "shop", ShopCard)
    assert record, problems
    assert record.record.name == name.replace("\n", " ")

"""Whatever stands in a file, reading it gives a record or problems that lie in it; never an exception."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.problems import Problem
from kb.reading import read_record
from kb.reading.tree import LARGEST_FILE, read_tree
from kb.records import Fault, Guide, Job, Model, Part, ShopCard, Written

DEMO = Path(__file__).parent.parent.parent / "demo_content"
KINDS: dict[str, type[Written]] = {
    "models": Model, "faults": Fault, "parts": Part, "guides": Guide, "jobs": Job,
}  # fmt: skip
YAML_SOUP = st.text("abN0123.:-_~|>'\"\\[]{}#&*!%@`,?=<+ \t\n\r\u0085\u2028\ufeffΩ", max_size=80)


def lies_in(problem: Problem, text: str) -> bool:
    """Whether a problem's place is one of the text's own, or the end of it."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return (
        1 <= problem.line <= len(lines) + 1
        and 1 <= problem.column <= max(map(len, lines)) + 1
        and str(problem).isprintable()
    )


@settings(max_examples=300)
@given(st.text() | YAML_SOUP)
def test_any_text_gives_a_tree_or_a_problem(text: str) -> None:
    tree, problems = read_tree(text, "f.yml")
    assert tree is not None or problems


@settings(max_examples=300)
@given(st.text() | YAML_SOUP, st.sampled_from([*KINDS.values(), ShopCard]))
def test_any_text_as_a_record_gives_problems_within_it(text: str, kind: type[Written]) -> None:
    record, problems = read_record(text.encode(), "f.yml", "f", kind)
    assert record is None
    assert problems
    assert all(lies_in(problem, text) for problem in problems)


@given(st.binary(max_size=200), st.sampled_from([*KINDS.values(), ShopCard]))
def test_any_bytes_as_a_record_give_problems(data: bytes, kind: type[Written]) -> None:
    record, problems = read_record(data, "f.yml", "f", kind)
    assert record is None
    assert problems


@cache
def demo_files() -> list[Path]:
    """The records of the demo shop."""
    return sorted(
        path for name in KINDS for path in (DEMO / name).rglob("*.*") if path.suffix in (".yml", ".md")
    )


NONSENSE = ["\t", "- ", "? x", "&a", "*a", "---", "...", "key", "<<: x", "a: b: c", "{", "'"]


def changes(line: str, other: str, nonsense: str) -> list[list[str]]:
    """What a slip may make of one line."""
    key = line.split(":", maxsplit=1)[0]
    values = ["", " ~", " [[[]]]", " {a: {b: c}}", " 5", " 4,7 V"]
    return [
        [], [line, line], [line, other], [line, nonsense], [line[: len(line) // 2]], [f"  {line}"],
        [line.strip()], [line.replace(":", "", 1)], [line.replace(" ", "\t", 1)], [line + ": x"],
        [line.replace("'", '"')], *([f"{key}:{value}"] for value in values),
    ]  # fmt: skip


def spoilt(text: str, chance: random.Random) -> str:
    """A text with a few lines deleted, doubled, moved, cut, pushed or swapped for nonsense."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        lines[at : at + 1] = chance.choice(changes(lines[at], chance.choice(lines), chance.choice(NONSENSE)))
    return "\n".join(lines)


@settings(max_examples=300)
@given(st.integers(0, 2**32))
def test_a_spoilt_record_of_the_demo_shop_is_read_or_told_about(seed: int) -> None:
    chance = random.Random(seed)
    path = chance.choice(demo_files())
    kind = KINDS[path.relative_to(DEMO).parts[0]]
    text = spoilt(path.read_text(encoding="utf-8"), chance)
    record, problems = read_record(text.encode(), path.name, path.stem, kind)
    assert (record is None) == bool(problems)
    assert all(lies_in(problem, text) for problem in problems)


@pytest.mark.parametrize("text", ["a: \x7f", "a: \x01b", "\x00"], ids=ascii)
def test_a_character_that_only_the_parser_refuses_is_a_problem_too(text: str) -> None:
    tree, problems = read_tree(text, "f.yml")
    assert tree is None
    assert [problem.what for problem in problems] == ["this is not YAML"]


@pytest.mark.parametrize(
    "text",
    ["a: !<x\n", "[" * 100_000, "- " * 100_000, "? " * 100_000, "a: &a [*a]\n", "{" * 5_000 + "}" * 5_000,
     "a: " * 50_000, "'" * 99_999, "#" * 500_000, "%" * 1000, "a" * 900_000, "\n" * 900_000,
     '"' + "\\" * 99_999, "|\n" * 100_000, "&a " * 1000, "!a " * 1000, "x: |999999999999\n", "x: >+-\n a"],
    ids=lambda text: ascii(text[:12]),
)  # fmt: skip
def test_a_text_made_to_break_a_parser_is_one_problem(text: str) -> None:
    record, problems = read_record(text.encode(), "f.yml", "f", Fault)
    assert record is None
    assert len(problems) == 1


def test_a_file_of_nothing_but_mistakes_is_told_without_waiting() -> None:
    text = "".join(f"k{number}: x\n" for number in range(10_000))
    record, problems = read_record(text.encode(), "f.yml", "f", Part)
    assert record is None
    assert len(problems) == 10_000 + len(("name", "kind"))
    assert [problem.line for problem in problems if "not a key" in problem.what] == list(range(1, 10_001))


def test_a_file_of_the_largest_size_is_read_and_one_byte_more_is_not() -> None:
    head = b"name: p\nkind: one-shot\n#"
    fits = head + b"x" * (LARGEST_FILE - len(head))
    assert read_record(fits, "p.yml", "p", Part)[0] is not None
    assert read_record(fits + b"x", "p.yml", "p", Part)[0] is None
